"""8-inch floppy, double density, section 8 of the facts.  What stands behind a check is named beside it."""

from __future__ import annotations

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import initialize, rule

import minisim
from minisim.media.geometry import Geometry

from .floppies import (
    DATA,
    DATA_CHECK,
    DELETED,
    DENSITY,
    DENSITY_ERROR,
    DONE,
    DOUBLE,
    EMPTY,
    ENABLE,
    ERROR,
    FILL,
    GO,
    INIT_DONE,
    INITIALISE,
    IS_DENSE,
    IS_DOUBLE,
    KEY,
    NO_MEMORY,
    OVERFLOW,
    READ,
    READ_ERROR,
    READ_STATUS,
    READY,
    REQUEST,
    SECOND_UNIT,
    SECTORS,
    SET_DENSITY,
    SINGLE,
    STATUS,
    TURN,
    UNIT,
    WRITE,
    WRITE_DELETED,
    AnyUse,
    DoubleBench,
    diskette,
    numbered,
    place_of,
)

TEXT = bytes(range(256))
STEP, SETTLE = 6_000_000, 25_000_000  # unconfirmed
AT = 0o10000
BOTH_DENSITIES = pytest.mark.parametrize(("geometry", "dense"), [(SINGLE, False), (DOUBLE, True)])


def sector_of(image: bytes, track: int, sector: int, each: int) -> bytes:
    """A sector in physical order with track 0."""
    at = (track * SECTORS + sector - 1) * each
    return image[at : at + each]


# --- registers ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "seen"),
    [
        (ENABLE, ENABLE), (ERROR, 0), (REQUEST, 0), (DONE, 0), (IS_DOUBLE, 0),  # floppy-wiki: RW, and R
        (0o30000, 0),  # floppy-wiki: address bits 17-16 are write-only
        (0o3000, 0),  # floppy-wiki: 10-9 read as 0
        (DENSITY, DENSITY), (UNIT, UNIT),  # unconfirmed: can be read
        (0o16, 0),  # floppy-guide-1978: the function is write-only
        (0o177777 & ~INITIALISE & ~GO, ENABLE | DENSITY | UNIT),
    ],
)  # fmt: skip
def test_every_bit_of_the_status(written: int, seen: int) -> None:
    bench = DoubleBench(diskette(DOUBLE))
    bench.write(STATUS, written)
    assert bench.read(STATUS) == seen | IS_DOUBLE | DONE  # floppy-wiki: bit 11 is always 1
    bench.initialise()
    assert bench.read(STATUS) == IS_DOUBLE  # derived: the enable is off, and it is not done yet
    bench.until(DONE)
    assert bench.read(STATUS) == IS_DOUBLE | DONE  # A35


# --- initialise ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("by_bit", [False, True])
@BOTH_DENSITIES
def test_a35_initialise_reads_the_first_sector_in_its_density(by_bit: bool, geometry: Geometry, dense: bool) -> None:
    medium = diskette(geometry)
    bench = DoubleBench(medium)
    bench.write(STATUS, INITIALISE) if by_bit else bench.initialise()
    start = bench.raw.time_ns
    assert not bench.read(STATUS) & DONE  # A35: after a delay
    bench.until(DONE)
    assert 100_000_000 <= bench.raw.time_ns - start <= 2_000_000_000  # unconfirmed: up to about 2 s
    assert bench.read(DATA) & INIT_DONE  # A35: bit 2
    assert bench.read(DATA) == INIT_DONE | READY | (IS_DENSE if dense else 0)  # floppy-wiki: bit 5
    assert not bench.failed
    expected = sector_of(medium.content, 1, 1, geometry.bytes_each)
    assert bench.empty(dense) == expected  # from memory, firm
    if not dense:
        assert bench.empty(dense=True) == expected + bytes(128)


def test_without_the_drive_box_it_is_never_done() -> None:
    bench = DoubleBench(ready=False, drives=())
    bench.wait(10_000_000_000)
    assert bench.read(STATUS) == IS_DOUBLE  # derived: what answers sits in the box


