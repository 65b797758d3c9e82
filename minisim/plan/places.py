"""Where the boards of one selection stand: places in the order of the grants, several orders to try.

Multiplexed bus: the processor first, then the rest without a hole; a quad board takes both halves of a twin-bus slot:
a single half before one is filled first, if anything can fill it.  Separate-line bus: the processor in its own places,
hex boards in the lowest slots of their kind, terminators at the ends, cards in what stays empty; with two boxes the
first one is filled first, and the cable takes a bus end of each.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from minisim.plan.frames import BUS_END, Frame
from minisim.plan.traits import Traits, peek

_PLACE = re.compile(r"(\d+)([A-F]+)\Z")


@dataclass(frozen=True, slots=True)
class Stands:
    """One board (or set) in its place: `place` as a loadout writes it."""

    board: Traits
    place: str
    why: str
    box: int = 0  # which box of the frame


class NoRoomError(Exception):
    """This order leaves a board without a place."""


def layouts(frame: Frame, boards: Mapping[Traits, int]) -> Iterator[tuple[Stands, ...]]:
    """Every layout worth trying, the most usual first; orders without room are left out."""
    many = [board for board, count in boards.items() for _ in range(count)]
    make = _mux if frame.bus == "mux" else _sep
    seen = set()
    for order in _orders(many):
        try:
            found = tuple(make(frame, order))
        except NoRoomError:
            continue
        key = tuple((one.board.id, one.box, one.place) for one in found)
        if key not in seen:
            seen.add(key)
            yield found


def _orders(boards: Iterable[Traits]) -> Iterator[list[Traits]]:
    """Processor first, far terminator last; between them several habits."""
    habits = (
        lambda board: (_rank(board), board.is_half, board.id),
        lambda board: (_rank(board), not board.is_half, board.id),
        lambda board: (_early(board), not board.is_half, _rank(board), board.id),
        lambda board: (_early(board), board.is_half, _rank(board), board.id),
    )
    for habit in habits:
        yield sorted(boards, key=habit)


def _early(board: Traits) -> int:
    """0 the processor, 1 whatever stands between, 2 what ends the bus."""
    return 0 if board.is_processor else 2 if board.ends in ("far", "either") else 1


def _rank(board: Traits) -> int:
    """Memory behind the processor, then transfers, then interrupts, then what needs no grant, the terminator last."""
    if board.is_processor:
        return 0
    if board.ends in ("far", "either"):
        return 6
    if board.memory_kb:
        return 1
    if peek(board.entry.dma, "no") == "yes":
        return 2
    return 3 if board.uses_bus else 5


# --- multiplexed bus


@dataclass(frozen=True, slots=True)
class _Position:
    """One place of the grant's way, over all boxes."""

    box: int
    slot: int
    rows: str


def _positions(frame: Frame) -> Iterator[_Position]:
    """All places in the order of the grants, without those of the end boards of a cable."""
    last = len(frame.houses) - 1
    for box, house in enumerate(frame.houses):
        places = [(int(at[1]), at[2]) for text in house.backplane.grant_order if (at := _PLACE.match(text))]
        inner = places[(1 if box > 0 else 0) : (len(places) - 1 if box < last else None)]
        yield from (_Position(box, slot, rows) for slot, rows in inner)


def _mux(frame: Frame, order: list[Traits]) -> Iterator[Stands]:
    positions = list(_positions(frame))
    waiting, free = list(order), set(positions)
    for at in positions:
        if at not in free or not waiting:
            continue
        slots = frame.houses[at.box].backplane.slots
        kind = slots[at.slot].get(at.rows, "")
        other = _other_half(slots[at.slot], at.rows)
        board = _next(waiting, kind, whole=other is None or _Position(at.box, at.slot, other) in free)
        if board is None:
            continue
        waiting.remove(board)
        if board.is_half:
            free.discard(at)
            yield Stands(board, f"{at.slot}{at.rows}", _reason(board), at.box)
            continue
        wanted = range(at.slot, at.slot + board.boards)
        if board.boards > 1 and not all(_is_linked(slots, free, at.box, slot) for slot in wanted):
            raise NoRoomError
        free -= {_Position(at.box, slot, half) for slot in wanted for half in ("AB", "CD")}
        last = wanted[-1]
        yield Stands(board, f"{at.slot}" if last == at.slot else f"{at.slot}-{last}", _reason(board), at.box)
    if waiting:
        raise NoRoomError


def _is_linked(slots: Mapping[int, Mapping[str, str]], free: set[_Position], box: int, slot: int) -> bool:
    """A free slot whose rows C and D lead to its neighbour."""
    return _Position(box, slot, "AB") in free and slots.get(slot, {}).get("AB") == "private-link"


def _other_half(kinds: Mapping[str, str], rows: str) -> str | None:
    """The other rows of a twin-bus slot, which carry the bus too."""
    twins = [half for half, kind in kinds.items() if kind == "twin-bus" and half != rows]
    return twins[0] if twins else None


