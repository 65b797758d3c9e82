"""Where a board could stand instead: free places, places of grant cards, places of other boards."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from minisim.fixing.edits import Move, MoveBoards, RemoveBoard
from minisim.fixing.repairs._framework import Changes
from minisim.fixing.situation import Situation, is_card, name_of
from minisim.known import Known
from minisim.loadout.places import read_place, rows_of
from minisim.wiring.model import GrantKind, Passes, Place, Wired, WiredBoard, WiredUnit

_MOST = 40  # places tried for one board


def move(board: WiredBoard, end: Place | str) -> Move:
    """One board on its way."""
    return Move(name_of(board), str(board.place), str(end), is_card(board))


def moved(board: WiredBoard, end: Place | str) -> Changes:
    """The changes that move one board."""
    return (MoveBoards((move(board, end),)),)


def swapped(one: WiredBoard, other: WiredBoard) -> Changes:
    """The changes that let two boards change places, each with its own rows."""
    return (MoveBoards((move(one, like(other.place, one)), move(other, like(one.place, other)))),)


def like(place: Place, board: WiredBoard) -> Place:
    """So many slots of `place` as the board needs, with rows of the place where it has as many, else its own."""
    rows = place.rows if len(place.rows) == len(board.rows) else board.place.rows
    return Place(place.box, place.unit, place.slots[: boards_of(board)], rows)


def elsewhere(situation: Situation, board: WiredBoard, *, units: Iterable[int] | None = None) -> Iterator[Changes]:
    """The board to another place that suits it, the nearest first: free places, then those that hold grant cards."""
    wired = situation.wired
    places = [one for one in possible(wired, board, units) if one != board.place and not _cable_end(wired, board, one)]
    near = sorted(places, key=lambda place: _distance(wired, board, place))[:_MOST]
    for place in near:
        holders = [
            one for one in wired.boards if one.index != board.index and overlaps(one, place, rows_at(board, place))
        ]
        if not holders:
            yield moved(board, place)
        elif all(is_card(one) for one in holders):
            yield from _traded(board, place, holders)
            yield (*(RemoveBoard(name_of(one), str(one.place), card=True) for one in holders), *moved(board, place))


def _cable_end(wired: Wired, board: WiredBoard, place: Place) -> bool:
    """Is it the place of the end board of a bus cable?  Nothing else lets an empty place hand the grant on there."""
    if wired.bus != "mux":
        return False
    rows = set(rows_at(board, place))
    empty = (hop for hop in wired.chain(GrantKind.INTERRUPT).hops if hop.board is None and hop.passes is Passes.YES)
    return any(
        (hop.place.box, hop.place.unit) == (place.box, place.unit)
        and set(hop.place.slots) & set(place.slots)
        and rows & set(hop.place.rows)
        for hop in empty
    )


def number_at(wired: Wired, place: str) -> int:
    """The first position of the grant chain that a place covers; 0 where it covers none."""
    box, unit, where = place.split("/")
    wanted = read_place(where)
    rows = set(wanted.rows) or set("ABCDEF")
    hops = wired.chain(GrantKind.INTERRUPT).hops
    inside = (hop for hop in hops if not hop.joint and (hop.place.box, hop.place.unit) == (box, unit))
    covered = (h.number for h in inside if set(h.place.slots) & set(wanted.slots) and set(h.place.rows) & rows)
    return min(covered, default=0)


def _traded(board: WiredBoard, place: Place, cards: list[WiredBoard]) -> Iterator[Changes]:
    """The board to the place of one card, the card to where the board stood."""
    first = board.place.slots[0]
    if len(cards) == 1:
        back = Place(board.place.box, board.place.unit, (first,), cards[0].place.rows or cards[0].rows)
        yield (MoveBoards((move(board, place), move(cards[0], back))),)


def possible(wired: Wired, board: WiredBoard, units: Iterable[int] | None = None) -> Iterator[Place]:
    """Every place whose slots have the rows of the board and, as far as is known, a kind it may stand in."""
    wanted = set(units) if units is not None else None
    for unit in wired.units:
        if wanted is None or unit.index in wanted:
            for slot in sorted(unit.entry.slots):
                yield from _in_slot(unit, slot, board)


def _in_slot(unit: WiredUnit, slot: int, board: WiredBoard) -> Iterator[Place]:
    slots = tuple(range(slot, slot + boards_of(board)))
    if any(one not in unit.entry.slots for one in slots):
        return
    for rows in rows_for(board):
        fits = all(set(rows or board.entry.rows or board.rows) <= set(rows_of(unit.entry, one)) for one in slots)
        if fits and all(_suits(unit, one, rows or board.entry.rows or board.rows, board) for one in slots):
            yield Place(unit.box, unit.id, slots, rows)


def boards_of(board: WiredBoard) -> int:
    """Slots it needs: the boards of its set, else as many as it is written over."""
    count = board.entry.boards
    return count.peek if isinstance(count, Known) else len(board.place.slots)


def rows_for(board: WiredBoard) -> tuple[str, ...]:
    """The rows a place may name for it; empty for its own rows, where the place names the slot alone."""
    own = board.entry.rows
    if own is None:
        return (board.place.rows,)
    either = (own, "CD") if (board.entry.bus, own) == ("mux", "AB") else (own,)
    if len(own) == 6 or (board.entry.bus, own) == ("mux", "ABCD"):
        return ("",)
    if board.assumed:
        return tuple(dict.fromkeys((board.rows, *either)))
    return either


def rows_at(board: WiredBoard, place: Place) -> str:
    """Every row it covers at a place."""
    return place.rows or board.entry.rows or board.rows


def _suits(unit: WiredUnit, slot: int, rows: str, board: WiredBoard) -> bool:
    kinds = {own: kind for own, kind in unit.entry.slots[slot].items() if set(own) & set(rows)}
    if rows == "CD" and "private-link" in kinds.values():
        return False  # no bus there
    if not board.entry.slots or not kinds:
        return True
    return any(kind in board.entry.slots for kind in kinds.values())


def overlaps(board: WiredBoard, place: Place, rows: str) -> bool:
    """Does a board cover any of these rows there?"""
    same_unit = (board.place.box, board.place.unit) == (place.box, place.unit)
    return same_unit and bool(set(board.place.slots) & set(place.slots)) and bool(set(board.rows) & set(rows))


def _distance(wired: Wired, board: WiredBoard, place: Place) -> tuple[int, int, str]:
    unit = next(one.index for one in wired.units if (one.box, one.id) == (place.box, place.unit))
    return abs(unit - board.unit), abs(place.slots[0] - board.place.slots[0]), str(place)


def pairs_of(wired: Wired, board: WiredBoard) -> Iterator[WiredBoard]:
    """Other boards that can change places with this one by their height and slots, the nearest first."""
    alike = [one for one in wired.boards if one.index != board.index and _fit(one, board) and _fit(board, one)]
    return iter(sorted(alike, key=lambda one: _distance(wired, board, one.place)))


def _fit(one: WiredBoard, other: WiredBoard) -> bool:
    """Has the place of `other` the height and the slots for `one`?"""
    return len(one.rows) == len(other.rows) and boards_of(one) == len(other.place.slots)


def pushed(wired: Wired, board: WiredBoard, slot: int) -> Iterator[Changes]:
    """The board to `slot` of its unit, and the boards from there on one slot further, up to the slot it leaves."""
    if slot >= board.place.slots[0] or len(board.place.slots) != 1:
        return
    between = [one for one in _of_unit(wired, board) if slot <= one.place.slots[0] < board.place.slots[0]]
    yield from _inserted(board, slot, between)


def before_the_end(wired: Wired, board: WiredBoard) -> Iterator[Changes]:
    """The board to the slot of a board that ends the bus, and that one slot further."""
    for one in wired.terminators:
        last = wired.boards[one.board] if one.board is not None else None
        if last is None or last.unit != board.unit or len(board.place.slots) != 1 or last.index == board.index:
            continue
        slot = last.place.slots[0]
        if slot + 1 in wired.units[last.unit].entry.slots:
            yield from _inserted(board, slot, [last])


def _of_unit(wired: Wired, board: WiredBoard) -> list[WiredBoard]:
    return [one for one in wired.boards if one.unit == board.unit and one.index != board.index]


def _inserted(board: WiredBoard, slot: int, further: list[WiredBoard]) -> Iterator[Changes]:
    """The board to a slot, others one slot further."""
    if any(len(one.place.slots) != 1 for one in further):
        return
    box, unit = board.place.box, board.place.unit
    pushes = [move(one, Place(box, unit, (one.place.slots[0] + 1,), one.place.rows)) for one in further]
    for rows in rows_for(board):
        yield (MoveBoards((move(board, Place(box, unit, (slot,), rows)), *pushes)),)