# --- the buffer ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("dense", "most"), [(False, 64), (True, 128)])
@pytest.mark.parametrize("count", [1, 2, 63, 64, 65, 127, 128, 129, 0o177777])
def test_fill_and_empty_move_words_by_dma(count: int, dense: bool, most: int) -> None:
    bench = DoubleBench(diskette(DOUBLE))
    bench.machine.memory[AT : AT + 256] = TEXT
    fits = count <= most  # from memory, firm: at most 64, or 128
    first = [FILL, count] + ([AT] if fits else [])
    word = bench.function(*first, dense=dense)
    assert word == (0 if fits else OVERFLOW)  # floppy-wiki: bit 10
    assert bench.failed != fits
    assert bench.code() == (0 if fits else 0o230)  # unconfirmed
    if fits:
        assert bench.empty(dense=True) == TEXT[: 2 * count].ljust(256, b"\0")  # zeros: unconfirmed
    second = [EMPTY, count] + ([0o20000] if fits else [])
    assert bench.function(*second, dense=dense) == word
    assert bench.machine.memory[0o20000:0o20400] == (TEXT[: 2 * count] if fits else b"").ljust(256, b"\0")


def test_two_requests_and_no_more_come_before_the_dma() -> None:
    bench = DoubleBench(diskette(DOUBLE))
    bench.machine.memory[AT : AT + 128] = TEXT[:128]
    bench.write(STATUS, FILL << 1 | GO)
    for parameter in (64, AT):
        assert bench.until(REQUEST | DONE) == IS_DOUBLE | REQUEST
        bench.write(DATA, parameter)
        assert bench.read(STATUS) == IS_DOUBLE  # floppy-guide-1978: the request drops
    assert bench.until(REQUEST | DONE) == IS_DOUBLE | DONE


def test_no_words_are_no_error() -> None:
    bench = DoubleBench(diskette(DOUBLE))
    assert bench.function(FILL, 0, AT) == 0  # unconfirmed
    assert bench.empty(dense=True) == bytes(256)
    assert not bench.failed


@pytest.mark.parametrize(("lines", "place"), [(16, 0o2000), (18, 0o402000), (22, 0o402000)])
def test_address_bits_17_and_16_come_with_go(lines: int, place: int) -> None:
    bench = DoubleBench(diskette(DOUBLE), dma_bits=lines, bits=22)
    bench.fill(TEXT, dense=True)
    bench.machine.memory[0o2000:0o2400] = bytes(256)
    if lines == 16:
        assert bench.function(EMPTY, 128, 0o2000, dense=True, more=0o20000) == 0
        assert bench.machine.memory[place : place + 256] == TEXT  # derived: no more lines than these
    else:
        assert bench.function(EMPTY, 128, 0o2000, dense=True, more=0o20000) == NO_MEMORY  # nothing is there
        assert bench.failed
        assert bench.machine.memory[0o2000:0o2400] == bytes(256)


def test_dma_reaches_beyond_16_bits() -> None:
    bench = DoubleBench.with_memory(0o760000, diskette(DOUBLE))
    for number in range(4):
        place = number << 16 | 0o2000
        bench.machine.memory[place : place + 256] = bytes([number + 1]) * 256
    for number in range(4):
        assert bench.function(FILL, 128, 0o2000, dense=True, more=number << 12) == 0  # floppy-wiki: bits 13-12
        assert bench.empty(dense=True) == bytes([number + 1]) * 256


def test_dma_into_nothing_is_an_error() -> None:
    bench = DoubleBench(diskette(DOUBLE))
    bench.fill(TEXT, dense=True)
    for function in (EMPTY, FILL):
        assert bench.function(function, 128, 0o157700, dense=True) == NO_MEMORY  # floppy-wiki: bit 11
        assert bench.failed
        assert bench.code() == 0  # unconfirmed: no code is known
    assert bench.machine.memory[0o157700:0o160000] == TEXT[:64]  # what there was place for
    assert bench.empty(dense=True) == TEXT[:64].ljust(256, b"\0")  # what came


def test_dma_into_its_own_registers_can_initialise_it() -> None:
    bench = DoubleBench(diskette(DOUBLE))
    bench.fill(INITIALISE.to_bytes(2, "little"))
    assert bench.function(EMPTY, 1, 0o177170, more=0o30000) & INIT_DONE  # derived: it is a word like any other
    assert bench.empty(dense=True) == sector_of(numbered(DOUBLE), 1, 1, 256)


def test_an_odd_address_is_that_of_its_word() -> None:
    bench = DoubleBench(diskette(DOUBLE))
    bench.fill(TEXT, dense=True)
    assert bench.function(EMPTY, 1, AT + 1) == 0  # derived: DMA moves words
    assert bench.machine.memory[AT : AT + 3] == TEXT[:2] + b"\0"


