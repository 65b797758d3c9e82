"""8-inch floppy, single density, section 8 of the facts.  What stands behind a check is named beside it."""

from __future__ import annotations

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import initialize

import minisim
from minisim.devices._controller import Drive, DriveFailedError
from minisim.devices._device import Placement

from .floppies import (
    DATA,
    DATA_CHECK,
    DELETED,
    DENSITY,
    DONE,
    DOUBLE,
    EMPTY,
    ENABLE,
    ERROR,
    FILL,
    GO,
    INIT_DONE,
    INITIALISE,
    READ,
    READ_STATUS,
    READY,
    REQUEST,
    SECTORS,
    SET_DENSITY,
    SINGLE,
    STATUS,
    TURN,
    UNIT,
    WRITE,
    WRITE_DELETED,
    AnyUse,
    SingleBench,
    diskette,
    numbered,
    place_of,
)
from .workbench import Workbench

TEXT = bytes(range(65, 91)) * 4 + bytes(range(24))
STEP, SETTLE = 10_000_000, 25_000_000  # unconfirmed


def sector_of(image: bytes, track: int, sector: int, each: int = 128) -> bytes:
    """A sector in physical order with track 0."""
    at = (track * SECTORS + sector - 1) * each
    return image[at : at + each]


# --- registers ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "seen"),
    [
        (ENABLE, ENABLE | DONE),  # floppy-wiki: RW, R
        (ERROR, DONE), (REQUEST, DONE), (DONE, DONE),  # floppy-wiki: read only
        (0o37400, DONE),  # from memory, firm: 13-8 are 0
        (UNIT, DONE),  # unconfirmed: write only
        (0o16, DONE),  # floppy-guide-1978: the function is write-only
        (0o177777 & ~INITIALISE & ~GO, ENABLE | DONE),
    ],
)  # fmt: skip
def test_every_bit_of_the_status(written: int, seen: int) -> None:
    bench = SingleBench(diskette(SINGLE))
    bench.write(STATUS, written)
    assert bench.read(STATUS) == seen
    bench.initialise()
    assert bench.read(STATUS) == 0  # derived: the enable is off, and it is not done yet
    bench.until(DONE)
    assert bench.read(STATUS) == DONE  # A35


def test_go_and_initialise_read_as_zero() -> None:
    bench = SingleBench(diskette(SINGLE))
    bench.write(STATUS, ENABLE | INITIALISE)
    assert bench.read(STATUS) == ENABLE  # unconfirmed: the enable stays
    bench.until(DONE)
    bench.write(STATUS, GO)
    assert bench.read(STATUS) == 0


def test_a_byte_reaches_its_half_of_the_status_only() -> None:
    bench = SingleBench(diskette(SINGLE))
    bench.write_byte(STATUS, ENABLE)
    bench.write_byte(STATUS + 1, INITIALISE >> 8)
    assert bench.read(STATUS) == ENABLE
    bench.until(DONE)
    bench.write_byte(STATUS + 1, 0o77)
    assert bench.read(STATUS) == ENABLE | DONE


def test_a_word_that_nobody_asked_for_changes_nothing() -> None:
    bench = SingleBench(diskette(SINGLE))
    before = bench.read(DATA)
    bench.write(DATA, 0o123456)
    bench.write_byte(DATA + 1, 0o77)
    assert bench.read(DATA) == before
    bench.write(STATUS, FILL << 1 | GO)
    bench.until(REQUEST)
    bench.write_byte(DATA + 1, 0o77)  # the low byte is not touched
    assert bench.read(STATUS) & REQUEST


# --- initialise ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("by_bit", [False, True])
def test_a35_initialise_takes_a_while_and_reads_the_first_sector(by_bit: bool) -> None:
    bench = SingleBench(diskette(SINGLE), diskette(SINGLE, bytes(SINGLE.size)))
    bench.function(READ, 5, 77, unit=1)
    assert bench.failed
    bench.write(STATUS, INITIALISE) if by_bit else bench.initialise()
    start = bench.raw.time_ns
    assert not bench.read(STATUS) & DONE  # A35: after a delay
    bench.until(DONE)
    assert 100_000_000 <= bench.raw.time_ns - start <= 2_000_000_000  # unconfirmed: up to about 2 s
    assert bench.read(DATA) & INIT_DONE  # A35: bit 2
    assert bench.read(DATA) & READY  # unconfirmed: that of drive 0
    assert not bench.failed
    assert bench.code() == 0
    assert bench.empty() == sector_of(numbered(SINGLE), 1, 1)  # from memory, firm
    assert [bench.drive(unit).state["track"] for unit in (0, 1)] == [1, 0]  # both homed, drive 0 on track 1


