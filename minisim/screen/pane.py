"""Panes over a view: a text that is longer than its place, and the words that may stand next."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from minisim.screen.canvas import Canvas
from minisim.screen.spans import REVERSE, Line, Span, bold, line, wrap


class Suggestion(Protocol):
    """A whole word that may stand in the line from column `start` on, with one line of help."""

    @property
    def text(self) -> str: ...

    @property
    def start(self) -> int: ...

    @property
    def what(self) -> str: ...


@dataclass(slots=True)
class Pane:
    """A text with a title, scrolled by lines; it remembers how much of it was in sight."""

    title: str
    text: Sequence[Line]
    first: int = 0
    _height: int = 1
    _most: int = 0

    def scroll(self, lines: int) -> None:
        """Down (positive) or up, never beyond an end."""
        self.first = max(0, min(self.first + lines, self._most))

    @property
    def page(self) -> int:
        """Lines to scroll by so that one stays in sight."""
        return max(1, self._height - 1)

    def draw(self, canvas: Canvas, x: int, y: int, width: int, height: int) -> None:
        """The title on a rule, the text under it, and how to go on at its end; at the foot, no higher than needed."""
        lines = [part for each in self.text for part in wrap(each, width)]
        y, height = y + max(0, height - len(lines) - 2), min(height, len(lines) + 2)
        self._height = max(1, height - 2)
        self._most = max(0, len(lines) - self._height)
        self.scroll(0)
        canvas.blank(x, y, width, height)
        canvas.rule(x, y, width, self.title)
        canvas.put_lines(x, y + 1, lines[self.first : self.first + self._height], width, self._height)
        last = min(self.first + self._height, len(lines))
        keys = "Up and Down move it, " if self._most else ""
        canvas.rule(x, y + height - 1, width, f"{self.first + 1} to {last} of {len(lines)} lines; {keys}Esc closes it")


@dataclass(slots=True)
class Palette:
    """The words that may stand next, filtered by what is typed; one is marked."""

    complete: Callable[[str], Sequence[Suggestion]]
    found: Sequence[Suggestion] = field(default_factory=tuple)
    marked: int = 0
    open: bool = False

    def show(self, typed: str) -> None:
        """Open it for the line so far."""
        self.open = True
        self.filter(typed)

    def filter(self, typed: str) -> None:
        """The line has changed: the words that fit now."""
        self.found, self.marked = (tuple(self.complete(typed)), 0) if self.open else ((), 0)

    def close(self) -> None:
        """Close it."""
        self.open, self.found = False, ()

    def move(self, by: int) -> None:
        """Mark another word; after the last comes the first."""
        if self.found:
            self.marked = (self.marked + by) % len(self.found)

    def taken(self, typed: str) -> str:
        """The line with the marked word in it and a space behind."""
        if not self.found:
            return typed
        chosen = self.found[self.marked]
        return f"{typed[: chosen.start]}{chosen.text} "

    def draw(self, canvas: Canvas, x: int, y: int, width: int, height: int) -> None:
        """The words with their help; grows upwards from the row `y + height`, no higher than needed."""
        rows = max(1, min(len(self.found), height - 1))
        top = y + height - rows - 1
        first = max(0, min(self.marked - rows // 2, len(self.found) - rows))
        canvas.blank(x, top, width, rows + 1)
        title = f"{counted(len(self.found), 'word')}; Up and Down choose, Enter takes one, Esc closes"
        canvas.rule(x, top, width, title)
        if not self.found:
            canvas.put(x, top + 1, "no more words here; Enter does the line", width)
        column = max((len(each.text) for each in self.found), default=0) + 3
        for row, each in enumerate(self.found[first : first + rows]):
            marked = first + row == self.marked
            text = f" {each.text}".ljust(min(column, width // 2))
            spans = (Span(f"{text}{each.what}".ljust(width), REVERSE),) if marked else line(bold(text), each.what)
            canvas.put(x, top + 1 + row, spans, width)


def counted(number: int, what: str) -> str:
    """`1 word`, `2 words`."""
    return f"{number} {what}{'' if number == 1 else 's'}"
