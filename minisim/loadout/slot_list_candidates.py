"""Which backplanes it could be: those that have every slot and row of the list and may hold the boards seen."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from minisim.catalogue.model import BackplaneEntry, BoardEntry
from minisim.catalogue.reader import Catalogue
from minisim.known import Known
from minisim.loadout.places import PlaceText, rows_of
from minisim.loadout.slot_list import Entry, SlotList, UnitText
from minisim.loadout.slot_list_assembly import Assembly, Choice, is_bare, may_stand_in_cd, place_refused, rows_in
from minisim.loadout.slot_list_sets import board_of, bus_of

_MOST_VARIANTS = 16
_FEW_VARIANTS = 2  # where several backplanes are unknown
_MOST_CHOICES = 160
"""So many machines are checked at most; one takes 3 to 10 ms."""


def candidates(unit: UnitText, slot_list: SlotList, catalogue: Catalogue) -> tuple[str, ...]:
    """Ids of the backplanes that fit, the smallest first; where none may hold the boards, those with the places."""
    bus = bus_of(unit, slot_list, catalogue)
    if not bus and not unit.slots_said and not unit.may_be:
        return ()
    entries = [catalogue.backplane(name) for name in catalogue.ids("backplanes")]
    may_be = unit.may_be or tuple(one.id for one in entries)
    known = [one for one in entries if one.slots and one.id in may_be]
    with_slots = [one for one in known if bus in ("", one.bus) and _as_said(unit, one)]
    placed = [one for one in with_slots if _has_places(unit, one, catalogue)]
    fitting = [one for one in placed if _may_hold(unit, one, catalogue)]
    return tuple(one.id for one in sorted(fitting or placed, key=lambda one: (len(one.slots), one.id)))


def _as_said(unit: UnitText, backplane: BackplaneEntry) -> bool:
    bits = backplane.address_bits
    return (not unit.slots_said or len(backplane.slots) == unit.slots_said) and (
        not unit.bits_said or not isinstance(bits, Known) or bits.peek == unit.bits_said
    )


def _has_places(unit: UnitText, backplane: BackplaneEntry, catalogue: Catalogue) -> bool:
    return all(_has_place(entry, backplane, catalogue) for entry in unit.entries)


def _has_place(entry: Entry, backplane: BackplaneEntry, catalogue: Catalogue) -> bool:
    if entry.empty or is_bare(entry):
        return all(not place_refused(PlaceText((slot,), entry.rows), backplane) for slot in entry.slots)
    rows = rows_in(entry, board_of(entry, catalogue), backplane, Choice())
    return not place_refused(PlaceText(entry.slots, rows), backplane)


def _may_hold(unit: UnitText, backplane: BackplaneEntry, catalogue: Catalogue) -> bool:
    boards = [(entry, board) for entry in unit.entries if (board := board_of(entry, catalogue)) is not None]
    profiles = {board.processor.profile for _, board in boards if board.processor is not None}
    if profiles and backplane.profiles and not profiles & set(backplane.profiles):
        return False
    if not profiles and "processor" in {kind for kinds in backplane.slots.values() for kind in kinds.values()}:
        return False
    return all(_legal(entry, board, backplane) for entry, board in boards)


def _legal(entry: Entry, board: BoardEntry, backplane: BackplaneEntry) -> bool:
    """May the board stand in slots of these kinds, as far as anybody knows?"""
    rows = rows_in(entry, board, backplane, Choice())
    for slot in entry.slots:
        mine = rows or rows_of(backplane, slot)
        kinds = {kind for of, kind in backplane.slots.get(slot, {}).items() if set(of) & set(mine)}
        if board.slots and not kinds & {*board.slots, "unknown"}:
            return False
        if rows == "CD" and backplane.bus == "mux" and "private-link" in kinds:
            return False  # no bus there
    return True


# ---- what it could be, as whole machines


def ambiguous(unit: UnitText, backplane: BackplaneEntry, catalogue: Catalogue) -> list[Entry]:
    """Boards of which the list does not say in which half of the slot they stand."""
    return [one for one in unit.entries if may_stand_in_cd(one, board_of(one, catalogue), backplane)]


def choices(assembly: Assembly, fitting: dict[str, tuple[str, ...]]) -> Iterator[list[Choice]]:
    """For each set of backplanes it could be: the ways in which boards without rows may stand in them."""
    units = assembly.list.units
    names = [(unit.backplane,) if unit.backplane else fitting.get(unit.name, ()) for unit in units]
    budget = _MOST_CHOICES
    most = _MOST_VARIANTS if sum(len(some) > 1 for some in names) < 2 else _FEW_VARIANTS
    for picked in product(*names):
        backplanes = {unit.name: name for unit, name in zip(units, picked, strict=True)}
        ways = [Choice(backplanes, rows, joined=True) for rows in _row_ways(assembly, backplanes, most)]
        budget -= len(ways)
        if budget < 0:
            return
        yield ways


def _row_ways(assembly: Assembly, backplanes: dict[str, str], most: int) -> list[dict[int, str]]:
    """All ways where they are few, else all on one side and each one alone on the other."""
    entries = [
        entry for unit in assembly.list.units
        for entry in ambiguous(unit, assembly.catalogue.backplane(backplanes[unit.name]), assembly.catalogue)
    ]  # fmt: skip
    if 2 ** len(entries) <= most:
        ways = [dict(zip(map(id, entries), rows, strict=True)) for rows in product(("AB", "CD"), repeat=len(entries))]
    else:
        left = {id(entry): "AB" for entry in entries}
        ways = [left, {id(entry): "CD" for entry in entries}]
        ways += [{**left, id(entry): "CD"} for entry in entries[: most - 2]]
    return [way for way in ways if not _collide(entries, way)] or [{}]


def _collide(entries: list[Entry], way: dict[int, str]) -> bool:
    places = [(entry.slots[0], way[id(entry)]) for entry in entries]
    return len(set(places)) < len(places)
