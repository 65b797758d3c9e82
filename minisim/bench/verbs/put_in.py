"""put in"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from minisim.bench.answer import Answer, Refused, Words, said
from minisim.bench.verbs._parts import drives_and_readers, named_place, reader_at, wrong
from minisim.files import read_at_most
from minisim.machine.media import LONGEST_TAPE

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested
    from minisim.machine.machine import Machine

HELP = "put a medium into a drive, or a paper tape into a reader"
USE = ("put in PLACE FILE", "put in tape FILE")


def do(bench: Bench, words: Words) -> Answer:
    """A medium that was in is taken out; a tape is laid behind what is left of the last one."""
    parts = words.text.split(None, 1)
    if len(parts) < 2:
        raise wrong(USE)
    place, file = named_place(bench, parts[0]), parts[1].strip()
    machine = bench.machine
    if place in list(machine.drives):
        _check_free(machine, place, file)
        machine.drives.put_in(place, file)
        bench.touched()
        return said(f"{file} is in {place}; what the machine writes is kept apart from it.")
    content = read_at_most(file, LONGEST_TAPE, "a paper tape")
    if not content:
        raise Refused(f"{file} is empty: no tape")
    reader = reader_at(bench, place)
    reader.put_in(content)
    bench.touched()
    return said(f"{len(content)} frames of {file} are in the reader of {reader.place}.")


def _check_free(machine: Machine, place: str, file: str) -> None:
    """Refused: it lies in another drive of this machine."""
    for other, drive in machine.drives.items():
        path = getattr(drive.medium, "path", None)
        if other != place and path is not None and Path(path).resolve() == Path(file).resolve():
            raise Refused(f"{file} is in {other}; take it out there first")


def suggest(bench: Bench, words: Words) -> Suggested:
    """Drives and readers."""
    return () if words else drives_and_readers(bench)
