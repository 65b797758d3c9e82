"""Cartridge disk of the 5 and 10 MB class: facts, devices section 7, and its assertions A29, A31, A33.

Layout and geometry: seen, cartridge-disk-wiki.  Codes: derived, cartridge-disk-driver-header.  The rest: from memory,
firm, unless a test says so.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from minisim.devices.cartridge_disk_10mb import check_word, seek_ns
from minisim.media.held import HeldMedium
from minisim.media.overlay import MediumFullError

from .disks import DiskBench, cartridge, geometry, numbered

CONTROL, ADDRESS, DISK, MANY, HIGH = 0o174400, 0o174402, 0o174404, 0o174406, 0o174410
NOTHING, WRITE_CHECK, GET_STATUS, SEEK, READ_HEADER, WRITE, READ, READ_BLIND = range(8)
ANY, DRIVE_ERROR, NO_MEMORY, LATE, CHECK, INCOMPLETE, READY, ENABLE, DRIVE_READY = (
    0o100000, 0o40000, 0o20000, 0o10000, 0o4000, 0o2000, 0o200, 0o100, 1,
)  # fmt: skip
ERRORS = 0o176000
AT, SECTOR, MS = 0o4000, 256, 1_000_000
KINDS = {"cartridge-5mb": 256, "cartridge-10mb": 512}
IMAGES = {kind: numbered(geometry(kind)) for kind in KINDS}
IMAGE = IMAGES["cartridge-5mb"]


class Bench(DiskBench):
    """The controller."""

    device, control = "cartridge-disk-10mb", CONTROL

    def do(self, function: int, disk: int = 0, *, unit: int = 0, words: int = 0, at: int = AT, more: int = 0) -> int:
        """A function to its end; gives the error bits."""
        self.write(DISK, disk)
        self.write(ADDRESS, at & 0o177777)
        if words:
            self.write(MANY, -words & 0o177777)
        self.write(CONTROL, more | unit << 8 | (at >> 16 & 3) << 4 | function << 1)
        self.until_ready()
        return self.read(CONTROL) & ERRORS

    def status(self, unit: int = 0, *, reset: bool = False) -> int:
        """The drive status word."""
        self.do(GET_STATUS, 0o13 if reset else 3, unit=unit)
        return self.read(MANY)

    def seek(self, cylinder: int, head: int = 0, unit: int = 0) -> None:
        """By the difference from where the arm stands, and wait for it."""
        assert self.do(READ_HEADER, unit=unit) == 0
        here = self.read(MANY) >> 7
        word = abs(cylinder - here) << 7 | head << 4 | (4 if cylinder > here else 0) | 1
        assert self.do(SEEK, word, unit=unit) == 0
        self.rest()


def bench(kind: str = "cartridge-5mb", *, fresh: bool = False, **changes: Any) -> Bench:
    """One drive, whose volume check has been seen to unless it is fresh."""
    there = Bench({0: cartridge(kind)}, **changes)
    if not fresh:
        there.status(reset=True)
    return there


def test_after_initialise_it_is_ready_and_tells_of_drive_0() -> None:
    there = bench()
    for register in (ADDRESS, DISK, MANY):
        there.write(register, 0o1234)
    there.initialise()
    assert [there.read(r) for r in (CONTROL, ADDRESS, DISK, MANY)] == [0o201, 0, 0, 0]
    assert Bench({1: cartridge("cartridge-5mb")}).read(CONTROL) == 0o200


@pytest.mark.parametrize(
    ("register", "seen"), [(CONTROL, 0o1776 | READY), (ADDRESS, 0o177776), (DISK, 0o177777), (MANY, 0)]
)
def test_which_bits_can_be_written(register: int, seen: int) -> None:
    """Controller ready is the controller's; what is written to 774406 is the count."""
    there = Bench({})
    there.write(register, 0o177777)
    assert there.read(register) == seen


def test_the_fifth_register_is_on_the_board_with_22_address_lines_only() -> None:
    there = bench(dma_bits=22)
    there.write(HIGH, 0o177777)
    assert there.read(HIGH) == 0o77
    assert there.read(CONTROL) & 0o60 == 0o60  # two of them stand in both (unconfirmed)
    there.write(CONTROL, READY)
    assert there.read(HIGH) == 0o74
    with pytest.raises(Exception, match="nobody answers"):
        bench().read(HIGH)


