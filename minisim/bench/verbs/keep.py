"""keep"""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.bench.answer import Answer, Refused, Words, said
from minisim.bench.kept import is_kept, keep
from minisim.bench.verbs._parts import wrong

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested

HELP = "keep the machine as it stands in a file"
USE = ("keep FILE",)


def do(bench: Bench, words: Words) -> Answer:
    """Whole or not at all; over a file only if that is a kept machine too."""
    file = words.text.strip()
    if not file:
        raise wrong(USE)
    if not is_kept(file):
        raise Refused(f"{file} is there already, and it is no kept machine; give another name")
    size = keep(bench.machine, file)
    return said(f"The machine is kept in {file}, {size} bytes; recall {file} brings it back.")


def suggest(bench: Bench, words: Words) -> Suggested:
    """The name is the user's."""
    return ()
