"""The stock as values: one record for each row of the owner's list, and what each row was understood to be.

Nothing here reads files.  A row keeps everything the owner wrote, also what nobody understands; `understood` is what we
make of it.  Counts are pieces; a row without a count is one piece.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from minisim.findings import Mark


class Condition(StrEnum):
    """How sure the owner is that a piece works, best first."""

    WORKS = "works"
    UNTESTED = "untested"
    UNKNOWN = "unknown"
    INCOMPLETE = "incomplete"
    FAULTY = "faulty"

    @property
    def usable(self) -> bool:
        """May a plan put it into a machine?  What is incomplete or faulty stays out."""
        return self in (Condition.WORKS, Condition.UNTESTED, Condition.UNKNOWN)


@dataclass(frozen=True, slots=True)
class Candidate:
    """One thing of the catalogue that a text may mean.

    `kind` is a folder of the catalogue (boards, backplanes, supplies, chassis, drives, cables, media, roms); `entry`
    the id there.  `score` goes from 0 to 1; 1 is the marking exactly as it is published.  `how` says in words how the
    text became it ("exact", "a digit was read as a letter: O for 0", "the letter behind it is a revision"); `sources`
    say where the marking is published, `evidence` how sure that is.
    """

    kind: str
    entry: str
    marking: str
    score: float
    how: str
    evidence: str
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Identified:
    """What a text on a piece means: `candidates` best first; `sure` only where the first one stands alone.

    Empty candidates: unknown, which is a legal and useful state.
    """

    text: str
    candidates: tuple[Candidate, ...] = ()
    sure: bool = False

    @property
    def entry(self) -> Candidate | None:
        """The thing it certainly is, or None."""
        return self.candidates[0] if self.sure and self.candidates else None


@dataclass(frozen=True, slots=True)
class ConditionNote:
    """One entry of the history of a piece: ISO date, initials, what was measured or seen."""

    date: str
    initials: str
    condition: Condition
    measured: str


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the owner's list.

    `number` is its row in the sheet (1 is the first); `item` the owner's own name of the piece ("K-017"), or "";
    `cells` are the columns as written, in their order, so that a list written out again loses nothing.
    """

    number: int
    mark: Mark
    cells: Mapping[str, str]
    marking: str
    count: int
    condition: Condition
    box: str = ""
    notes: str = ""
    photo: str = ""
    item: str = ""
    what: str = ""  # the owner's own words for what it is
    understood: Identified = field(default_factory=lambda: Identified(""))
    history: tuple[ConditionNote, ...] = ()
    kind: str = (
        ""  # folder of the catalogue, "panels" or "brackets"; by its words where it is not identified; "": not known
    )
    conflict: str = ""  # what another list says otherwise, until the owner has decided

    @property
    def name(self) -> str:
        """How to call it: the owner's name, else its row."""
        return self.item or f"row {self.number}"


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something about a row that could not be understood, or was read with a certain repair, which is only told."""

    mark: Mark
    row: int
    column: str
    seen: str
    said: str
    repaired: bool = False


@dataclass(frozen=True, slots=True)
class Stock:
    """A whole list: rows in the owner's order, the columns it had, how they were mapped, and every doubt."""

    file: str
    sha256: str
    rows: tuple[Row, ...]
    columns: tuple[str, ...] = ()
    mapping: Mapping[str, str] = field(default_factory=dict)  # our name of a column -> the owner's
    doubts: tuple[Doubt, ...] = ()
    how: Mapping[str, str] = field(default_factory=dict)  # our name of a column -> how it was found
    form: str = ""  # "CSV, utf-8, commas"
    remarks: tuple[str, ...] = ()  # about the file as a whole
    ours: bool = False  # written by minisim: it may be added to

    @property
    def pieces(self) -> int:
        """How many pieces all rows together have."""
        return sum(row.count for row in self.rows)

    @property
    def open_doubts(self) -> tuple[Doubt, ...]:
        """The doubts that no repair has settled."""
        return tuple(doubt for doubt in self.doubts if not doubt.repaired)
