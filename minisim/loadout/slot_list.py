"""A slot list typed as for a mail, as values: what each line was taken for, and what is known of each place.

Reading never fails on a line: a line is a slot, a heading, a fact, a header, a remark, or it is "not understood" and
says why.  Nothing here decides what is connected to what; that is `minisim.wiring`, on the loadout made from this.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from minisim.stock.model import Identified


class Kind(StrEnum):
    """What a line was taken for."""

    SLOT = "slot"
    EMPTY = "empty"
    MORE = "more of the line above"
    HEADING = "heading"
    FACT = "fact"
    HEADER = "header"
    REMARK = "remark"
    UNKNOWN = "not understood"


class Sure(StrEnum):
    """How sure the reading of a line is."""

    SURE = "sure"
    LIKELY = "likely"
    GUESS = "guess"


@dataclass(frozen=True, slots=True)
class TextLine:
    """One line of the mail: `raw` as written (printable), `text` cleaned for reading, `indent` its leading blanks."""

    number: int
    raw: str
    text: str
    indent: int = 0


@dataclass(slots=True)
class Reading:
    """How one line was understood; `said` are short sentences for the reader."""

    line: TextLine
    kind: Kind
    sure: Sure = Sure.SURE
    place: str = ""
    said: list[str] = field(default_factory=list)
    entries: list[Entry] = field(default_factory=list)
    also: list[str] = field(default_factory=list)  # boards named in a remark


@dataclass(slots=True)
class Entry:
    """One thing in one place, or an empty place, as the lines say it.

    `rows` is empty where the list does not say; `side` is a word such as `left` that the backplane's facts can't turn
    into rows.  `board` is an id of the catalogue, "" where the number is unknown, None where the place is empty.
    """

    line: int
    slots: tuple[int, ...]
    rows: str = ""
    side: str = ""
    board: str | None = ""
    number: str = ""  # as written on the handle
    identified: Identified | None = None
    settings: dict[str, tuple[str, int]] = field(default_factory=dict)  # name -> text, line
    described: dict[str, str] = field(default_factory=dict)  # keys of a board described in place
    amps: dict[str, str] = field(default_factory=dict)
    options: list[str] = field(default_factory=list)
    roms: dict[str, str] = field(default_factory=dict)  # address -> id of the ROM
    item: str = ""
    remark: str = ""
    modifications: list[str] = field(default_factory=list)
    unsure: Sure = Sure.SURE
    size_text: str = ""  # "32K" of which nobody knows whether words or bytes are meant
    nobody: bool = False  # the list says that a board stands here which nobody knows
    copy: bool = False  # one of several equal boards written as a range

    @property
    def empty(self) -> bool:
        """Does the list say that nothing stands here?"""
        return self.board is None


@dataclass(slots=True)
class UnitText:
    """One backplane of the list: what was said about it and what stands in it."""

    box: str
    id: str
    line: int
    backplane: str = ""
    backplane_line: int = 0
    may_be: tuple[str, ...] = ()  # backplanes a number without its ending may mean
    slots_said: int = 0  # "four-slot backplane"
    bits_said: int = 0
    entries: list[Entry] = field(default_factory=list)
    wires: dict[str, str] = field(default_factory=dict)  # slot or range -> in | out
    joint: dict[str, str] = field(default_factory=dict)  # cable, length-m, connected
    rest_empty: bool = False
    guessed: bool = False  # begun because the numbers of the slots began again

    @property
    def name(self) -> str:
        """Its place."""
        return f"{self.box}/{self.id}"


@dataclass(slots=True)
class BoxText:
    """One box of the list."""

    id: str
    line: int
    supply: str = ""
    may_be: tuple[str, ...] = ()  # supplies a number without its ending may mean
    supply_unknown: bool = False  # the owner says that it is not known


@dataclass(slots=True)
class SlotList:
    """The whole list."""

    file: str
    readings: list[Reading] = field(default_factory=list)
    boxes: list[BoxText] = field(default_factory=list)
    units: list[UnitText] = field(default_factory=list)
    name: str = ""
    state: str = ""
    halt: bool = False
    register: str = ""
    modifications: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    encoding_note: str = ""

    @property
    def not_understood(self) -> list[Reading]:
        """Lines nobody could make sense of."""
        return [one for one in self.readings if one.kind is Kind.UNKNOWN]

    def units_of(self, box: str) -> list[UnitText]:
        """The units of one box."""
        return [unit for unit in self.units if unit.box == box]


@dataclass(frozen=True, slots=True)
class Question:
    """A fact that is still needed: asked in one sentence, with the ways to answer; `lines` are those it is about."""

    topic: str  # backplane, board, line, rows, slots, supply, joint, settings ...
    text: str
    answer: str
    needed: bool = True
    lines: tuple[int, ...] = ()
    choices: tuple[tuple[str, str], ...] = ()  # id or word, what it is
