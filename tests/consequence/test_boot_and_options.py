"""A machine that does not start, and an option that is not there."""

from __future__ import annotations

import pytest

from minisim.consequence import NotShownError

from .machines import fixture, shown


@pytest.mark.parametrize(("rule", "name", "start"), [("BOOT-001", "no-rom", "773000"), ("BOOT-002", "sep", "765024")])
def test_without_a_rom_the_first_fetch_times_out_and_the_processor_halts(rule: str, name: str, start: str) -> None:
    (one,) = shown(fixture(rule, name), rule)
    assert (one.facts["start"], one.facts["halted"], one.facts["printed"]) == (start, 1, 0)
    assert one.facts["traps"] == ("004: 1",)


def test_an_empty_socket_is_followed_as_the_model_reads_it() -> None:
    (one,) = shown(fixture("BOOT-002", "mux"), "BOOT-002")
    assert (one.facts["start"], one.facts["halted"]) == ("773000", 1)
    assert "empty ROM sockets read as 0" in one.really


@pytest.mark.parametrize(
    ("name", "why"), [("device-not-there", "is not stated"), ("sep", "24 and 26"), ("two-roms", "are not at hand")]
)
def test_where_the_start_or_its_words_are_not_known_nothing_is_shown(name: str, why: str) -> None:
    with pytest.raises(NotShownError, match=why):
        shown(fixture("BOOT-001", name), "BOOT-001")


@pytest.mark.parametrize(
    ("rule", "name", "option"),
    [
        ("OPT-001", "floating-board-not-there", "fpp"),
        ("OPT-003", "in-another-unit", "fpp"),
        ("OPT-004", "floating-without-integer", "fis"),
    ],
)
def test_an_instruction_of_a_missing_option_traps_through_10(rule: str, name: str, option: str) -> None:
    (one,) = shown(fixture(rule, name), rule)
    assert (one.facts["option"], one.facts["vector"]) == (option, "010")
    assert (one.facts["traps"], one.facts["went_through"]) == (1, 0)
