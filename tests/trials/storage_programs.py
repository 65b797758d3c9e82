"""What the tests of the storage programs share: machines with a drive, and what must be on a medium after a run.

What is expected is worked out from what the sources say (which sectors hold the pattern of which seed), not from a run.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from program_rig import placement, rig

from minisim.catalogue import Catalogue
from minisim.devices._controller import Drive, bytes_of
from minisim.machine.machine import Machine
from minisim.media.geometry import Geometry, geometry_of
from minisim.media.held import HeldMedium
from minisim.trials.own import Ran, run_program
from minisim.trials.places import where_of
from minisim.trials.programs import program

WRITES, STOP, LOOP = 0o10, 1, 2  # switches
STEP = 0o30715
LIMIT = 2_000_000_000


@dataclass(frozen=True, slots=True)
class Stand:
    """A program, the device it tests, where that usually is, and a medium for it."""

    program: str
    device: str
    base: int
    vector: int
    medium: str


STANDS = {
    "2mb": Stand("cartridge-disk-2mb", "cartridge-disk-2mb", 0o17400, 0o220, "cartridge-2mb"),
    "5mb": Stand("cartridge-disk-10mb", "cartridge-disk-10mb", 0o14400, 0o160, "cartridge-5mb"),
    "10mb": Stand("cartridge-disk-10mb", "cartridge-disk-10mb", 0o14400, 0o160, "cartridge-10mb"),
    "single": Stand("floppy-single", "floppy-single", 0o17170, 0o264, "floppy-8-inch-single"),
    "double": Stand("floppy-double", "floppy-double", 0o17170, 0o264, "floppy-8-inch-double"),
    "double, single density": Stand("floppy-double", "floppy-double", 0o17170, 0o264, "floppy-8-inch-single"),
    "tape": Stand("block-tape", "serial-block-tape", 0o16500, 0o300, "block-tape-cartridge"),
}
TITLES = {
    "cartridge-disk-2mb":
        "registers, seeks, transfers, errors and interrupts of the 2.5 MB cartridge disk and its drive",
    "cartridge-disk-10mb":
        "registers, seeks, transfers, errors and interrupts of the 5 or 10 MB cartridge disk and its drive",
    "floppy-single":
        "registers, buffer, sectors, errors and interrupts of the single-density 8-inch floppy and its drive",
    "floppy-double": "registers, buffer, sectors, densities, errors and interrupts of the double-density 8-inch floppy",
    "block-tape": "line, packets, positions, blocks and errors of the serial block tape and its cartridge",
}  # fmt: skip


@lru_cache(maxsize=8)
def geometry(kind: str) -> Geometry:
    """Of a kind of medium."""
    found = geometry_of(Catalogue().medium(kind))
    assert found is not None
    return found


@lru_cache(maxsize=8)
def noise(kind: str) -> bytes:
    """What a medium holds that was used before."""
    return random.Random(kind).randbytes(geometry(kind).size)


def used(kind: str, **more: Any) -> HeldMedium:
    """A medium in memory with something on it."""
    return HeldMedium(geometry(kind), noise(kind), **more)


def content(medium: HeldMedium) -> bytes:
    """All of it, as it is now."""
    return medium.read(0, medium.geometry.sectors)


def stand(
    name: str, medium: HeldMedium | None, *, profile: str = "two-board-ttl-mmu", unit: int = 0, units: int = 2,
    protected: bool = False, level: int = 5, kb: int = 56, core: str = "fast", **more: Any,
) -> Machine:  # fmt: skip
    """A machine with the device and so many drives; one of them has the medium."""
    one = STANDS[name]
    drives = tuple(
        Drive(number, "", f"test:{number}", (), medium if number == unit else None, protected and number == unit)
        for number in range(units)
    )
    vectors = ((one.vector, 4), (one.vector + 4, 4)) if name == "tape" else ((one.vector, level),)
    machine = rig(profile, None, placement(one.device, one.base, *vectors, drives=drives, **more), kb=kb)
    machine.core = core
    return machine


def ran(
    name: str, medium: HeldMedium | None = None, *, passes: int = 1, switches: int = 0, empty: bool = False, **more: Any
) -> Ran:
    """A run of the program on such a machine."""
    one = STANDS[name]
    machine = stand(name, None if empty else medium or used(one.medium), **more)
    where = where_of(machine, one.device)
    return run_program(machine, program(one.program), passes=passes, switches=switches, where=where, limit=LIMIT)


def said(name: str, *lines: str) -> str:
    """Title and further lines, as they are printed."""
    one = STANDS[name].program
    return f"{one}: {TITLES[one]}\r\n" + "".join(f"{line}\r\n" for line in lines)


# --- what is on the medium afterwards ---------------------------------------------------------------------------------


def pattern(seed: int, words: int) -> list[int]:
    """As `fill` of parts/storage.s makes it."""
    return [(seed + number * STEP) & 0o177777 for number in range(words)]


def in_part(seed: int, words: int, whole: int) -> list[int]:
    """The first word inverted, so many of the pattern, zeros behind."""
    first, *rest = pattern(seed, words)
    return [first ^ 0o177777, *rest, *([0] * (whole - words))]


def expected(name: str, passes: int) -> bytes:
    """The whole medium after so many passes that write."""
    one = STANDS[name]
    image = bytearray(noise(one.medium))
    if one.program == "floppy-double":
        image = bytearray(len(image))  # set density has rewritten all of it
    each = geometry(one.medium).bytes_each
    for number, words in WRITTEN[one.program](geometry(one.medium), passes - 1):
        image[number * each : (number + 1) * each] = bytes_of(words)
    return bytes(image)


Sectors = Iterator[tuple[int, Sequence[int]]]


def on_2mb(kind: Geometry, last: int) -> Sectors:
    """Cylinders 0, 101, 202; three spirals, part of a sector and its neighbour, a sector of one word."""

    def place(address: int) -> int:
        return kind.number(address >> 5, address >> 4 & 1, address & 0o17)

    whole = [cylinder << 5 | n // 12 << 4 | n % 12 for cylinder in (0, 101, 202) for n in range(24)]
    spirals = [0o103, 0o104, 0o105, 0o112, 0o113, 0o120, 0o132, 0o133, 0o140]
    for address in (*whole, *spirals, 0o201):
        yield place(address), pattern((last << 8) + address, 256)
    yield place(0o200), in_part((last << 8) + 0o200, 100, 256)
    yield place(0o240), [0o52413] * 256


def on_10mb(kind: Geometry, last: int) -> Sectors:
    """Two surfaces of the first and the middle cylinder, one of the last; never the table of bad sectors."""

    def place(address: int) -> int:
        return kind.number(address >> 7, address >> 6 & 1, address & 0o77)

    end = kind.cylinders - 1
    tracks = (0, 1, end // 2 * 2, end // 2 * 2 + 1, 2 * end)
    whole = [track << 6 | sector for track in tracks for sector in range(40)]
    for address in (*whole, 0o204, 0o205, 0o206, 0o247, 0o220, 0o222):
        yield place(address), pattern((last << 3) + address, 128)
    yield place(0o221), in_part((last << 3) + 0o221, 50, 128)


def on_floppy(kind: Geometry, last: int) -> Sectors:
    """Tracks 0, 38, 76.  Sector 1 of track 1 is inverted by each pass: after an even number it is as it was."""
    for track in (0, 38, 76):
        for sector in range(1, 27):
            yield kind.number(track, 0, sector), pattern((last << 12) + (track << 5) + sector, kind.bytes_each // 2)


def on_tape(kind: Geometry, last: int) -> Sectors:
    """Blocks at both ends and at the border of the tracks; part of block 1, a record of block 0."""
    for block in (0o377, 0o400, 0o776, 0o777):
        yield block, pattern((last << 10) + block, 256)
    yield 1, in_part((last << 10) + 1, 50, 256)
    first = pattern(last << 10, 256)
    yield 0, [*first[:128], *(word ^ 0o177777 for word in first[:64]), *first[192:]]


WRITTEN = {
    "cartridge-disk-2mb": on_2mb,
    "cartridge-disk-10mb": on_10mb,
    "floppy-single": on_floppy,
    "floppy-double": on_floppy,
    "block-tape": on_tape,
}
