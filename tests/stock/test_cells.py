"""What one cell means: counts, conditions, and markings that a spreadsheet has damaged."""

from __future__ import annotations

import pytest

from minisim.stock.cells import condition_of, count_in_marking, count_of, repaired_marking, thing_of
from minisim.stock.model import Condition


@pytest.mark.parametrize(
    ("text", "pieces"),
    [
        ("", 1), ("3", 3), (" 12 ", 12), ("0", 0), ("3x", 3), ("3 x", 3), ("x3", 3), ("x 3", 3), ("3 pcs", 3),
        ("3 pcs.", 3), ("4 off", 4), ("2 ea", 2), ("3.0", 3), ("3,0", 3), ("two", 2), ("a pair", 2), ("dozen", 12),
        ("5 boards", 5), ("\u0663", 3), ("3\u00d7", 3),
    ],
)  # fmt: skip
def test_a_count_is_understood_in_the_ways_people_write_it(text: str, pieces: int) -> None:
    count = count_of(text)
    assert (count.pieces, count.part) == (pieces, None)
    assert count.said is None or count.said.certain


@pytest.mark.parametrize("text", ["ca. 3", "2?", "~5", "2-3", "1.5", "many", "-2", "3 or 4", "2 (rest?)", "2026-03-01"])
def test_a_count_that_is_not_certain_is_a_doubt(text: str) -> None:
    said = count_of(text).said
    assert said is not None
    assert not said.certain
    assert 1 <= count_of(text).pieces <= 3


@pytest.mark.parametrize("text", ["9" * 6, "9" * 9, "9" * 5000])
def test_a_count_that_no_pile_has_is_a_doubt_of_one(text: str) -> None:
    count = count_of(text)
    assert count.pieces == 1
    assert count.said is not None
    assert not count.said.certain


@pytest.mark.parametrize(
    ("text", "pieces", "part"),
    [
        ("2 (1 faulty)", 2, (1, Condition.FAULTY)), ("3 (1 dead)", 3, (1, Condition.FAULTY)),
        ("4, 2 untested", 4, (2, Condition.UNTESTED)), ("3x (1x parts missing)", 3, (1, Condition.INCOMPLETE)),
        ("2 (2 ok)", 2, (2, Condition.WORKS)),
    ],
)  # fmt: skip
def test_a_part_in_another_condition_is_taken_apart(text: str, pieces: int, part: tuple[int, Condition]) -> None:
    count = count_of(text)
    assert (count.pieces, count.part) == (pieces, part)
    assert count.said is not None
    assert count.said.certain


@pytest.mark.parametrize("text", ["2 (3 faulty)", "2 (1 purple)", "2 (0 faulty)", "2 (one faulty)"])
def test_a_part_that_can_not_be_is_a_doubt(text: str) -> None:
    count = count_of(text)
    assert count.part is None
    assert count.said is not None
    assert not count.said.certain


@pytest.mark.parametrize(
    ("text", "rest", "count"),
    [
        ("3x M8043", "M8043", 3), ("2 x M8043", "M8043", 2), ("M8043 x2", "M8043", 2), ("M8043 (x2)", "M8043", 2),
        ("M8043 2x", "M8043", 2), ("M8043", "M8043", None), ("8043", "8043", None), ("M8043-YX", "M8043-YX", None),
        ("54-11849 X", "54-11849 X", None), ("2x", "2x", None),
    ],
)  # fmt: skip
def test_a_count_within_a_marking_is_found(text: str, rest: str, count: int | None) -> None:
    assert count_in_marking(text) == (rest, count)


@pytest.mark.parametrize(
    ("text", "condition"),
    [
        ("", "unknown"), ("ok", "works"), ("OK!", "works"), ("Tested", "works"), ("tested ok 2019", "works"),
        ("not tested", "untested"), ("Untested.", "untested"), ("DOA", "faulty"), ("dead", "faulty"),
        ("parts missing", "incomplete"), ("Parts Missing!", "incomplete"), ("?", "unknown"), ("??", "unknown"),
        ("as is", "untested"), ("N/A", "unknown"), ("doesn't work", "faulty"), ("not working", "faulty"),
        ("\u2713", "works"), ("d\u00e9fect", "faulty"), ("no", "faulty"), ("y", "works"), ("faulty", "faulty"),
        ("works?", "unknown"), ("board is dead, no output", "faulty"), ("ungetestet", "untested"),
    ],
)  # fmt: skip
def test_conditions_in_people_s_words_are_understood(text: str, condition: str) -> None:
    found, said = condition_of(text, {})
    assert found == condition
    assert said is None or said.certain


@pytest.mark.parametrize(
    ("text", "condition"),
    [("purple", "unknown"), ("see photo", "unknown"), ("not really dead", "unknown"), ("works, line 2 dead", "faulty"),
     ("x", "unknown"), ("= cmd", "unknown")],
)  # fmt: skip
def test_a_condition_that_is_not_certain_is_a_doubt_and_never_better_than_it_says(text: str, condition: str) -> None:
    found, said = condition_of(text, {})
    assert found == condition
    assert said is not None
    assert not said.certain


def test_the_owner_s_own_word_goes_before_the_table() -> None:
    assert condition_of("Dead", {"dead": Condition.UNTESTED}) == (Condition.UNTESTED, None)


@pytest.mark.parametrize(
    ("text", "is_date", "is_number", "marking", "certain"),
    [
        ("8043.0", False, False, "8043", True), ("8043,00", False, False, "8043", True),
        ("M8043", False, False, "M8043", None), ("8043", False, True, "8043", None),
        ("12-Mar", False, False, "12-Mar", False), ("2026-03-12", False, False, "2026-03-12", False),
        ("Mar-54", False, False, "Mar-54", False), ("7E+14", False, False, "7E+14", False),
        ("54-11849", False, False, "54-11849", None), ("1954-01-11", True, False, "1954-01-11", False),
        ("7E14", False, False, "7E14", None), ("#REF!", False, False, "#REF!", False),
        ("Err:502", False, False, "Err:502", False),
    ],
)  # fmt: skip
def test_what_a_spreadsheet_made_of_a_marking_is_undone_or_told(
    text: str, is_date: bool, is_number: bool, marking: str, certain: bool | None
) -> None:
    found, said = repaired_marking(text, is_date=is_date, is_number=is_number)
    assert found == marking
    assert (said.certain if said else None) is certain


@pytest.mark.parametrize(
    ("words", "kind"),
    [
        ("floppy drive cable", "cables"), ("cable for a floppy drive", "cables"), ("ROM board", "boards"),
        ("Power supply, 5 V", "supplies"),
        ("distribution panel for 4 lines", "panels"), ("rack brackets", "brackets"),
        ("slides (pair)", "brackets"), ("disk pack", "media"), ("boot ROM set", "roms"),
        ("Backplane 9 slots", "backplanes"),
        ("8\" floppy drive", "drives"), ("card cage", "chassis"), ("something green", ""), ("", ""), ("M8043", ""),
    ],
)  # fmt: skip
def test_words_tell_what_kind_of_thing_it_is(words: str, kind: str) -> None:
    assert thing_of(words) == kind
