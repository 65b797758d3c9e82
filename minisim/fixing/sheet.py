"""The owner's text with names: where the box, the unit, the board, its settings and its cables stand in it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from minisim.fixing.spans import Entry, Piece, pieces
from minisim.fixing.splices import CannotEdit, Splice, spliced
from minisim.loadout.build import ONLY_UNIT, as_findings_print
from minisim.loadout.fields import FieldError
from minisim.loadout.places import PlaceText, read_place, read_slots


@dataclass(frozen=True)
class Sheet:
    """One text and its pieces.  Places are written as findings print them: main/a/3CF."""

    text: str

    @cached_property
    def root(self) -> Piece:
        """The mapping that is the file."""
        return pieces(self.text)

    def with_(self, splices: Iterable[Splice]) -> Sheet:
        """The sheet with these changes."""
        return Sheet(spliced(self.text, splices))

    def unit(self, box: str, unit: str) -> Piece:
        """The mapping of one backplane: an item of `units`, or the box itself."""
        for one in self._list("boxes"):
            if one.word("id") != box:
                continue
            units = one.value("units")
            if units is None and unit == ONLY_UNIT:
                return one
            for found in units.items if units else ():
                if found.word("id") == unit:
                    return found
        raise CannotEdit(f"there is no unit {box}/{unit}")

    def slots(self, box: str, unit: str) -> Piece | None:
        """The mapping of places to boards of one backplane."""
        found = self.unit(box, unit).value("slots")
        return found if found is not None and found.kind == "map" else None

    def slot(self, place: str) -> tuple[Piece, Entry]:
        """The mapping of places and the entry of one board."""
        box, unit, where = split(place)
        slots = self.slots(box, unit)
        for entry in slots.entries if slots else ():
            if str(read_place(entry.key.text)) == where and slots is not None:
                return slots, entry
        raise CannotEdit(f"nothing stands in {place}")

    def board(self, place: str) -> Piece:
        """The mapping that describes one board."""
        return self.slot(place)[1].value

    def cables(self) -> list[Piece]:
        """Every cable, in the order of the file."""
        return self._list("cables")

    def acceptances(self) -> list[Piece]:
        """Every accepted finding, in the order of the file."""
        return self._list("accept")

    def leaving(self, place: str) -> list[Piece]:
        """The cables that leave the board at a place."""
        return [one for one in self.cables() if printed(one.word("from")) == place]

    def accepted_at(self, place: str) -> list[Piece]:
        """The acceptances of findings at a place."""
        return [one for one in self.acceptances() if as_findings_print(one.word("at")) == place]

    def _list(self, name: str) -> list[Piece]:
        found = self.root.value(name)
        return found.items if found is not None else []


def split(place: str) -> tuple[str, str, str]:
    """Box, unit and place in the unit."""
    box, unit, where = place.split("/")
    return box, unit, where


def printed(place: str) -> str:
    """A place as findings print it, from one as the owner wrote it; anything else stays."""
    try:
        box, unit, where = split(place)
        return f"{box}/{unit}/{read_place(where)}"
    except (FieldError, ValueError):
        return place


def order_of(place: PlaceText) -> tuple[int, str]:
    """How places are sorted in a list of boards."""
    return place.slots[0], place.rows


def covers(range_text: str, slot: int) -> bool:
    """Does `3-9`, or `3`, name this slot?"""
    first, last = read_slots(range_text)
    return first <= slot <= last