def test_power_up_does_the_same() -> None:
    bench = SingleBench(diskette(SINGLE), ready=False)
    assert (bench.read(STATUS), bench.read(DATA)) == (0, 0)
    assert bench.until(DONE) == DONE
    assert bench.read(DATA) == INIT_DONE | READY
    bench.function(READ_STATUS)
    assert not bench.read(DATA) & INIT_DONE  # from memory: the next function takes it away


def test_initialise_with_an_empty_drive_is_no_error() -> None:
    bench = SingleBench(None, diskette(SINGLE))
    assert bench.read(STATUS) == DONE
    assert bench.read(DATA) == INIT_DONE  # unconfirmed: not ready, but no error


def test_initialise_over_a_bad_first_sector_shows_the_data_check() -> None:
    bench = SingleBench(diskette(SINGLE, bad=(SECTORS,)))
    assert bench.failed  # unconfirmed
    assert bench.read(DATA) == INIT_DONE | READY | DATA_CHECK
    assert bench.code() == 0o200  # floppy-guide-1978


def test_without_the_drive_box_it_is_never_done() -> None:
    bench = SingleBench(ready=False, drives=())
    bench.wait(10_000_000_000)
    assert bench.read(STATUS) == 0  # derived: what answers sits in the box
    bench.write(STATUS, READ << 1 | GO)
    bench.wait(10_000_000_000)
    assert bench.read(STATUS) == 0


# --- functions ----------------------------------------------------------------------------------------------------


def test_fill_and_empty_move_128_bytes_one_request_each() -> None:
    bench = SingleBench(diskette(SINGLE))
    bench.write(STATUS, FILL << 1 | GO)
    for byte in TEXT:
        assert bench.until(REQUEST | DONE) & (REQUEST | DONE) == REQUEST
        bench.write(DATA, byte)
        assert not bench.read(STATUS) & REQUEST  # floppy-guide-1978: it drops while the byte is shifted
    assert bench.until(REQUEST | DONE) == DONE  # from memory, firm: 128 of them
    bench.write(STATUS, EMPTY << 1 | GO)
    for byte in TEXT:
        assert bench.until(REQUEST | DONE) & (REQUEST | DONE) == REQUEST
        assert bench.read(DATA) == byte
        assert not bench.read(STATUS) & REQUEST
    assert bench.until(REQUEST | DONE) == DONE
    assert bench.empty() == TEXT  # it is still there


def test_only_the_low_byte_of_a_word_goes_into_the_buffer() -> None:
    bench = SingleBench(diskette(SINGLE))
    bench.function(FILL, *(byte | 0o123400 for byte in TEXT))
    assert bench.empty() == TEXT  # unconfirmed


def test_write_and_read_want_the_sector_first() -> None:
    bench = SingleBench(diskette(SINGLE))
    bench.fill(TEXT)
    assert bench.function(WRITE, 26, 76) == 0  # floppy-guide-1978: sector, then track
    assert not bench.failed
    assert bench.drive(0).read(76 * SECTORS + 25) == TEXT
    assert bench.function(READ, 2, 30) == 0
    assert bench.empty() == sector_of(numbered(SINGLE), 30, 2)
    bench.function(READ, 26, 76)
    assert bench.empty() == TEXT


def test_the_unit_bit_chooses_the_drive() -> None:
    bench = SingleBench(diskette(SINGLE), diskette(SINGLE))
    bench.fill(TEXT)
    bench.function(WRITE, 4, 0, unit=1)
    assert bench.drive(1).read(3) == TEXT
    assert bench.drive(0).read(0, SINGLE.sectors) == numbered(SINGLE)


def test_a_deleted_data_mark_is_shown_by_reading_and_goes_with_a_plain_write() -> None:
    bench = SingleBench(diskette(SINGLE), diskette(SINGLE))
    bench.fill(TEXT)
    assert bench.function(WRITE_DELETED, 7, 20) == 0
    assert bench.function(READ, 7, 20) == DELETED  # floppy-wiki: bit 6
    assert not bench.failed  # from memory, firm: the data are good
    assert bench.empty() == TEXT
    assert bench.function(READ, 7, 20, unit=1) == 0
    assert bench.function(WRITE, 7, 20) == 0
    assert bench.function(READ, 7, 20) == 0