@pytest.mark.parametrize("by_bit", [False, True])
@pytest.mark.parametrize(("function", "parameters"), [(FILL, (4, AT)), (EMPTY, (4, AT)), (READ_ERROR, (AT,))])
def test_without_a_grant_the_transfer_never_ends(function: int, parameters: tuple[int, ...], by_bit: bool) -> None:
    bench = DoubleBench(diskette(DOUBLE), dma_granted=False)
    bench.write(STATUS, function << 1 | GO)
    for parameter in parameters:
        bench.give(parameter)
    bench.wait(100_000_000_000)
    assert bench.read(STATUS) == IS_DOUBLE  # derived: it waits for the bus
    assert bench.machine.memory[AT : AT + 8] == bytes(8)
    bench = bench.twin()  # type: ignore[assignment]
    bench.write(STATUS, INITIALISE) if by_bit else bench.initialise()
    assert bench.until(DONE) == IS_DOUBLE | DONE
    assert bench.function(READ, 3, 3, dense=True) == IS_DENSE  # what needs no DMA works
    assert not bench.failed


# --- sectors ------------------------------------------------------------------------------------------------------


@BOTH_DENSITIES
@pytest.mark.parametrize("unit", [0, 1])
def test_write_and_read_in_both_densities(geometry: Geometry, dense: bool, unit: int) -> None:
    bench = DoubleBench(diskette(geometry), diskette(geometry))
    word = (IS_DENSE if dense else 0) | (SECOND_UNIT if unit else 0)  # floppy-wiki: bits 5 and 8
    bench.fill(TEXT[: geometry.bytes_each], dense)
    assert bench.function(WRITE, 26, 76, unit=unit, dense=dense) == word  # floppy-guide-1978: sector, then track
    assert bench.drive(unit).read(76 * SECTORS + 25) == TEXT[: geometry.bytes_each]
    assert bench.drive(1 - unit).read(0, geometry.sectors) == numbered(geometry)
    assert bench.function(READ, 2, 0, unit=unit, dense=dense) == word
    assert bench.empty(dense) == sector_of(numbered(geometry), 0, 2, geometry.bytes_each)


@BOTH_DENSITIES
@pytest.mark.parametrize("function", [READ, WRITE, WRITE_DELETED])
def test_a37_the_density_must_be_that_of_the_medium(geometry: Geometry, dense: bool, function: int) -> None:
    bench = DoubleBench(diskette(geometry))
    word = bench.function(function, 1, 1, dense=not dense)
    assert bench.failed  # A37
    assert word == DENSITY_ERROR | (IS_DENSE if dense else 0)  # A37: bit 4
    assert bench.code() == 0o240  # A37
    assert bench.drive(0).read(0, geometry.sectors) == numbered(geometry)


def test_a_deleted_data_mark_is_shown_by_reading_and_goes_with_a_plain_write() -> None:
    bench = DoubleBench(diskette(DOUBLE))
    bench.fill(TEXT, dense=True)
    assert bench.function(WRITE_DELETED, 7, 20, dense=True) == IS_DENSE
    assert bench.function(READ, 7, 20, dense=True) == DELETED | IS_DENSE  # floppy-wiki: bit 6
    assert not bench.failed
    assert bench.function(WRITE, 7, 20, dense=True) == IS_DENSE
    assert bench.function(READ, 7, 20, dense=True) == IS_DENSE


def test_read_status_tells_of_the_drive() -> None:
    bench = DoubleBench(diskette(DOUBLE), diskette(SINGLE))
    assert bench.function(READ_STATUS) == READY | IS_DENSE  # floppy-wiki: bits 7 and 5
    assert bench.function(READ_STATUS, unit=1) == READY | SECOND_UNIT  # floppy-wiki: bit 8
    bench.machine.drives.take_out("x:1")
    assert bench.function(READ_STATUS, unit=1) == SECOND_UNIT


@pytest.mark.parametrize(
    ("sector", "track", "code"),
    [(1, 76, 0), (1, 77, 0o40), (1, 255, 0o40), (0, 1, 0o70), (27, 1, 0o70)],  # Disputed 5: 77 is unconfirmed
)
def test_places_that_are_not_there(sector: int, track: int, code: int) -> None:
    bench = DoubleBench(diskette(DOUBLE))
    bench.function(READ, sector, track, dense=True)
    assert bench.failed == bool(code)
    assert bench.code() == code  # floppy-guide-1978


