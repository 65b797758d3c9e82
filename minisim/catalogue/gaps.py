"""What the catalogue does not know, or not well: each gap with what it decides and how an owner can close it.

The order is one fixed rule, `Thing.rank`: what decides most comes first.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.catalogue.figures import Stated, stated
from minisim.catalogue.gap_advice import Advice, advice_for
from minisim.catalogue.reader import Catalogue, tree
from minisim.findings import Severity
from minisim.known import Evidence, Known
from minisim.yamltext import Node, Scalar, Sequence

if TYPE_CHECKING:
    from minisim.findings import Report
    from minisim.loadout.model import Loadout

KINDS = ("boards", "backplanes", "supplies", "chassis", "drives", "cables", "media", "roms")
STATES = ("unknown", Evidence.ASSUMED.value, Evidence.DISPUTED.value, Evidence.UNCONFIRMED.value)
"""What makes a figure a gap, the worst first."""
NO_RULE = "no rule"
Thing_ = tuple[str, str]
"""Folder and id of an entry."""


@dataclass(frozen=True, slots=True)
class Gap:
    """One figure that is unknown or weak.  `holds_up`: outcomes of rules that could not be checked without it."""

    kind: str
    entry: str
    title: str
    figure: Stated
    state: str  # one of STATES
    advice: Advice
    holds_up: int = 0

    @property
    def decides(self) -> str:
        """The gravest severity of those rules, or `NO_RULE`."""
        grave = min((severities()[rule] for rule in self.advice.rules), key=lambda one: one.rank, default=None)
        return NO_RULE if grave is None else grave.value

    @property
    def rank(self) -> tuple[int, int, int]:
        """What decides most is least."""
        return -self.holds_up, _GRAVITY.index(self.decides), STATES.index(self.state)


_GRAVITY = (*(one.value for one in Severity), NO_RULE)


@cache
def severities() -> Mapping[str, Severity]:
    """The severity of each rule by its id."""
    from minisim.rules._framework import all_rules

    return {one.id: one.severity for one in all_rules()}


@dataclass(frozen=True, slots=True)
class Thing:
    """One entry with its gaps, what decides most first.  `yours`: how many there are in what the owner named;
    `named_by`: how many other entries of the catalogue name it.
    """

    kind: str
    entry: str
    title: str
    gaps: tuple[Gap, ...] = field(default_factory=tuple)
    yours: int = 0
    named_by: int = 0

    @property
    def holds_up(self) -> int:
        """Outcomes that wait for it."""
        return max((gap.holds_up for gap in self.gaps), default=0)

    @property
    def rank(self) -> tuple[tuple[int, int, int], int, int, int, str, str]:
        """By its first gap, then by how much hangs on it, then by how many gaps there are."""
        return self.gaps[0].rank, -self.yours, -self.named_by, -len(self.gaps), self.kind, self.entry


def gaps(
    catalogue: Catalogue,
    names: Iterable[Thing_],
    reports: Iterable[Report] = (),
    *,
    yours: Mapping[Thing_, int] | None = None,
) -> tuple[Thing, ...]:
    """The gaps of some entries (folder and id), grouped by entry, what decides most first; entries without any are left
    out.  `reports` of machines tell what the gaps hold up there, `yours` how often an owner has each thing.
    """
    missing = [words for report in reports for outcome in report.outcomes for words in outcome.missing]
    named = named_by(catalogue)
    found = (_thing(catalogue, one, missing, (yours or {}).get(one, 0), named[one[1]]) for one in dict.fromkeys(names))
    return tuple(sorted((one for one in found if one.gaps), key=lambda one: one.rank))


def _thing(catalogue: Catalogue, thing: Thing_, missing: list[str], yours: int, named: int) -> Thing:
    kind, name = thing
    title, calls = _titles(catalogue.entry(kind, name), name)
    found = [
        Gap(kind, name, title, figure, state, advice, _holding(advice, figure, calls, missing))
        for figure in stated(catalogue, kind, name)
        if (state := _state(figure))
        for advice in (advice_for(figure.path),)
    ]
    found.sort(key=lambda gap: (gap.rank, gap.figure.label))
    return Thing(kind, name, title, tuple(found), yours, named)


def named_by(catalogue: Catalogue) -> Counter[str]:
    """Id -> how many other entries name it: a box its supplies, a drive its cables, a ROM content its boards."""
    ids = {name for kind in KINDS for name in catalogue.ids(kind)}
    count: Counter[str] = Counter()
    for kind, name in everything(catalogue):
        count.update((set(_texts(tree(catalogue.path(kind, name)))) & ids) - {name})
    return count


def _texts(node: Node) -> Iterator[str]:
    if isinstance(node, Scalar):
        yield node.text
    else:
        for inner in node.items if isinstance(node, Sequence) else (value for _, value in node):
            yield from _texts(inner)


def _state(figure: Stated) -> str:
    if figure.unknown:
        return "unknown"
    return figure.evidence if figure.evidence in STATES else ""


def _titles(entry: object, name: str) -> tuple[str, tuple[str, ...]]:
    """How the entry is called: with its number for people, and as the outcomes of rules call it."""
    kind = str(getattr(entry, "kind", name))
    markings = getattr(entry, "markings", None)
    numbers = markings.peek if isinstance(markings, Known) else ()
    joined = "/".join(numbers)
    return (f"{joined}, {kind}" if joined else kind), tuple(filter(None, (joined, *numbers[:1], kind, name)))


def _holding(advice: Advice, figure: Stated, calls: tuple[str, ...], missing: list[str]) -> int:
    """How many outcomes miss this figure of this entry."""
    phrase = advice.phrase.format(figure.path[-1])
    if not figure.unknown or not phrase:
        return 0
    return sum(phrase in words and any(_named(call, words) for call in calls) for words in missing)


def _named(call: str, words: str) -> bool:
    """Does the name stand there as a whole, not as a part of another?"""
    at = words.find(call)
    behind = words[at + len(call) : at + len(call) + 1]
    return at >= 0 and not (behind.isalnum() or behind == "-")


# ---- which entries


def everything(catalogue: Catalogue, kinds: Iterable[str] = KINDS) -> Iterator[Thing_]:
    """All entries of some folders."""
    return ((kind, name) for kind in kinds for name in catalogue.ids(kind))


def of_loadout(loadout: Loadout, catalogue: Catalogue) -> Counter[Thing_]:
    """The entries that a loadout names, with how often: supplies, backplanes, boards, drives, cables, ROM contents."""
    from minisim.wiring.resolve import resolve

    wired = resolve(loadout, catalogue)
    named = [("supplies", box.supply.id) for box in wired.boxes if box.supply is not None]
    named += [("backplanes", unit.entry.id) for unit in wired.units]
    named += [("boards", board.entry.id) for board in wired.boards]
    named += [("drives", end.drive.id) for end in wired.cables]
    named += [("cables", end.cable.id) for end in wired.cables if end.cable is not None]
    named += [("roms", rom.entry.id) for rom in wired.roms if rom.entry is not None]
    return Counter(one for one in named if catalogue.has(*one))  # not what is described in place


def of_stock(path: str | Path, catalogue: Catalogue) -> Counter[Thing_]:
    """The entries that a list of stock certainly names, with the pieces there are."""
    from minisim.stock.reader import read_stock

    count: Counter[Thing_] = Counter()
    for row in read_stock(path, catalogue=catalogue).rows:
        if row.understood.entry is not None:
            count[row.understood.entry.kind, row.understood.entry.entry] += row.count
    return count
