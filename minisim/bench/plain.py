"""The bench as lines, for screen readers, simple terminals, and programs: a line of words, an answer of sentences.

While the machine runs, what it prints is shown as it comes; Ctrl-C pauses it.
"""

from __future__ import annotations

import signal
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from minisim.bench.look import next_line
from minisim.bench.pace import Pace
from minisim.bench.view import ending_words
from minisim.terminal import can_be_drawn_on

if TYPE_CHECKING:
    from types import FrameType

    from minisim.bench.bench import Bench

LABEL = "bench: "
FRAME = 0.02  # seconds
NO_CONSOLE = "There is no terminal for the console here; `type TEXT` types a line at it."
AT_PROMPT = "Nothing runs. `leave` leaves the bench."


LEAST_COLUMNS, LEAST_ROWS = 80, 24  # of a screen that the bench fits on


def open_bench(bench: Bench, *, plain: bool = False, back_to_console: bool = False) -> bool:
    """The bench as a screen (True) where the terminal can show one, else, or where `plain` says so, as lines."""
    if plain or not can_show_screen():
        run_plain(bench, back_to_console=back_to_console)
        return False
    from minisim.bench.screen import run_bench

    run_bench(bench, back_to_console=back_to_console)
    return True


def can_show_screen() -> bool:
    """A terminal that knows more than lines, and is not too small."""
    return can_be_drawn_on(LEAST_COLUMNS, LEAST_ROWS)


def run_plain(bench: Bench, *, back_to_console: bool = False) -> None:
    """Line by line until the user leaves (`bench.left`) or the input ends.

    With `back_to_console` it also ends when the user wants the console (`bench.wants_console`): the caller has one.
    """
    Plain(bench, back_to_console).hold()


class Plain:
    """One talk at the bench."""

    def __init__(self, bench: Bench, back_to_console: bool) -> None:
        self._bench = bench
        self._back = back_to_console
        self._open_line = False  # the guest left the line without an end

    def hold(self) -> None:
        """Until leave, console or the end of the input."""
        self._show_printed()
        self._say(next_line(self._bench.machine))
        while not self._bench.left and not self._bench.wants_console:
            line = self._ask()
            if line is None:
                self._bench.do("leave")
                return
            self.do(line)

    def do(self, line: str) -> None:
        """One line, its answer, and the run that it began."""
        for text in self._bench.do(line).lines:
            self._say(text)
        if self._bench.wants_console and not self._back:
            self._bench.wants_console = False
            self._bench.pause()
            self._say(NO_CONSOLE)
        if self._bench.running and not self._bench.wants_console:
            self._run()
        self._show_printed()

    def _ask(self) -> str | None:
        """A line of the user; None at the end of the input."""
        self._close_line()
        while True:
            try:
                if sys.stdin.isatty():
                    return input(LABEL)
                line = sys.stdin.readline()
                sys.stdout.write(f"{LABEL}{line.rstrip()}\n" if line else "")
                return line or None
            except EOFError:
                print()
                return None
            except UnicodeDecodeError:
                self._say("This line is no text.")
            except KeyboardInterrupt:
                if not sys.stdin.isatty():
                    raise
                self._say(f"\n{AT_PROMPT}")

    def _run(self) -> None:
        bench, pace = self._bench, Pace(self._bench)
        with until_interrupt() as interrupted:
            while bench.running and not interrupted:
                bench.advance(FRAME)
                self._show_printed()
                time.sleep(pace.ahead() if bench.running else 0.0)
        bench.pause()
        self._show_printed()
        if bench.stop is not None:
            self._say(ending_words(bench))
        self._say(next_line(bench.machine))

    def _show_printed(self) -> None:
        text = self._bench.printed().decode("latin-1").replace("\r\n", "\n")
        if text:
            sys.stdout.write(text)
            sys.stdout.flush()
            self._open_line = not text.endswith("\n")

    def _say(self, text: str) -> None:
        self._close_line()
        print(text, flush=True)

    def _close_line(self) -> None:
        if self._open_line:
            print()
            self._open_line = False


@contextmanager
def until_interrupt() -> Iterator[list[int]]:
    """Ctrl-C puts something into the list, and ends nothing."""
    seen: list[int] = []

    def note(number: int, _frame: FrameType | None) -> None:
        seen.append(number)

    before = signal.signal(signal.SIGINT, note)
    try:
        yield seen
    finally:
        signal.signal(signal.SIGINT, before)
