"""Drawing in cells, and text that is cut and broken to a width."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from minisim.screen import ASCII, DRAWN, Canvas, Line, Span, bold, clip, line, plain, reverse, width_of, wrap
from minisim.screen.canvas import marks_for

STYLES = st.sampled_from(["", "bold", "reverse", "underline"])
TEXTS = st.text(alphabet=st.sampled_from("ab  c\u00e9"), max_size=40)
LINES = st.lists(st.builds(Span, TEXTS, STYLES), max_size=5).map(tuple)


def cells(spans: Line) -> list[tuple[str, str]]:
    return [(character, span.style) for span in spans for character in span.text]


@given(LINES, st.integers(0, 50))
def test_a_clipped_line_is_the_beginning_of_the_line(spans: Line, width: int) -> None:
    assert cells(clip(spans, width)) == cells(spans)[:width]


@given(LINES, st.integers(1, 30), st.integers(0, 5))
def test_broken_lines_fit_and_hold_every_word_in_its_style(spans: Line, width: int, indent: int) -> None:
    lines = wrap(spans, width, indent)
    assert all(width_of(each) <= max(width, indent + 1) for each in lines)
    before = [cell for cell in cells(spans) if cell[0] != " "]
    assert [cell for each in lines for cell in cells(each) if cell[0] != " "] == before


def test_lines_are_broken_between_words() -> None:
    text = "adds the word at 001234 to R2: 000005 + 177776 = 000003"
    assert [plain(each) for each in wrap(text, 24, 2)] == [
        "adds the word at 001234",
        "  to R2: 000005 + 177776",
        "  = 000003",
    ]


def test_columns_of_a_table_stay_when_its_line_fits() -> None:
    assert [plain(each) for each in wrap("  a    b", 8)] == ["  a    b"]


def test_what_is_cut_off_ends_in_a_sign() -> None:
    canvas = Canvas(6, 1)
    canvas.put(0, 0, "0123456")
    assert canvas.text() == ["01234~"]


def test_what_lies_outside_is_no_error() -> None:
    canvas = Canvas(4, 2)
    for x in (-30, 4, 9):
        for y in (-1, 0, 5):
            canvas.put(x, y, "tide")
            canvas.rule(x, y, 9, "title")
    canvas.blank(-2, -2, 9, 9)
    assert canvas.text() == ["", ""]


def test_characters_that_take_no_cell_or_two_become_question_marks() -> None:
    canvas = Canvas(8, 1)
    canvas.put(0, 0, "a\x1bb\u6f6ec\u0301d")
    assert canvas.text() == ["a?b?c?d"]


def test_box_drawing_is_used_only_where_the_encoding_has_it() -> None:
    assert [marks_for(name) for name in ("utf-8", "UTF8", "ascii", "latin-1", "")] == [
        DRAWN,
        DRAWN,
        ASCII,
        ASCII,
        ASCII,
    ]


def test_plain_marks_are_ascii() -> None:
    assert (ASCII.across + ASCII.down + ASCII.more).isascii()


def test_rows_tell_the_style_of_each_run() -> None:
    canvas = Canvas(7, 1)
    canvas.put(0, 0, line("a", bold("b"), reverse("cd")))
    assert canvas.rows() == [[("", "a"), ("bold", "b"), ("reverse", "cd"), ("", "   ")]]


def test_the_state_on_a_bar_is_whole_and_the_name_gives_way() -> None:
    canvas = Canvas(20, 1)
    canvas.bar(0, "the desktop machine", "paused")
    assert canvas.text() == [" the deskto~ paused"]


def test_in_the_locale_c_only_plain_characters_are_drawn(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("LC_ALL", "LC_CTYPE", "LANG"):
        monkeypatch.delenv(name, raising=False)
    assert marks_for("utf-8") is DRAWN
    monkeypatch.setenv("LANG", "C")
    assert marks_for("utf-8") is ASCII  # Python has taken UTF-8 by itself
    monkeypatch.setenv("LC_ALL", "C.UTF-8")
    assert marks_for("utf-8") is DRAWN
    assert marks_for("ascii") is ASCII


def test_a_gap_that_reaches_the_end_of_a_line_parts_the_words_all_the_same() -> None:
    assert [plain(each) for each in wrap("boot ROM              clock on", 12)] == ["boot ROM", "clock on"]
    assert [plain(each) for each in wrap("What      Value     Meaning", 16)] == ["What      Value", "Meaning"]