def _next(waiting: list[Traits], kind: str, *, whole: bool) -> Traits | None:
    """The first board that may stand here; a quad board needs the whole slot."""
    return next((one for one in waiting if kind in one.entry.slots and (one.is_half or whole)), None)


# --- separate-line bus


_Room = dict[int, dict[str, str]]
"""What is free in one box: slot -> rows -> kind."""


def _sep(frame: Frame, order: list[Traits]) -> Iterator[Stands]:
    """The processor, the terminator of its end beside it, the rest, the far end, and cards in what stays empty."""
    rooms = _rooms(frame)
    ends = [board for board in order if board.ends in ("far", "either")]
    far = ([board for board in ends if "modified" not in board.entry.slots] or ends)[-1:]
    yield from _standing(rooms, [board for board in order if board.is_processor])
    yield from _terminators(rooms, [board for board in ends if board not in far], far=False)
    others = (board for board in order if not (board.is_processor or board.is_grant_card or board in ends))
    yield from _standing(rooms, others)
    yield from _terminators(rooms, far, far=True)
    yield from _cards(rooms, [board for board in order if board.is_grant_card])


def _standing(rooms: list[_Room], boards: Iterable[Traits]) -> Iterator[Stands]:
    for board in boards:
        box, place = _take(rooms, board)
        yield Stands(board, place, _reason(board), box)


def _rooms(frame: Frame) -> list[_Room]:
    """All boxes, without the bus ends that the plugs of the cables between them take."""
    rooms = [{slot: dict(kinds) for slot, kinds in house.backplane.slots.items()} for house in frame.houses]
    for before, behind in pairwise(rooms):
        del before[max(slot for slot in before if before[slot].get("AB") == BUS_END)]["AB"]
        del behind[min(slot for slot in behind if behind[slot].get("AB") == BUS_END)]["AB"]
    return rooms


def _take(rooms: list[_Room], board: Traits) -> tuple[int, str]:
    """The lowest free place of a kind the board may stand in, in the first box that has one."""
    for box, free in enumerate(rooms):
        for first in sorted(free):
            wanted = range(first, first + board.boards)
            if all(_fits(free.get(slot, {}), board) for slot in wanted):
                rows = board.entry.rows or "ABCDEF"
                for slot in wanted:
                    _occupy(free[slot], rows)
                last = first + board.boards - 1
                name = f"{first}" if last == first else f"{first}-{last}"
                return box, name + ("" if rows == "ABCDEF" else rows[0] + rows[-1])
    raise NoRoomError


def _fits(kinds: Mapping[str, str], board: Traits) -> bool:
    rows = board.entry.rows or "ABCDEF"
    if rows == "ABCDEF":
        whole = kinds.get("ABCDEF") in board.entry.slots
        return whole or (kinds.get("AB") in board.entry.slots and "CDEF" in kinds)
    return kinds.get(rows) in board.entry.slots


def _occupy(kinds: dict[str, str], rows: str) -> None:
    for name in [name for name in kinds if set(name) & set(rows)]:
        del kinds[name]


def _terminators(rooms: list[_Room], ends: list[Traits], *, far: bool) -> Iterator[Stands]:
    """As near to the processor as they may stand, or as far in the last box."""
    box = len(rooms) - 1 if far else 0
    for board in ends:
        slots = sorted(rooms[box], reverse=far)
        places = [slot for slot in slots if rooms[box][slot].get("AB") in board.entry.slots]
        if not places:
            raise NoRoomError
        _occupy(rooms[box][places[0]], "AB")
        yield Stands(board, f"{places[0]}AB", _reason(board), box)


def _cards(rooms: list[_Room], cards: list[Traits]) -> Iterator[Stands]:
    empty = [
        (box, slot)
        for box, free in enumerate(rooms)
        for slot in sorted(free)
        if free[slot].get("CDEF") == "small-peripheral"
    ]
    for board, (box, slot) in zip(cards, empty, strict=False):
        rows = board.entry.rows or "D"
        yield Stands(board, f"{slot}{rows}", "hands the grants on through an empty place", box)


def _reason(board: Traits) -> str:
    """Why a board is in the machine, in a few words."""
    parts = []
    if board.is_processor:
        parts.append("the processor")
    if board.memory_kb:
        parts.append(f"memory of {board.memory_kb} KB")
    if board.lines:
        parts.append("serial line" if board.lines == 1 else f"{board.lines} serial lines")
    if board.holds_rom:
        parts.append("holds the boot ROM")
    if board.ends in ("far", "either"):
        parts.append("ends the bus")
    if board.entry.option_adds:
        parts.append(f"adds {', '.join(board.entry.option_adds)}")
    others = [one for one in board.devices if "serial" not in one and one not in ("event-line", "memory-parity")]
    if not parts or others:
        parts.extend(others or ["asked for"])
    return ", ".join(dict.fromkeys(parts))
