"""Heights, rows and slot kinds: whether a board fits its place, and what stands before the processor."""

from __future__ import annotations

from minisim.findings import Severity
from minisim.known import Known
from minisim.rules._facts import known, short
from minisim.wiring.model import GrantKind, Hop, Place, Wired, WiredBoard, WiredProcessor

ROWS_OF_HEIGHT = {"single": 1, "dual": 2, "quad": 4, "hex": 6}


def shared_rows(one: WiredBoard, other: WiredBoard) -> tuple[tuple[int, str], ...]:
    """The slots, with their rows, that both boards claim."""
    if one.unit != other.unit:
        return ()
    slots = sorted(set(one.place.slots) & set(other.place.slots))
    rows = "".join(row for row in one.rows if row in other.rows)
    return tuple((slot, rows) for slot in slots if rows)


def height_of(board: WiredBoard) -> str | None:
    """The height of a board in one word; None where it is not known."""
    return known(board.entry.height, f"height of {short(board)}")


def misfit(wired: Wired, board: WiredBoard, height: str | None) -> str:
    """Why a board does not fit the rows and slots of its place; nothing where it does."""
    if wrong := _wrong_rows(board, height):
        return wrong
    there = _rows_of_slots(wired, board)
    if there and not set(board.rows) <= there:
        rows = "".join(sorted(there))
        return f"the board covers rows {board.rows}, this slot has {rows or 'none of them'}"
    if missing := _set_of(board, height):
        given = len(board.place.slots)
        return f"{_count(missing, 'board')} of a set {'is' if missing == 1 else 'are'} given {_count(given, 'slot')}"
    return ""


def better_place(board: WiredBoard, height: str | None) -> str:
    """The act for a board that does not fit: the slots for a set, else rows it can cover."""
    if not _wrong_rows(board, height) and (missing := _set_of(board, height)):
        slots, first = _count(missing, "slot"), board.place.slots[0]
        return f"write the set over as many slots as it has boards: {slots} from {first} on"
    rows = _rows_allowed(board)
    return f"give the board a place with rows {' or '.join(rows) or 'of its own height'}"


def _set_of(board: WiredBoard, height: str | None) -> int:
    """Boards of a set that is given another number of slots; 0 where that is right or not known."""
    count = known(board.entry.boards, f"boards in the set of {short(board)}") if height else None
    return count if count is not None and count != len(board.place.slots) else 0


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def _wrong_rows(board: WiredBoard, height: str | None) -> str:
    covers = ROWS_OF_HEIGHT.get(height or "", 0)
    if covers and len(board.rows) != covers:
        return f"a {height} board covers {_count(covers, 'row')}, its place names {board.rows or 'none'}"
    allowed = _rows_allowed(board)
    if allowed and board.rows not in allowed:
        return f"the board covers rows {' or '.join(allowed)}, its place names {board.rows}"
    return ""


def _rows_allowed(board: WiredBoard) -> tuple[str, ...]:
    rows = board.entry.rows
    if rows is None or board.assumed:
        return ()
    # A dual board of the multiplexed bus may use either half of a slot; whether C-D carry the bus is another rule's.
    return (rows, "CD") if (board.entry.bus, rows) == ("mux", "AB") else (rows,)


def _rows_of_slots(wired: Wired, board: WiredBoard) -> set[str]:
    slots = wired.units[board.unit].entry.slots
    each = [
        {row for rows, kind in slots[slot].items() if kind != "none" for row in rows}
        for slot in board.place.slots
        if slot in slots
    ]
    return set.intersection(*each) if each else set()


def suits(board: WiredBoard) -> bool:
    """Does the board stand in a slot of a kind it may stand in, on rows that carry the bus there?"""
    return not off_the_bus(board) and any(kind in board.entry.slots for kind in board.kinds)


def odd_slots(wired: Wired, board: WiredBoard) -> tuple[int, ...]:
    """Slots of a set whose kind is none it may stand in, where other slots of it are right."""
    if len(board.place.slots) < 2 or not board.entry.slots:
        return ()
    kinds: dict[int, set[str]] = {}
    for part in wired.slots:
        if board.index in part.boards and part.place.slots:
            kinds.setdefault(part.place.slots[0], set()).update(part.kinds.values())
    return tuple(slot for slot in board.place.slots if kinds.get(slot) and not kinds[slot] & set(board.entry.slots))


def off_the_bus(board: WiredBoard) -> bool:
    """Does it stand on the rows of a private-link slot that link neighbours instead of carrying the bus?"""
    return "private-link" in board.kinds and board.rows == "CD"


def is_terminator_in_modified_slot(board: WiredBoard) -> bool:
    """The case on which the sources differ (D8)."""
    ends = board.entry.terminates
    return "modified" in board.kinds and isinstance(ends, Known) and ends.peek not in ("no", "none")


def forbids(board: WiredBoard) -> tuple[Severity | None, str, tuple[str, ...]]:
    """What the catalogue says of a board in a kind of slot it names as forbidden: severity, why, sources."""
    for kind in board.kinds:
        if kind in board.entry.forbidden:
            severity, why, sources = board.entry.forbidden[kind]
            return Severity(severity), why, sources
    return None, "", ()


def position_of(wired: Wired, board: WiredBoard) -> int:
    """Where a board stands along the chain, counted from 1 at the start of the bus; 0 outside."""
    hops = wired.chain(GrantKind.INTERRUPT).hops
    return next((index for index, hop in enumerate(hops, 1) if hop.board == board.index), 0)


def before_processor(wired: Wired, processor: WiredProcessor) -> tuple[Place, ...]:
    """The positions of the chain before the processor, except those of memory on its fast link."""
    board = wired.boards[processor.board]
    hops = wired.chain(GrantKind.INTERRUPT).hops[: max(0, position_of(wired, board) - 1)]
    return tuple(hop.place for hop in hops if not _on_fast_link(wired, processor, hop))


def _on_fast_link(wired: Wired, processor: WiredProcessor, hop: Hop) -> bool:
    if not processor.memory_link or hop.board is None:
        return False
    entry = wired.boards[hop.board].entry
    return entry.memory is not None and entry.slots == ("private-link",)