def test_a_mark_goes_with_its_diskette_but_not_with_the_switch() -> None:
    bench = SingleBench(diskette(SINGLE))
    bench.function(WRITE_DELETED, 7, 20)
    bench.machine.drives.protect("x:0", True)
    assert bench.function(READ, 7, 20) == DELETED
    bench.machine.drives.put("x:0", diskette(SINGLE))
    assert bench.function(READ, 7, 20) == 0  # what is not modelled says so


def test_only_read_status_shows_whether_a_drive_is_ready() -> None:
    bench = SingleBench(diskette(SINGLE))
    assert bench.function(READ_STATUS) == READY  # floppy-wiki: bit 7
    assert bench.function(READ_STATUS, unit=1) == 0
    assert bench.function(READ, 1, 1) == 0  # derived: "only needed for the drive ready bit", floppy-guide-1978


def test_function_4_is_not_used() -> None:
    bench = SingleBench(diskette(SINGLE))
    assert bench.function(SET_DENSITY) == 0  # from memory, firm: not used; that it ends at once: unconfirmed
    assert bench.drive(0).read(0, SINGLE.sectors) == numbered(SINGLE)


@pytest.mark.parametrize(
    ("sector", "track", "code"),
    [
        (1, 76, 0), (1, 77, 0o40), (1, 78, 0o40), (1, 255, 0o40),  # Disputed 5: exactly 77 is unconfirmed
        (0, 1, 0o70), (27, 1, 0o70), (255, 1, 0o70), (26, 1, 0),  # floppy-guide-1978; numbered 1 to 26
    ],
)  # fmt: skip
@pytest.mark.parametrize("function", [READ, WRITE, WRITE_DELETED])
def test_places_that_are_not_there(function: int, sector: int, track: int, code: int) -> None:
    bench = SingleBench(diskette(SINGLE))
    bench.function(function, sector, track)
    assert bench.failed == bool(code)
    assert bench.code() == code
    assert not bench.failed  # reading the code is no error
    assert bench.code() == code  # and it is still there
    bench.function(READ, 1, 1)
    assert (bench.failed, bench.code()) == (False, 0)


def test_an_empty_drive_gives_no_clock() -> None:
    bench = SingleBench(diskette(SINGLE))
    bench.function(READ, 1, 1, unit=1)
    assert bench.failed
    assert bench.code() == 0o110  # code: floppy-guide-1978; that it is this one: unconfirmed


def test_a_bad_sector_is_a_data_check_until_it_is_read_elsewhere() -> None:
    bench = SingleBench(diskette(SINGLE, bad=(30 * SECTORS,)))
    assert bench.function(READ, 1, 30) == DATA_CHECK  # floppy-wiki: bit 0
    assert bench.failed
    assert bench.code() == 0o200  # floppy-guide-1978
    assert bench.function(READ, 2, 30) == 0
    assert not bench.failed


def test_a_protected_drive_keeps_its_data() -> None:
    bench = SingleBench(diskette(SINGLE))
    bench.machine.drives.protect("x:0", True)
    for function in (WRITE, WRITE_DELETED):
        bench.function(function, 1, 1)
        assert bench.failed
        assert bench.code() == 0o100  # unconfirmed: no code is known
    assert bench.drive(0).read(0, SINGLE.sectors) == numbered(SINGLE)


def test_a_diskette_of_the_other_density_has_data_that_can_not_be_read() -> None:
    bench = SingleBench(diskette(SINGLE))
    bench.machine.drives.put("x:0", diskette(DOUBLE))
    assert bench.function(READ, 1, 1) == DATA_CHECK  # derived: headers are single, data are not (floppy-format-posts)
    assert bench.code() == 0o200
    bench.function(WRITE, 1, 1)
    assert bench.drive(0).read(0, DOUBLE.sectors) == numbered(DOUBLE)


def test_a_host_that_fails_takes_the_drive_off_line(monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "no room")

    bench = SingleBench(diskette(SINGLE), diskette(SINGLE))
    medium = bench.drive(0).medium
    monkeypatch.setattr(medium, "write", full)
    bench.function(WRITE, 1, 1)
    assert bench.failed
    assert bench.machine._controllers.told == ["x: unit 0 went off line: its image can't be written: no room"]
    assert bench.code() == 0o110
    assert bench.function(READ_STATUS) == 0  # not ready
    with pytest.raises(DriveFailedError):
        bench.drive(0).read(0)
    bench.function(WRITE, 1, 1, unit=1)
    assert not bench.failed


