"""How the rows of a screen are shared."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from minisim.screen import Canvas, line
from minisim.screen.sections import Section, shares, stacked

WANTS = st.lists(st.tuples(st.integers(0, 6), st.integers(0, 20)).map(lambda pair: (pair[0], sum(pair))), max_size=8)


@given(st.integers(0, 80), WANTS)
def test_rows_are_shared_without_more_than_there_are_or_than_is_wanted(rows: int, wants: list[tuple[int, int]]) -> None:
    found = shares(rows, wants)
    assert sum(found) == min(rows, sum(most for _, most in wants)) or sum(found) <= rows
    assert all(got <= most for got, (_, most) in zip(found, wants, strict=True))
    if rows >= sum(least for least, _ in wants):
        assert all(got >= least for got, (least, _) in zip(found, wants, strict=True))
        assert sum(found) == min(rows, sum(most for _, most in wants))


def test_what_is_left_goes_to_the_first_ones_first() -> None:
    assert shares(7, [(1, 9), (1, 9), (1, 2)]) == [3, 2, 2]
    assert shares(2, [(1, 9), (3, 9), (1, 2)]) == [1, 1, 0]


def test_names_stand_beside_their_lines_or_on_rules_over_them() -> None:
    parts = [
        Section("tide", lambda width, rows: [line("high")], 1, 1),
        Section("dues", lambda width, rows: [line("x" * 99)], 1, 1),
    ]
    canvas = Canvas(20, 4)
    stacked(canvas, 0, 0, 20, 4, parts, ruled=False)
    assert canvas.text()[:2] == ["tide       high", "dues       xxxxxxxx~"]
    canvas = Canvas(20, 4)
    stacked(canvas, 0, 0, 20, 4, parts, ruled=True)
    assert canvas.text() == ["- tide -------------", " high", "- dues -------------", " xxxxxxxxxxxxxxxxxx~"]
