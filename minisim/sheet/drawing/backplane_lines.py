"""A backplane in lines of plain characters, at most 72 columns: what the picture shows, slot by slot."""

from __future__ import annotations

from collections.abc import Iterator

from minisim.sheet.drawing.content import (
    UnitView,
    board_says,
    board_side,
    broken_at,
    built_in_says,
    card_rows,
    comes_from,
    evidence_says,
    goes_to,
    grant_says,
    kinds_of,
    orientation,
    part_says,
    passes_says,
    wire_in,
)
from minisim.sheet.drawing.plain import folded
from minisim.sheet.messages import say
from minisim.wiring.model import SlotPart, WiredBoard

_SLOT, _INSIDE = "  ", "        "


def backplane_lines(view: UnitView) -> Iterator[str]:
    """The whole drawing."""
    yield from folded(board_side(view))
    if not view.parts:
        yield from folded(say("drawing-no-slots"))
    yield from folded(comes_from(view))
    for path in view.paths:
        for hop in view.hops(path):
            if hop.joint:
                yield from folded(f"{passes_says(hop)}: {hop.why}")
    for slot in view.slots:
        yield from _slot(view, slot)
    yield from folded(goes_to(view))
    for text in built_in_says(view):
        yield from folded(text)
    for said in grant_says(view):
        yield from folded(said.text)
    yield from folded(orientation(view))
    for text in evidence_says(view):
        yield from folded(text)


def _slot(view: UnitView, slot: int) -> Iterator[str]:
    wire = wire_in(view, slot)
    name, kinds = say("drawing-slot", slot=str(slot)), ", ".join(kinds_of(view, slot))
    yield from folded(f"{name}: {kinds}" if kinds else name)
    if wire is not None:
        yield f"{_SLOT}{say('drawing-wire-in' if wire else 'drawing-wire-out')}"
    for board in view.boards:
        if slot == board.place.slots[0]:
            yield from _board(view, board)
        elif slot in board.place.slots:
            yield from folded(f"{_rows(str(board.place))}: {part_says(board, slot)}", _SLOT, _INSIDE)
    for part in view.parts:
        if part.place.slots == (slot,) and not part.boards:
            yield from _empty(view, part)
    yield from _hops(view, slot)


def _board(view: UnitView, board: WiredBoard) -> Iterator[str]:
    first, *others = (said.text for said in board_says(view, board))
    yield from folded(f"{_rows(str(board.place))}  {first}, {others[0]}", _SLOT, _INSIDE)
    if board in view.twice:
        yield f"{_INSIDE}{say('drawing-taken-twice')}"
    for text in others[1:]:
        yield from folded(text, _INSIDE)
    yield f"{_INSIDE}{say('drawing-looked-at')} [ ]"


def _empty(view: UnitView, part: SlotPart) -> Iterator[str]:
    card = card_rows(view, part)
    text = say("drawing-empty")
    if card:
        text += f"; {say('drawing-card-needed', rows=card)}"
    yield from folded(f"{_rows(str(part.place))}  {text}", _SLOT, _INSIDE)


def _hops(view: UnitView, slot: int) -> Iterator[str]:
    for path in view.paths:
        for hop in view.hops(path):
            if hop.joint or slot != hop.place.slots[-1]:
                continue
            broken = path.broken is not None and hop.number == path.broken.number
            text = broken_at(path, hop) if broken else passes_says(hop)
            mark = "X " if broken else "> "
            said = say(f"drawing-path-{path.kind}", place=_rows(str(hop.place)), hop=text)
            yield from folded(f"{mark}{said}", _INSIDE)


def _rows(place: str) -> str:
    """`2AB` of `main/a/2AB`."""
    return place.rpartition("/")[2]
