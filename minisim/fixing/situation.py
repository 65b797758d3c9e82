"""One state of a loadout on the way to a better one: its text, what it means, and what the rules say of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from minisim.catalogue import Catalogue
from minisim.checking import check_wired
from minisim.findings import Finding, Report
from minisim.fixing import cards
from minisim.fixing.edits import Edit
from minisim.fixing.sheet import Sheet
from minisim.loadout.reader import read_loadout_bytes
from minisim.rules._facts import short
from minisim.wiring.model import Wired, WiredBoard
from minisim.wiring.resolve import resolve

BYTE_ORDER_MARK = "\ufeff"


@dataclass(frozen=True)
class Source:
    """Where a loadout comes from, and what it is read with."""

    file: str
    catalogue: Catalogue
    media_root: str | Path | None = None


@dataclass(frozen=True)
class Situation:
    """A text read, resolved and checked; `origin` maps the places of moved boards to where they stood at first."""

    source: Source
    sheet: Sheet
    bom: bool
    wired: Wired
    report: Report
    origin: Mapping[str, str] = field(default_factory=dict)

    @property
    def data(self) -> bytes:
        """The bytes of the file."""
        return _encoded(self.sheet, self.bom)

    def board(self, place: str) -> WiredBoard | None:
        """The board at a place as printed (the first of them where two claim it)."""
        return next((one for one in self.wired.boards if str(one.place) == place), None)

    def first_place(self, place: str) -> str:
        """Where the board at `place` stood before anything was moved; the place itself where it never moved."""
        return self.origin.get(place, place)


def begin(data: bytes, source: Source) -> Situation:
    """The situation of a file as it is; LoadoutError where it can't be used."""
    wired = _wired(data, source)
    text = data.decode("utf-8")
    sheet = Sheet(text.removeprefix(BYTE_ORDER_MARK))
    return Situation(source, sheet, text.startswith(BYTE_ORDER_MARK), wired, check_wired(wired))


def after(situation: Situation, edits: Iterable[Edit]) -> Situation:
    """The situation with some changes; CannotEdit or LoadoutError where they lead to no usable file."""
    sheet, origin = situation.sheet, dict(situation.origin)
    for edit in edits:
        sheet = sheet.with_(edit.splices(sheet))
        origin = _moved(origin, edit.moves())
    data = _encoded(sheet, situation.bom)
    wired = _wired(data, situation.source)
    return Situation(situation.source, sheet, situation.bom, wired, check_wired(wired), origin)


def _encoded(sheet: Sheet, bom: bool) -> bytes:
    return ((BYTE_ORDER_MARK if bom else "") + sheet.text).encode("utf-8")


def _wired(data: bytes, source: Source) -> Wired:
    loadout = read_loadout_bytes(data, source.file, catalogue=source.catalogue, media_root=source.media_root)
    return resolve(loadout, source.catalogue)


def _moved(origin: Mapping[str, str], moves: Mapping[str, str]) -> dict[str, str]:
    """Places of boards by what they were at first, after some of them moved."""
    stay = {now: first for now, first in origin.items() if now not in moves}
    return {**stay, **{end: origin.get(start, start) for start, end in moves.items()}}


# ---- what repairs ask


def name_of(board: WiredBoard) -> str:
    """What to call a board in an act, without its place: the marking on its handle, else what it is."""
    return short(board).removesuffix(f" ({board.place})")


def is_card(board: WiredBoard) -> bool:
    """Does it do nothing but hand grants on?"""
    return cards.is_card(board.entry)


def others_named(situation: Situation, finding: Finding) -> Iterator[WiredBoard]:
    """Boards that a finding names beside its own, in its `also` or in its words."""
    words = " ".join([*finding.also, finding.found, finding.fix])
    for board in situation.wired.boards:
        if str(board.place) != finding.place and short(board) in words:
            yield board
