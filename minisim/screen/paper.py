"""The guest's console as a pane: 80 columns, control characters obeyed, the lines that went off the top kept.

What a guest prints may be anything.  The sequences that terminals share are obeyed; all other ones are left out before
they reach the emulated screen, so that nothing can make it fail, grow, or change its size.
"""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Iterator

import pyte

from minisim.screen.spans import BOLD, REVERSE, UNDERLINE, Line, Span

COLUMNS, ROWS = 80, 24
KEPT = 1000  # lines that went off the top
_CUT = 256  # what has no end by then is no sequence
_CONTROLS = "\a\b\t\n\v\f\r"
_NUMBER = "[0-9]{0,3}"
_OBEYED = re.compile(
    rf"[^\x00-\x1f\x7f-\x9f]+|[{_CONTROLS}]+|\x1b[DEM78c]"
    rf"|\x1b\[{_NUMBER}[@A-HLMPX`ade]|\x1b\[[0-2]?[JK]"
    rf"|\x1b\[{_NUMBER};{_NUMBER}[Hfr]|\x1b\[r|\x1b\[{_NUMBER}(?:;{_NUMBER}){{0,7}}m"
)
_LEFT_OUT = re.compile(
    r"\x1b\[[0-?]*[ -/]*[@-~]"  # well formed, not for us
    r"|\x1b[\]PX^_][^\x07\x1b]{0,255}(?:\x07|\x1b\\)"  # titles and the like
    r"|\x1b[ -/]+[0-~]|\x1b[0-OQ-WYZ\\`-~]"
)
_UNENDED = re.compile(r"\x1b(?:\[[0-?]*[ -/]*|[\]PX^_][^\x07\x1b]*\x1b?|[ -/]*)\Z")


class _Screen(pyte.Screen):
    """The visible lines; one that goes off the top is handed on."""

    def __init__(self, columns: int, lines: int, gone: deque[Line]) -> None:
        self._gone = gone
        super().__init__(columns, lines)

    def index(self) -> None:
        """One line down; at the bottom all move up."""
        if self.margins is None and self.cursor.y == self.lines - 1:
            self._gone.append(_line(self.buffer[0], self.columns))
        super().index()

    def save_cursor(self) -> None:
        """Only the last one is kept."""
        self.savepoints.clear()
        super().save_cursor()

    def write_process_input(self, data: str) -> None:
        """Answers of a terminal go nowhere."""


class Paper:
    """What a guest printed; `feed` takes it, `lines` shows the end of it or, scrolled back, an earlier part."""

    def __init__(self, columns: int = COLUMNS, rows: int = ROWS, kept: int = KEPT) -> None:
        self.columns = columns
        self._gone: deque[Line] = deque(maxlen=kept)
        self._screen = _Screen(columns, rows, self._gone)
        self._stream = pyte.Stream(self._screen)
        self._rest = ""
        self._back = 0  # lines it is scrolled back
        self.bells = 0

    def feed(self, data: bytes) -> None:
        """Print some bytes; a sequence may be cut anywhere."""
        text = self._rest + data.decode("latin-1")
        before = len(self._gone)
        for part in self._parts(text):
            self._stream.feed(part)
        self._screen.dirty.clear()
        if self._back:  # what is looked at stays where it is
            self._back = min(self._back + len(self._gone) - before, self._most_back(1))

    def _parts(self, text: str) -> Iterator[str]:
        """What is obeyed of a text; the beginning of a sequence at its end waits for the rest."""
        at, self._rest = 0, ""
        while at < len(text):
            found = _OBEYED.match(text, at)
            if found:
                yield found[0]
            else:
                found = _LEFT_OUT.match(text, at)
            if found is None and len(text) - at < _CUT and _UNENDED.match(text, at):
                self._rest = text[at:]
                return
            at = found.end() if found else at + 1

    def clear(self) -> None:
        """A new sheet."""
        self._gone.clear()
        self._screen.reset()
        self._rest, self._back = "", 0

    def lines(self, height: int) -> list[Line]:
        """The lines to show in a pane of `height` rows, the newest at the end unless it is scrolled back."""
        return self._window(height)[0]

    def cursor(self, height: int) -> tuple[int, int] | None:
        """Column and row of the guest's cursor in that pane; None when it is scrolled out of sight."""
        first = self._window(height)[1]
        row = len(self._gone) + self._screen.cursor.y - first
        return (min(self._screen.cursor.x, self.columns - 1), row) if 0 <= row < height else None

    def scroll(self, lines: int, height: int) -> None:
        """Back (positive) or forth in a pane of that height."""
        self._back = max(0, min(self._back + lines, self._most_back(height)))

    @property
    def back(self) -> int:
        """Lines it is scrolled back; 0: the newest line is in sight."""
        return self._back

    def text(self) -> str:
        """All lines that are kept, without emphasis."""
        rows = [*self._gone, *self._shown()]
        return "\n".join("".join(span.text for span in row).rstrip() for row in rows)

    def _most_back(self, height: int) -> int:
        return max(0, len(self._gone) + self._used() - height)

    def _window(self, height: int) -> tuple[list[Line], int]:
        """The lines in sight, and the number of the first among all."""
        used = self._used()
        last = len(self._gone) + used - self._back
        first = max(0, last - height)
        gone = [self._gone[at] for at in range(first, min(last, len(self._gone)))]
        rows = range(max(0, first - len(self._gone)), max(0, last - len(self._gone)))
        return gone + [_line(self._screen.buffer[y], self.columns) for y in rows], first

    def _used(self) -> int:
        """Rows of the screen with something on them, or above the cursor."""
        screen = self._screen
        written = (y for y in range(screen.lines - 1, -1, -1) if y == screen.cursor.y or _written(screen.buffer[y]))
        return next(written, 0) + 1

    def _shown(self) -> list[Line]:
        return [_line(self._screen.buffer[y], self.columns) for y in range(self._used())]


def _written(row: dict[int, pyte.screens.Char]) -> bool:
    return any(map(_inked, row.values()))


def _inked(cell: pyte.screens.Char) -> bool:
    return cell.data != " " or cell.reverse or cell.underscore


def _line(row: dict[int, pyte.screens.Char], columns: int) -> Line:
    """One row as spans."""
    end = max((x + 1 for x, cell in row.items() if x < columns and _inked(cell)), default=0)
    spans: list[Span] = []
    text, style = "", ""
    for x in range(end):
        cell = row[x]
        now = _style(cell)
        if now != style and text:
            spans.append(Span(text, style))
            text = ""
        text, style = text + cell.data, now
    return (*spans, Span(text, style)) if text else tuple(spans)


def _style(cell: pyte.screens.Char) -> str:
    """What is shown of its emphasis; colours are not."""
    if not (cell.bold or cell.reverse or cell.underscore):
        return ""
    names = {BOLD: cell.bold, REVERSE: cell.reverse, UNDERLINE: cell.underscore}
    return " ".join(name for name, on in names.items() if on)
