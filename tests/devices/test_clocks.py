"""Line clock and event line."""

import pytest

import minisim
from minisim.devices._device import Placement

from .workbench import Workbench

STATUS = 0o177546
MONITOR, ENABLE = 0o200, 0o100
PULSE = 16_666_667  # 60 a second


def clock(**changes: object) -> Workbench:
    """A clock board."""
    return Workbench(Placement("line-clock", "main/a/3CF", vectors=((0o100, 6),), **changes))  # type: ignore[arg-type]


def test_a13_each_pulse_gives_one_interrupt_through_100_at_level_6() -> None:
    bench = clock()
    bench.write(STATUS, ENABLE)
    for _ in range(5):
        assert bench.grants() == []
        bench.wait(PULSE)
        assert bench.grant(priority=6) is None
        assert bench.grants(priority=5) == [0o100]  # line-clock-manual


@pytest.mark.parametrize(("setting", "rate"), [("50-hz", 50), ("60-hz", 60), ("", 60), ("800-hz", 800)])
def test_pulses_come_as_often_as_the_setting_says(setting: str, rate: int) -> None:
    bench = clock(settings={"clock": setting})
    bench.write(STATUS, ENABLE)
    seen = 0
    for _ in range(1000):
        bench.wait(1_000_000)
        seen += len(bench.grants())
    assert rate - 1 <= seen <= rate  # line-clock-manual: 50 or 60 a second


def test_after_initialise_the_register_reads_200() -> None:
    bench = clock()
    bench.write(STATUS, ENABLE)
    assert bench.read(STATUS) == ENABLE
    bench.initialise()
    assert bench.read(STATUS) == 0o000200  # from memory, firm


def test_the_monitor_bit_is_cleared_by_writing_0_and_not_set_by_writing_1() -> None:
    bench = clock()
    bench.write(STATUS, MONITOR)
    assert bench.read(STATUS) == MONITOR
    bench.write(STATUS, 0)
    assert bench.read(STATUS) == 0
    bench.write(STATUS, MONITOR)
    assert bench.read(STATUS) == 0  # line-clock-manual
    bench.wait(PULSE)
    assert bench.read(STATUS) == MONITOR


def test_a_high_byte_write_does_not_touch_the_monitor_bit() -> None:
    bench = clock()
    bench.write_byte(STATUS + 1, 0)
    assert bench.read(STATUS) == MONITOR


def test_without_the_enable_a_pulse_only_sets_the_flag() -> None:
    bench = clock()
    bench.write(STATUS, 0)
    bench.wait(PULSE)
    assert bench.read(STATUS) == MONITOR
    assert bench.grants() == []  # line-clock-wiki


def test_a_pulse_interrupts_whether_or_not_the_program_cleared_the_flag() -> None:
    bench = clock()
    bench.write(STATUS, ENABLE | MONITOR)
    bench.wait(PULSE)
    assert bench.grants() == [0o100]
    assert bench.read(STATUS) == MONITOR | ENABLE
    bench.wait(PULSE)
    assert bench.grants() == [0o100]  # unconfirmed


def test_the_acknowledge_clears_the_flag_of_the_latest_processors_only() -> None:
    for variant, left in (({}, MONITOR), ({"acknowledge-clears": "yes"}, 0)):  # unconfirmed
        bench = clock(variant=variant)
        bench.write(STATUS, ENABLE)
        bench.wait(PULSE)
        assert bench.grants() == [0o100]
        assert bench.read(STATUS) & MONITOR == left


def test_the_quad_chip_set_board_shows_no_monitor_bit() -> None:
    bench = clock(variant={"monitor": "no"})  # from memory, firm
    bench.wait(PULSE)
    assert bench.read(STATUS) == 0  # from memory, firm
    bench.write(STATUS, ENABLE)
    bench.wait(PULSE)
    assert bench.grants() == [0o100]


def test_the_clock_ticks_on_through_bus_initialise() -> None:
    bench = clock()
    bench.wait(PULSE // 2)
    bench.initialise()
    bench.write(STATUS, ENABLE)
    bench.wait(PULSE - PULSE // 2)
    assert bench.grants() == [0o100]


def test_without_line_frequency_the_register_answers_and_nothing_ticks() -> None:
    bench = clock(pulses=False)
    bench.write(STATUS, ENABLE)
    bench.wait(100 * PULSE)
    assert bench.read(STATUS) == ENABLE
    assert bench.grants() == []


def event(profile: str = "chipset-four-level", **changes: object) -> Workbench:
    """The event line of a processor of the multiplexed bus."""
    level = 4 if profile == "chipset-one-level" else 6
    placement = Placement("event-line", "main/a/1AB", vectors=((0o100, level),), **changes)  # type: ignore[arg-type]
    return Workbench(placement, profile=profile, bits=16 if level == 4 else 18)


def test_the_event_line_interrupts_without_a_register() -> None:
    bench = event()
    with pytest.raises(minisim.BusTimeout):
        bench.read(STATUS)  # from memory, firm
    bench.wait(PULSE)
    assert bench.grant(priority=6) is None
    assert bench.grants() == [0o100]


def test_the_first_chip_set_masks_the_event_line_with_bit_7_of_the_ps_alone() -> None:
    bench = event("chipset-one-level")
    bench.wait(PULSE)
    assert bench.grant(priority=4) is None
    assert bench.grants() == [0o100]  # from memory, firm


def test_the_boot_board_holds_the_event_line_down_until_the_program_lets_it_go() -> None:
    bench = event(gate=True, gated=True)
    bench.wait(PULSE)
    assert bench.grants() == []
    bench.write(STATUS, ENABLE)
    bench.wait(PULSE)
    assert bench.grants() == [0o100]
    bench.write(STATUS, 0)
    bench.wait(PULSE)
    assert bench.grants() == []  # unconfirmed


def test_a_read_of_the_clock_register_of_the_boot_board_times_out() -> None:
    bench = event(gate=True, gated=True)
    with pytest.raises(minisim.BusTimeout):
        bench.read(STATUS)  # not known; the model times out


def test_with_the_switch_off_the_program_can_not_hold_the_event_line_down() -> None:
    bench = event(gate=True)
    bench.write(STATUS, 0)
    bench.wait(PULSE)
    assert bench.grants() == [0o100]  # unconfirmed


@pytest.mark.parametrize("changes", [{"pulses": False}, {"settings": {"event-line": "off"}}])
def test_no_signal_or_a_jumper_off_gives_no_interrupt(changes: dict[str, object]) -> None:
    bench = event(**changes)
    bench.wait(10 * PULSE)
    assert bench.grants() == []
