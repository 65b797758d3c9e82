"""A picture in character cells: what a full-screen view draws on, before it goes to a terminal."""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from minisim.screen.spans import BOLD, REVERSE, Line, Span, clean, line


@dataclass(frozen=True, slots=True)
class Marks:
    """The characters of rules, and the sign that something goes on."""

    across: str
    down: str
    more: str


DRAWN = Marks("\N{BOX DRAWINGS LIGHT HORIZONTAL}", "\N{BOX DRAWINGS LIGHT VERTICAL}", "\N{HORIZONTAL ELLIPSIS}")
ASCII = Marks("-", "|", "~")


def marks_for(encoding: str) -> Marks:
    """Box drawing only where the terminal is told to understand it.

    In the locale C our encoding says nothing of the terminal: Python writes UTF-8 there.
    """
    settings = (os.environ.get(name) for name in ("LC_ALL", "LC_CTYPE", "LANG"))
    if next(filter(None, settings), "") in ("C", "POSIX"):
        return ASCII
    return DRAWN if encoding.lower().replace("-", "").replace("_", "") in ("utf8", "utf") else ASCII


class Canvas:
    """`width` by `height` cells, blank at first.  What lies outside is cut off, never an error.

    `cursor` is where the terminal's cursor goes while the keys are not for the input line, as (column, row).
    """

    def __init__(self, width: int, height: int, marks: Marks = ASCII) -> None:
        self.width, self.height, self.marks = width, height, marks
        self.cursor: tuple[int, int] | None = None
        self._text = [[" "] * width for _ in range(height)]
        self._style = [[""] * width for _ in range(height)]

    def put(self, x: int, y: int, what: Line | str, width: int | None = None) -> int:
        """Write a line at a column and row, into at most `width` cells; gives the column behind it.

        What is cut off ends in the sign that something goes on.
        """
        spans = line(what) if isinstance(what, str) else what
        end = self.width if width is None else min(self.width, x + width)
        if not 0 <= y < self.height or end <= max(x, 0):
            return max(x, end)
        cells = [(character, span.style) for span in spans for character in clean(span.text)]
        last = min(end, x + len(cells))
        for at in range(max(x, 0), last):
            self._text[y][at], self._style[y][at] = cells[at - x]
        if any(character != " " for character, _ in cells[end - x :]):
            self._text[y][end - 1] = self.marks.more
        return last

    def put_lines(self, x: int, y: int, lines: Iterable[Line], width: int, height: int) -> int:
        """Write lines one under the other, at most `height`; gives the row behind them."""
        for each in lines:
            if height <= 0:
                break
            self.put(x, y, each, width)
            y, height = y + 1, height - 1
        return y

    def rule(self, x: int, y: int, width: int, title: str = "", *, marked: bool = False) -> None:
        """A line across with a title in it; marked: the title in reverse."""
        self.put(x, y, self.marks.across * min(width, self.width - x))
        if title:
            self.put(x + 1, y, line(Span(f" {title} ", REVERSE if marked else BOLD)), min(width - 2, len(title) + 2))

    def bar(self, y: int, left: str, right: str = "") -> None:
        """A whole row in reverse: the name of the view on the left, its state on the right."""
        room = self.width - len(right) - 2
        self.put(0, y, line(Span(" " * self.width, REVERSE)))
        self.put(1, y, line(Span(left, f"{REVERSE} {BOLD}")), max(room - 1, 1))
        self.put(self.width - len(right) - 1, y, line(Span(right, REVERSE)))

    def upright(self, x: int, y: int, height: int) -> None:
        """A line down."""
        for row in range(y, min(y + height, self.height)):
            self.put(x, row, self.marks.down, 1)

    def blank(self, x: int, y: int, width: int, height: int) -> None:
        """Wipe a part."""
        for row in range(y, y + height):
            self.put(x, row, " " * width, width)

    def rows(self) -> list[list[tuple[str, str]]]:
        """The picture as (style, text) runs, a list a row."""
        return [_runs(text, style) for text, style in zip(self._text, self._style, strict=True)]

    def text(self) -> list[str]:
        """The picture without emphasis, a string a row, without spaces at the end."""
        return ["".join(row).rstrip() for row in self._text]


def _runs(text: Sequence[str], style: Sequence[str]) -> list[tuple[str, str]]:
    found, at = [], 0
    for name, group in groupby(style):
        end = at + len(list(group))
        found.append((name, "".join(text[at:end])))
        at = end
    return found
