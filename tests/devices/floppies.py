"""What the tests of both floppy controllers share: a bench with two drives, a plain model of it, any program."""

from __future__ import annotations

from functools import cache
from typing import Any, Self

from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

import minisim
from minisim.catalogue import Catalogue
from minisim.cpu._core import lib
from minisim.cpu.profile import configuration
from minisim.devices._controller import Drive
from minisim.devices._device import Placement, model_of
from minisim.machine.assemble import put_together
from minisim.machine.machine import Machine
from minisim.media import geometry_of
from minisim.media.geometry import Geometry
from minisim.media.held import HeldMedium

from .workbench import Workbench

STATUS, DATA = 0o177170, 0o177172
ERROR, INITIALISE, IS_DOUBLE, DENSITY, REQUEST, ENABLE, DONE, UNIT, GO = (
    0o100000, 0o40000, 0o4000, 0o400, 0o200, 0o100, 0o40, 0o20, 1,
)  # fmt: skip
FILL, EMPTY, WRITE, READ, SET_DENSITY, READ_STATUS, WRITE_DELETED, READ_ERROR = range(8)
NO_MEMORY, OVERFLOW, SECOND_UNIT, READY, DELETED, IS_DENSE, DENSITY_ERROR, INIT_DONE, DATA_CHECK = (
    0o4000, 0o2000, 0o400, 0o200, 0o100, 0o40, 0o20, 4, 1,
)  # fmt: skip
KEY = 0o111
TRACKS, SECTORS = 77, 26
TURN = 166_666_667  # 360 turns a minute, unconfirmed
LONGEST = 20_000_000_000  # ns: no function takes longer (set density takes about 15 s)


def geometry(density: str) -> Geometry:
    """Of a diskette, "single" or "double"."""
    found = geometry_of(Catalogue().medium(f"floppy-8-inch-{density}"))
    assert found is not None
    return found


SINGLE, DOUBLE = geometry("single"), geometry("double")


