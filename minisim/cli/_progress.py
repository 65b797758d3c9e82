"""One line on a terminal while work takes longer than a second; nothing where nobody looks."""

from __future__ import annotations

import sys
from collections.abc import Callable
from time import monotonic

PATIENCE_S = 1.0
_BETWEEN_S = 0.1


class Progress:
    """A counter on the error stream; it goes when the work ends."""

    def __init__(self, what: str) -> None:
        self.what = what
        self.next = monotonic() + PATIENCE_S
        self.shown = 0

    def __enter__(self) -> Progress:
        return self

    def __exit__(self, *_: object) -> None:
        if self.shown:
            print(f"\r{' ' * self.shown}\r", end="", file=sys.stderr, flush=True)

    @property
    def tell(self) -> Callable[[int, int], None] | None:
        """What to call with the work done and the whole of it; None where the error stream is no terminal."""
        return self._tell if sys.stderr.isatty() else None

    def _tell(self, done: int, whole: int) -> None:
        now = monotonic()
        if now < self.next:
            return
        self.next = now + _BETWEEN_S
        line = f"{done} of {whole} {self.what}"
        print(f"\r{line}", end="", file=sys.stderr, flush=True)
        self.shown = len(line)
