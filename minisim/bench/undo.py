"""What was changed from the bench, so that the last change can be taken back."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass

KEPT = 100


@dataclass(frozen=True, slots=True)
class Change:
    """One change: what it was in words, and how it is taken back (None: it can't be, for the reason `why_not`).

    `undone` has in words how it stands then.
    """

    what: str
    back: Callable[[], None] | None
    why_not: str = ""
    undone: str = ""


class Undo:
    """The last changes, the newest on top."""

    def __init__(self) -> None:
        self._changes: deque[Change] = deque(maxlen=KEPT)

    def put(self, change: Change) -> None:
        """A change was made."""
        self._changes.append(change)

    def take(self) -> Change | None:
        """The last one, which is gone from here then."""
        return self._changes.pop() if self._changes else None

    def last(self) -> Change | None:
        """The last one, which stays."""
        return self._changes[-1] if self._changes else None

    def clear(self) -> None:
        """Another machine stands on the bench."""
        self._changes.clear()
