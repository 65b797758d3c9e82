"""Kills a process inside a write to a medium, again and again, and looks at what is left.

Usage: tools/kill_test.py [KILLS [SEED]].  The writer says which write it begins and which it has ended; it is killed in
between: at a line of the medium's own code, inside the database, or from outside.  Afterwards every sector must hold
what it held before that write or what the write put there, whole; nothing confirmed may be missing; and an image whose
changes are kept apart must not have changed at all.
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

EACH, SECTORS = 128, 2002  # an eight-inch diskette, single density
KIND = "floppy-8-inch-single"
WAYS = ("line", "database", "outside")

_WRITER = """
import os, random, signal, sys
from pathlib import Path
from minisim.catalogue import Catalogue
from minisim.media import Writing, open_medium
from minisim.media import store, overlay

path, writing, way, seed = Path(sys.argv[1]), Writing(sys.argv[2]), sys.argv[3], int(sys.argv[4])
chance = random.Random(seed)
medium = open_medium(path, Catalogue(), kind="floppy-8-inch-single", writing=writing)
files = {store.__file__, overlay.__file__}
left = chance.randrange(1, 400)

def die(*_):
    global left
    left -= 1
    if left <= 0:
        os.kill(os.getpid(), signal.SIGKILL)

def trace(frame, event, argument):
    if frame.f_code.co_filename not in files:
        return None
    if event == "line":
        die()
    return trace

medium.write(0, medium.read(0))  # the overlay is there before the first death
for generation in range(1, 10_000):
    first, count = chance.randrange(2002), chance.choice([1, 1, 1, 4, 70])
    count = min(count, 2002 - first)
    os.write(1, f"begin {generation} {first} {count}\\n".encode())  # a line is there whole or not at all
    if way == "line":
        sys.settrace(trace)
    if way == "database" and medium._overlay is not None:
        medium._overlay._base.set_progress_handler(die, 3)
    medium.write(first, generation.to_bytes(4, "little") * (32 * count))
    sys.settrace(None)
    if medium._overlay is not None:
        medium._overlay._base.set_progress_handler(None, 0)
    os.write(1, f"end {generation}\\n".encode())
"""


@dataclass
class Tally:
    """How it went."""

    inside: int = 0
    damaged: int = 0


def main(arguments: list[str]) -> int:
    """Kill until so many deaths lay inside a write."""
    wanted = int(arguments[0]) if arguments else 200
    seed = int(arguments[1]) if len(arguments) > 1 else 1
    tally, number = Tally(), 0
    while tally.inside < wanted:
        with tempfile.TemporaryDirectory() as folder:
            _once(Path(folder), random.Random(seed * 1_000_000 + number), tally)
        number += 1
    print(f"{tally.inside} kills inside a write, {tally.damaged} images damaged")
    return int(tally.damaged > 0)


def _once(folder: Path, chance: random.Random, tally: Tally) -> None:
    path = folder / "a.floppy"
    path.write_bytes(bytes(EACH * SECTORS))
    writing, way = chance.choice(["apart", "through"]), chance.choice(WAYS)
    begun, ended = _killed(path, writing, way, chance)
    if not begun or len(begun) == ended:
        return  # it died between two writes: that shows nothing
    tally.inside += 1
    tally.damaged += not _is_whole(path, writing, begun, ended)


def _killed(path: Path, writing: str, way: str, chance: random.Random) -> tuple[list[tuple[int, int, int]], int]:
    """Run the writer until it is dead; the writes it began, and how many it ended."""
    command = [sys.executable, "-c", _WRITER, str(path), writing, way, str(chance.randrange(1 << 30))]
    begun: list[tuple[int, int, int]] = []
    ended, deaths = 0, chance.randrange(1, 40)
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        for line in process.stdout:
            word, *numbers = line.split()
            if word == "begin":
                generation, first, count = map(int, numbers)
                begun.append((generation, first, count))
                if way == "outside" and generation >= deaths:
                    os.kill(process.pid, signal.SIGKILL)
            else:
                ended = int(numbers[0])
    return begun, ended


def _is_whole(path: Path, writing: str, begun: list[tuple[int, int, int]], ended: int) -> bool:
    from minisim.catalogue import Catalogue
    from minisim.media import Writing, open_medium

    before, after = [0] * SECTORS, [0] * SECTORS
    for generation, first, count in begun:
        for number in range(first, first + count):
            after[number] = generation
            if generation <= ended:
                before[number] = generation
    if writing == "apart" and path.read_bytes() != bytes(EACH * SECTORS):
        return False
    with open_medium(path, Catalogue(), kind=KIND, writing=Writing(writing)) as medium:
        data = medium.read(0, SECTORS)
    if writing == "through" and path.read_bytes() != data:
        return False
    found = [_generation(data[number * EACH : (number + 1) * EACH]) for number in range(SECTORS)]
    return found in (before, after)  # the last write is there whole, or not at all


def _generation(sector: bytes) -> int:
    """What a sector holds; -1 where it is half one thing and half another."""
    return int.from_bytes(sector[:4], "little") if sector == sector[:4] * 32 else -1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
