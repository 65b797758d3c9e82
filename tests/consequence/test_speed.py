"""Line and terminal at different speeds."""

from __future__ import annotations

import pytest

from minisim.consequence import NotShownError
from minisim.consequence.wrong_speed import TEXT, listen

from .machines import fixture, shown


@pytest.mark.parametrize("baud", [110, 300, 9600])
def test_at_the_same_speed_every_character_is_heard_whole(baud: int) -> None:
    assert listen(list(range(256)), baud, baud) == [(code, True) for code in range(256)]


@pytest.mark.parametrize(
    ("sent", "heard"),
    [
        # On the wire, at three bits of the line to one of the terminal, whose middles are bits 1, 4, 7, 10 ...:
        (0o374, 0o377),  # 0 0 0 | 1 1 1 | 1 1 1 | 1: a start bit, then nothing but 1
        (0o300, 0o376),  # 0 0 0 | 0 0 0 | 0 1 1 | 1: a start bit, a 0, then nothing but 1
    ],
)
def test_at_a_third_of_the_speed_the_bits_are_those_worked_out_by_hand(sent: int, heard: int) -> None:
    assert listen([sent], 900, 300) == [(heard, True)]


def test_what_is_too_short_for_a_start_bit_is_not_heard() -> None:
    assert listen([0o377], 900, 300) == []  # one bit 0, a third of the terminal's


def test_at_twice_the_speed_one_character_becomes_several() -> None:
    heard = listen([0], 300, 600)  # nine bits 0, one 1
    assert heard[0] == (0, False)  # a break to the faster terminal


@pytest.mark.parametrize(("name", "line", "terminal"), [("mux-speed", 9600, 300), ("mux-teleprinter", 300, 110)])
def test_the_text_is_sent_right_and_heard_as_garbage(name: str, line: int, terminal: int) -> None:
    (one,) = shown(fixture("CONSOLE-003", name), "CONSOLE-003")
    assert (one.facts["line_baud"], one.facts["terminal_baud"], one.facts["sent"]) == (line, terminal, TEXT)
    heard = listen(TEXT.encode(), line, terminal)
    assert one.facts["received"] == tuple(f"{code:03o}" for code, _ in heard)
    assert one.facts["framing_errors"] == sum(not whole for _, whole in heard)
    assert bytes(int(code, 8) for code in one.facts["received"] if isinstance(code, str)) != TEXT.encode()


@pytest.mark.parametrize("name", ["mux-form", "mux-wiring", "mux-loop"])
def test_forms_and_wirings_are_said_not_to_be_modelled(name: str) -> None:
    with pytest.raises(NotShownError, match="not modelled"):
        shown(fixture("CONSOLE-003", name), "CONSOLE-003")