@pytest.mark.parametrize(("kind", "word"), [("cartridge-5mb", 0o35), ("cartridge-10mb", 0o235)])
def test_a_good_idle_drive_gives_its_status(kind: str, word: int) -> None:
    """000035 or 000235, +100 with head 1 (derived)."""
    there = bench(kind)
    assert there.status() == word
    there.seek(0, head=1)
    assert there.status() == word + 0o100
    there.machine.drives.protect("x:0")
    assert there.status() == word + 0o100 + 0o20000


def test_a29_the_first_access_must_be_a_get_status_with_reset() -> None:
    there = bench(fresh=True)
    assert there.do(READ_HEADER) == ANY | DRIVE_ERROR
    assert there.status() & 0o1000  # volume check; looking does not clear it
    assert there.read(CONTROL) & ERRORS == ANY | DRIVE_ERROR
    assert there.do(SEEK, 0o201) == ANY | DRIVE_ERROR
    assert not there.status(reset=True) & 0o1000
    assert there.do(READ_HEADER) == 0
    there.machine.drives.take_out("x:0")
    there.drive().medium = cartridge("cartridge-5mb")
    there.machine._controllers.by_device[0].changed(0)  # another pack
    assert there.do(READ_HEADER) == ANY | DRIVE_ERROR


def test_a31_a_read_on_another_cylinder_finds_no_header() -> None:
    there = bench()
    there.write(MANY, 0o177400)
    assert there.do(READ, 1 << 7, words=256) == ANY | LATE | INCOMPLETE
    assert there.do(READ, 1 << 6, words=256) == ANY | LATE | INCOMPLETE  # or under the other head
    assert there.do(READ, 40, words=256) == ANY | LATE | INCOMPLETE  # or a sector that is not there
    assert there.do(READ, 0, words=256) == 0  # starting clears the errors


def test_a33_a_seek_frees_the_controller_and_the_arrival_does_not_interrupt() -> None:
    there = bench(vectors=((0o160, 5),))
    there.write(CONTROL, READY | ENABLE)
    there.grants()
    assert there.do(SEEK, 85 << 7 | 5, more=ENABLE) == 0
    assert there.grants() == [0o160]
    assert not there.read(CONTROL) & DRIVE_READY
    there.wait(54 * MS)
    assert not there.read(CONTROL) & DRIVE_READY  # average 55 ms, a third of the way
    there.wait(2 * MS)
    assert there.read(CONTROL) & DRIVE_READY
    assert there.grants() == []


