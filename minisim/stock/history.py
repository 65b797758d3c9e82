"""The condition history of a piece as one cell: `2026-11-26 AB works: 4.98 V at +5 | 2026-12-01 CD faulty: no +12`."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable

from minisim.stock.model import Condition, ConditionNote

_ENTRY = re.compile(r"(\d{4}-\d\d-\d\d) ([^\s:|]{1,12}) (\w+)(?:: (.*))?", re.DOTALL)
_INITIALS = re.compile(r"[^\W\d_](?:[^\W_]|[.-]){0,11}")
_BETWEEN = " | "  # a bar within a text has its backslash, not a blank, before it


def write_history(notes: Iterable[ConditionNote]) -> str:
    """One cell; `|` and line ends within what was measured stand behind a backslash."""
    return _BETWEEN.join(_entry(note) for note in notes)


def _entry(note: ConditionNote) -> str:
    measured = note.measured.replace("\\", "\\\\").replace("|", "\\|").replace("\r\n", "\n").replace("\r", "\n")
    measured = measured.replace("\n", "\\n")
    return f"{note.date} {note.initials} {note.condition}" + (f": {measured}" if measured else "")


def read_history(text: str) -> tuple[tuple[ConditionNote, ...], bool]:
    """The notes of a cell, and whether all of it was understood."""
    notes = []
    whole = True
    for part in text.split(_BETWEEN) if text.strip() else ():
        found = _ENTRY.fullmatch(part)
        if found and is_date(found[1]) and found[3] in list(Condition):
            measured = re.sub(r"\\(.)", lambda one: {"n": "\n"}.get(one[1], one[1]), found[4] or "")
            notes.append(ConditionNote(found[1], found[2], Condition(found[3]), measured))
        else:
            whole = False
    return tuple(notes), whole


def is_date(text: str) -> bool:
    """An ISO date that is in the calendar."""
    try:
        return datetime.date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def is_initials(text: str) -> bool:
    """One to twelve letters, perhaps with digits, points and hyphens."""
    return bool(_INITIALS.fullmatch(text))
