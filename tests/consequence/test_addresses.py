"""Two boards at one address, and an address where nobody answers."""

from __future__ import annotations

import pytest

from minisim.consequence import NotShownError

from .machines import fixture, shown

LINES = [
    ("ADDR-001", "mux", "main/a/2AB", "main/a/3AB", "776500"),
    ("ADDR-001", "two-boards-of-four-lines", "main/a/2CD", "main/a/2AB", "776500"),
    ("CONSOLE-001", "mux", "main/a/2CD", "main/a/2AB", "777560"),
    ("CONSOLE-001", "sep", "main/a/3CF", "main/a/8CF", "777560"),
]


@pytest.mark.parametrize(("rule", "name", "first", "second", "address"), LINES)
def test_of_two_lines_the_model_hears_the_first_and_the_bus_would_read_both_together(
    rule: str, name: str, first: str, second: str, address: str
) -> None:
    (one,) = shown(fixture(rule, name), rule)
    facts = one.facts
    assert (facts["answers_in_the_model"], facts["silent_in_the_model"], facts["address"]) == (first, second, address)
    assert (facts["read"], facts["held_by_the_other"]) == ("101", "102")  # an A, and the B that is never taken
    assert facts["or_of_both"] == f"{0o101 | 0o102:03o}"
    assert (facts["printed_by_the_first"], facts["printed_by_the_other"]) == (1, 0)
    assert "In the model" in one.happened and "On the real bus" in one.really


def test_of_two_other_devices_the_accesses_of_each_are_counted() -> None:
    (one,) = shown(fixture("ADDR-001", "mux-clocks"), "ADDR-001")
    assert one.facts["address"] == "777546"
    assert (one.facts["accesses_of_the_first"], one.facts["accesses_of_the_other"]) == (1, 0)


@pytest.mark.parametrize("name", ["mux-in-a-rom-window", "mux-processor", "sep"])
def test_rom_processor_and_described_boards_are_no_devices_that_could_be_shown(name: str) -> None:
    with pytest.raises(NotShownError, match="is not modelled"):
        shown(fixture("ADDR-001", name), "ADDR-001")


@pytest.mark.parametrize(
    ("rule", "name", "wanted", "real"),
    [
        ("ADDR-002", "mux", "760100", "760110"),
        ("ADDR-003", "only-tape-port", "774500", "760404"),
        ("CONSOLE-002", "mux", "777560", ""),
        ("CONSOLE-002", "sep", "777560", ""),
    ],
)
def test_software_that_goes_to_the_usual_place_gets_a_time_out(rule: str, name: str, wanted: str, real: str) -> None:
    (one,) = shown(fixture(rule, name), rule)
    assert (one.facts["expected_at"], one.facts["answers_at"]) == (wanted, real)
    assert (one.facts["answered"], one.facts["time_outs"]) == (0, 1)


def test_another_device_in_the_place_of_the_console_is_taken_for_it() -> None:
    (one,) = shown(fixture("CONSOLE-002", "another-device-at-its-address"), "CONSOLE-002")
    assert (one.facts["answered"], one.facts["time_outs"]) == (1, 0)
    assert "parallel at main/a/2AB answers there" in one.happened
