"""The only way a figure travels: `Known(value, evidence, sources) | Unknown(why) | NotApplicable`.

Whoever reads `Known.value` while a `reading()` ledger is open leaves a trace in it, so a rule can't forget to say
that it rests on an unconfirmed figure.  Sums are intervals: `total()` gives a lower bound and the parts nobody knows.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from typing import Generic, TypeVar

T = TypeVar("T")


class Evidence(StrEnum):
    """How well a figure is known, best first (the words of the catalogue)."""

    OWNER = "owner"  # measured or stated by the owner in the loadout
    SEEN = "seen"
    DERIVED = "derived"
    COMMON_PRACTICE = "common-practice"
    FIRM = "firm"
    SEEN_SECONDARY = "seen-secondary"
    UNCONFIRMED = "unconfirmed"
    ASSUMED = "assumed"  # rests on a board described in place
    DISPUTED = "disputed"

    @property
    def rank(self) -> int:
        """0 for the best evidence; larger is weaker."""
        return _ORDER[self]

    @property
    def needs_saying(self) -> bool:
        """True where a finding must name the weakness."""
        return self in (Evidence.UNCONFIRMED, Evidence.ASSUMED, Evidence.DISPUTED)


_ORDER = {word: rank for rank, word in enumerate(Evidence)}
_LEDGER: ContextVar[Ledger | None] = ContextVar("ledger", default=None)


@dataclass(slots=True)
class Ledger:
    """The figures read while it was open."""

    entries: list[Known[object]] = field(default_factory=list)

    def take(self) -> tuple[Known[object], ...]:
        """Everything read since the last take."""
        taken = tuple(self.entries)
        self.entries.clear()
        return taken


@contextmanager
def reading() -> Iterator[Ledger]:
    """Open a ledger: every `Known.value` read inside is written down in it."""
    ledger = Ledger()
    token = _LEDGER.set(ledger)
    try:
        yield ledger
    finally:
        _LEDGER.reset(token)


@dataclass(frozen=True, slots=True)
class Known(Generic[T]):
    """A figure with its evidence.  `peek` reads it without leaving a trace (for display only)."""

    peek: T
    evidence: Evidence
    sources: tuple[str, ...] = ()
    note: str = ""
    name: str = field(default="", compare=False)  # what the figure is called in "rests on ..."

    def named(self, name: str) -> Known[T]:
        """The same figure under a name, so that whoever rests on it can say what it is."""
        return Known(self.peek, self.evidence, self.sources, self.note, name)

    @property
    def value(self) -> T:
        """The figure; reading it is recorded."""
        ledger = _LEDGER.get()
        if ledger is not None:
            ledger.entries.append(self)  # type: ignore[arg-type]  # a ledger holds figures of every type
        return self.peek


@dataclass(frozen=True, slots=True)
class Unknown:
    """The thing exists, its value is not known; `why` completes "not known: ..."."""

    why: str


@dataclass(frozen=True, slots=True)
class NotApplicable:
    """The thing does not exist here."""


Figure = Known[T] | Unknown | NotApplicable


def worst(figures: Iterable[Known[object]]) -> Evidence:
    """The weakest evidence among `figures` (SEEN if there are none)."""
    return max((figure.evidence for figure in figures), key=lambda evidence: evidence.rank, default=Evidence.SEEN)


@dataclass(frozen=True, slots=True)
class Part:
    """One addend of a total: what it is called and its figure."""

    name: str
    figure: Figure[Decimal]


@dataclass(frozen=True, slots=True)
class Total:
    """A sum as an interval: `least` is certain, `unknown` names the parts that may add to it."""

    parts: tuple[Part, ...]

    @property
    def least(self) -> Decimal:
        """The sum of the known parts; reading it records each of them."""
        known = (part.figure.named(part.name) for part in self.parts if isinstance(part.figure, Known))
        return sum((figure.value for figure in known), Decimal(0))

    @property
    def unknown(self) -> tuple[str, ...]:
        """Names of the parts whose figure is unknown."""
        return tuple(part.name for part in self.parts if isinstance(part.figure, Unknown))

    @property
    def complete(self) -> bool:
        """True when no part is unknown."""
        return not self.unknown


def total(parts: Iterable[Part]) -> Total:
    """Sum figures without losing what is unknown."""
    return Total(tuple(parts))