def test_a_function_while_another_one_runs_is_not_heard() -> None:
    bench = SingleBench(diskette(SINGLE))
    bench.write(STATUS, READ << 1 | GO)
    bench.give(9)
    bench.write(STATUS, FILL << 1 | GO)  # floppy-guide-1978: only when DONE is 1
    bench.give(9)
    assert bench.until(REQUEST | DONE) == DONE
    assert bench.empty() == sector_of(numbered(SINGLE), 9, 9)


# --- interrupts ---------------------------------------------------------------------------------------------------


def test_done_interrupts_once_if_it_is_enabled() -> None:
    bench = SingleBench(diskette(SINGLE))
    bench.function(READ, 1, 1, more=ENABLE)
    assert bench.grant(priority=5) is None  # from memory, firm: level 5
    assert bench.grants(priority=4) == [0o264]  # floppy-wiki
    bench.wait(1_000_000_000)
    assert bench.grants() == []
    bench.write(STATUS, 0)
    bench.write(STATUS, ENABLE)
    assert bench.grants() == [0o264]  # edge rule: the enable comes while done stands
    bench.write(STATUS, ENABLE | READ_STATUS << 1 | GO)
    assert bench.grants() == []
    bench.until(DONE)
    assert bench.grants() == [0o264]


def test_transfer_requests_do_not_interrupt() -> None:
    bench = SingleBench(diskette(SINGLE))
    bench.write(STATUS, ENABLE | FILL << 1 | GO)
    for byte in TEXT:
        bench.give(byte)
        assert bench.grants() == []
    bench.until(DONE)
    assert bench.grants() == [0o264]  # floppy-guide-1978: at the end


# --- times --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("track", "moves"), [(1, 0), (2, 1), (0, 1), (76, 75)])
@pytest.mark.parametrize("sector", [1, 13, 26])
def test_reading_waits_for_the_arm_and_for_the_sector(track: int, moves: int, sector: int) -> None:
    bench = SingleBench(diskette(SINGLE))
    bench.write(STATUS, READ << 1 | GO)
    bench.give(sector)
    bench.until(REQUEST)
    start = bench.raw.time_ns
    bench.write(DATA, track)
    bench.until(DONE)
    there = start + moves * STEP + (SETTLE if moves else 0)  # unconfirmed: 10 ms a track, 25 ms
    end = bench.raw.time_ns
    assert there < end <= there + TURN + TURN // SECTORS
    assert end % TURN // 1000 == sector * (TURN // SECTORS) % TURN // 1000  # derived: the place on the track


def test_the_search_for_a_sector_takes_two_turns() -> None:
    bench = SingleBench(diskette(SINGLE))
    bench.write(STATUS, READ << 1 | GO)
    bench.give(40)
    bench.until(REQUEST)
    start = bench.raw.time_ns
    bench.write(DATA, 1)
    bench.until(DONE)
    assert bench.raw.time_ns - start == 2 * TURN  # floppy-guide-1978: two turns, 52 headers


def test_every_other_sector_can_be_read_in_one_turn() -> None:
    bench = SingleBench(diskette(SINGLE))
    bench.function(READ, 25, 1)
    start = bench.raw.time_ns
    for logical in range(13):
        track, sector = place_of(logical)
        bench.function(READ, sector, track)
        assert bench.empty() == sector_of(numbered(SINGLE), track, sector)
    assert bench.raw.time_ns - start < TURN + TURN // SECTORS  # derived: that is what the order is made for


# --- order and boot -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("logical", "place"),
    [(0, (1, 1)), (1, (1, 3)), (12, (1, 25)), (13, (1, 2)), (25, (1, 26)), (26, (2, 7)), (52, (3, 13)),
     (1975, (76, 8))],
)  # fmt: skip
def test_logical_order(logical: int, place: tuple[int, int]) -> None:
    assert place_of(logical) == place  # section 8, check values (derived)
    bench = SingleBench(diskette(SINGLE))
    bench.function(READ, place[1], place[0])
    number = place[0] * 26 + place[1] - 1
    assert bench.empty() == number.to_bytes(2, "little") * 64


def test_block_100_lies_where_the_facts_say() -> None:
    assert [place_of(400 + n) for n in range(4)] == [(16, 7), (16, 9), (16, 11), (16, 14)]  # section 8 (derived)


