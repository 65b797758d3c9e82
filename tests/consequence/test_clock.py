"""The line clock in one second of the machine's time."""

from __future__ import annotations

import pytest

from minisim.consequence import NotShownError

from .machines import fixture, shown


@pytest.mark.parametrize(("name", "answers"), [("mux-no-source", 0), ("mux-switched-off", 1), ("sep", 0)])
def test_no_tick_comes(name: str, answers: int) -> None:
    (one,) = shown(fixture("CLOCK-001", name), "CLOCK-001")
    assert (one.facts["ticks"], one.facts["register_answers"]) == (0, answers)
    assert one.kind == "the clock that does not tick"


def test_two_sources_are_one_in_the_model_which_is_said() -> None:
    with pytest.raises(NotShownError, match="one source of pulses"):
        shown(fixture("CLOCK-001", "mux-two-sources"), "CLOCK-001")