def test_a_bad_sector_and_an_empty_drive() -> None:
    bench = DoubleBench(diskette(DOUBLE, bad=(30 * SECTORS,)))
    assert bench.function(READ, 1, 30, dense=True) == DATA_CHECK | IS_DENSE  # floppy-wiki: bit 0
    assert bench.code() == 0o200  # floppy-guide-1978
    assert bench.function(READ, 1, 30, unit=1, dense=True) == SECOND_UNIT
    assert bench.code() == 0o110  # unconfirmed


def test_the_detail_words() -> None:
    bench = DoubleBench(diskette(DOUBLE), diskette(SINGLE))
    bench.function(READ, 5, 33, unit=1)
    bench.function(READ, 99, 12, dense=True)
    bench.machine.memory[AT - 2 : AT + 10] = b"\xee" * 12
    word = bench.function(READ_ERROR, AT)
    assert word == 0
    assert not bench.failed
    assert bench.machine.memory[AT - 2 : AT] == b"\xee\xee"
    assert bench.machine.memory[AT + 8 : AT + 10] == b"\xee\xee"  # from memory, firm: four words
    # All of what follows is unconfirmed.
    assert [bench.read(AT + 2 * n) for n in range(4)] == [0o70, 33 << 8 | 12, 99 << 8 | 12, 12 << 8 | 0o20]


def test_detail_words_into_nothing() -> None:
    bench = DoubleBench(diskette(DOUBLE))
    assert bench.function(READ_ERROR, 0o157774) == NO_MEMORY
    assert bench.failed


# --- set media density --------------------------------------------------------------------------------------------


@BOTH_DENSITIES
def test_set_density_of_the_same_density_clears_all_data(geometry: Geometry, dense: bool) -> None:
    bench = DoubleBench(None, diskette(geometry))
    bench.function(WRITE_DELETED, 7, 20, unit=1, dense=dense)
    start = bench.raw.time_ns
    word = bench.function(SET_DENSITY, KEY, unit=1, dense=dense)
    assert word == SECOND_UNIT | (IS_DENSE if dense else 0)
    assert not bench.failed
    assert 14_000_000_000 < bench.raw.time_ns - start < 16_000_000_000  # unconfirmed: about 15 s
    assert bench.drive(1).read(0, geometry.sectors) == bytes(geometry.size)  # floppy-guide-1978: all are rewritten
    assert not bench.function(READ, 7, 20, unit=1, dense=dense) & DELETED


@BOTH_DENSITIES
def test_set_density_of_the_other_density_is_refused_and_told(geometry: Geometry, dense: bool) -> None:
    bench = DoubleBench(diskette(geometry))
    assert bench.function(SET_DENSITY, KEY, dense=not dense) & DENSITY_ERROR  # what is not modelled says so
    assert bench.failed
    assert bench.code() == 0o240
    word = "single" if dense else "double"
    told = f"x: unit 0: the image in it can't become one of {word} density; nothing is changed"
    assert bench.machine._controllers.told == [told]
    assert bench.drive(0).read(0, geometry.sectors) == numbered(geometry)


@pytest.mark.parametrize("key", [0, 0o151, 0o110, 0o311, KEY << 8])
def test_set_density_wants_its_key(key: int) -> None:
    bench = DoubleBench(diskette(DOUBLE))
    bench.function(SET_DENSITY, key, dense=True)
    assert bench.failed  # the key: floppy-guide-1978
    assert bench.code() == 0o250  # unconfirmed
    assert bench.drive(0).read(0, DOUBLE.sectors) == numbered(DOUBLE)


def test_the_high_byte_of_the_key_does_not_matter() -> None:
    bench = DoubleBench(diskette(DOUBLE))
    bench.function(SET_DENSITY, KEY | 0o123400, dense=True)
    assert not bench.failed  # unconfirmed


def test_set_density_broken_off_leaves_the_rest() -> None:
    bench = DoubleBench(diskette(DOUBLE))
    bench.write(STATUS, DENSITY | SET_DENSITY << 1 | GO)
    bench.give(KEY)
    bench.wait(5_000_000_000)
    bench.initialise()
    bench.until(DONE)
    content, track = bench.drive(0).read(0, DOUBLE.sectors), SECTORS * 256
    assert content[: 20 * track] == bytes(20 * track)
    assert content[40 * track :] == numbered(DOUBLE)[40 * track :]