BOOT = """
        .=1000
start:  MOV #1000, SP
        CLR R1                  ; where it goes
        MOV #1, R2              ; sector
ready:  BIT #40, @#177170       ; DONE of initialise
        BEQ ready
next:   MOV #7, @#177170        ; read
        JSR PC, wait
        MOV R2, @#177172
        JSR PC, wait
        MOV #1, @#177172        ; track
done:   BIT #40, @#177170
        BEQ done
        TST @#177170
        BMI failed
        MOV #3, @#177170        ; empty
bytes:  BIT #240, @#177170
        BEQ bytes
        TSTB @#177170
        BPL empty
        MOVB @#177172, (R1)+
        BR bytes
empty:  ADD #2, R2
        CMP R2, #7
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
    image = bytearray(numbered(SINGLE))
    code = minisim.assemble(BOOTED).blocks[0].data
    image[26 * 128 : 26 * 128 + len(code)] = code
    bench = SingleBench(diskette(SINGLE, bytes(image)), ready=False)
    machine = bench.machine
    for block in minisim.assemble(BOOT).blocks:
        machine.memory[block.address : block.address + len(block.data)] = block.data
    machine.power_up(pc=0o1000, ps=0o340)
    machine.run(limit=20_000_000)
    expected = b"".join(sector_of(bytes(image), 1, sector) for sector in (1, 3, 5, 7))  # section 8, smallest boot
    assert machine.memory[0:512] == expected
    assert bench.read(0o2000) == 0o123456  # it ran


# --- freezing -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("function", range(8))
@pytest.mark.parametrize("steps", [0, 1, 2, 3, 100])
def test_a_machine_frozen_in_the_middle_goes_on_the_same(function: int, steps: int) -> None:
    bench = SingleBench(diskette(SINGLE), diskette(SINGLE))
    bench.fill(TEXT)
    bench.function(WRITE_DELETED, 3, 3)
    bench.write(STATUS, ENABLE | UNIT | function << 1 | GO)
    for _ in range(steps):
        bench.jump()
        if bench.read(STATUS) & REQUEST and function != EMPTY:
            bench.write(DATA, 5)
        bench.read(DATA)
    other = bench.twin()
    for one in (bench, other):
        one.calm()
        assert one.function(READ, 3, 3) == DELETED
    assert bench.machine.freeze() == other.machine.freeze()


def test_a_freeze_holds_the_code_of_the_last_error() -> None:
    bench = SingleBench(diskette(SINGLE))
    bench.function(READ, 1, 77)
    assert bench.twin().code() == 0o40  # floppy-guide-1978


def test_frozen_while_it_goes_home() -> None:
    bench = SingleBench(diskette(SINGLE), ready=False)
    bench.wait(300_000_000)
    other = bench.twin()
    for one in (bench, other):
        one.until(DONE)
    assert bench.machine.freeze() == other.machine.freeze()


def test_it_asks_on_the_level_of_its_board() -> None:
    drive = Drive(0, "floppy-8-inch-single-pair", "x:0", (), diskette(SINGLE))
    bench = Workbench(Placement("floppy-single", vectors=((0o270, 4),), base=0o17150, drives=(drive,)))
    bench.write(0o177150, ENABLE)
    bench.wait(2_000_000_000)
    assert bench.grants(priority=4) == []  # Disputed 15: 4 on `mux`
    assert bench.grants(priority=3) == [0o270]


def test_density_and_address_bits_mean_nothing_here() -> None:
    bench = SingleBench(diskette(SINGLE))
    assert bench.function(READ, 5, 5, more=0o37400, dense=True) == 0
    assert not bench.read(STATUS) & DENSITY
    assert bench.empty() == sector_of(numbered(SINGLE), 5, 5)


# --- any program --------------------------------------------------------------------------------------------------


class AnyProgram(AnyUse):
    """With one or two diskettes."""

    @initialize(first=st.sampled_from([SINGLE, None]), second=st.sampled_from([SINGLE, None]))
    def begin(self, first: object, second: object) -> None:
        """Some drives are empty."""
        self.start(SingleBench, tuple(SINGLE if kind else None for kind in (first, second)))


class ManyPrograms(AnyProgram):
    """The same for longer."""


AnyProgram.TestCase.settings = settings(max_examples=15, stateful_step_count=25, derandomize=True, deadline=None)
ManyPrograms.TestCase.settings = settings(max_examples=1500, stateful_step_count=25, derandomize=True, deadline=None)
test_any_program = AnyProgram.TestCase
test_many_programs = pytest.mark.slow(ManyPrograms.TestCase)
