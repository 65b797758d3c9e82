"""The wires that make an 18-bit backplane of the multiplexed bus one of 22 bits, from the pin side."""

from __future__ import annotations

from itertools import pairwise

from minisim.known import Known
from minisim.sheet.blocks import Drawing
from minisim.sheet.drawing import svg
from minisim.sheet.drawing.connector import CONNECTOR, EDGE, connector, head, pin_letters, side_text
from minisim.sheet.drawing.plain import folded
from minisim.sheet.drawing.svg import Said, fitted, height_of
from minisim.sheet.messages import say
from minisim.sheet.numbers import how_sure
from minisim.wiring.model import WiredUnit

WIDE_PINS = "CDEF"
"""Of connector B, side 1: address lines 18 to 21 (backplane-upgrade-wiki)."""
_HEAD, _PLACE, _PLACE_WIDTH = 34, 46, 360


def widening_drawing(unit: WiredUnit, way: Known[str]) -> Drawing:
    """Which pins are joined, and in which order of places."""
    caption, said = say("drawing-widen-caption", unit=f"{unit.box}/{unit.id}"), _widening_words(unit, way)
    slot = min(unit.entry.slots)
    top, foot = head(caption, side_text(unit, slot)), fitted(map(Said, said))
    order = unit.entry.grant_order
    places = _HEAD + len({_slot_of(one) for one in order}) * _PLACE
    height = 2 * EDGE + height_of(top) + places + CONNECTOR + height_of(foot)
    picture = svg.picture(height, caption, said[0])
    y = _order(picture, order, svg.write(picture, EDGE, EDGE, top) + _HEAD)
    y = connector(picture, "B", WIDE_PINS, y)
    svg.write(picture, EDGE, y, foot)
    lines = [line for text in (side_text(unit, slot), *said) for line in folded(text)]
    return Drawing(f"pins-wide-{unit.box}-{unit.id}", caption, svg.as_text(picture), said[0], tuple(lines))


def _slot_of(place: str) -> int:
    """2 of `2CD`."""
    return int(place.rstrip("ABCDEF"))


def _order(picture: svg.Element, order: tuple[str, ...], top: float) -> float:
    """The places of the bus mirrored, C-D left of A-B, with the four wires from place to place as one line."""
    slots = sorted({_slot_of(place) for place in order})
    group = svg.group(picture, part="order")
    for at, slot in enumerate(slots):
        svg.words(group, EDGE, top + at * _PLACE + 30, str(slot), 22, bold=True)
    spots = [_place(group, place, top + slots.index(_slot_of(place)) * _PLACE) for place in order]
    for before, after in pairwise(spots):
        svg.line(group, [before, after], weight=svg.HEAVY)
    for number, (x, y) in enumerate(spots, 1):
        svg.circle(group, x, y, 13)
        svg.words(group, x, y + 4.5, str(number), 12, bold=True, anchor="middle")
    return top + len(slots) * _PLACE


def _place(parent: svg.Element, place: str, y: float) -> tuple[float, float]:
    """One place with its four pins; where the line goes through it."""
    left = place.endswith("CD")
    half, x, pins, spot = ("D", 100.0, 15.0, 330.0) if left else ("B", 540.0, 100.0, 30.0)
    svg.rectangle(parent, x, y, _PLACE_WIDTH, _PLACE - 8, weight=svg.THIN)
    svg.words(parent, x + pins, y + 26, " ".join(f"{half}{pin}1" for pin in reversed(WIDE_PINS)), 16, bold=True)
    svg.words(parent, x + pins + 180, y + 26, place, 14)
    return x + spot, y + (_PLACE - 8) / 2


def _widening_words(unit: WiredUnit, way: Known[str]) -> list[str]:
    sources = ", ".join(way.sources)
    kinds = {kind for rows in unit.entry.slots.values() for kind in rows.values()}
    return [
        say("drawing-widen-what", sure=how_sure(way), sources=sources),
        say("drawing-widen-order", order=", ".join(unit.entry.grant_order)),
        say("drawing-widen-private" if "private-link" in kinds else "drawing-widen-twin"),
        say("drawing-widen-measure"),
        pin_letters(),
    ]
