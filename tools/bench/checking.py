"""How long the check of a large machine takes, and how long it takes until the first machine is checked."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from functools import partial
from pathlib import Path

from bench.engines import BenchError
from bench.race import ROUNDS, Figures, timed
from bench.targets import CHECK_MS, CHECK_START_MS, CHECK_START_RATIO, Target

ROOT = Path(__file__).resolve().parent.parent.parent
LARGE = Path(__file__).with_name("forty-boards.yaml")
DESK = ROOT / "loadouts" / "kittiwake" / "desk.yaml"
BOXES, BOARDS = 3, 40
CHECK, READ, FOUND = "reading, resolving and checking", "of it reading", "minisim check desk.yaml"
PLAIN = "python with yaml"


def large(rounds: int = ROUNDS) -> Figures:
    """Milliseconds of the check of the large machine in a process that has started, its catalogue read before."""
    from minisim.catalogue import Catalogue
    from minisim.checking import check
    from minisim.loadout.reader import read_loadout

    catalogue = Catalogue()
    _is_as_large_as_said()
    taken: dict[str, list[float]] = {CHECK: [], READ: []}
    for number in range(rounds + 1):  # the first one reads the catalogue
        began = time.perf_counter()
        loadout = read_loadout(LARGE, catalogue=catalogue)
        read = time.perf_counter()
        report = check(loadout, catalogue)
        done = time.perf_counter()
        if report.worst is not None:
            raise BenchError(f"{LARGE.name} has findings: {report.findings[0].rule} at {report.findings[0].place}")
        if number:
            taken[CHECK].append((done - began) * 1e3)
            taken[READ].append((read - began) * 1e3)
    return Figures(taken)


def _is_as_large_as_said() -> None:
    """Boards are counted as what goes into slots: a set over four slots is four."""
    from minisim.loadout.reader import read_loadout

    loadout = read_loadout(LARGE)
    boards = sum(len(one.slots) for box in loadout.boxes for unit in box.units for one in unit.placed)
    if len(loadout.boxes) != BOXES or boards < BOARDS:
        raise BenchError(f"{LARGE.name} has {len(loadout.boxes)} boxes and {boards} boards")


def _run(words: list[str], environment: dict[str, str]) -> None:
    done = subprocess.run(words, capture_output=True, text=True, env=environment, check=False)
    if done.returncode:
        raise BenchError(f"{' '.join(words[1:])} failed: {(done.stderr or done.stdout)[:200]}")


def start_up(rounds: int = ROUNDS) -> Figures:
    """Milliseconds from the shell to the printed result for one small machine, and of Python with the YAML reader."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    calls = {FOUND: ("-m", "minisim", "check", str(DESK)), PLAIN: ("-c", "import yaml")}
    taken: dict[str, list[float]] = {name: [] for name in calls}
    for number in range(rounds + 1):  # the first one writes what Python keeps of compiled sources
        for name, words in calls.items():
            seconds = timed(partial(_run, [sys.executable, *words], environment))
            if number:
                taken[name].append(seconds * 1e3)
    return Figures(taken)


def lines(large_machine: Figures, start: Figures) -> list[str]:
    """Both in words."""
    whole, read = large_machine.of(CHECK) or 0.0, large_machine.of(READ) or 0.0
    first, plain = start.of(FOUND) or 0.0, start.of(PLAIN) or 0.0
    return [
        f"check of {BOXES} boxes with {BOARDS} boards: {whole:.1f} ms, {read:.1f} ms of it to read the file; "
        f"{FOUND} from its start to its end: {first:.0f} ms, {PLAIN} {plain:.0f} ms"
    ]


def targets(large_machine: Figures, start: Figures) -> list[Target]:
    """The rows of the table."""
    name, ratio = f"check of {BOXES} boxes with {BOARDS} boards", start.ratio(FOUND, PLAIN)
    return [
        Target(name, CHECK_MS, large_machine.of(CHECK), at_least=False, unit=" ms"),
        Target("start-up of minisim check, with its first result", CHECK_START_MS, start.of(FOUND), at_least=False,
               unit=" ms"),
        Target("the same against python with yaml", CHECK_START_RATIO, ratio, at_least=False),
    ]  # fmt: skip
