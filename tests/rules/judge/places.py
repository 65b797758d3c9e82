"""Boards in places: heights, slot kinds, sets, places taken twice (buses.md 4.1, 5.1; catalogue README)."""

from __future__ import annotations

from judge.book import plain
from judge.machine import HEIGHTS, Board, Machine

Said = tuple[str, str]  # rule, place


def misplaced(machine: Machine) -> dict[int, list[Said]]:
    """What must be said of boards that stand wrongly, by index; the gravest first, the rest may follow from it."""
    found: dict[int, list[Said]] = {}
    for index, board in enumerate(machine.boards):
        rules = _wrong(machine, board)
        if rules:
            found[index] = [(rule, board.place) for rule in rules]
    return found


def _wrong(machine: Machine, board: Board) -> list[str]:
    about = machine.units[board.unit].about
    if plain(board.about["bus"]) != plain(about["bus"]):
        return ["SLOT-008"]
    if _half_a_set(machine, board):
        return ["SLOT-006", "SLOT-007"]
    if _rest_of_a_set(machine, board):
        return [""]
    if _misfit(machine, board):
        return [*_named(board), "SLOT-007"]
    named = _named(board)
    return [*named, *(["SLOT-010"] if not named and _unsuitable(board) else [])]


def _half_a_set(machine: Machine, board: Board) -> bool:
    count = plain(board.about.get("boards", 1))
    if not isinstance(count, int) or count < 2:
        return False
    alike = [one for one in machine.boards if one.kind == board.kind and len(one.slots) < count]
    if len(alike) > 1 and board is alike[0]:
        return True
    link = board.about.get("slots") == ["private-link"]
    return link and sum("private-link" in kind for kind in board.kinds) > 0 and set(board.kinds) != {"private-link"}


def _rest_of_a_set(machine: Machine, board: Board) -> bool:
    """A further part of a set that is written over several places: told at the first."""
    count = plain(board.about.get("boards", 1))
    alike = [one for one in machine.boards if board.kind and one.kind == board.kind and len(one.slots) < (count or 1)]
    return len(alike) > 1 and board in alike


def _misfit(machine: Machine, board: Board) -> bool:
    """Rows by height, rows that the slot has, and slots for a set."""
    height = plain(board.about["height"])
    rows = board.about.get("rows")
    if height and len(board.rows) != HEIGHTS[height]:
        return True
    # A dual board of the multiplexed bus fits either half of a slot.
    other_half = (plain(board.about["bus"]), rows, board.rows) == ("mux", "AB", "CD")
    if board.kind and rows not in (None, "unknown", board.rows) and not other_half:
        return True
    slots = machine.units[board.unit].slots
    if slots and any(
        not set(board.rows) <= {row for own in slots.get(slot, {}) for row in own} for slot in board.slots
    ):
        return True
    count = plain(board.about.get("boards", 1))
    return bool(height and isinstance(count, int) and count != len(board.slots))


def _named(board: Board) -> list[str]:
    """The places that do damage of a known kind."""
    sep, hex_ = plain(board.about["bus"]) == "sep", len(board.rows) == 6
    if not sep and board.about.get("slots") == ["private-link"] and "twin-bus" in board.kinds:
        harm = next(one["severity"] for one in board.about["forbidden"] if one["slot"] == "twin-bus")
        return ["SLOT-001"] if harm == "damage" else []
    if sep and hex_ and "bus-end" in board.kinds:
        return ["SLOT-003"]
    ends = plain(board.about.get("terminates", "no"))
    if (
        sep
        and board.rows == "AB"
        and ends not in ("no", "none")
        and "modified" in board.kinds
        and "modified" not in board.about["slots"]
    ):
        return ["SLOT-002"] if not board.processor else []
    at_home = "dedicated" in board.about.get("slots", ()) and "extended" not in board.kinds
    if sep and board.memory and not at_home and ("extended" in board.kinds) != ("extended" in board.about["slots"]):
        return ["SLOT-004"]
    return []


def _unsuitable(board: Board) -> bool:
    if not board.kind or not board.kinds:
        return False
    off_bus = "private-link" in board.kinds and board.rows == "CD"
    return off_bus or not all(set(kinds) & set(board.about["slots"]) for kinds in board.by_slot if kinds)


def taken_twice(machine: Machine) -> list[tuple[int, int]]:
    """Pairs of boards that claim one place, the later one second."""
    return [
        (first, second)
        for second, later in enumerate(machine.boards)
        for first, earlier in enumerate(machine.boards[:second])
        if earlier.unit == later.unit and set(earlier.slots) & set(later.slots) and set(earlier.rows) & set(later.rows)
    ]