@pytest.mark.parametrize("kind", KINDS)
def test_arms_take_the_published_times(kind: str) -> None:
    """Track to track 15 ms, average 55, longest 100 [cartridge-disk-wiki]."""
    many = KINDS[kind]
    times = [seek_ns(n, many) for n in (0, 1, many // 3, many - 1)]
    assert times == [0, 15 * MS, 55 * MS, 100 * MS]
    assert all(seek_ns(n, many) <= seek_ns(n + 1, many) for n in range(many - 1))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(("word", "cylinder"), [(255 << 7 | 5, 255), (9 << 7 | 1, 0), (7 << 7 | 5, 12)])
def test_a_difference_too_large_stops_at_the_end(kind: str, word: int, cylinder: int) -> None:
    """Unconfirmed."""
    there = bench(kind)
    there.seek(5)
    if kind == "cartridge-10mb" and cylinder == 255:
        word, cylinder = 511 << 7 | 5, 511
    there.do(SEEK, word)
    there.rest()
    assert there.do(READ_HEADER) == 0
    assert there.read(MANY) >> 7 == cylinder


@pytest.mark.parametrize(("kind", "cylinder"), [("cartridge-5mb", 3), ("cartridge-10mb", 259)])
def test_the_difference_of_the_smaller_drive_has_eight_bits(kind: str, cylinder: int) -> None:
    """15-7, 14-7 on the 5 MB drive [cartridge-disk-wiki]."""
    there = bench(kind)
    there.do(SEEK, 0o100000 | 3 << 7 | 5)
    there.rest()
    assert there.do(READ_HEADER) == 0
    assert there.read(MANY) >> 7 == cylinder


def test_a_header_is_three_words() -> None:
    """The header, 0, its check word [cartridge-disk-wiki]; which polynomial is unconfirmed."""
    there = bench()
    there.seek(5, head=1)
    assert there.do(READ_HEADER) == 0
    header, nothing, check = (there.read(MANY) for _ in range(3))
    assert header & ~0o77 == 5 << 7 | 1 << 6
    assert header & 0o77 < 40
    assert (nothing, check) == (0, check_word(header))


@pytest.mark.parametrize(
    ("kind", "block", "word"),
    [
        ("cartridge-5mb", 0, 0),
        ("cartridge-5mb", 19, 0o46),
        ("cartridge-5mb", 20, 0o100),
        ("cartridge-5mb", 40, 0o200),
        ("cartridge-5mb", 10239, 0o77746),
        ("cartridge-10mb", 20479, 0o177746),
    ],
)
def test_blocks_lie_where_the_check_values_say(kind: str, block: int, word: int) -> None:
    """Facts, devices 16.2 (derived)."""
    there = bench(kind)
    there.seek(word >> 7, word >> 6 & 1)
    assert there.do(READ, word, words=256) == 0
    assert there.machine.memory[AT : AT + 512] == IMAGES[kind][block * 512 : (block + 1) * 512]
    assert there.read(ADDRESS) == AT + 512
    assert there.read(DISK) == word + 2


def test_no_transfer_leaves_its_track() -> None:
    """Past sector 39 no header is found; the longest is 40 sectors (derived)."""
    there = bench()
    assert there.do(READ, 38, words=2 * 128 + 1) == ANY | LATE | INCOMPLETE
    assert there.machine.memory[AT : AT + 512] == IMAGE[38 * SECTOR : 40 * SECTOR]
    assert there.do(READ, 0, words=40 * 128) == 0
    assert there.machine.memory[AT : AT + 40 * SECTOR] == IMAGE[: 40 * SECTOR]


@pytest.mark.parametrize("count", [0o160000, 0])
def test_the_largest_count_runs_off_the_track(count: int) -> None:
    """-8192 is a count whose upper bits are 1; that 0 goes as far is unconfirmed."""
    there = bench()
    there.machine.memory[AT : AT + 2 * SECTOR] = bytes([0o252]) * 2 * SECTOR
    there.write(DISK, 38)
    there.write(ADDRESS, AT)
    there.write(MANY, count)
    there.write(CONTROL, WRITE << 1)
    there.until_ready()
    assert there.read(CONTROL) & ERRORS == ANY | LATE | INCOMPLETE
    assert there.content() == IMAGE[: 38 * SECTOR] + bytes([0o252]) * 2 * SECTOR + IMAGE[40 * SECTOR :]


def test_a_write_does_not_go_on_upon_another_cartridge() -> None:
    """Volume check, once heads load; the errors beside it are unconfirmed."""
    there = bench()
    there.seek(10)
    there.write(DISK, 10 << 7)
    there.write(ADDRESS, AT)
    there.write(MANY, -20 * 128 & 0o177777)
    there.write(CONTROL, WRITE << 1)
    there.jump()
    there.machine.drives.take_out("x:0")
    there.drive().medium = cartridge("cartridge-5mb")
    there.machine._controllers.by_device[0].changed(0)
    there.until_ready()
    assert there.read(CONTROL) & ERRORS == ANY | DRIVE_ERROR | INCOMPLETE
    assert there.content() == IMAGE


def test_a_write_of_part_of_a_sector_fills_it_with_zeros() -> None:
    there = bench()
    there.machine.memory[AT : AT + 300] = bytes(range(150)) * 2
    assert there.do(WRITE, 7, words=150) == 0
    wanted = IMAGE[: 7 * SECTOR] + bytes(range(150)) * 2 + bytes(2 * SECTOR - 300) + IMAGE[9 * SECTOR :]
    assert there.content() == wanted


def test_write_check_and_bad_sectors_show_a_data_check() -> None:
    """010: data check, or unequal data in write check."""
    there = Bench({0: cartridge("cartridge-5mb", bad=[3])})
    there.status(reset=True)
    there.machine.memory[AT : AT + SECTOR] = IMAGE[:SECTOR]
    assert there.do(WRITE_CHECK, 0, words=128) == 0
    there.machine.memory[AT] = 0o333
    assert there.do(WRITE_CHECK, 0, words=128) == ANY | CHECK
    assert there.do(READ, 3, words=128) == ANY | CHECK


def test_read_without_header_check_takes_the_sectors_as_they_come() -> None:
    there = bench()
    assert there.do(READ_BLIND, 0o12300, words=40 * 128) == 0
    data = there.machine.memory[AT : AT + 40 * SECTOR]
    first = next(n for n in range(40) if IMAGE[n * SECTOR : (n + 1) * SECTOR] == data[:SECTOR])
    assert data == IMAGE[first * SECTOR : 40 * SECTOR] + IMAGE[: first * SECTOR]


def test_a_protected_drive_is_not_written() -> None:
    """Write gate error, bit 10 of its status, which shows as drive error; a reset clears it."""
    there = bench()
    there.machine.drives.protect("x:0")
    assert there.do(WRITE, 0, words=128) == ANY | DRIVE_ERROR
    assert there.status() & 0o2000
    assert not there.status(reset=True) & 0o2000
    assert there.content() == IMAGE
    assert there.do(READ, 0, words=128) == 0


@pytest.mark.parametrize("function", [GET_STATUS, SEEK, READ_HEADER, READ])
def test_a_drive_that_is_not_there_times_out(function: int) -> None:
    """001: timed out, 200 ms; that it is this error is unconfirmed."""
    there = bench()
    began = there.raw.time_ns
    assert there.do(function, 3, unit=2, words=128) == ANY | INCOMPLETE
    assert there.raw.time_ns - began >= 200 * MS


def test_an_empty_drive_answers_with_its_state_only() -> None:
    there = Bench({0: None})
    assert there.status() & 0o207 == 0  # load cartridge
    there.drive().cylinders = 512
    assert there.status() & 0o207 == 0o200  # the larger kind
    assert there.do(READ_HEADER) == ANY | INCOMPLETE


def test_dma_into_nothing_and_without_a_grant() -> None:
    there = bench()
    assert there.do(READ, 0, words=128, at=0o160000 - 10) == ANY | NO_MEMORY
    assert there.machine.memory[0o160000 - 10 : 0o160000] == IMAGE[:10]
    late = bench(dma_granted=False)
    assert late.do(READ, 0, words=128) == ANY | LATE
    assert late.content() == IMAGE


@pytest.mark.parametrize(("lines", "place"), [(22, 0o1004000), (18, 0o4000)])
def test_words_land_as_high_as_the_board_has_lines(lines: int, place: int) -> None:
    """18 lines on a bus of 22: 256 KB too low."""
    there = bench(dma_bits=lines, memory=0o2000000)
    there.write(DISK, 0)
    there.write(MANY, -128 & 0o177777)
    there.write(ADDRESS, AT)
    if lines == 22:
        there.write(HIGH, 4)
    there.write(CONTROL, READ << 1)
    there.until_ready()
    assert there.machine.memory[place : place + SECTOR] == IMAGE[:SECTOR]


def test_it_starts_only_when_ready_is_written_as_0_and_runs_one_function_at_a_time() -> None:
    there = bench()
    there.write(DISK, 0)
    there.write(MANY, -128 & 0o177777)
    there.write(ADDRESS, AT)
    there.write(CONTROL, READY | READ << 1)
    assert there.read(CONTROL) & READY
    there.write(CONTROL, READ << 1)
    there.write(CONTROL, GET_STATUS << 1)  # not now
    there.until_ready()
    assert there.machine.memory[AT : AT + SECTOR] == IMAGE[:SECTOR]


@pytest.mark.parametrize("steps", range(1, 5))
def test_a_machine_frozen_in_the_middle_goes_on_the_same(steps: int) -> None:
    there = bench()
    there.do(SEEK, 40 << 7 | 5)
    there.write(MANY, -500 & 0o177777)
    there.write(ADDRESS, AT)
    there.write(DISK, 40 << 7)
    there.write(CONTROL, READ << 1)
    for _ in range(steps):
        there.jump()
    other = there.twin()
    for one in (there, other):
        one.until_ready()
        one.rest()
    assert there.machine.freeze() == other.machine.freeze()
    assert other.machine.memory[AT : AT + 1000] == IMAGE[40 * 80 * SECTOR :][:1000]


def test_a_host_that_fails_takes_the_drive_off_line(monkeypatch: pytest.MonkeyPatch) -> None:
    there = bench()

    def full(*_: object) -> None:
        raise MediumFullError("no space")

    monkeypatch.setattr(there.drive().medium, "write", full)
    assert there.do(WRITE, 0, words=128) == ANY | INCOMPLETE
    assert there.machine.told == ("x: unit 0 went off line: the host has no room for its writes (no space)",)
    assert not there.read(CONTROL) & DRIVE_READY
    assert there.content() == IMAGE


class AnyProgram(RuleBasedStateMachine):
    """Right and wrong programs against plain bytes; tracks 0 to 3."""

    def __init__(self) -> None:
        super().__init__()
        self.plain = {0: bytearray(IMAGE), 1: bytearray(IMAGES["cartridge-10mb"])}
        self.bench = Bench({0: cartridge("cartridge-5mb"), 1: cartridge("cartridge-10mb"), 2: None})

    def go_to(self, unit: int, cylinder: int, head: int) -> None:
        """Without errors, with the arm where it is wanted."""
        self.bench.until_ready()
        self.bench.rest()
        self.bench.status(unit, reset=True)
        self.bench.seek(cylinder, head, unit)

    @rule(unit=st.integers(0, 1), cylinder=st.integers(0, 1), head=st.integers(0, 1), sector=st.integers(0, 39),
          words=st.integers(1, 600), seed=st.integers(0, 255))  # fmt: skip
    def write(self, unit: int, cylinder: int, head: int, sector: int, words: int, seed: int) -> None:
        words = min(words, (40 - sector) * 128)
        data = bytes((seed + n) & 0o377 for n in range(2 * words))
        self.bench.machine.memory[AT : AT + len(data)] = data
        self.go_to(unit, cylinder, head)
        wrong = self.bench.do(WRITE, cylinder << 7 | head << 6 | sector, unit=unit, words=words)
        assert bool(wrong) == self.bench.drive(unit).protected
        if not wrong:
            at = ((cylinder * 2 + head) * 40 + sector) * SECTOR
            whole = data + bytes(-len(data) % SECTOR)
            self.plain[unit][at : at + len(whole)] = whole

    @rule(unit=st.integers(0, 1), cylinder=st.integers(0, 1), head=st.integers(0, 1), sector=st.integers(0, 39),
          words=st.integers(1, 600))  # fmt: skip
    def read(self, unit: int, cylinder: int, head: int, sector: int, words: int) -> None:
        words = min(words, (40 - sector) * 128)
        self.go_to(unit, cylinder, head)
        assert self.bench.do(READ, cylinder << 7 | head << 6 | sector, unit=unit, words=words) == 0
        at = ((cylinder * 2 + head) * 40 + sector) * SECTOR
        assert self.bench.machine.memory[AT : AT + 2 * words] == bytes(self.plain[unit][at : at + 2 * words])

    @rule(unit=st.integers(0, 1), on=st.booleans())
    def protect(self, unit: int, on: bool) -> None:
        self.bench.machine.drives.protect(f"x:{unit}", on)

    @rule(register=st.sampled_from([ADDRESS, DISK, MANY]), word=st.integers(0, 0o177777))
    def garbage(self, register: int, word: int) -> None:
        self.bench.write(register, word)

    @rule(word=st.integers(0, 0o177777), where=st.integers(0, 0o177777), wait=st.integers(0, 100 * MS))
    def any_function_that_does_not_write(self, word: int, where: int, wait: int) -> None:
        if (word >> 1 & 7) == WRITE:
            word ^= 2
        self.bench.write(DISK, where)
        self.bench.write(MANY, 0o177000)
        self.bench.write(CONTROL, word)
        self.bench.wait(wait)

    @rule(byte=st.integers(0, 255), high=st.booleans())
    def a_byte_into_control(self, byte: int, high: bool) -> None:
        self.bench.write_byte(CONTROL + high, byte if high else byte | READY)

    @rule()
    def initialise(self) -> None:
        self.bench.initialise()

    @rule()
    def thawed(self) -> None:
        self.bench = self.bench.twin()

    @rule()
    def comes_to_rest(self) -> None:
        self.bench.until_ready()
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


AnyProgram.TestCase.settings = settings(max_examples=3, stateful_step_count=20, derandomize=True, deadline=None)
ManyPrograms.TestCase.settings = settings(max_examples=300, stateful_step_count=20, derandomize=True, deadline=None)
test_any_program = AnyProgram.TestCase
test_many_programs = pytest.mark.slow(ManyPrograms.TestCase)
