"""Cartridge disk of the 2.5 MB class: facts, devices section 6, and its assertions A23, A25, A27.

Names of bits, geometry and times: seen, small-cartridge-pages.  Meanings: from memory, firm, small-cartridge-manual.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from minisim.devices.cartridge_disk_2mb import seek_ns
from minisim.media.held import HeldMedium
from minisim.media.overlay import MediumFullError

from .disks import DiskBench, cartridge, numbered

STATUS, ERRORS, CONTROL, COUNT, ADDRESS, DISK = 0o177400, 0o177402, 0o177404, 0o177406, 0o177410, 0o177412
RESET, WRITE, READ, WRITE_CHECK, SEEK, READ_CHECK, DRIVE_RESET, LOCK = range(8)
ANY, HARD, FOUND, HELD, FORMAT, STOP, READY, ENABLE, GO = (
    0o100000, 0o40000, 0o20000, 0o4000, 0o2000, 0o400, 0o200, 0o100, 1,
)  # fmt: skip
DRIVE_ERROR, PAST_END, LOCKED, BAD_FUNCTION, NO_MEMORY, LATE, NO_DRIVE, NO_CYLINDER, NO_SECTOR, CHECKSUM, DIFFERS = (
    0o100000, 0o40000, 0o20000, 0o4000, 0o2000, 0o1000, 0o200, 0o100, 0o40, 2, 1,
)  # fmt: skip
AT = 0o4000
SECTOR, LAST = 512, 203 * 2 * 12 - 1
MS = 1_000_000


class Bench(DiskBench):
    """The controller."""

    device, control = "cartridge-disk-2mb", CONTROL

    def give(
        self, function: int, *, block: int = 0, unit: int = 0, words: int = 256, more: int = 0, at: int = AT
    ) -> None:
        """Load the registers and start a function."""
        track, sector = divmod(block, 12)
        self.write(DISK, unit << 13 | track << 4 | sector)
        self.write(ADDRESS, at & 0o177777)
        self.write(COUNT, -words & 0o177777)
        self.write(CONTROL, more | (at >> 16) << 4 | function << 1 | GO)

    def do(self, function: int, **how: Any) -> int:
        """A function to its end; gives the error register."""
        self.give(function, **how)
        self.until_ready()
        return self.read(ERRORS)


def bench(**changes: Any) -> Bench:
    """One drive with a numbered cartridge."""
    return Bench({0: cartridge("cartridge-2mb")}, **changes)


IMAGE = numbered(cartridge("cartridge-2mb").geometry)


def test_a23_after_initialise_it_is_ready_without_errors() -> None:
    there = bench()
    for register, word in ((DISK, 0o20123), (ADDRESS, 0o1234), (COUNT, 0o177000), (CONTROL, ENABLE | 0o4060)):
        there.write(register, word)
    there.initialise()
    assert [there.read(r) for r in (CONTROL, ERRORS, COUNT, ADDRESS, DISK)] == [READY, 0, 0, 0, 0]


@pytest.mark.parametrize(
    ("register", "seen"),
    [
        (ERRORS, 0),  # read only
        (CONTROL, 0o6560 | READY),  # 11, 10, 8, 6, 5-4 and the function can be written; 7 is the controller's
        (COUNT, 0o177777),
        (ADDRESS, 0o177776),  # a word address
        (DISK, 0o177777),
        (0o177414, 0),  # maintenance of the older controller
        (0o177416, 0),  # data buffer: not modelled
    ],
)
def test_which_bits_can_be_written(register: int, seen: int) -> None:
    there = bench()
    there.write(register, 0o177776)  # all but GO
    got = there.read(register)
    assert got == (seen | 0o16 if register == CONTROL else 0o177776 if register == DISK else seen & 0o177776)


def test_the_status_tells_of_the_drive_that_is_chosen() -> None:
    there = Bench({0: cartridge("cartridge-2mb"), 1: None, 3: cartridge("cartridge-2mb")})
    there.drive(3).protected = True
    seen = {}
    for unit in (0, 1, 2, 3):
        there.write(DISK, unit << 13 | 5)
        seen[unit] = there.read(STATUS) & ~0o437  # without the sector under the head
    assert seen == {0: 0o4300, 1: 0o4000, 2: 0, 3: 0o4340}  # 11 full size, 7 ready, 6 still, 5 protected


def test_the_sector_under_the_head_goes_round() -> None:
    """1500 turns a minute, 12 sectors: 3.33 ms each [small-cartridge-pages]."""
    there, seen = bench(), []
    there.write(DISK, 7)
    for _ in range(12):
        seen.append(there.read(STATUS) & 0o437)
        there.wait(40 * MS // 12)
    sectors = [word & 0o17 for word in seen]
    assert sorted(sectors) == list(range(12))
    assert [bool(word & 0o20) for word in seen] == [sector == 7 for sector in sectors]  # bit 4
    assert all(word & 0o400 for word in seen)  # sector counter valid


@pytest.mark.parametrize(
    ("block", "word"), [(0, 0), (11, 0o13), (12, 0o20), (24, 0o40), (4799, 0o14373), (4871, 0o14533)]
)
def test_blocks_lie_where_the_check_values_say(block: int, word: int) -> None:
    """Facts, devices 16.2 (derived)."""
    there = bench()
    there.write(DISK, word)
    there.write(ADDRESS, AT)
    there.write(COUNT, -256 & 0o177777)
    there.write(CONTROL, READ << 1 | GO)
    there.until_ready()
    assert there.machine.memory[AT : AT + SECTOR] == IMAGE[block * SECTOR : (block + 1) * SECTOR]


def test_a_read_passes_from_sector_to_surface_to_cylinder() -> None:
    there = bench()
    words = 256 * 26 + 5
    assert there.do(READ, block=11, words=words) == 0
    assert there.machine.memory[AT : AT + 2 * words] == IMAGE[11 * SECTOR :][: 2 * words]
    assert there.machine.memory[AT + 2 * words] == 0  # not a word more
    track, sector = divmod(11 + 27, 12)
    assert there.read(DISK) == track << 4 | sector  # the next sector
    assert there.read(ADDRESS) == AT + 2 * words
    assert there.read(COUNT) == 0


def test_a_write_of_part_of_a_sector_fills_it_with_zeros() -> None:
    there = bench()
    there.machine.memory[AT : AT + 600] = bytes(range(200)) * 3
    assert there.do(WRITE, block=100, words=300) == 0
    wanted = IMAGE[: 100 * SECTOR] + bytes(range(200)) * 3 + bytes(2 * SECTOR - 600) + IMAGE[102 * SECTOR :]
    assert there.content() == wanted


def test_the_address_carries_into_the_control_register() -> None:
    there = bench(memory=0o400000)
    assert there.do(READ, words=512, at=0o177400) == 0
    assert there.machine.memory[0o177400:0o201400] == IMAGE[:1024]
    assert there.read(CONTROL) & 0o60 == 0o20
    assert there.read(ADDRESS) == 0o1400


def test_the_address_can_be_held() -> None:
    """Bit 11: every word goes to the same place."""
    there = bench()
    assert there.do(READ, words=256, more=HELD) == 0
    assert there.machine.memory[AT : AT + 2] == IMAGE[510:512]
    assert there.machine.memory[AT + 2 : AT + 512] == bytes(510)
    assert there.read(ADDRESS) == AT


def test_write_check_compares_and_read_check_moves_nothing() -> None:
    there = bench()
    there.machine.memory[AT : AT + SECTOR] = IMAGE[:SECTOR]
    assert there.do(WRITE_CHECK) == 0
    there.machine.memory[AT + 7] = 0o252
    assert there.do(WRITE_CHECK) == DIFFERS
    assert there.read(CONTROL) & (ANY | HARD) == ANY  # soft
    assert there.do(READ_CHECK, at=0o10000) == 0  # the next function clears a soft error (unconfirmed)
    assert there.machine.memory[0o10000 : 0o10000 + SECTOR] == bytes(SECTOR)


def test_a_soft_error_lets_the_transfer_run_to_its_end_unless_it_is_told_to_stop() -> None:
    there = Bench({0: cartridge("cartridge-2mb", bad=[1])})
    assert there.do(READ, words=1024) == CHECKSUM
    assert there.read(COUNT) == 0
    assert there.do(READ, words=1024, more=STOP) == CHECKSUM
    assert there.read(COUNT) == -512 & 0o177777


def test_a25_a_sector_that_is_not_there_stops_everything_until_control_reset() -> None:
    there = bench()
    there.write(DISK, 0o14)
    there.write(COUNT, -1 & 0o177777)
    there.write(CONTROL, READ << 1 | GO)
    there.until_ready()
    assert there.read(ERRORS) == NO_SECTOR
    assert there.read(CONTROL) & (ANY | HARD) == ANY | HARD
    assert there.do(READ, at=0o10000) == NO_SECTOR  # refused
    assert there.machine.memory[0o10000:0o10002] == b"\0\0"
    there.write(CONTROL, GO)
    there.until_ready()
    assert there.read(ERRORS) == 0
    assert there.do(READ) == 0


def test_a27_a_protected_drive_is_not_written() -> None:
    there = bench()
    there.machine.drives.protect("x:0")
    assert there.do(WRITE) == LOCKED
    assert there.content() == IMAGE


def test_write_lock_protects_until_the_switch_of_the_drive_is_moved() -> None:
    there = bench()
    assert there.do(LOCK) == 0
    assert there.read(STATUS) & 0o40
    assert there.do(WRITE) == LOCKED
    there.do(RESET)
    there.initialise()
    assert there.do(WRITE) == LOCKED  # neither of them undoes it
    there.machine.drives.take_out("x:0")
    there.machine.drives.put("x:0", cartridge("cartridge-2mb"))
    there.do(RESET)
    assert there.do(WRITE) == LOCKED  # nor does another cartridge
    there.machine.drives.protect("x:0", False)
    there.do(RESET)
    assert there.do(WRITE) == 0


@pytest.mark.parametrize(
    ("how", "errors"),
    [
        ({"unit": 2}, NO_DRIVE),
        ({"unit": 1}, DRIVE_ERROR),  # empty
        ({"block": 203 * 24}, NO_CYLINDER),
        ({"more": FORMAT, "function": WRITE_CHECK}, BAD_FUNCTION),
        ({"at": 0o600000}, NO_MEMORY),
        ({"block": LAST, "words": 257}, PAST_END),
    ],
)
def test_hard_errors(how: dict[str, Any], errors: int) -> None:
    there = Bench({0: cartridge("cartridge-2mb"), 1: None})
    assert there.do(**{"function": READ, **how}) == errors
    assert there.read(CONTROL) & (ANY | HARD) == ANY | HARD


def test_a_transfer_stops_where_memory_ends() -> None:
    there = bench()
    assert there.do(READ, words=256, at=0o160000 - 100) == NO_MEMORY
    assert there.read(COUNT) == -206 & 0o177777
    assert there.machine.memory[0o160000 - 100 : 0o160000] == IMAGE[:100]


@pytest.mark.parametrize("function", [READ, WRITE, WRITE_CHECK])
def test_without_a_grant_the_data_are_late(function: int) -> None:
    """Derived: the disk turns on while nobody gives the bus."""
    there = bench(dma_granted=False)
    assert there.do(function) == LATE
    assert there.read(COUNT) == -256 & 0o177777
    assert there.content() == IMAGE


def test_format_reads_headers() -> None:
    there = bench()
    assert there.do(READ, block=24 * 7, words=3, more=FORMAT) == 0
    assert there.machine.memory[AT : AT + 6] == (7 << 5).to_bytes(2, "little") * 3  # the cylinder in 12-5


# --- time, arms, interrupts -------------------------------------------------------------------------------------------


def test_arms_take_the_published_times() -> None:
    """10 ms to the next track, 50 on average (a third of the way), 85 at most [small-cartridge-pages]."""
    assert (seek_ns(0), seek_ns(1), seek_ns(68), seek_ns(202)) == (0, 10 * MS, 50 * MS, 85 * MS)
    assert all(seek_ns(n) < seek_ns(n + 1) for n in range(202))


def test_a_sector_passes_in_a_twelfth_of_a_turn() -> None:
    there = bench()
    there.give(READ, words=12 * 256)
    taken = there.until_ready()
    assert 39 * MS <= taken <= 80 * MS  # at most a turn until sector 0 comes, then one turn


def test_a_seek_frees_the_controller_and_tells_of_its_arrival() -> None:
    there = Bench({0: cartridge("cartridge-2mb"), 2: cartridge("cartridge-2mb")}, vectors=((0o220, 5),))
    there.write(CONTROL, ENABLE)
    there.grants()
    there.give(SEEK, block=24 * 68, unit=2, more=ENABLE)
    assert there.until_ready() < MS
    assert there.grants() == [0o220]
    assert not there.read(STATUS) & 0o100  # the arm of drive 2 is on the way
    there.wait(51 * MS)
    assert there.grants() == [0o220]
    assert there.read(CONTROL) & FOUND
    assert there.read(STATUS) >> 13 == 2
    assert there.read(STATUS) & 0o100


def test_seeks_of_several_drives_overlap_and_each_is_told() -> None:
    there = Bench({unit: cartridge("cartridge-2mb") for unit in range(3)}, vectors=((0o220, 5),))
    for unit, cylinder in enumerate((60, 30, 90)):
        there.give(SEEK, block=24 * cylinder, unit=unit, more=ENABLE)
        there.until_ready()
    there.grants()
    there.rest()
    told = []
    for _ in range(3):
        assert there.read(CONTROL) & FOUND
        told.append(there.read(STATUS) >> 13)
        there.give(LOCK, more=ENABLE)  # the next function makes room for the next one
        there.until_ready()
    assert told == [1, 0, 2]  # as they arrive


def test_ready_interrupts_and_the_enable_too_by_the_edge_rule() -> None:
    """Level 5, vector 220; the enable while READY is 1: unconfirmed."""
    there = bench(vectors=((0o220, 5),))
    there.write(CONTROL, ENABLE)
    assert there.grants(5) == []
    assert there.grants() == [0o220]
    assert there.do(READ, more=ENABLE) == 0
    assert there.grants() == [0o220]
    assert there.grants() == []


@pytest.mark.parametrize("how", [{"unit": 2}, {"unit": 1}, {"block": 203 * 24}, {"more": FORMAT | ENABLE}])
def test_a_function_refused_at_its_start_interrupts_too(how: dict[str, Any]) -> None:
    """READY returns at the end and interrupts if enabled: firm, small-cartridge-manual."""
    there = Bench({0: cartridge("cartridge-2mb"), 1: None}, vectors=((0o220, 5),))
    there.write(CONTROL, ENABLE)
    there.grants()
    assert there.do(**{"function": WRITE_CHECK, "more": ENABLE, **how})
    assert there.grants() == [0o220]


def test_a_transfer_and_a_seek_wait_for_an_arm_that_moves() -> None:
    """85 ms for the longest way, 10 to the next track [small-cartridge-pages]."""
    there = bench()
    there.do(SEEK, block=24 * 202)
    there.give(READ, block=24 * 202)
    assert there.until_ready() >= 85 * MS
    there = bench()
    there.do(SEEK, block=24 * 202)
    began = there.raw.time_ns
    there.do(SEEK, block=24 * 201)
    while not there.read(CONTROL) & FOUND:
        assert there.jump()
    assert there.raw.time_ns - began >= 95 * MS


def test_a_write_does_not_go_on_upon_another_cartridge() -> None:
    """Derived: a drive without its cartridge is not ready."""
    there = bench()
    there.give(WRITE, words=256 * 6)
    there.jump()
    there.machine.drives.take_out("x:0")
    there.drive().medium = cartridge("cartridge-2mb")
    there.machine._controllers.by_device[0].changed(0)
    there.until_ready()
    there.rest()
    assert there.read(ERRORS) == DRIVE_ERROR
    assert there.content() == IMAGE


def test_the_disk_address_can_not_be_loaded_while_it_runs() -> None:
    there = bench()
    there.give(READ, words=512)
    there.write(DISK, 0o7777)
    there.until_ready()
    assert there.read(DISK) == 2


def test_initialise_stops_a_transfer() -> None:
    there = bench()
    there.give(READ, words=256 * 12, at=AT)
    there.wait(20 * MS)
    there.initialise()
    there.rest()
    assert [there.read(r) for r in (CONTROL, ERRORS, COUNT, ADDRESS, DISK)] == [READY, 0, 0, 0, 0]


# --- freeze, host, any program ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("steps", range(1, 7))
def test_a_machine_frozen_in_the_middle_goes_on_the_same(steps: int) -> None:
    there = bench()
    there.machine.memory[AT : AT + 3000] = bytes(range(250)) * 12
    there.give(WRITE, block=70, words=1500)
    for _ in range(steps):
        there.jump()
    other = there.twin()
    for one in (there, other):
        one.until_ready()
        one.rest()
    assert there.machine.freeze() == other.machine.freeze()
    assert other.content()[70 * SECTOR :][:3000] == bytes(range(250)) * 12


def test_a_host_that_fails_takes_the_drive_off_line(monkeypatch: pytest.MonkeyPatch) -> None:
    there = bench()

    def full(*_: object) -> None:
        raise MediumFullError("no space")

    medium = there.drive().medium
    monkeypatch.setattr(medium, "write", full)
    assert there.do(WRITE) == DRIVE_ERROR
    assert there.machine.told == ("x: unit 0 went off line: the host has no room for its writes (no space)",)
    there.do(RESET)
    assert not there.read(STATUS) & 0o200  # not ready any more
    assert there.do(READ) == DRIVE_ERROR
    monkeypatch.undo()
    assert there.content() == IMAGE


SMALL = 40  # blocks a program works on, so that it meets its own writes


class AnyProgram(RuleBasedStateMachine):
    """Right and wrong programs against plain bytes."""

    def __init__(self) -> None:
        super().__init__()
        self.plain = {0: bytearray(IMAGE), 1: bytearray(IMAGE)}
        self.bench = Bench({0: cartridge("cartridge-2mb"), 1: cartridge("cartridge-2mb"), 2: None})

    def calm(self) -> None:
        """Ready, without errors."""
        self.bench.until_ready()
        self.bench.write(CONTROL, GO)
        self.bench.until_ready()

    @rule(unit=st.integers(0, 1), block=st.integers(0, SMALL), words=st.integers(1, 700), seed=st.integers(0, 255))
    def write(self, unit: int, block: int, words: int, seed: int) -> None:
        self.calm()
        data = bytes((seed + n) & 0o377 for n in range(2 * words))
        self.bench.machine.memory[AT : AT + len(data)] = data
        wrong = self.bench.do(WRITE, unit=unit, block=block, words=words)
        drive = self.bench.drive(unit)
        assert wrong == (LOCKED if drive.protected or drive.state.get("locked") else 0)
        if not wrong:
            whole = data + bytes(-len(data) % SECTOR)
            self.plain[unit][block * SECTOR : block * SECTOR + len(whole)] = whole
        self.calm()

    @rule(unit=st.integers(0, 1), block=st.integers(0, SMALL), words=st.integers(1, 700))
    def read(self, unit: int, block: int, words: int) -> None:
        self.calm()
        assert self.bench.do(READ, unit=unit, block=block, words=words) == 0
        data = self.bench.machine.memory[AT : AT + 2 * words]
        assert data == bytes(self.plain[unit][block * SECTOR :][: 2 * words])

    @rule(unit=st.integers(0, 1), block=st.integers(0, LAST))
    def seek(self, unit: int, block: int) -> None:
        self.calm()
        assert self.bench.do(SEEK, unit=unit, block=block) == 0

    @rule(unit=st.integers(0, 1), on=st.booleans())
    def protect(self, unit: int, on: bool) -> None:
        self.bench.machine.drives.protect(f"x:{unit}", on)

    @rule(unit=st.integers(0, 3))
    def lock(self, unit: int) -> None:
        self.calm()
        assert self.bench.do(LOCK, unit=unit) == {2: DRIVE_ERROR, 3: NO_DRIVE}.get(unit, 0)
        self.calm()

    @rule(
        register=st.sampled_from([STATUS, ERRORS, COUNT, ADDRESS, DISK, 0o177414, 0o177416]),
        word=st.integers(0, 0o177777),
    )
    def garbage(self, register: int, word: int) -> None:
        """Anything into any register; only a function with GO can touch a medium."""
        self.bench.write(register, word)

    @rule(word=st.integers(0, 0o177777), where=st.integers(0, 0o177777), wait=st.integers(0, 100 * MS))
    def any_function_that_does_not_write(self, word: int, where: int, wait: int) -> None:
        if (word >> 1 & 7) in (WRITE, LOCK):
            word ^= 0o16
        self.bench.write(DISK, where)
        self.bench.write(COUNT, 0o177000)
        self.bench.write(CONTROL, word)
        self.bench.wait(wait)

    @rule(byte=st.integers(0, 255), high=st.booleans())
    def a_byte_into_control(self, byte: int, high: bool) -> None:
        self.bench.write_byte(CONTROL + high, byte & ~1 if not high else byte)

    @rule(wait=st.integers(0, 300 * MS))
    def time_passes(self, wait: int) -> None:
        self.bench.wait(wait)

    @rule()
    def initialise(self) -> None:
        self.bench.initialise()

    @precondition(lambda self: self.bench.read(CONTROL) & READY)
    @rule()
    def thawed(self) -> None:
        self.bench = self.bench.twin()

    @rule()
    def comes_to_rest(self) -> None:
        self.calm()
        self.bench.rest()

    @invariant()
    def no_data_differ(self) -> None:
        for unit, plain in self.plain.items():
            medium = self.bench.drive(unit).medium
            assert isinstance(medium, HeldMedium)
            for number, sector in medium.apart.items():
                assert sector == bytes(plain[number * SECTOR : (number + 1) * SECTOR])


class ManyPrograms(AnyProgram):
    """The same for longer."""


AnyProgram.TestCase.settings = settings(max_examples=12, stateful_step_count=25, derandomize=True, deadline=None)
ManyPrograms.TestCase.settings = settings(max_examples=600, stateful_step_count=25, derandomize=True, deadline=None)
test_any_program = AnyProgram.TestCase
test_many_programs = pytest.mark.slow(ManyPrograms.TestCase)
