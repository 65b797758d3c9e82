"""Programmable clock, section 3 of the facts."""

import pytest

from minisim.devices._device import Placement

from .workbench import Workbench

STATUS, PRESET, COUNTER = 0o172540, 0o172542, 0o172544
ERROR, DONE, ENABLE, STEP, UP, REPEAT, RUN = 0o100000, 0o200, 0o100, 0o40, 0o20, 0o10, 1
FAST, SLOW, MAINS, EVENTS = 0, 2, 4, 6
PERIOD = {FAST: 10_000, SLOW: 100_000, MAINS: 16_666_667}  # programmable-clock-manual; 60 pulses a second


def clock(**changes: object) -> Workbench:
    """A clock board."""
    return Workbench(Placement("programmable-clock", "main/a/7CF", vectors=((0o104, 6),), **changes))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("written", "seen"),
    [
        (0o177777 & ~STEP & ~RUN, ENABLE | UP | REPEAT | EVENTS),  # programmable-clock-manual; places of the bits: firm
        (ENABLE, ENABLE), (UP, UP), (REPEAT, REPEAT), (SLOW, SLOW), (MAINS, MAINS), (EVENTS, EVENTS), (RUN, RUN),
        (ERROR | DONE, 0),  # firm: read only
        (STEP, 0),  # unconfirmed: reads as 0
    ],
)  # fmt: skip
def test_every_bit_of_the_status(written: int, seen: int) -> None:
    bench = clock()
    bench.write(PRESET, 5)
    bench.write(STATUS, written)
    assert bench.read(STATUS) == seen
    bench.initialise()
    assert bench.read(STATUS) == 0  # firm


@pytest.mark.parametrize("rate", PERIOD)
@pytest.mark.parametrize(("up", "preset", "first"), [(0, 3, 2), (UP, 0o177775, 0o177776)])
def test_a15_single_gives_one_interrupt_and_stops_at_zero(rate: int, up: int, preset: int, first: int) -> None:
    bench = clock()
    bench.write(PRESET, preset)
    bench.write(STATUS, ENABLE | RUN | rate | up)
    bench.wait(PERIOD[rate] - 1)
    assert bench.read(COUNTER) == preset
    bench.wait(1)
    assert bench.read(COUNTER) == first  # programmable-clock-manual: it can be read while it runs
    bench.wait(2 * PERIOD[rate] - 1)
    assert bench.grants() == []
    bench.wait(1)
    assert bench.grant(priority=6) is None  # os-commentary: level 6
    assert bench.grants(priority=5) == [0o104]  # A15, programmable-clock-manual
    bench.wait(10 * PERIOD[rate])
    assert bench.read(COUNTER) == 0  # A15
    assert bench.read(STATUS) == DONE | ENABLE | rate | up  # A15: run has dropped, and no error
    assert bench.grants() == []


@pytest.mark.parametrize("rate", PERIOD)
def test_a15_repeat_interrupts_again_and_again(rate: int) -> None:
    bench = clock()
    bench.write(PRESET, 4)
    bench.write(STATUS, ENABLE | RUN | REPEAT | rate)
    for _ in range(5):
        bench.wait(4 * PERIOD[rate] - 1)
        assert bench.grants() == []
        bench.wait(1)
        assert bench.grants() == [0o104]  # A15, programmable-clock-manual
        assert bench.read(COUNTER) == 4
        assert bench.read(STATUS) == DONE | ENABLE | RUN | REPEAT | rate


def test_the_longest_run_is_65536_counts() -> None:
    bench = clock()
    bench.write(PRESET, 0)
    bench.write(STATUS, RUN)
    bench.wait(655_360_000 - 1)
    assert bench.read(STATUS) == RUN
    bench.wait(1)
    assert bench.read(STATUS) == DONE  # arithmetic: 655.36 ms