def test_set_density_spares_a_protected_diskette_and_misses_one_that_is_gone() -> None:
    bench = DoubleBench(diskette(DOUBLE))
    bench.machine.drives.protect("x:0", True)
    bench.function(SET_DENSITY, KEY, dense=True)
    assert (bench.failed, bench.code()) == (True, 0o100)  # unconfirmed
    assert bench.drive(0).read(0, DOUBLE.sectors) == numbered(DOUBLE)
    bench.function(SET_DENSITY, KEY, unit=1, dense=True)
    assert (bench.failed, bench.code()) == (True, 0o110)  # unconfirmed
    bench.machine.drives.protect("x:0", False)
    bench.write(STATUS, DENSITY | SET_DENSITY << 1 | GO)
    bench.give(KEY)
    bench.wait(3_000_000_000)
    bench.machine.drives.take_out("x:0")
    assert bench.until(DONE) & ERROR


def test_a_host_that_fails_takes_the_drive_off_line(monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "no room")

    bench = DoubleBench(diskette(DOUBLE))
    monkeypatch.setattr(bench.drive(0).medium, "write", full)
    bench.function(SET_DENSITY, KEY, dense=True)
    assert (bench.failed, bench.code()) == (True, 0o110)
    assert bench.machine._controllers.told == ["x: unit 0 went off line: its image can't be written: no room"]
    assert bench.function(READ_STATUS) == 0


# --- interrupts and times -----------------------------------------------------------------------------------------


def test_done_interrupts_once_if_it_is_enabled() -> None:
    bench = DoubleBench(diskette(DOUBLE))
    bench.function(FILL, 4, AT, more=ENABLE)
    assert bench.grant(priority=5) is None  # from memory, firm: level 5
    assert bench.grants(priority=4) == [0o264]  # floppy-wiki
    bench.wait(1_000_000_000)
    assert bench.grants() == []
    bench.function(FILL, 200, more=ENABLE)
    assert bench.grants() == [0o264]  # errors interrupt too


@pytest.mark.parametrize(("track", "moves"), [(1, 0), (2, 1), (0, 1), (76, 75)])
def test_reading_waits_for_the_arm_and_for_the_sector(track: int, moves: int) -> None:
    bench = DoubleBench(diskette(DOUBLE))
    bench.write(STATUS, DENSITY | READ << 1 | GO)
    bench.give(9)
    bench.until(REQUEST)
    start = bench.raw.time_ns
    bench.write(DATA, track)
    bench.until(DONE)
    there = start + moves * STEP + (SETTLE if moves else 0)  # unconfirmed: 6 ms a track, 25 ms
    end = bench.raw.time_ns
    assert there < end <= there + TURN + TURN // SECTORS
    assert end % TURN // 1000 == 9 * (TURN // SECTORS) // 1000  # derived: the place on the track


# --- order and boot -----------------------------------------------------------------------------------------------


def test_block_100_lies_where_the_facts_say() -> None:
    assert [place_of(200 + n) for n in range(2)] == [(8, 2), (8, 4)]  # section 8 (derived)


BOOT = """
        .=1000
start:  MOV #1000, SP
        CLR R1                  ; where it goes
        MOV #1, R2              ; sector
ready:  BIT #40, @#177170       ; DONE of initialise
        BEQ ready
next:   MOV #407, @#177170      ; read, double density
        JSR PC, wait
        MOV R2, @#177172
        JSR PC, wait
        MOV #1, @#177172        ; track
done:   BIT #40, @#177170
        BEQ done
        TST @#177170
        BMI failed
        MOV #403, @#177170      ; empty
        JSR PC, wait
        MOV #200, @#177172      ; words
        JSR PC, wait
        MOV R1, @#177172
moved:  BIT #40, @#177170
        BEQ moved
        TST @#177170
        BMI failed
        ADD #400, R1
        ADD #2, R2
        CMP R2, #3
        BLOS next
        CLR PC
failed: HALT
wait:   TSTB @#177170
        BPL wait
        RTS PC
"""
BOOTED = """
        .=0
        MOV #123456, @#2000
        HALT
"""


