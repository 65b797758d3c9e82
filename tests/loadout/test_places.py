"""Places: slots and rows as people write them."""

from __future__ import annotations

import pytest

from minisim.catalogue.reader import Catalogue
from minisim.loadout.fields import FieldError
from minisim.loadout.places import read_place, read_slots, why_not_in


@pytest.mark.parametrize(
    ("text", "slots", "rows"),
    [
        ("2AB", (2,), "AB"),
        ("3CF", (3,), "CDEF"),
        ("3CDEF", (3,), "CDEF"),
        ("5D", (5,), "D"),
        ("4", (4,), ""),
        ("1-2", (1, 2), ""),
        ("12AF", (12,), "ABCDEF"),
        ("2-4AB", (2, 3, 4), "AB"),
    ],
)
def test_a_place_is_slots_and_every_row_letter(text: str, slots: tuple[int, ...], rows: str) -> None:
    place = read_place(text)
    assert (place.slots, place.rows) == (slots, rows)
    assert read_place(str(place)) == place


@pytest.mark.parametrize(
    "text",
    [
        "",
        "AB",
        "0",
        "01",
        "100",
        "2BA",
        "2AA",
        "2ACE",
        "2ab",
        "2G",
        "2-1",
        "3-3",
        "-1",
        "2 AB",
        "1-2-3",
        "2A-B",
        "9" * 99,
    ],
)
def test_anything_else_is_no_place(text: str) -> None:
    with pytest.raises(FieldError):
        read_place(text)


def test_wires_are_named_by_slots_without_rows() -> None:
    assert (read_slots("3-9"), read_slots("8")) == ((3, 9), (8, 8))
    with pytest.raises(FieldError, match="without rows"):
        read_slots("3AB")


def test_rows_marked_none_in_the_backplane_are_not_there(catalogue: Catalogue) -> None:
    early = catalogue.backplane("sep-four-slot-unit-early")
    assert why_not_in(read_place("1AB"), early) == ""
    assert why_not_in(read_place("2AB"), early) == "slot 2 of sep-four-slot-unit-early has rows C to F, not AB"


def test_a_backplane_whose_slots_nobody_knows_takes_any_slot_but_not_any_row(catalogue: Catalogue) -> None:
    unknown = catalogue.backplane("sep-core-memory-16kb-unit")
    assert not unknown.slots
    assert why_not_in(read_place("1-3"), unknown) == ""
