"""`minisim trial run --learn`: one run of an image, and the draft of the sheet beside it."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.cli import _inputs

if TYPE_CHECKING:
    import argparse

    from minisim.loadout.model import Loadout
    from minisim.trials.running.bench import Bench
    from minisim.trials.running.images import Image


def learn(loadout: Loadout, bench: Bench, image: Image, arguments: argparse.Namespace) -> int:
    """Run, draft, write; 0, or 2 where the draft can't be written."""
    from minisim.files import write_atomically
    from minisim.trials.running import learning
    from minisim.trials.running.owners import make_ready
    from minisim.trials.running.sheets import Sheet, path_beside

    path = path_beside(image.path) if arguments.output is None else Path(arguments.output)
    if path.exists():
        raise _inputs.unusable(path, "the file is there already, and a draft replaces nothing; --output names another")
    from minisim.cli._trial_run import wanted_of

    sheet = wanted_of(arguments).laid_over(Sheet())
    with bench.machine() as machine:
        make_ready(machine, image, sheet)
        start = machine.cpu.pc
        seen = learning.learn(machine, learning.LIMIT if arguments.limit is None else arguments.limit)
        name = f"{loadout.name}, processor {machine.profile}"
    write_atomically(path, learning.draft(image, seen, sheet, start, name).encode("utf-8"))
    print(f"{path}: drafted; look at every line marked so, then say looked-at: yes")
    sys.stdout.flush()
    return 0
