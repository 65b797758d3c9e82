"""The way of the grants, hop by hop, through all units: the only place that walks a chain.

Multiplexed bus: positions in the order of the backplane, both grants alike, each board passes both or none.
Separate-line bus: the interrupt grants pass connector D of each slot, the DMA grant passes connector C or the wire
CA1-CB1 beside it (small-peripheral-wiki, grant-card-wiki).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from minisim.known import Figure, Known, NotApplicable, Unknown
from minisim.wiring.model import GrantChain, GrantKind, Hop, Passes, Place, WiredBoard, WiredUnit
from minisim.wiring.places import ALL_ROWS, Layout
from minisim.wiring.register_drafts import word

_POSITION = re.compile(r"(\d+)([A-F]+)\Z")
_WIRED_SLOT = "small-peripheral"
_PROCESSOR_SLOT = "processor"
_OWN_UNIT = "dedicated"


@dataclass(frozen=True, slots=True)
class _Position:
    """A hop before it is known whether a grant arrives."""

    place: Place
    board: WiredBoard | None
    passes: Passes
    why: str
    joint: bool = False
    wire: bool | None = None


def grant_chains(layout: Layout) -> tuple[GrantChain, ...]:
    """One chain a kind of grant; on the multiplexed bus both have equal hops."""
    evidence = _order_evidence(layout)
    return tuple(GrantChain(kind, _walk(list(_positions(layout, kind))), evidence) for kind in GrantKind)


def _walk(positions: list[_Position]) -> tuple[Hop, ...]:
    """Number the positions and see how far a grant gets.  It starts at the processor; without one it never starts."""
    start = _start(positions)
    reached, broken_at = (Passes.NO, None) if start is None else (Passes.YES, None)
    hops = []
    for number, position in enumerate(positions, 1):
        board = position.board.index if position.board else None
        hops.append(
            Hop(
                number,
                position.place,
                board,
                position.passes,
                position.why,
                reached,
                broken_at,
                position.joint,
                position.wire,
            )
        )
        if start is not None and number > start and reached is not Passes.NO:
            reached, broken_at = _behind(position, number, reached, broken_at)
    return tuple(hops)


def _behind(position: _Position, number: int, reached: Passes, broken_at: int | None) -> tuple[Passes, int | None]:
    """What holds behind a position that the grant reached, or may have reached."""
    if position.passes is Passes.NO:
        return Passes.NO, number
    if position.passes is Passes.UNKNOWN and reached is Passes.YES:
        return Passes.UNKNOWN, number
    return reached, broken_at


def _start(positions: list[_Position]) -> int | None:
    """Index of the last position of the first processor: from there on passing matters. None: no processor."""
    processors = [position.board for position in positions if position.board and position.board.entry.processor]
    if not processors:
        return None
    first = processors[0].index
    return max(i for i, position in enumerate(positions) if position.board and position.board.index == first)


# ---- positions


def _positions(layout: Layout, kind: GrantKind) -> Iterator[_Position]:
    for unit in layout.units:
        if not unit.joined:
            yield _open_joint(layout, unit)
        outside = list(_outside(layout, unit))
        yield from (_off_order(unit, board, kind) for board in outside)
        if not unit.entry.grant_order and not outside:
            yield _empty_unit(unit)
        yield from _in_order(layout, unit, kind)


def _in_order(layout: Layout, unit: WiredUnit, kind: GrantKind) -> Iterator[_Position]:
    for text in unit.entry.grant_order:
        match = _POSITION.match(text)
        if match is None:
            continue
        place = Place(unit.box, unit.id, (int(match[1]),), "" if match[2] == ALL_ROWS else match[2])
        if unit.entry.bus == "mux":
            yield _mux(layout, unit, place)
        elif kind is GrantKind.INTERRUPT:
            yield _interrupts(layout, unit, place)
        else:
            yield _dma(layout, unit, place)


def _open_joint(layout: Layout, unit: WiredUnit) -> _Position:
    """The joint to a unit whose cable is missing or not plugged in."""
    written = layout.written[unit.index].joined_by
    name = f"{unit.box}/{unit.id}"
    missing, loose = f"no cable joins {name} to the unit before it", f"the cable to {name} is not plugged in"
    why = missing if written is None else loose
    first = min(unit.entry.slots, default=1)
    return _Position(Place(unit.box, unit.id, (first,), ""), None, Passes.NO, why, joint=True)


def _empty_unit(unit: WiredUnit) -> _Position:
    """A unit made for one set, without the set: its wiring is not known here."""
    slots = tuple(sorted(unit.entry.slots)) or (1,)
    why = "empty; the way of the grants in this unit is not known"
    return _Position(Place(unit.box, unit.id, slots, ""), None, Passes.UNKNOWN, why)


def _outside(layout: Layout, unit: WiredUnit) -> Iterator[WiredBoard]:
    """Boards on the bus that hold no position of the order: sets in units of their own, processors in own places."""
    positions = [match for text in unit.entry.grant_order if (match := _POSITION.match(text))]
    for board in layout.in_unit(unit.index):
        in_order = any(int(at[1]) in board.place.slots and set(at[2]) & set(board.rows) for at in positions)
        at_home = _OWN_UNIT in board.kinds or not board.kinds
        uses_bus = board.entry.processor is not None or _OWN_UNIT in board.entry.slots
        if not in_order and at_home and uses_bus:
            yield board


def _off_order(unit: WiredUnit, board: WiredBoard, kind: GrantKind) -> _Position:
    passes, why = _board_passes(board, _figure(unit, board, kind))
    return _Position(board.place, board, passes, why)


def _figure(unit: WiredUnit, board: WiredBoard, kind: GrantKind) -> Figure[str]:
    on_sep = unit.entry.bus == "sep" and kind is GrantKind.DMA
    return board.entry.passes_dma_grant if on_sep else board.entry.passes_grant


def _board_passes(board: WiredBoard, figure: Figure[str]) -> tuple[Passes, str]:
    """What the catalogue (or the owner) says of one board."""
    if isinstance(figure, Unknown):
        return Passes.UNKNOWN, "whether the board hands the grant on is not known"
    if isinstance(figure, Known) and figure.peek == "yes":
        return Passes.YES, "the processor starts the grant" if board.entry.processor else "the board hands the grant on"
    return Passes.NO, "the board does not hand the grant on"


def _board_in(layout: Layout, unit: WiredUnit, slot: int, rows: str) -> WiredBoard | None:
    """The board in a position; of several that claim it the processor, else the first (rules say that they collide)."""
    boards = layout.covering(unit.index, slot, rows)
    return next((board for board in boards if board.entry.processor), boards[0] if boards else None)


def _mux(layout: Layout, unit: WiredUnit, place: Place) -> _Position:
    board = _board_in(layout, unit, place.slots[0], place.rows or ALL_ROWS)
    if board is not None and "C" in place.rows and jumpers_open(board):
        return _Position(place, board, Passes.NO, "the grant jumpers of the board are out")
    if board is not None:
        passes, why = _board_passes(board, board.entry.passes_grant)
        return _Position(place, board, passes, why)
    if _end_of_cable(layout, unit, place):
        return _Position(place, None, Passes.YES, "end board of the bus cable")
    return _Position(place, None, *_nothing_in(unit, place, "empty"))


def jumpers_open(board: WiredBoard) -> bool:
    """Do jumpers that the owner states as out keep the grants off rows C-D of a twin-bus slot?"""
    return "twin-bus" in board.kinds and "C" in board.rows and word(board.placed.settings.get("grant-jumpers")) == "out"


def _end_of_cable(layout: Layout, unit: WiredUnit, place: Place) -> bool:
    """The end boards of a bus cable take the last position of one unit and the first of the next, and pass grants."""
    text = f"{place.slots[0]}{place.rows}"
    order = unit.entry.grant_order
    next_joined = unit.index + 1 < len(layout.units) and layout.units[unit.index + 1].joined
    return (text == order[-1] and next_joined) or (text == order[0] and unit.index > 0 and unit.joined)


def _interrupts(layout: Layout, unit: WiredUnit, place: Place) -> _Position:
    board = _board_in(layout, unit, place.slots[0], "D")
    if board is not None:
        passes, why = _board_passes(board, board.entry.passes_grant)
        return _Position(place, board, passes, why)
    return _Position(place, None, *_nothing_in(unit, place, "empty: no board or card in connector D"))


def _dma(layout: Layout, unit: WiredUnit, place: Place) -> _Position:
    slot = place.slots[0]
    board = _board_in(layout, unit, slot, "C")
    wire = _wire(layout, unit, slot)
    if wire:
        return _Position(place, board, Passes.YES, "wire CA1-CB1 in", wire=True)
    without = "" if wire is None else "wire CA1-CB1 out; "
    if board is not None:
        passes, why = _board_passes(board, board.entry.passes_dma_grant)
        return _Position(place, board, passes, without + why, wire=wire)
    return _Position(place, None, *_nothing_in(unit, place, f"{without}no board or card in connector C"), wire=wire)


def _wire(layout: Layout, unit: WiredUnit, slot: int) -> bool | None:
    """Is the wire CA1-CB1 of a slot in?  None: the slot has no such wire."""
    stated = layout.written[unit.index].wires.get("dma-grant", {}).get(slot)
    if stated is not None:
        return stated
    has_wire = _WIRED_SLOT in unit.entry.slots.get(slot, {}).values()
    return unit.entry.dma_grant_wires == "in" if has_wire else None


def _nothing_in(unit: WiredUnit, place: Place, why: str) -> tuple[Passes, str]:
    """An empty position is a hole, unless it is a processor's own place, whose wiring is not known here."""
    kinds = unit.entry.slots.get(place.slots[0], {})
    if unit.entry.bus == "sep" and set(kinds.values()) == {_PROCESSOR_SLOT} and set(kinds) == {ALL_ROWS}:
        return Passes.UNKNOWN, "empty processor place; whether the grant passes it is not known"
    return Passes.NO, why


# ---- evidence


def _order_evidence(layout: Layout) -> Figure[str]:
    """The weakest evidence of the orders the chain rests on."""
    figures = [unit.entry.grant_order_evidence for unit in layout.units if unit.entry.grant_order]
    unknown = next((figure for figure in figures if isinstance(figure, Unknown)), None)
    if unknown is not None:
        return unknown
    known = [figure for figure in figures if isinstance(figure, Known)]
    if not known:
        return NotApplicable()
    return max(known, key=lambda figure: figure.evidence.rank)
