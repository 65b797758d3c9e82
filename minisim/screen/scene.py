"""What a full-screen view is to the machinery that shows it: something that draws, takes lines and keys, and works."""

from __future__ import annotations

from collections.abc import Sequence

from minisim.screen.canvas import Canvas
from minisim.screen.pane import Palette, Pane, Suggestion
from minisim.screen.paper import Paper
from minisim.screen.spans import Line, line

SMALLEST = (60, 16)  # columns, rows
HELP = "Tab words   PgUp PgDn look back   Enter does it"
HELP_GUEST = "every key goes to the machine   Ctrl-] back to the line"
_MOST_BACK = 10  # rows of paper that PgUp moves, at most


class Scene:
    """A view with a guest's paper, an input line, a palette of words and a pane that opens over it.

    Write `draw_view`, `enter`, `complete` and `work` for your view, `to_machine` if keys may go to the guest; the rest
    is there.  A view that is `done` is taken off the screen.
    """

    label = ""  # in front of the input line; "" for a view without one
    left = "leave"  # the word that leaves, for the hints
    has_console = False  # may the keys go to the guest's console?

    def __init__(self) -> None:
        self.done = False
        self.guest = False  # the keys go to the guest's console
        self.paper = Paper()
        self.pane: Pane | None = None
        self.palette = Palette(self.complete)
        self.wipe = False  # another page stands there: what was typed for the last one goes
        self.message: str = ""  # one line over the help line, until the next key
        self._paper_rows = 1

    # --- what a view is made of ---------------------------------------------------------------------------------------

    def draw_view(self, canvas: Canvas) -> None:
        """Draw everything but the input line and the help line, which lie under the canvas."""

    def enter(self, text: str) -> None:
        """A line was typed and Enter pressed."""

    def complete(self, text: str) -> Sequence[Suggestion]:
        """The whole words that may stand next in a line."""
        del text
        return ()

    def key(self, name: str) -> bool:
        """A key that is not for the line: "up", "down", "enter", "escape", "1" ...; True: it was taken.

        Asked first for every key of a view without an input line, and for Esc where there is nothing to close.
        """
        del name
        return False

    def work(self) -> float | None:
        """Do a slice of what goes on by itself, some 30 ms; gives the seconds until the next one is due.

        None: nothing goes on; it is asked again after the next key.
        """
        return None

    def to_machine(self, keys: bytes) -> None:
        """Keys for the guest's console."""

    def help(self) -> str:
        """The few keys that matter now."""
        if self.guest:
            return HELP_GUEST
        return f"{HELP}   Ctrl-] keys to the machine" if self.has_console else HELP

    # --- what all views do alike --------------------------------------------------------------------------------------

    def draw(self, canvas: Canvas) -> None:
        """The view, and over it the pane or the palette that is open."""
        self.draw_view(canvas)
        height = canvas.height
        if self.pane is not None:
            self.pane.draw(canvas, 0, 1, canvas.width, height - 1)
        if self.palette.open:
            self.palette.draw(canvas, 0, 1, canvas.width, height - 1)
        if self.message:
            canvas.blank(0, height - 1, canvas.width, 1)
            canvas.put(0, height - 1, self.message)

    def draw_paper(self, canvas: Canvas, x: int, y: int, width: int, height: int, *, note: str = "") -> None:
        """The guest's console under a rule with its name; marked, with a note, while the keys go there."""
        self._paper_rows = max(1, height - 1)
        back = f"; {self.paper.back} lines back" if self.paper.back else ""
        text = f"console: keys go here{note}" if self.guest else "console"
        canvas.rule(x, y, width, f"{text}{back}", marked=self.guest)
        canvas.put_lines(x, y + 1, self.paper.lines(self._paper_rows), width, self._paper_rows)
        cursor = self.paper.cursor(self._paper_rows)
        if self.guest and cursor is not None:
            canvas.cursor = (x + min(cursor[0], width - 1), y + 1 + cursor[1])

    def look_back(self, pages: int) -> None:
        """PgUp and PgDn: the open pane, else the paper."""
        if self.pane is not None:
            self.pane.scroll(-pages * self.pane.page)
        else:
            self.paper.scroll(pages * min(self._paper_rows, _MOST_BACK), self._paper_rows)

    def toggle(self) -> None:
        """Ctrl-]: the keys to the guest's console, or back to the line."""
        self.palette.close()
        if self.has_console or self.guest:
            self.guest = not self.guest
            self.pane = None
        else:
            self.message = "this machine has no console line"

    def close(self) -> bool:
        """Esc: close what is open; True: something was."""
        was_open = self.palette.open or self.pane is not None
        if self.palette.open:
            self.palette.close()
        else:
            self.pane = None
        return was_open

    def show(self, title: str, text: Sequence[Line | str]) -> None:
        """Open a pane with a text."""
        self.pane = Pane(title, [line(each) if isinstance(each, str) else each for each in text])


def draw_small(canvas: Canvas) -> None:
    """What is shown in a terminal that is too small: one line; the view goes on."""
    columns, rows = SMALLEST
    canvas.put(0, 0, f"too small: {columns} x {rows} at least; {Scene.left} still works")
