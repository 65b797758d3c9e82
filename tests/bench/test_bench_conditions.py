"""Conditions as text: what is read is shown again and read the same."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from minisim.bench.answer import Refused
from minisim.bench.conditions import Clause, conditions_of, parse, shown
from minisim.machine.records import Access, Address, All, RegisterHolds, Text, TrapTaken

NUMBERS = st.integers(0, 0o177777)
CLAUSES = st.one_of(
    st.builds(lambda number: Clause("pc", number & ~1), NUMBERS),
    st.builds(Clause, st.sampled_from(["r0", "r1", "r2", "r3", "r4", "r5", "sp", "read", "write"]), NUMBERS),
    st.builds(lambda number: Clause("trap", 4 * number), st.integers(0, 0o177)),
    st.builds(
        lambda text: Clause("printed", text=text),
        st.text(st.characters(min_codepoint=1, max_codepoint=127), min_size=1),
    ),
)
TREES = st.lists(st.lists(CLAUSES, min_size=1, max_size=4).map(tuple), min_size=1, max_size=8).map(tuple)


@given(TREES)
def test_what_is_shown_is_read_as_the_same(tree: tuple[tuple[Clause, ...], ...]) -> None:
    assert parse(shown(tree)) == tree


def test_a_condition_becomes_the_records_of_a_run() -> None:
    """and binds closer than or, as in arithmetic."""
    text = 'pc 1000 or write 177564 and r2 0 or trap 10 or printed "THE END" or read 177560 or sp 700'
    assert conditions_of(parse(text)) == [
        Address(0o1000),
        All((Access(0o177564, read=False), RegisterHolds(2, 0))),
        TrapTaken(0o10),
        Text("THE END"),
        Access(0o177560, write=False),
        RegisterHolds(6, 0o700),
    ]
    assert conditions_of(parse("R7 001000")) == [Address(0o1000)]
    assert conditions_of(parse("printed HIGH")) == [Text("HIGH")]


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "a condition is missing"),
        ("pc", '"pc" has nothing behind it'),
        ("pc 1000 and", "a condition is missing"),
        ("pc 1001", "odd"),
        ("pc 8", '"8" is not'),
        ("pc 1000 r2 0", '"r2" can\'t stand there'),
        ("trap 5", "multiple of 4"),
        ("trap 1000", "goes up to 774"),
        ("r2 200000", "goes up to 177777"),
        ("tide 5", '"tide" is no condition'),
        ('printed "tide', "has no end"),
        ('r2 "5"', "takes a number"),
        ('printed ""', "1 to 256"),
        ("printed €", "ASCII"),
        (" and ".join(["r2 0"] * 5), "at most 4"),
        (" or ".join(["r2 0"] * 9), "8 of these"),
        ("pc 1000 and or", '"or" is no condition'),
    ],
)
def test_what_is_no_condition_is_refused_with_what_is_allowed(text: str, why: str) -> None:
    with pytest.raises(Refused) as refused:
        parse(text)
    assert why in str(refused.value)


@given(st.text(max_size=60))
def test_no_text_makes_the_parser_fail(text: str) -> None:
    try:
        parse(text)
    except Refused as refused:
        assert refused.lines
