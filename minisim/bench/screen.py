"""The bench as a full-screen view: console, registers, instructions, bus, interrupts and devices side by side."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from typing import TYPE_CHECKING

from minisim.bench import panels
from minisim.bench.look import next_line
from minisim.bench.pace import Pace
from minisim.bench.view import ending_words
from minisim.screen import Canvas, Line, Scene, Suggestion, bold, line, run_screen, wrap
from minisim.screen.sections import NARROW, Section, stacked

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.view import View

SLICE = 0.04  # seconds a frame of the guest takes
KEPT = 60  # answers
IN_SIGHT = 6  # rows of an answer about a step that need no pane: the view itself shows it
GREETING = "Write run and press Enter, and the machine runs; Tab shows all words, help tells of them."
WIDE = (132, 30)  # from here on everything stands side by side
PAPER = 81  # columns of the console there, with the line beside it


class BenchScene(Scene):
    """What is on the screen, and what keys and lines do."""

    label = "bench: "

    def __init__(self, bench: Bench, *, back_to_console: bool = False) -> None:
        super().__init__()
        self.bench = bench
        self._back_to_console = back_to_console  # the word console ends the view: the caller has the raw console
        self._log: deque[list[Line]] = deque([[line(GREETING)]], maxlen=KEPT)
        self._rows = 1  # of the answers, when last drawn
        self._width = 80
        self._pace = Pace(bench)
        self._note = ""  # beside the console that has the keys
        self._ran = bench.running
        self._panel = False  # the front panel stands in place of bus, interrupts and devices
        self._anew = -1  # the paper that is shown, as the bench counts them
        self._print()

    # --- lines and keys -----------------------------------------------------------------------------------------------

    def enter(self, text: str) -> None:
        """Do a line and show its answer; what is longer than its place opens a pane."""
        if not text.strip():
            return
        before = self.bench.machine.instructions
        answer = self.bench.do(text)
        words = text.lower().split()
        self._panel = answer.done and self._has_panel() and (words[0] == "panel" or words == ["look", "panel"])
        self._print()
        shown = answer.lines
        if len(shown) > 1 and shown[-1] == next_line(self.bench.machine):
            shown = shown[:-1]  # it stands in the view
        lines = [line(bold(f"{self.label}{text.strip()}")), *(line(each) for each in shown)]
        self._log.append(lines)
        most = self._rows if self.bench.machine.instructions == before else max(self._rows, IN_SIGHT)
        if sum(len(wrap(each, self._width)) for each in lines[1:]) > most:
            self.show(text.strip(), answer.lines)
        if self.bench.left:
            self.done = True
        if self.bench.wants_console:
            self._to_console()

    def _to_console(self) -> None:
        if self._back_to_console:
            self.done = True
        else:
            self.bench.wants_console = False
            self.guest = self.has_console
            self.pane = None

    def _has_panel(self) -> bool:
        return self.bench.machine.console_kind == "panel"

    def toggle(self) -> None:
        """Ctrl-]: to the guest, as the word console; a machine that was only paused runs on."""
        super().toggle()
        if self.guest:
            self.bench.carry_on()

    def key(self, name: str) -> bool:
        """Esc: the bus again in place of the front panel."""
        was_panel, self._panel = self._panel, self._panel and name != "escape"
        return was_panel and not self._panel

    def help(self) -> str:
        """The few keys that matter now."""
        if self.guest:
            return super().help()
        console = "  Ctrl-] keys to machine" if self.has_console else ""
        return f"Tab words  Enter does it  PgUp looks back{console}  leave ends"

    def complete(self, text: str) -> Sequence[Suggestion]:
        """What the bench knows."""
        return self.bench.complete(text)

    def to_machine(self, keys: bytes) -> None:
        """To the console line."""
        self.bench.type(keys)

    # --- running ------------------------------------------------------------------------------------------------------

    def work(self) -> float | None:
        """One frame of the guest, if it runs."""
        bench = self.bench
        started, self._ran = bench.running and not self._ran, bench.running
        if started:
            self._pace.meet()
        if not bench.running:
            self._print()
            return None
        early = self._pace.ahead()
        if early:  # a key came before it was time
            return early
        bench.advance(SLICE)
        self._print()
        if not bench.running:
            self._say_why()
        return self._pace.ahead()

    def _print(self) -> None:
        self.has_console = self.bench.machine.layout.console is not None
        new, paper = self.bench.printed(), self.bench.paper
        if paper.anew != self._anew:  # it opens here, or the machine went back
            self._anew, new = paper.anew, paper.text()
            self.paper.clear()
        self.paper.feed(new)

    def _say_why(self) -> None:
        """It has stopped by itself."""
        if self.bench.stop is not None:
            self._log.append([line(ending_words(self.bench))])

    # --- the picture --------------------------------------------------------------------------------------------------

    def draw_view(self, canvas: Canvas) -> None:
        """Everything, at this size."""
        view = self.bench.view()
        self._note = "" if self.bench.running else "; the machine does not run"
        canvas.bar(0, *panels.title(view))
        if canvas.width >= WIDE[0] and canvas.height >= WIDE[1]:
            self._draw_wide(canvas, view)
        else:
            self._draw_narrow(canvas, view)

    def _draw_narrow(self, canvas: Canvas, view: View) -> None:
        """One under the other; at 80 x 24 the console has eight lines."""
        rows = max(5, (canvas.height - 1) * 3 // 7)
        self.draw_paper(canvas, 0, 1, canvas.width, rows, note=self._note)
        sections = panels.sections(view)
        if self._panel:
            sections = [*sections[:3], self._front_panel()]
        sections.append(Section("answer", self._answers, 2, 12))
        self._width = canvas.width - NARROW
        stacked(canvas, 0, 1 + rows, canvas.width, canvas.height - 1 - rows, sections, ruled=False)

    def _draw_wide(self, canvas: Canvas, view: View) -> None:
        """Console and answers on the left, the machine on the right."""
        rows = min(27, (canvas.height - 1) * 3 // 5)
        self.draw_paper(canvas, 0, 1, PAPER - 1, rows, note=self._note)
        below = canvas.height - 1 - rows
        self._width = PAPER - 2
        stacked(canvas, 0, 1 + rows, PAPER - 1, below, [Section("answers", self._answers)], ruled=True)
        canvas.upright(PAPER - 1, 1, canvas.height - 1)
        left = PAPER + 1
        sections = panels.sections(view)
        if self._has_panel():
            sections.insert(1, self._front_panel())
        stacked(canvas, left, 1, canvas.width - left, canvas.height - 1, sections, ruled=True)

    def _front_panel(self) -> Section:
        bench = self.bench
        return Section("panel", lambda width, rows: panels.front_panel(bench.dialog, bench.running)[:rows], 4, 4)

    def _answers(self, width: int, rows: int) -> list[Line]:
        """The last answers, as many as there is room for, the newest at the end."""
        self._rows = rows
        found: list[Line] = []
        for lines in reversed(self._log):
            found = [part for each in lines for part in wrap(each, width)] + found
            if len(found) >= rows:
                break
        return found[-rows:]


def run_bench(bench: Bench, *, back_to_console: bool = False) -> None:
    """Show the bench full screen until the user leaves (`bench.left`).

    With `back_to_console` it also ends when the user wants the console (`bench.wants_console`): the caller has one.
    """
    run_screen(BenchScene(bench, back_to_console=back_to_console))
