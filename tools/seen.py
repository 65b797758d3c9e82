"""A program in a pseudo-terminal of any size, and what a person would see there.  For pictures and tests of screens."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from types import TracebackType
from typing import Any, Self

import pexpect
import pyte

ROOT = Path(__file__).resolve().parent.parent
PLAIN = {"TERM": "xterm", "LC_ALL": "C.UTF-8", "PYTHONUNBUFFERED": "1"}


class Seen:
    """A program that runs; keys go in, its screen can be looked at."""

    def __init__(
        self, command: Sequence[str], columns: int = 80, rows: int = 24, more: Mapping[str, str] | None = None
    ) -> None:
        self.screen = pyte.Screen(columns, rows)
        self._stream = pyte.ByteStream(self.screen)
        environment = {**os.environ, **PLAIN, **(more or {})}
        self.child: Any = pexpect.spawn(
            command[0], list(command[1:]), dimensions=(rows, columns), env=environment, cwd=str(ROOT), timeout=30
        )
        self.written = 0  # bytes that came over the line
        self.alternate = False  # is its screen the other one?

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.child.close(force=True)

    def rows(self) -> list[str]:
        """The screen as text, without spaces at the ends."""
        return [row.rstrip() for row in self.screen.display]

    def text(self) -> str:
        """The screen as one text."""
        return "\n".join(self.rows()) + "\n"

    def type(self, keys: str) -> None:
        """Press some keys."""
        self.child.send(keys)

    def resize(self, columns: int, rows: int) -> None:
        """Another size; the program is told."""
        self.child.setwinsize(rows, columns)
        self.screen.resize(rows, columns)

    def take(self, seconds: float = 0.05) -> bool:
        """Look at what has come; False: the program has ended."""
        try:
            data = self.child.read_nonblocking(65536, timeout=seconds)
        except pexpect.TIMEOUT:
            return True
        except pexpect.EOF:
            return False
        self.written += len(data)
        at_on, at_off = data.rfind(b"\x1b[?1049h"), data.rfind(b"\x1b[?1049l")
        if at_on != at_off:
            self.alternate = at_on > at_off
        self._stream.feed(data)
        return True

    def wait(self, what: str | Callable[[Seen], bool], seconds: float = 30.0) -> Self:
        """Until a text is on the screen, or something holds of it."""
        until = time.monotonic() + seconds
        holds = (lambda seen: what in seen.text()) if isinstance(what, str) else what
        while not holds(self):
            going = self.take()
            if (not going and not holds(self)) or time.monotonic() > until:
                raise AssertionError(f"{what!r} does not hold of this screen:\n{self.text()}")
        return self

    def settle(self, seconds: float = 0.4) -> Self:
        """Until nothing has come for so long."""
        last, quiet = self.written, time.monotonic()
        while time.monotonic() - quiet < seconds and self.take():
            if self.written != last:
                last, quiet = self.written, time.monotonic()
        return self