@cache
def numbered(kind: Geometry) -> bytes:
    """An image in which every sector tells its number in every word."""
    return b"".join(number.to_bytes(2, "little") * (kind.bytes_each // 2) for number in range(kind.sectors))


def diskette(kind: Geometry, content: bytes | None = None, bad: tuple[int, ...] = ()) -> HeldMedium:
    """A diskette, numbered unless it is given its content."""
    return HeldMedium(kind, numbered(kind) if content is None else content, bad=bad)


def place_of(logical: int) -> tuple[int, int]:
    """Track and sector in the order of system software, as section 8 words it [sector-map-posts]."""
    t, s = divmod(logical, SECTORS)
    i = (2 * s + (1 if s >= 13 else 0)) % SECTORS
    return t + 1, 1 + (i + 6 * t) % SECTORS


class Floppy(Workbench):
    """A controller with two drives, ready after initialise."""

    device = ""
    kind = ""

    def __init__(self, *media: HeldMedium | None, ready: bool = True, bits: int = 18, **changes: Any) -> None:
        put_in = (*media, None, None)[:2]
        drives = tuple(Drive(unit, self.kind, f"x:{unit}", (), medium) for unit, medium in enumerate(put_in))
        changes = {"vectors": ((0o264, 5),), "drives": drives} | changes
        super().__init__(Placement(self.device, "x", **changes), bits=bits)
        if ready:
            self.until(DONE)

    @classmethod
    def around(cls, machine: Machine) -> Self:
        """A bench with a machine that is there already."""
        bench = object.__new__(cls)
        bench.machine, bench.raw = machine, machine._raw
        bench.read, bench.write, bench.write_byte = machine.read, machine.write, machine.write_byte
        return bench

    @classmethod
    def with_memory(cls, size: int, *media: HeldMedium) -> Self:
        """A machine with more memory than 16 bits reach."""
        drives = tuple(Drive(unit, cls.kind, f"x:{unit}", (), medium) for unit, medium in enumerate(media))
        model = model_of(cls.device)
        assert model is not None
        devices = model.build(Placement(cls.device, "x", drives=drives, order=16))
        bench = cls.around(put_together(configuration("two-board-ttl-mmu"), [(0, size)], devices, address_bits=18))
        bench.until(DONE)
        return bench

    def twin(self) -> Self:
        """The same machine frozen and thawed."""
        frozen = self.machine.freeze()
        other = minisim.thaw(frozen)
        assert isinstance(other, Machine)
        assert other.freeze() == frozen
        return type(self).around(other)

    def drive(self, unit: int) -> Drive:
        """One of the two."""
        return self.machine.drives[f"x:{unit}"]

    def jump(self) -> bool:
        """To the next thing that is due; is there one?"""
        if self.raw.next_due == lib.MS_NEVER:
            return False
        self.wait(self.raw.next_due - self.raw.time_ns)
        return True

    def until(self, mask: int, limit: int = LONGEST) -> int:
        """Time passes until the status shows one of these bits; gives the status."""
        start = self.raw.time_ns
        while not (status := self.read(STATUS)) & mask:
            assert self.jump(), "nothing will ever happen"
            assert self.raw.time_ns - start <= limit
        return status

    def give(self, word: int) -> None:
        """The next parameter or byte."""
        assert self.until(REQUEST | DONE) & REQUEST
        self.write(DATA, word)

    def function(self, function: int, *parameters: int, unit: int = 0, dense: bool = False, more: int = 0) -> int:
        """Do a function to its end; gives the error and status word."""
        self.write(STATUS, more | function << 1 | GO | (UNIT if unit else 0) | (DENSITY if dense else 0))
        for parameter in parameters:
            self.give(parameter)
        assert self.until(REQUEST | DONE) & DONE
        return self.read(DATA)

    @property
    def failed(self) -> bool:
        """The error bit."""
        return bool(self.read(STATUS) & ERROR)

    def code(self) -> int:
        """The error code of the last function."""
        raise NotImplementedError

    def fill(self, data: bytes, dense: bool = False) -> int:
        """Bytes into the buffer; gives the error and status word."""
        raise NotImplementedError

    def empty(self, dense: bool = False) -> bytes:
        """The buffer."""
        raise NotImplementedError

    def calm(self) -> None:
        """Whatever was begun comes to its end if the program gives and takes what is asked for."""
        for _ in range(300):
            if self.until(REQUEST | DONE) & DONE:
                return
            self.read(DATA)
            if self.read(STATUS) & REQUEST:
                self.write(DATA, 1)
        raise AssertionError("it asks for ever")


class SingleBench(Floppy):
    """The controller with programmed transfer."""

    device, kind = "floppy-single", "floppy-8-inch-single-pair"

    def code(self) -> int:
        """In place of the error and status word (unconfirmed)."""
        return self.function(READ_ERROR)

    def fill(self, data: bytes, dense: bool = False) -> int:
        """128 bytes, one request each."""
        return self.function(FILL, *data)

    def empty(self, dense: bool = False) -> bytes:
        """128 bytes, one request each."""
        self.write(STATUS, EMPTY << 1 | GO)
        found = bytearray()
        while self.until(REQUEST | DONE) & REQUEST:
            found.append(self.read(DATA))
        return bytes(found)


class DoubleBench(Floppy):
    """The controller with DMA."""

    device, kind = "floppy-double", "floppy-8-inch-double-pair"
    AT = 0o4000  # buffers in memory
    DETAIL = 0o6000

    def code(self) -> int:
        """In the first of the detail words (its place is unconfirmed)."""
        self.function(READ_ERROR, self.DETAIL)
        return self.read(self.DETAIL) & 0o377

    def fill(self, data: bytes, dense: bool = False) -> int:
        """By DMA."""
        self.machine.memory[self.AT : self.AT + len(data)] = data
        return self.function(FILL, len(data) // 2, self.AT, dense=dense)

    def empty(self, dense: bool = False) -> bytes:
        """By DMA."""
        count = 256 if dense else 128
        self.machine.memory[self.AT : self.AT + count] = b"\xee" * count
        self.function(EMPTY, count // 2, self.AT, dense=dense)
        return bytes(self.machine.memory[self.AT : self.AT + count])


class PlainFloppies:
    """Two diskettes and a buffer, as simple as they can be."""

    def __init__(self, *kinds: Geometry | None) -> None:
        self.kinds = list(kinds)
        self.content = [None if kind is None else bytearray(numbered(kind)) for kind in kinds]
        self.marks: list[set[int]] = [set(), set()]
        self.protected = [False, False]
        self.buffer: bytes | None = None  # None: not known

    def span(self, unit: int, track: int, sector: int) -> slice:
        """Where a sector lies in the image."""
        kind = self.kinds[unit]
        assert kind is not None
        at = (track * SECTORS + sector - 1) * kind.bytes_each
        return slice(at, at + kind.bytes_each)

    def wrong(self, unit: int, track: int, sector: int, *, writes: bool, dense: bool) -> int:
        """The error code that a function meets (0: none)."""
        kind = self.kinds[unit]
        if track >= TRACKS:
            return 0o40
        if kind is None:
            return 0o110
        if not 1 <= sector <= SECTORS:
            return 0o70
        if writes and self.protected[unit]:
            return 0o100
        return 0 if (kind is DOUBLE) == dense else 0o240

    def same(self, unit: int, medium: Any) -> bool:
        """Is the medium what the model says?"""
        content = self.content[unit]
        if content is None or medium is None:
            return content is None and medium is None
        return bool(medium.read(0, medium.geometry.sectors) == content)


TRACK_NUMBERS = st.one_of(st.integers(0, 3), st.integers(74, 78), st.integers(0, 255))
SECTOR_NUMBERS = st.one_of(st.integers(1, 3), st.integers(24, 27), st.integers(0, 255))
UNITS = st.integers(0, 1)


class AnyUse(RuleBasedStateMachine):
    """Legal and illegal programs against the plain model: no byte differs, nothing hangs."""

    bench: Floppy
    plain: PlainFloppies

    def start(self, bench: type[Floppy], kinds: tuple[Geometry | None, ...]) -> None:
        """Diskettes of these kinds in both drives."""
        self.bench = bench(*(None if kind is None else diskette(kind) for kind in kinds))
        self.plain = PlainFloppies(*kinds)
        self.homed()

    def homed(self) -> None:
        """After initialise: sector 1 of track 1 of drive 0 (from memory, firm)."""
        plain = self.plain
        plain.buffer = bytes(plain.content[0][plain.span(0, 1, 1)]) if plain.content[0] is not None else None

    def known(self, dense: bool) -> int:
        """Bytes of the buffer that a fill or empty of this density moves."""
        return 256 if dense else 128

    def density(self, dense: bool) -> bool:
        """The single-density controller knows one only."""
        return dense and isinstance(self.bench, DoubleBench)

    @rule(first=st.integers(0, 255), step=st.integers(0, 7), dense=st.booleans())
    def fill(self, first: int, step: int, dense: bool) -> None:
        """The buffer holds what went in, then zeros."""
        data = bytes((first + step * n) % 256 for n in range(self.known(self.density(dense))))
        self.bench.fill(data, self.density(dense))
        assert not self.bench.failed
        self.plain.buffer = data

    @rule(dense=st.booleans())
    def empty(self, dense: bool) -> None:
        """What is in it comes out; a second time too."""
        dense = self.density(dense)
        found = self.bench.empty(dense)
        if self.plain.buffer is not None:
            assert found == self.plain.buffer.ljust(256, b"\0")[: self.known(dense)]

    @rule(unit=UNITS, track=TRACK_NUMBERS, sector=SECTOR_NUMBERS, dense=st.booleans(), mark=st.booleans())
    def write(self, unit: int, track: int, sector: int, dense: bool, mark: bool) -> None:
        """A sector, or the error that stands in its way."""
        dense, plain = self.density(dense), self.plain
        word = self.bench.function(WRITE_DELETED if mark else WRITE, sector, track, unit=unit, dense=dense)
        wrong = plain.wrong(unit, track, sector, writes=True, dense=dense)
        self.ended(word, wrong)
        if wrong:
            return
        content, span = plain.content[unit], plain.span(unit, track, sector)
        assert content is not None
        if plain.buffer is None:
            plain.buffer = bytes(self.bench.drive(unit).read(track * SECTORS + sector - 1))
        content[span] = plain.buffer.ljust(256, b"\0")[: span.stop - span.start]
        (plain.marks[unit].add if mark else plain.marks[unit].discard)(track * SECTORS + sector - 1)

    @rule(unit=UNITS, track=TRACK_NUMBERS, sector=SECTOR_NUMBERS, dense=st.booleans())
    def read(self, unit: int, track: int, sector: int, dense: bool) -> None:
        """A sector, or the error that stands in its way."""
        dense, plain = self.density(dense), self.plain
        word = self.bench.function(READ, sector, track, unit=unit, dense=dense)
        wrong = plain.wrong(unit, track, sector, writes=False, dense=dense)
        self.ended(word, wrong)
        if not wrong:
            content = plain.content[unit]
            assert content is not None
            plain.buffer = bytes(content[plain.span(unit, track, sector)])
            assert bool(word & DELETED) == (track * SECTORS + sector - 1 in plain.marks[unit])

    def ended(self, word: int, wrong: int) -> None:
        """The error bit and the code agree with the model."""
        assert self.bench.failed == bool(wrong)
        assert bool(word & DENSITY_ERROR) == (wrong == 0o240)
        assert self.bench.code() == wrong

    @rule(unit=UNITS)
    def read_status(self, unit: int) -> None:
        """Ready where a diskette is in."""
        assert bool(self.bench.function(READ_STATUS, unit=unit) & READY) == (self.plain.kinds[unit] is not None)

    @rule(unit=UNITS, dense=st.booleans())
    def change_diskette(self, unit: int, dense: bool) -> None:
        """Out, or a new one in; marks go with the old one."""
        plain, place = self.plain, f"x:{unit}"
        plain.marks[unit].clear()
        if plain.kinds[unit] is not None:
            self.bench.machine.drives.take_out(place)
            plain.kinds[unit] = plain.content[unit] = None
        else:
            kind = DOUBLE if self.density(dense) else SINGLE
            self.bench.machine.drives.put(place, diskette(kind))
            plain.kinds[unit], plain.content[unit] = kind, bytearray(numbered(kind))

    @rule(unit=UNITS, on=st.booleans())
    def protect(self, unit: int, on: bool) -> None:
        """The write-protect switch."""
        self.bench.machine.drives.protect(f"x:{unit}", on)
        self.plain.protected[unit] = on

    @rule(
        function=st.integers(0, 7), unit=UNITS, dense=st.booleans(), words=st.lists(st.integers(1, 30), max_size=3),
        ns=st.integers(0, 3 * TURN), by_bus=st.booleans(),
    )  # fmt: skip
    def initialise_in_the_middle(
        self, function: int, unit: int, dense: bool, words: list[int], ns: int, by_bus: bool
    ) -> None:
        """A function that is broken off leaves each sector as it was, or wholly new."""
        bench = self.bench
        bench.write(STATUS, function << 1 | GO | (UNIT if unit else 0) | (DENSITY if dense else 0))
        for word in words:
            if bench.until(REQUEST | DONE) & REQUEST:
                bench.write(DATA, word)
        bench.wait(ns)
        if by_bus:
            bench.initialise()
        else:
            bench.write(STATUS, INITIALISE)
        self.resume([unit], [self.plain.buffer or bytes(256)])

    @rule(
        writes=st.lists(
            st.tuples(st.sampled_from([STATUS, STATUS + 1, DATA, DATA + 1]), st.booleans(), st.integers(0, 0o177777),
                      st.sampled_from([0, 1_000, 25_000, 400_000, 30_000_000])), min_size=1, max_size=12,
        ),
        by_bus=st.booleans(),
    )  # fmt: skip
    def garbage(self, writes: list[tuple[int, bool, int, int]], by_bus: bool) -> None:
        """Anything, anywhere, at any time; then it comes to rest."""
        for where, byte, word, ns in writes:
            if byte:
                self.bench.write_byte(where, word & 0o377)
            else:
                self.bench.write(where & ~1, word)
            self.bench.wait(ns)
        if not by_bus:
            self.bench.calm()
        self.bench.initialise()
        self.resume([0, 1], None)

    def resume(self, units: list[int], new: list[bytes] | None) -> None:
        """After initialise: ready again; the model takes over what a broken function may have done."""
        bench, plain = self.bench, self.plain
        assert bench.until(DONE, 2_000_000_000) & (ERROR | DONE) == DONE
        assert bench.read(DATA) & INIT_DONE  # A35
        for unit in units:
            medium, content, kind = bench.drive(unit).medium, plain.content[unit], plain.kinds[unit]
            if medium is not None and content is not None and kind is not None:
                after = medium.read(0, kind.sectors)
                assert after == content or not plain.protected[unit]
                if new is not None:
                    self.only_one_changed(bytes(content), after, kind.bytes_each)
                content[:] = after
                plain.marks[unit] = {
                    int(name.split()[1]) for name in bench.drive(unit).state if name.startswith("deleted")
                }
        self.homed()

    def only_one_changed(self, before: bytes, after: bytes, each: int) -> None:
        """One sector at most is another one."""
        if before != after:
            spans = [slice(at, at + each) for at in range(0, len(before), each)]
            assert len([span for span in spans if before[span] != after[span]]) == 1

    @rule()
    def freeze_and_thaw(self) -> None:
        """Go on with the thawed machine."""
        self.bench = self.bench.twin()

    @precondition(lambda self: hasattr(self, "bench"))
    @invariant()
    def the_media_are_as_the_model_says(self) -> None:
        """Every byte."""
        for unit in (0, 1):
            assert self.plain.same(unit, self.bench.drive(unit).medium)
        assert self.bench.read(STATUS) & DONE
