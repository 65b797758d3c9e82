"""take out"""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.bench.answer import Answer, Refused, Words, said
from minisim.bench.verbs._parts import drives_and_readers, named_place, reader_at, wrong
from minisim.machine.seen import devices

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested

HELP = "take the medium out of a drive, or the paper tape out of a reader"
USE = ("take out PLACE", "take out tape")


def do(bench: Bench, words: Words) -> Answer:
    """Refused where nothing is in."""
    if len(words) != 1:
        raise wrong(USE)
    place, machine = named_place(bench, words[0]), bench.machine
    if place in list(machine.drives):
        if machine.drives[place].medium is None:
            raise Refused(f"nothing is in {place}")
        machine.drives.take_out(place)
        bench.touched()
        return said(f"{place} is empty now.")
    reader = reader_at(bench, place)
    if not any(device.place == reader.place and device.holds for device in devices(machine)):
        raise Refused(f"no tape is in the reader of {reader.place}, or it was read to its end")
    rest = reader.take_out()
    bench.touched()
    return said(f"The reader of {reader.place} is empty now; {len(rest)} frames had not been read.")


def suggest(bench: Bench, words: Words) -> Suggested:
    """Drives and readers."""
    return () if words else drives_and_readers(bench)
