"""What happened in event mode, one line each in a file that a power cut can't spoil: a line is there whole, or not.

Nothing of a visitor is kept but which activity, and when.  The counters of the volunteer's page are counted from the
lines; where nothing can be written the event goes on, and the page says so.
"""

from __future__ import annotations

import json
import os
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from pathlib import Path

NAME = "diary.jsonl"
_MOST_BYTES = 50_000_000  # some 600,000 visitors; what lies before is not counted
_LONGEST = 200  # characters kept of what went wrong


class Kind(StrEnum):
    """What a line tells."""

    OPENED = "opened"  # event mode began
    CLOSED = "closed"  # a volunteer ended it; missing before the next `opened`: the power went, or somebody killed it
    STARTED = "started"  # an activity
    FINISHED = "finished"
    GIVEN_UP = "given up"  # start over, or another one was chosen
    WENT_AWAY = "went away"  # nobody touched a key any more
    SLIP = "slip"  # kept for printing
    UPSET = "upset"  # something of ours went wrong, and it began anew


@dataclass(frozen=True, slots=True)
class Entry:
    """One line."""

    kind: Kind
    at: datetime
    what: str = ""


@dataclass(frozen=True, slots=True)
class Counts:
    """So many of each, of some time; by activity where there is one."""

    started: Counter[str] = field(default_factory=Counter)
    finished: Counter[str] = field(default_factory=Counter)
    kinds: Counter[Kind] = field(default_factory=Counter)
    cut_off: int = 0  # event mode ended without a volunteer


class Diary:
    """The file in its folder.  `trouble` says why nothing can be written down, or is empty."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / NAME
        self.trouble = ""
        self._handle = -1

    def note(self, kind: Kind, at: datetime, what: str = "") -> None:
        """One line, on the disk when this returns; where that fails, `trouble` says why."""
        row = {"at": at.isoformat(timespec="seconds"), "kind": kind.value}
        row |= {"what": what[:_LONGEST]} if what else {}
        try:
            self._append((json.dumps(row) + "\n").encode("ascii"))
        except OSError as error:
            self.trouble = f"{self.path}: {error.strerror or error}"
        else:
            self.trouble = ""

    def _append(self, line: bytes) -> None:
        if self._handle < 0:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            self._handle = os.open(self.path, os.O_RDWR | os.O_APPEND | os.O_CREAT, 0o644)
            if self._is_torn():
                line = b"\n" + line  # what a power cut left of the last line stays alone
        os.write(self._handle, line)
        os.fsync(self._handle)

    def _is_torn(self) -> bool:
        size = os.fstat(self._handle).st_size
        return size > 0 and os.pread(self._handle, 1, size - 1) != b"\n"

    def close(self) -> None:
        """Let the file go."""
        if self._handle >= 0:
            os.close(self._handle)
            self._handle = -1

    def entries(self) -> Iterator[Entry]:
        """All that can be read, oldest first; torn lines and foreign ones are passed over."""
        try:
            with self.path.open("rb") as stream:
                size = os.fstat(stream.fileno()).st_size
                stream.seek(max(size - _MOST_BYTES, 0))
                lines = stream.read(_MOST_BYTES).splitlines()
        except OSError:
            return
        for line in lines:
            entry = _entry(line)
            if entry is not None:
                yield entry

    def counts(self, since: datetime | None = None) -> Counts:
        """What was counted, of all time or since a moment."""
        found, is_open = Counts(), False
        cut_off = 0
        for entry in self.entries():
            counted = since is None or entry.at >= since
            if entry.kind is Kind.OPENED and is_open and counted:
                cut_off += 1
            if entry.kind in (Kind.OPENED, Kind.CLOSED):
                is_open = entry.kind is Kind.OPENED
            if counted:
                _count(found, entry)
        return Counts(found.started, found.finished, found.kinds, cut_off)


def _count(counts: Counts, entry: Entry) -> None:
    counts.kinds[entry.kind] += 1
    if entry.kind is Kind.STARTED:
        counts.started[entry.what] += 1
    elif entry.kind is Kind.FINISHED:
        counts.finished[entry.what] += 1


def _entry(line: bytes) -> Entry | None:
    try:
        row = json.loads(line)
        return Entry(Kind(row["kind"]), datetime.fromisoformat(row["at"]), str(row.get("what", "")))
    except (ValueError, KeyError, TypeError, RecursionError):
        return None
