"""Places in a backplane: `2AB`, `3CF` (rows C to F), `5D`, `4` (the whole slot), `1-2` (a set over two slots)."""

from __future__ import annotations

import re
from dataclasses import dataclass

from minisim.catalogue.model import BackplaneEntry
from minisim.loadout.fields import Field, FieldError, listed

ALL_ROWS = "ABCDEF"
_MOST_SLOTS = 99
_PLACE = re.compile(r"(?P<first>\d+)(?:-(?P<last>\d+))?(?P<rows>[A-Za-z]*)\Z", re.ASCII)
_FORMS = (
    "a place is a slot with its rows where they matter: 2AB, 3CF (rows C to F), 5D, 4 (the whole slot), 1-2 (a set)"
)


@dataclass(frozen=True, slots=True)
class PlaceText:
    """A place as read: slots (1,) or (1, 2), and every row letter (CDEF for 3CF; empty for the whole slot)."""

    slots: tuple[int, ...]
    rows: str

    def __str__(self) -> str:
        first, last = self.slots[0], self.slots[-1]
        rows = self.rows if len(self.rows) <= 2 else self.rows[0] + self.rows[-1]
        return f"{first if first == last else f'{first}-{last}'}{rows}"


def read_place(text: str) -> PlaceText:
    """Read a place; raises FieldError with what is wrong."""
    match = _PLACE.match(text)
    if not match:
        raise FieldError(f"not a place; {_FORMS}" if text else f"empty; {_FORMS}")
    first, last = _slot_range(match["first"], match["last"])
    return PlaceText(tuple(range(first, last + 1)), _rows(match["rows"]))


def _slot_range(first_text: str, last_text: str | None) -> tuple[int, int]:
    first, last = _slot(first_text), _slot(last_text or first_text)
    if last_text is not None and last <= first:
        raise FieldError(f"a range of slots goes upwards, such as 1-2, not {first}-{last}")
    return first, last


def _slot(text: str) -> int:
    if len(text) > 1 and text[0] == "0":
        raise FieldError(f"slots are decimal numbers without leading zeros: {int(text[:20])}")
    if not 1 <= int(text[:20]) <= _MOST_SLOTS:
        raise FieldError(f"slots are counted from 1 (to {_MOST_SLOTS} at most)")
    return int(text)


def _rows(text: str) -> str:
    """Every letter of the rows: CF and CDEF are both CDEF."""
    upper = text.upper()
    if text != upper:
        raise FieldError(f"rows are capital letters: {upper}")
    if any(letter not in ALL_ROWS for letter in text):
        raise FieldError(f"rows are the letters A to F, not {text}")
    if len(text) < 2:
        return text
    run = ALL_ROWS[ALL_ROWS.index(text[0]) : ALL_ROWS.index(text[-1]) + 1]
    if text not in (run, f"{text[0]}{text[-1]}") or not run[1:]:
        raise FieldError("rows are neighbours in the order A to F, such as AB or CDEF (CF for short)")
    return run


def read_slots(text: str) -> tuple[int, int]:
    """A slot or a range of slots, without rows: (first, last)."""
    place = read_place(text)
    if place.rows:
        raise FieldError("a slot or a range of slots is wanted here, without rows: 3 or 3-9")
    return place.slots[0], place.slots[-1]


def _show_slots(slots: tuple[int, int]) -> str:
    first, last = slots
    return str(first) if first == last else f"{first}-{last}"


_PLACE_PATTERN = r"^[1-9][0-9]?(-[1-9][0-9]?)?[A-F]{0,6}$"
PLACE: Field[PlaceText] = Field("a place", read_place, str, {"pattern": _PLACE_PATTERN})
SLOTS: Field[tuple[int, int]] = Field("a slot", read_slots, _show_slots, {"pattern": r"^[1-9][0-9]?(-[1-9][0-9]?)?$"})


def why_not_in(place: PlaceText, backplane: BackplaneEntry) -> str:
    """Why the backplane has no such place, or nothing.  Where its slots are unknown, only the rows are looked at."""
    missing = slots_missing(place.slots, backplane)
    if missing:
        return missing
    for slot in place.slots:
        rows = rows_of(backplane, slot)
        if any(row not in rows for row in place.rows):
            return f"slot {slot} of {backplane.id} has rows {_span(rows)}, not {place.rows}"
    return ""


def slots_missing(slots: tuple[int, ...], backplane: BackplaneEntry) -> str:
    """Why the backplane lacks one of the slots, or nothing."""
    if not backplane.slots or all(slot in backplane.slots for slot in slots):
        return ""
    wrong = next(slot for slot in slots if slot not in backplane.slots)
    return f"{backplane.id} has slots {min(backplane.slots)} to {max(backplane.slots)}, no slot {wrong}"


def rows_of(backplane: BackplaneEntry, slot: int) -> str:
    """The rows a slot has, in order."""
    kinds = backplane.slots.get(slot)
    if kinds is None:
        return backplane.rows if set(backplane.rows) <= set(ALL_ROWS) else ALL_ROWS
    there = {row for rows, kind in kinds.items() if kind != "none" for row in rows}
    return "".join(row for row in ALL_ROWS if row in there)


def _span(rows: str) -> str:
    """`A to D`, or the letters where they are no unbroken run."""
    if len(rows) > 2 and rows in ALL_ROWS:
        return f"{rows[0]} to {rows[-1]}"
    return listed(list(rows)).replace(" or ", " and ")
