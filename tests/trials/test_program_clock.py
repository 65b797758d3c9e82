"""The programs clock and event-line: they pass on every processor with such a clock, and fail without ticks."""

from __future__ import annotations

from typing import Any

import pytest
from program_rig import placement, rig

from minisim.catalogue.reader import Catalogue
from minisim.devices._device import Placement
from minisim.machine.machine import Machine
from minisim.trials.own import Ran, Verdict, Where, carry_on, make_ready, run_program
from minisim.trials.places import where_of
from minisim.trials.programs import program

PROFILES = Catalogue().ids("profiles")
CLOCK_TITLE = "clock: the line clock: its register, even ticks, interrupts and priority\r\n"
EVENT_TITLE = "event-line: the event line: it ticks evenly, and priority keeps it out\r\n"
NO_MONITOR = {"variant": {"monitor": "no"}}
WRITE_ONLY = {"variant": {"monitor": "no", "readable": "no"}}
CLEARED_BY_ACKNOWLEDGE = {"variant": {"acknowledge-clears": "yes"}}


def clock(level: int = 6, **more: Any) -> Placement:
    """A line clock at its usual place [line-clock-manual]."""
    return placement("line-clock", 0o17546, (0o100, level), **more)


def event_line(**more: Any) -> Placement:
    """The event line, with the vector of the line clock."""
    return placement("event-line", 0o17546, (0o100, 6), **more)


def run(name: str, profile: str, device: Placement, core: str = "fast") -> tuple[Machine, Ran]:
    """Two passes on all that the profile can have, with a clock and 8 KB."""
    machine = rig(profile, None, device, kb=8)
    machine.core = core
    where = where_of(machine, device.device)
    return machine, run_program(machine, program(name), passes=2, switches=0, where=where, limit=20_000_000)


def passed(name: str, title: str, count: int, profile: str) -> str:
    """What a good run prints; where HALT starts again (D38) the last letters are on their way."""
    said = title + "".join(f"{name}: end of pass {n}, {count} cases, 0 failures\r\n" for n in (1, 2))
    return said.rstrip() if profile == "small-single-chip" else said


@pytest.mark.parametrize("profile", PROFILES)
def test_clock_passes_on_every_processor(profile: str) -> None:
    _, ran = run("clock", profile, clock())
    # the register 5; interrupts 1, even 1, each 1, two priorities twice, 5 and 4; no interrupt 2
    assert ran.said == passed("clock", CLOCK_TITLE, 5 + 3 + 5 + 2, profile)
    assert ran.verdict is Verdict.PASS


@pytest.mark.parametrize(
    ("variant", "cases"), [(NO_MONITOR, 12), (WRITE_ONLY, 11), (CLEARED_BY_ACKNOWLEDGE, 15)], ids=str
)
def test_the_kinds_of_clock_are_told_apart(variant: dict[str, dict[str, str]], cases: int) -> None:
    for profile in ("chipset-four-level", "late-single-chip-quad"):
        _, ran = run("clock", profile, clock(**variant))
        assert (ran.verdict, ran.cases) == (Verdict.PASS, cases)


@pytest.mark.parametrize("rate", ["50-hz", "60-hz", "800-hz"])
def test_the_frequency_does_not_matter(rate: str) -> None:
    for profile in ("first-hardwired", "chipset-one-level", "fast-ttl-three-mode"):
        assert run("clock", profile, clock(settings={"clock": rate}))[1].verdict is Verdict.PASS


@pytest.mark.parametrize("profile", PROFILES)
def test_event_line_passes_on_every_processor(profile: str) -> None:
    _, ran = run("event-line", profile, event_line())
    assert ran.said == passed("event-line", EVENT_TITLE, 8, profile)
    assert ran.verdict is Verdict.PASS


@pytest.mark.parametrize("gated", [False, True])
def test_an_event_line_behind_a_board_that_holds_it_down_is_let_go(gated: bool) -> None:
    for profile in ("chipset-one-level", "chipset-four-level"):
        assert run("event-line", profile, event_line(gate=True, gated=gated))[1].verdict is Verdict.PASS


def test_both_pass_on_the_reference_core_alike() -> None:
    for name, device in (("clock", clock()), ("event-line", event_line())):
        for profile in ("chipset-one-level", "two-board-ttl-mmu"):
            assert run(name, profile, device, "reference")[1] == run(name, profile, device)[1]


def test_a_clock_without_pulses_is_told_in_full_and_not_waited_for_without_end() -> None:
    _, ran = run("clock", "microcoded-mid", clock(pulses=False))
    told = (
        "clock: failed, case 5: bit 7 is set by each tick, evenly\r\n the clock did not tick\r\n"
        "clock: failed, case 6: a tick interrupts at priority 3\r\n the clock did not tick\r\n"
    )
    assert ran.said == CLOCK_TITLE + "".join(f"{told}clock: end of pass {n}, 6 cases, 2 failures\r\n" for n in (1, 2))


def test_an_event_line_that_is_switched_off_is_told() -> None:
    _, ran = run("event-line", "chipset-four-level", event_line(settings={"event-line": "off"}))
    assert ran.failures == ("event-line: failed, case 1: a tick interrupts at priority 3",) * 2


@pytest.mark.parametrize(("level", "told"), [(5, "it comes at priority 4, but not at 5"), (7, "expected 000000")])
def test_a_clock_on_another_level_is_told(level: int, told: str) -> None:
    _, ran = run("clock", "fast-ttl-cache", clock(level))
    assert ran.verdict is Verdict.FAIL
    assert told in ran.said


def test_intervals_that_differ_are_told() -> None:
    # each count goes on where the last one ended: every interval seems longer than the one before
    machine = rig("two-board-ttl-mmu", None, clock(), kb=8)
    test = program("clock")
    make_ready(machine, test, passes=1, switches=0)
    machine.memory.put(test.at("until") + 4, 0o240)  # NOP for CLR R0
    ran = carry_on(machine, test, limit=20_000_000)
    assert ran.verdict is Verdict.FAIL
    assert any("an interval, in turns of a loop, like the one before" in line for line in ran.failures)


def test_what_is_no_clock_is_told() -> None:
    # the receiver of the console line in its place: the enable is there too, but nothing ticks
    machine = rig("two-board-ttl-mmu", None, kb=8)
    test = program("clock")
    ran = run_program(machine, test, passes=1, switches=0, where=Where(0o177560, 0o60), limit=20_000_000)
    assert ran.verdict is Verdict.FAIL
    assert "the clock did not tick" in ran.said
