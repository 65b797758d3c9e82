"""The invitation: a machine at work while nobody is there, and what it is doing in words."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from minisim.lessons.slip import STATION
from minisim.screen import Canvas, Paper, line, reverse, wrap

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.machine.steps import Step

_FRAME = 0.1
_REST = 15.0  # seconds between the end of its work and its next beginning
_TOLD = 3.0  # seconds that a sentence stands, to be read


class Invitation:
    """One machine that does its work over and over; where it can't be had, the invitation does without it."""

    def __init__(self, make: Callable[[], Bench], clock: Callable[[], float] = time.monotonic) -> None:
        self._make, self._clock = make, clock
        self._bench: Bench | None = None
        self._paper = Paper()
        self._begins = 0.0
        self._told_at = float("-inf")
        self._sentence = ""
        self.trouble = ""

    def work(self) -> float:
        """A frame of the machine; gives the seconds until the next one."""
        try:
            self._frame()
        except Exception as error:  # an invitation without a machine is one still
            self.trouble = str(error)
            self.stand_still()
            self._begins = self._clock() + _REST
        return _FRAME

    def _frame(self) -> None:
        if self._bench is None:
            if self._clock() < self._begins:
                return
            self._bench, self._paper = self._make(), Paper()
            self._bench.do("run")
        bench = self._bench
        bench.advance(_FRAME)
        self._paper.feed(bench.printed())
        if bench.steps and self._clock() - self._told_at >= _TOLD:
            self._told_at, self._sentence = self._clock(), _told(bench.steps[-1])
        if not bench.running:
            self.close()
            self._begins = self._clock() + _REST

    def stand_still(self) -> None:
        """Somebody is there: let the machine go, and begin anew the next time."""
        self.close()
        self._begins, self._sentence = 0.0, ""

    def close(self) -> None:
        """Let the machine go."""
        bench, self._bench = self._bench, None
        if bench is not None:
            bench.machine.close()

    def draw(self, canvas: Canvas) -> None:
        """What the machine prints, what it is doing, and that a key begins."""
        canvas.bar(0, STATION, "a computer of the 1970s, as a model")
        low = canvas.height - 7
        canvas.put_lines(0, 1, self._paper.lines(low), canvas.width, low)
        canvas.rule(0, low + 1, canvas.width, "what it is doing")
        said = wrap(line(self._sentence), canvas.width)
        canvas.put_lines(0, low + 2, said, canvas.width, 2)
        call = "   Press any key: you can work it yourself   "
        canvas.put(max((canvas.width - len(call)) // 2, 0), canvas.height - 2, line(reverse(call)))
        length = "30 seconds, 3 minutes or 15 minutes; nothing you type can hurt it"
        canvas.put(max((canvas.width - len(length)) // 2, 0), canvas.height - 1, length)


def _told(step: Step) -> str:
    return f"{step.pc:06o}  {step.text}: {step.sentence}" if step.words else step.sentence
