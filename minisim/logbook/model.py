"""The log as values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

from minisim.findings import Mark

VERSION = 1
UNITS = ("V", "mV", "A", "ohm", "Hz", "C")
"""Volts, millivolts of ripple, amperes, ohms, hertz, degrees Celsius."""


class Kind(StrEnum):
    """What an entry says; the word is its key in the file."""

    MEASURED = "measured"  # a figure: `what` is a rail, a pin, anything named
    REMARK = "remark"
    CLOSED = "closed"  # a finding put right or explained: `what` is the rule
    REPLACED = "replaced"  # a part: `what` is the place
    WORKED = "worked"  # the machine worked that day: `what` is the SHA-256 of the loadout


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry.  `at` is a place, a box, or empty; `text` a remark, a reason, or what was put in."""

    date: str  # ISO
    by: str  # initials
    kind: Kind
    what: str
    at: str = ""
    value: Decimal | None = None
    unit: str = ""
    text: str = ""
    machine: Mapping[str, str] = field(default_factory=dict)  # of WORKED: what the machine was (`summary`)
    mark: Mark | None = None  # None: not read from a file


@dataclass(frozen=True, slots=True)
class Log:
    """All entries in the order of the file; empty where there is no file."""

    file: str = ""
    entries: tuple[Entry, ...] = ()

    @property
    def last_worked(self) -> Entry | None:
        """The latest entry that says it worked: by date, then by place in the file."""
        worked = [(entry.date, number, entry) for number, entry in enumerate(self.entries) if entry.kind is Kind.WORKED]
        return max(worked)[2] if worked else None

    def after(self, entry: Entry) -> tuple[Entry, ...]:
        """Entries of a later date, and of the same date those that stand behind it in the file."""
        place = self.entries.index(entry)
        return tuple(one for number, one in enumerate(self.entries) if (one.date, number) > (entry.date, place))
