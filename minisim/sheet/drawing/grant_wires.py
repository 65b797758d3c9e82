"""The DMA-grant wires CA1-CB1 of the slots of a unit, from the pin side."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from minisim.rules import find_rule
from minisim.sheet.blocks import Drawing
from minisim.sheet.drawing import svg
from minisim.sheet.drawing.connector import CONNECTOR, EDGE, connector, head, pin_letters, side_text
from minisim.sheet.drawing.content import marking
from minisim.sheet.drawing.pin_advice import Must, Wire
from minisim.sheet.drawing.plain import folded
from minisim.sheet.drawing.svg import Said, fitted, height_of
from minisim.sheet.messages import say
from minisim.wiring.model import WiredUnit

_ROW, _HEAD = 46, 34
_BLOCKS_X, _BLOCK, _WORDS_X = 250, 70, 690


def grant_wires_drawing(unit: WiredUnit, wires: tuple[Wire, ...]) -> Drawing:
    """How each wire stands and how it must."""
    name = f"{unit.box}/{unit.id}"
    caption, slot = say("drawing-wires-caption", unit=name), min(wire.slot for wire in wires)
    described = say("drawing-wires-description", unit=name)
    top, foot = head(caption, side_text(unit, slot)), fitted(map(Said, _grant_words(wires)))
    height = 2 * EDGE + height_of(top) + _HEAD + _ROW * len(wires) + CONNECTOR + height_of(foot)
    picture = svg.picture(height, caption, described)
    y = _heads(picture, unit, svg.write(picture, EDGE, EDGE, top))
    for wire in wires:
        _slot(picture, unit, wire, y)
        y += _ROW
    y = connector(picture, "C", "AB", y)
    svg.write(picture, EDGE, y, foot)
    lines = [*folded(side_text(unit, slot)), *_grant_lines(wires)]
    return Drawing(f"pins-{unit.box}-{unit.id}", caption, svg.as_text(picture), described, tuple(lines))


def _grant_words(wires: Iterable[Wire]) -> list[str]:
    said = [say("drawing-wires-rule", sources=", ".join(_rule_sources()))]
    if any(wire.must is Must.ONE_OUT for wire in wires):
        said.append(say("drawing-wires-set"))
    said.append(say("drawing-wires-measure"))
    return [*said, pin_letters()]


def _rule_sources() -> tuple[str, ...]:
    """Where it is printed how the wires must stand: the sources of the two rules that ask for it."""
    rules = (find_rule("dma-grant-wire-beside-dma-board"), find_rule("dma-grant-open"))
    return tuple(dict.fromkeys(key for rule in rules if rule for key in rule.sources))


def _heads(picture: svg.Element, unit: WiredUnit, y: float) -> float:
    foot = y + _HEAD - 8
    svg.words(picture, EDGE, foot, say("drawing-wires-head-slot"), 14, bold=True)
    for at, letter in enumerate(reversed(unit.entry.rows)):
        svg.words(picture, _BLOCKS_X + (at + 0.5) * _BLOCK, foot, letter, 20, bold=True, anchor="middle")
    svg.words(picture, _WORDS_X, foot, say("drawing-wires-head-now"), 14, bold=True)
    return y + _HEAD


def _slot(picture: svg.Element, unit: WiredUnit, wire: Wire, y: float) -> None:
    group = svg.group(picture, slot=wire.slot, wire="in" if wire.now else "out", must=wire.must)
    svg.rectangle(group, 5, y, svg.WIDTH - 10, _ROW, weight=svg.THIN)
    svg.words(group, EDGE, y + 31, str(wire.slot), 26, bold=True)
    who = marking(wire.board) if wire.board else say("drawing-empty")
    for at, text in enumerate(svg.folded(who, 180, 14)[:2]):
        svg.words(group, 60, y + 20 + 18 * at, text, 14)
    for at, letter in enumerate(reversed(unit.entry.rows)):
        x = _BLOCKS_X + at * _BLOCK
        svg.rectangle(group, x + 2, y + 4, _BLOCK - 4, _ROW - 8, weight=3 if letter == "C" else svg.THIN)
        if letter == "C":
            _jumper(group, x, y + _ROW / 2, wire.shown_in)
    svg.words(group, _WORDS_X, y + 20, _stands(wire), 14, bold=wire.wrong)
    svg.words(group, _WORDS_X, y + 38, f"{say(f'drawing-wires-must-{wire.must}')}", 14, bold=True)
    svg.words(group, 900, y + 28, say("drawing-looked-at-short"), 12)
    svg.rectangle(group, 968, y + 14, 18, 18)


def _jumper(parent: svg.Element, x: float, y: float, closed: bool) -> None:
    """Pins B1 and A1 of connector C, mirrored: joined, or not."""
    left, right = x + 22, x + _BLOCK - 22
    if closed:
        svg.line(parent, [(left, y - 6), (right, y - 6)], weight=svg.HEAVY)
    for pin_x, name in ((left, "B1"), (right, "A1")):
        svg.circle(parent, pin_x, y - 6, 5, fill="black" if closed else "white")
        svg.words(parent, pin_x, y + 15, name, 12, anchor="middle")


def _stands(wire: Wire) -> str:
    return say("drawing-wires-now", now="in" if wire.now else "out", wrong="yes" if wire.wrong else "no")


def _grant_lines(wires: tuple[Wire, ...]) -> Iterator[str]:
    for wire in wires:
        who = marking(wire.board) if wire.board else say("drawing-empty")
        yield from folded(f"{say('drawing-slot', slot=str(wire.slot))}: {who}")
        yield from folded(f"{_stands(wire)}; {say(f'drawing-wires-must-{wire.must}')} [ ]", "    ")
    for text in _grant_words(wires):
        yield from folded(text)