def test_zero_again_before_done_was_read_is_an_error() -> None:
    bench = clock()
    bench.write(PRESET, 2)
    bench.write(STATUS, ENABLE | RUN | REPEAT)
    bench.wait(4 * PERIOD[FAST])
    assert bench.grants() == [0o104]  # firm: an edge, so one request only
    assert bench.read(STATUS) == ERROR | DONE | ENABLE | RUN | REPEAT  # firm
    assert bench.read(STATUS) == ENABLE | RUN | REPEAT  # unconfirmed: reading clears both


def test_done_that_is_read_before_the_grant_takes_the_request_back() -> None:
    bench = clock()
    bench.write(PRESET, 1)
    bench.write(STATUS, ENABLE | RUN)
    bench.wait(PERIOD[FAST])
    assert bench.read(STATUS) == DONE | ENABLE
    assert bench.grants() == []  # firm: the edge rule


def test_loading_the_buffer_loads_the_counter_which_can_not_be_written() -> None:
    bench = clock()
    bench.write(PRESET, 0o1234)
    bench.write(COUNTER, 1)
    assert bench.read(COUNTER) == 0o1234  # unconfirmed; that it is read-only: programmable-clock-manual
    assert bench.read(PRESET) == 0  # programmable-clock-manual: write-only


def test_events_are_counted_only_at_their_rate_and_while_it_runs() -> None:
    bench = clock()
    bench.write(PRESET, 3)
    for status, left in ((EVENTS, 3), (RUN | MAINS, 3), (RUN | EVENTS | ENABLE, 2), (RUN | EVENTS | ENABLE, 1)):
        bench.write(STATUS, status)
        bench.machine.count_event()
        assert bench.read(COUNTER) == left  # programmable-clock-manual
    bench.wait(1_000_000_000)
    assert (bench.read(COUNTER), bench.grants()) == (1, [])
    bench.machine.count_event()
    assert bench.grants() == [0o104]
    assert bench.read(STATUS) == DONE | EVENTS | ENABLE


def test_the_maintenance_bit_counts_one_step() -> None:
    bench = clock()
    bench.write(PRESET, 5)
    for written, left in ((STEP, 4), (STEP | UP, 5), (UP, 5)):
        bench.write(STATUS, written)
        assert bench.read(COUNTER) == left  # unconfirmed
    bench.write_byte(STATUS + 1, 0)
    assert bench.read(COUNTER) == 5


def test_a_change_of_rate_while_it_runs_leaves_one_source_counting() -> None:
    bench = clock()
    bench.write(PRESET, 100)
    bench.write(STATUS, RUN)
    bench.wait(5 * PERIOD[FAST])
    bench.write(STATUS, RUN | SLOW)
    bench.wait(PERIOD[SLOW])
    assert bench.read(COUNTER) == 94  # arithmetic
    bench.write(STATUS, 0)
    bench.wait(10 * PERIOD[SLOW])
    assert bench.read(COUNTER) == 94


def test_initialise_stops_it_and_without_mains_nothing_comes_at_that_rate() -> None:
    bench = clock()
    bench.write(PRESET, 100)
    bench.write(STATUS, RUN)
    bench.initialise()
    bench.wait(1_000_000)
    assert (bench.read(STATUS), bench.read(COUNTER)) == (0, 100)  # firm: the status; unconfirmed: the counter
    bench = clock(pulses=False)
    bench.write(PRESET, 100)
    bench.write(STATUS, RUN | MAINS)
    bench.wait(1_000_000_000)
    assert bench.read(COUNTER) == 100


def test_where_no_grant_arrives_the_clock_runs_and_never_interrupts() -> None:
    bench = clock(granted=False)
    bench.write(PRESET, 1)
    bench.write(STATUS, ENABLE | RUN)
    bench.wait(PERIOD[FAST])
    assert (bench.grants(), bench.read(STATUS)) == ([], DONE | ENABLE)
    assert bench.machine.counters().refused == {"main/a/7CF": 1}
