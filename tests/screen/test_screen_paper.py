"""The guest's console as a pane: what is obeyed, what is left out, and that nothing makes it fail or grow."""

from __future__ import annotations

import sys

from hypothesis import given
from hypothesis import strategies as st

from minisim.screen import Paper, plain

# Bytes with many control characters, beginnings of sequences and their ends; and any bytes at all.
PIECES = st.sampled_from(
    [
        *(
            b"\x1b",
            b"\x1b[",
            b"\x1b]0;",
            b"\x1b[?3h",
            b"\x1b[?1049h",
            b"\x1b(0",
            b"\x1b#8",
            b"\x1b7",
            b"\x1b8",
            b"\x1bc",
        ),
        *(b"\x1b[2;5r", b"\x1b[9999999999C", b"\x1b[1;2;3H", b"\x1b[5J", b"\x1b[7K", b"\x1b[38;5m", b"\x1b[38;2;1m"),
        *(b"\x1bM", b"\x9b", b"\x90", b"\x1bP", b"\x07", b"\n" * 30, b"\r", b"\t" * 12, b"\b" * 90, b"\x0e", b"\x00"),
        *(b"\x7f", b"\xff", b"1", b";", b"m", b"H", b"r", b"K", b"J", b"\x1b[20h", b"\x1b[c", b"\x1b[6n"),
    ]
)
GUESTS = st.lists(st.one_of(PIECES, st.binary(max_size=40)), max_size=40)


def shown(paper: Paper, height: int = 24) -> list[str]:
    return [plain(each) for each in paper.lines(height)]


def printed(*parts: bytes) -> Paper:
    paper = Paper()
    for part in parts:
        paper.feed(part)
    return paper


@given(GUESTS)
def test_no_bytes_make_the_paper_fail_or_grow_beyond_its_size(parts: list[bytes]) -> None:
    paper = Paper(kept=50)
    for part in parts:
        paper.feed(part)
        for height in (1, 8, 60):
            lines = paper.lines(height)
            assert len(lines) <= height
            assert all(len(plain(each)) <= 80 for each in lines)
            cursor = paper.cursor(height)
            assert cursor is None or (0 <= cursor[0] < 80 and 0 <= cursor[1] < height)
    assert paper.text().count("\n") < 50 + 24
    assert len(paper._rest) < 256
    assert len(paper._screen.savepoints) <= 1
    assert (paper._screen.columns, paper._screen.lines) == (80, 24)


@given(st.binary(max_size=300), st.integers(1, 7))
def test_it_does_not_matter_how_the_bytes_are_cut(data: bytes, size: int) -> None:
    whole, cut = printed(data), printed(*(data[at : at + size] for at in range(0, len(data), size)))
    assert whole.text() == cut.text()


def test_beginnings_of_sequences_that_never_end_are_not_kept() -> None:
    paper = printed(*[b"\x1b]0;" + b"x" * 1000] * 50)
    assert sys.getsizeof(paper._rest) < 1000


def test_a_line_feed_goes_down_and_a_carriage_return_to_the_left() -> None:
    assert shown(printed(b"high\nwater\r\n0412")) == ["high", "    water", "0412"]


def test_a_backspace_lets_the_next_character_stand_over_the_last() -> None:
    assert shown(printed(b"tida\be")) == ["tide"]


def test_the_eighty_first_character_stands_on_the_next_line() -> None:
    assert shown(printed(b"x" * 81)) == ["x" * 80, "x"]


def test_bold_reverse_and_underline_are_shown_and_colours_are_not() -> None:
    lines = printed(b"\x1b[1mb\x1b[0;7mr\x1b[0;4mu\x1b[0;31mc").lines(1)
    assert [(span.text, span.style) for span in lines[0]] == [
        ("b", "bold"),
        ("r", "reverse"),
        ("u", "underline"),
        ("c", ""),
    ]


def test_the_newest_lines_are_shown_and_earlier_ones_can_be_looked_at() -> None:
    paper = printed(b"".join(b"line %d\r\n" % number for number in range(100)))
    assert shown(paper, 3) == ["line 98", "line 99", ""]
    paper.scroll(50, 3)
    assert shown(paper, 3) == ["line 48", "line 49", "line 50"]
    assert paper.cursor(3) is None
    paper.feed(b"one more\r\n")
    assert shown(paper, 3) == ["line 48", "line 49", "line 50"]  # what is looked at stays
    paper.scroll(-1000, 3)
    assert shown(paper, 3) == ["line 99", "one more", ""]


def test_scrolling_back_ends_at_the_oldest_line() -> None:
    paper = printed(b"a\r\nb\r\nc")
    paper.scroll(1000, 2)
    assert (shown(paper, 2), paper.back) == (["a", "b"], 1)


def test_a_cleared_paper_is_blank() -> None:
    paper = printed(b"\r\n".join([b"x"] * 100) + b"\x1b[")
    paper.clear()
    paper.feed(b"ok")
    assert paper.text() == "ok"


def test_a_guest_can_set_the_cursor_and_erase() -> None:
    assert shown(printed(b"\x1b[2;3Hx\x1b[1;1Htop\x1b[Kend")) == ["topend", "  x"]
