"""Trial cases as values: what is set up, what runs, what must be found, and what that rests on."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from minisim.findings import Mark
from minisim.trials.keys import Key, Value

DEFAULT_AT = 0o1000
"""Where a program is laid unless `at` says otherwise."""

Setting = tuple[Key, Value]
"""A key of `given` or `then` with its value."""


class Evidence(StrEnum):
    """What an expected value rests on, strongest first."""

    SEEN = "seen"
    DERIVED = "derived"
    FIRM = "firm"
    PRACTICE = "practice"
    UNCONFIRMED = "unconfirmed"


class Status(StrEnum):
    """How a case ended on one profile."""

    AGREES = "agrees"
    DIFFERS = "differs"
    AGREES_UNCONFIRMED = "agrees-unconfirmed"
    DIFFERS_UNCONFIRMED = "differs-unconfirmed"
    NOT_DOCUMENTED = "not-documented"
    NOT_FITTED = "not-fitted"

    @property
    def compared(self) -> bool:
        """True where the case ran and was compared."""
        return self not in (Status.NOT_DOCUMENTED, Status.NOT_FITTED)

    @property
    def differs(self) -> bool:
        """True where something else was found than is documented."""
        return self in (Status.DIFFERS, Status.DIFFERS_UNCONFIRMED)


@dataclass(frozen=True, slots=True)
class Code:
    """A program as it lies in memory: (address, bytes) of each block, and the text it came from, if any."""

    at: int
    blocks: tuple[tuple[int, bytes], ...]
    text: str = ""

    @property
    def words(self) -> tuple[int, ...]:
        """The words from `at` on."""
        data = next((data for address, data in self.blocks if address == self.at), b"")
        return tuple(int.from_bytes(data[i : i + 2], "little") for i in range(0, len(data) - 1, 2))


@dataclass(frozen=True, slots=True)
class Line:
    """One written row: the values a case has on every profile, or on those it names."""

    mark: Mark
    profiles: tuple[str, ...]  # empty: every one
    evidence: Evidence
    sources: tuple[str, ...]  # keys of the bibliography; empty: derived from the rules
    place: str
    needs: tuple[str, ...]
    without: tuple[str, ...]
    code: Code | None  # None: a number format or a tape, nothing that runs
    steps: int
    given: tuple[Setting, ...]
    then: tuple[Setting, ...]
    mask: frozenset[str]
    note: str


@dataclass(frozen=True, slots=True)
class Case:
    """One trial case.  `lines` has one entry, or one for each group of profiles that its rows name."""

    id: str
    table: str
    file: str
    about: str
    row: str  # of the table of differences, or empty
    module: str  # that it counts for
    lines: tuple[Line, ...]

    def line_for(self, profile: str) -> Line | None:
        """The line that speaks for a profile; None where nothing is documented for it."""
        return next((line for line in self.lines if not line.profiles or profile in line.profiles), None)


@dataclass(frozen=True, slots=True)
class TrialFile:
    """One file of cases."""

    name: str  # of the file, without its ending
    title: str
    cases: tuple[Case, ...]


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that was found otherwise than documented.  `bits` are the numbers of the bits that differ."""

    what: str
    documented: str
    found: str
    xor: str
    bits: tuple[int, ...]
    words: str


@dataclass(frozen=True, slots=True)
class Result:
    """How one case ended on one profile; `reason` says why it was not compared."""

    case: Case
    profile: str
    status: Status
    line: Line | None = None
    differences: tuple[Difference, ...] = ()
    reason: str = ""
