"""What drawings from the pin side share: their head, and one connector with its pins, mirrored.

That the letters run like the rows is common practice; which of the two lines of pins is side 1 no document here says.
"""

from __future__ import annotations

from minisim.sheet.drawing import svg
from minisim.sheet.drawing.svg import Said, fitted
from minisim.sheet.messages import say
from minisim.wiring.model import WiredUnit

PINS = "ABCDEFHJKLMNPRSTUV"
"""The letters of the pins of one connector: without G, I, O and Q."""
EDGE = 10
CONNECTOR = 150  # height of a connector
_PITCH, _PIN, _FIRST = 48, 15, 110


def head(caption: str, side: str) -> list[Said]:
    """Caption and the side one looks from."""
    return fitted([Said(caption, 18, bold=True), Said(side, 16, bold=True)])


def side_text(unit: WiredUnit, slot: int) -> str:
    """From which side one looks, and that it is mirrored."""
    return say("drawing-pin-side", first=unit.entry.rows[-1], last=unit.entry.rows[0], slot=str(slot))


def pin_letters() -> str:
    """What the letters are, and what is not known of the pins."""
    return say("drawing-pins-letters", letters=" ".join(PINS))


def connector(picture: svg.Element, row: str, ringed: str, y: float) -> float:
    """The pins of one connector seen from the pin side, V to A from left to right; the ringed ones of side 1."""
    group = svg.group(picture, connector=row)
    y += 14
    svg.words(group, EDGE, y + 16, say("drawing-connector", row=row), 16, bold=True)
    top = y + 58
    for at, letter in enumerate(reversed(PINS)):
        x = _FIRST + at * _PITCH
        svg.words(group, x, y + 38, letter, 16, bold=True, anchor="middle")
        for side in (0, 1):
            marked = letter in ringed and side == 0
            pin = svg.group(group, pin=f"{row}{letter}{side + 1}", ringed="yes" if marked else "no")
            svg.circle(pin, x, top + 44 * side, _PIN if marked else 8, weight=svg.HEAVY if marked else svg.THIN)
            if marked:
                svg.words(pin, x, top + 44 * side + 4.5, f"{letter}1", 12, bold=True, anchor="middle")
    for side in (0, 1):
        svg.words(group, EDGE, top + 44 * side + 5, say("drawing-side", side=str(side + 1)), 14, bold=True)
    if len(ringed) == 2:
        ends = sorted(_FIRST + (len(PINS) - 1 - PINS.index(letter)) * _PITCH for letter in ringed)
        svg.line(group, [(ends[0] + _PIN, top), (ends[1] - _PIN, top)], weight=svg.HEAVY)
    return y - 14 + CONNECTOR