def test_the_smallest_boot() -> None:
    image = bytearray(numbered(DOUBLE))
    code = minisim.assemble(BOOTED).blocks[0].data
    image[26 * 256 : 26 * 256 + len(code)] = code
    bench = DoubleBench(diskette(DOUBLE, bytes(image)), ready=False)
    machine = bench.machine
    for block in minisim.assemble(BOOT).blocks:
        machine.memory[block.address : block.address + len(block.data)] = block.data
    machine.power_up(pc=0o1000, ps=0o340)
    machine.run(limit=20_000_000)
    expected = b"".join(sector_of(bytes(image), 1, sector, 256) for sector in (1, 3))  # section 8, smallest boot
    assert machine.memory[0:512] == expected
    assert bench.read(0o2000) == 0o123456  # it ran


# --- freezing -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("function", range(8))
@pytest.mark.parametrize("steps", [0, 1, 2, 3, 30])
def test_a_machine_frozen_in_the_middle_goes_on_the_same(function: int, steps: int) -> None:
    bench = DoubleBench(diskette(DOUBLE), diskette(DOUBLE))
    bench.fill(TEXT, dense=True)
    bench.function(WRITE_DELETED, 3, 3, dense=True)
    bench.write(STATUS, ENABLE | DENSITY | UNIT | function << 1 | GO)
    for _ in range(steps):
        bench.jump()
        if bench.read(STATUS) & REQUEST:
            bench.write(DATA, KEY if function == SET_DENSITY else 5)
    other = bench.twin()
    for one in (bench, other):
        one.calm()
        assert one.function(READ, 3, 3, dense=True) == DELETED | IS_DENSE
    assert bench.machine.freeze() == other.machine.freeze()


def test_a_freeze_holds_the_address_bits_that_came_with_go() -> None:
    bench = DoubleBench.with_memory(0o760000, diskette(DOUBLE))
    bench.fill(TEXT, dense=True)
    bench.write(STATUS, 0o10000 | DENSITY | EMPTY << 1 | GO)
    bench.give(128)
    other = bench.twin()
    other.give(AT)
    other.until(DONE)
    assert other.machine.memory[0o200000 + AT : 0o200400 + AT] == TEXT  # floppy-wiki: bits 13-12


# --- any program --------------------------------------------------------------------------------------------------


class AnyProgram(AnyUse):
    """With diskettes of both densities."""

    @initialize(first=st.sampled_from(["", "single", "double"]), second=st.sampled_from(["", "single", "double"]))
    def begin(self, first: str, second: str) -> None:
        """Some drives are empty."""
        kinds = {"": None, "single": SINGLE, "double": DOUBLE}
        self.start(DoubleBench, (kinds[first], kinds[second]))

    @rule(unit=st.integers(0, 1), dense=st.booleans(), key=st.sampled_from([KEY, KEY, 0]))
    def set_density(self, unit: int, dense: bool, key: int) -> None:
        """All zeros, or an error and nothing."""
        plain, content = self.plain, self.plain.content[unit]
        word = self.bench.function(SET_DENSITY, key, unit=unit, dense=dense)
        wrong = plain.wrong(unit, 0, 1, writes=True, dense=dense) if key == KEY else 0o250
        self.ended(word, wrong)
        if not wrong and content is not None:
            content[:] = bytes(len(content))
            plain.marks[unit].clear()

    @rule(count=st.one_of(st.integers(0, 130), st.integers(0, 0o177777)), high=st.integers(0, 3), dense=st.booleans(),
          address=st.sampled_from([0o4000, 0o4001, 0o157770, 0o160000, 0o177776]))  # fmt: skip
    def empty_anywhere(self, count: int, high: int, dense: bool, address: int) -> None:
        """Into memory, into nothing, too much: the buffer stays as it is."""
        most = 128 if dense else 64
        parameters = [count] if count > most else [count, address]
        word = self.bench.function(EMPTY, *parameters, dense=dense, more=high << 12)
        assert self.bench.failed == bool(word & (OVERFLOW | NO_MEMORY))
        assert bool(word & OVERFLOW) == (count > most)
        if high == 0 and count <= most:
            assert bool(word & NO_MEMORY) == ((address & ~1) + 2 * count > 0o160000 and count > 0)


class ManyPrograms(AnyProgram):
    """The same for longer."""


AnyProgram.TestCase.settings = settings(max_examples=15, stateful_step_count=25, derandomize=True, deadline=None)
ManyPrograms.TestCase.settings = settings(max_examples=1500, stateful_step_count=25, derandomize=True, deadline=None)
test_any_program = AnyProgram.TestCase
test_many_programs = pytest.mark.slow(ManyPrograms.TestCase)
