"""The pile as a plan counts it: usable pieces by the thing of the catalogue they are, equal ones together.

A piece counts only where it is certain what it is and its condition allows a use.  The sure ones are those that work.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from minisim.catalogue import Catalogue
from minisim.catalogue.words import KINDS
from minisim.stock.model import Condition, Row, Stock


@dataclass(frozen=True, slots=True)
class Thing:
    """A thing of the catalogue: the folder and the id there."""

    kind: str
    entry: str


@dataclass(frozen=True, slots=True)
class Pieces:
    """How many usable pieces of one thing there are: `sure` of them work; `rows` say where they lie, best first."""

    thing: Thing
    count: int
    sure: int
    rows: tuple[Row, ...]
    parts: tuple[tuple[Row, ...], ...] = ()  # of a set: the rows of each of its boards, best first


@dataclass(frozen=True, slots=True)
class Pile:
    """Everything usable by thing, and the rows that can't be counted with the reason."""

    pieces: Mapping[Thing, Pieces]
    set_aside: tuple[tuple[Row, str], ...] = ()
    sets: Mapping[Thing, Mapping[str, int]] = field(default_factory=dict)  # incomplete sets: marking -> count

    def count(self, kind: str, entry: str) -> int:
        """How many there are."""
        found = self.pieces.get(Thing(kind, entry))
        return found.count if found else 0

    def of_kind(self, kind: str) -> list[Pieces]:
        """All pieces of a folder of the catalogue, by id."""
        return sorted((one for one in self.pieces.values() if one.thing.kind == kind), key=lambda one: one.thing.entry)


def pile_of(stock: Stock, catalogue: Catalogue) -> Pile:
    """Count a stock.  The boards of a set are listed one by one on their handles: whole sets count."""
    rows: dict[Thing, list[Row]] = {}
    aside: list[tuple[Row, str]] = []
    loose: dict[Thing, dict[str, list[Row]]] = {}
    for row in stock.rows:
        thing = _thing(row, catalogue)
        if row.conflict:
            aside.append((row, "two lists disagree about it"))
        elif thing is None:
            aside.append((row, "what it is is not certain"))
        elif not row.condition.usable:
            aside.append((row, f"it is {row.condition}"))
        elif _parts(thing, catalogue) and row.marking.upper() in _parts(thing, catalogue):
            loose.setdefault(thing, {}).setdefault(row.marking.upper(), []).append(row)
        else:
            rows.setdefault(thing, []).append(row)
    pieces = {thing: _pieces(thing, many) for thing, many in rows.items()}
    incomplete: dict[Thing, Mapping[str, int]] = {}
    for thing, by_marking in loose.items():
        whole = _whole_sets(thing, by_marking, catalogue)
        if whole is not None:
            pieces[thing] = whole
        counts = {part: sum(row.count for row in by_marking.get(part, ())) for part in _parts(thing, catalogue)}
        if len(set(counts.values())) > 1:
            incomplete[thing] = counts
    return Pile(pieces, tuple(aside), incomplete)


def _thing(row: Row, catalogue: Catalogue) -> Thing | None:
    """What a row certainly is: what was understood, or an id of the catalogue written out."""
    known = row.understood.entry
    if known is not None:
        return Thing(known.kind, known.entry)
    for word in (row.marking, row.what):
        found = [kind for kind in KINDS if word and catalogue.has(kind, word)]
        if len(found) == 1:
            return Thing(found[0], word)
    return None


def _parts(thing: Thing, catalogue: Catalogue) -> tuple[str, ...]:
    """The markings of the boards of a set; nothing for a single board."""
    if thing.kind != "boards":
        return ()
    entry = catalogue.board(thing.entry)
    markings = getattr(entry.markings, "peek", None) or ()
    count = getattr(entry.boards, "peek", 1)
    return tuple(markings) if count > 1 and len(markings) == count else ()


def _pieces(thing: Thing, rows: Iterable[Row]) -> Pieces:
    best_first = sorted(rows, key=lambda row: (list(Condition).index(row.condition), row.number))
    sure = sum(row.count for row in best_first if row.condition is Condition.WORKS)
    return Pieces(thing, sum(row.count for row in best_first), sure, tuple(best_first))


def _whole_sets(thing: Thing, by_marking: Mapping[str, list[Row]], catalogue: Catalogue) -> Pieces | None:
    """As many sets as the rarest board allows."""
    parts = [_pieces(thing, by_marking.get(part, [])) for part in _parts(thing, catalogue)]
    count = min(part.count for part in parts)
    if not count:
        return None
    rows = unique(row for part in parts for row in part.rows)
    return Pieces(thing, count, min(part.sure for part in parts), rows, tuple(part.rows for part in parts))


def unique(rows: Iterable[Row]) -> tuple[Row, ...]:
    """Each row once, in their order."""
    return tuple({row.number: row for row in rows}.values())
