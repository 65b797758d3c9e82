"""What the catalogue does not know, or not well: each gap with what it holds up and how an owner can close it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.catalogue.figures import Stated, figures_of
from minisim.catalogue.reader import Catalogue, tree
from minisim.known import Evidence, Known

if TYPE_CHECKING:
    from minisim.findings import Report
    from minisim.loadout.model import Loadout

KINDS = ("boards", "backplanes", "supplies", "chassis", "drives", "cables", "media", "roms")
_SHARE = {"unknown": 1.0, Evidence.DISPUTED.value: 0.6, Evidence.UNCONFIRMED.value: 0.4, Evidence.ASSUMED.value: 0.8}

Path_ = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Advice:
    """For one sort of figure: how much rests on it, the words of an outcome that waits for it, and how to find it."""

    weight: int
    phrase: str
    how: str


_PRINT_SET = "its print set (the sheet with the power pins) or the specifications in its guide"
_LOADS = "can't be measured simply; look in the specifications of its guide, or in a table of loads of the bus handbook"
_GUIDE = "look in its guide"
_METER = (
    "power off, board out, ohm-meter: the finger where the grant comes in against the one where it goes out; joined "
    "means it passes. Without a joint it may still pass through its circuits: look in the print set"
)
_ADVICE: dict[str, Advice] = {
    "amps": Advice(10, "current at {} of", f"ammeter in the lead of that rail, with the board in a backplane and "
                   f"without it; the difference is the figure. Printed in {_PRINT_SET}"),
    "rails": Advice(9, "rating at {} of", "the label on the supply, else the specifications in its manual"),
    "watts": Advice(8, "total watts of", "the label on the supply, else its manual: the sum of the rails may be more "
                    "than it can give at once"),
    "minimum": Advice(8, "least loads of", "only from its manual; never found out by trying without a load"),
    "grant-order": Advice(9, "grant order", "power off, backplane bare, ohm-meter: from the grant-out pin of a place "
                          "to the grant-in pins of the others; the one that is joined is the next place"),
    "slots": Advice(8, "slot kinds", "power off, ohm-meter: which pins of rows C and D are joined from slot to slot "
                    "tells bus from private link; else the manual of its box"),
    "passes-grant": Advice(9, "passes the grants", _METER),
    "passes-dma-grant": Advice(9, "pass the DMA grant", _METER),
    "dc": Advice(7, "DC load of", _LOADS),
    "ac": Advice(6, "AC load of", _LOADS),
    "height": Advice(6, "height of", "look at the board: groups of fingers at its edge (dual 2, quad 4, hex 6)"),
    "rows": Advice(5, "", "look at the board: which rows have fingers"),
    "memory": Advice(6, "size of", "count the memory chips and multiply; else the print set"),
    "start-step-kb": Advice(3, "", "its guide, where the switches for the first address are printed"),
    "parity": Advice(3, "", "look for a ninth and an eighteenth memory chip in each row of eight and sixteen"),
    "refreshes-itself": Advice(4, "", "the guide, or the type printed on the memory chips: only dynamic ones need it"),
    "registers": Advice(6, "", "read the switches or jumpers with its guide; in a running machine look whether the "
                        "address answers"),
    "memory-rail": Advice(6, "volts on the memory pins", "volt-meter at the backplane without boards, supply under "
                          "dummy load"),
    "uses-spare-lines": Advice(4, "drives the spare lines", "look whether the fingers BC1, BD1, BE1, BF1 lead to "
                               "anything; else the print set"),
    "dma-buffered": Advice(4, "DMA buffering of", _GUIDE),
    "processor": Advice(6, "", "the guide of the processor names which options fit, and where"),
    "rom": Advice(5, "ROM of", "read the first words of each window in a running machine, or take the chips to a "
                  "reader"),
    "dma": Advice(4, "", _GUIDE),
    "dma-bits": Advice(4, "", _GUIDE),
    "interrupts": Advice(4, "", _GUIDE),
    "address-bits": Advice(5, "", f"{_GUIDE}; a memory that decodes 18 bits has no driver or receiver on the four "
                           "further lines"),
    "terminates": Advice(6, "", "look for rows of resistor packages at the bus fingers; ohm-meter from a bus line to "
                         "+5 and to ground, power off"),
    "termination": Advice(6, "", "ohm-meter from a bus line to +5 and to ground, power off, backplane bare"),
    "markings": Advice(3, "", "read the number on the handle or board, and note where you saw it printed"),
    "turnaround": Advice(3, "turnaround of", _GUIDE),
    "first-word": Advice(4, "", "read the first word of its window in a running machine"),
    "kg": Advice(2, "", "scales; two people from 25 kg on"),
    "people": Advice(2, "", "decide with the weight"),
    "pins": Advice(3, "", "ohm-meter, end to end"),
    "lengths-m": Advice(2, "", "measure a piece"),
    "power": Advice(3, "", "the label at its rear, else its manual"),
}  # fmt: skip
_OTHERWISE = Advice(1, "", "look in its manual")


@dataclass(frozen=True, slots=True)
class Gap:
    """One figure that is unknown or weak.  `holds_up`: outcomes of rules that could not be checked without it."""

    kind: str
    entry: str
    title: str
    figure: Stated
    state: str  # unknown, unconfirmed, disputed, assumed
    advice: Advice
    holds_up: int = 0

    @property
    def value(self) -> float:
        """How much it is worth to close it: what it holds up counts first."""
        return 100 * self.holds_up + self.advice.weight * _SHARE[self.state]


@dataclass(frozen=True, slots=True)
class Thing:
    """One entry with its gaps, the most valuable first."""

    kind: str
    entry: str
    title: str
    gaps: tuple[Gap, ...] = field(default_factory=tuple)

    @property
    def holds_up(self) -> int:
        """Outcomes that wait for it."""
        return max((gap.holds_up for gap in self.gaps), default=0)

    @property
    def value(self) -> float:
        """The sum over its gaps."""
        return sum(gap.value for gap in self.gaps)


def gaps(catalogue: Catalogue, names: Iterable[tuple[str, str]], reports: Iterable[Report] = ()) -> tuple[Thing, ...]:
    """The gaps of some entries (folder and id), grouped by entry, the most valuable first; entries without any are left
    out.  `reports` of machines tell what the gaps hold up there.
    """
    missing = [words for report in reports for outcome in report.outcomes for words in outcome.missing]
    things = (_thing(catalogue, kind, name, missing) for kind, name in dict.fromkeys(names))
    return tuple(sorted((one for one in things if one.gaps), key=lambda one: (-one.value, one.kind, one.entry)))


def _thing(catalogue: Catalogue, kind: str, name: str, missing: list[str]) -> Thing:
    entry = catalogue.entry(kind, name)
    title, calls = _titles(entry, name)
    found = [
        Gap(kind, name, title, figure, state, advice, _holding(advice, figure, calls, missing))
        for figure in figures_of(tree(catalogue.path(kind, name)), kind)
        if (state := _state(figure))
        for advice in (_ADVICE.get(_sort_of(figure.path), _OTHERWISE),)
    ]
    return Thing(kind, name, title, tuple(sorted(found, key=lambda gap: (-gap.value, gap.figure.label))))


def _sort_of(path: Path_) -> str:
    return path[-1] if path[-1] in _ADVICE else path[0]


def _state(figure: Stated) -> str:
    if figure.unknown:
        return "unknown"
    return figure.evidence if figure.evidence in _SHARE else ""


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


def everything(catalogue: Catalogue, kinds: Iterable[str] = KINDS) -> Iterator[tuple[str, str]]:
    """All entries of some folders."""
    return ((kind, name) for kind in kinds for name in catalogue.ids(kind))


def of_loadout(loadout: Loadout, catalogue: Catalogue) -> Iterator[tuple[str, str]]:
    """The entries that a loadout names: supplies, backplanes, boards, drives, cables, ROM contents."""
    from minisim.wiring.resolve import resolve

    wired = resolve(loadout, catalogue)
    named = [("supplies", box.supply.id) for box in wired.boxes if box.supply is not None]
    named += [("backplanes", unit.entry.id) for unit in wired.units]
    named += [("boards", board.entry.id) for board in wired.boards]
    named += [("drives", end.drive.id) for end in wired.cables]
    named += [("cables", end.cable.id) for end in wired.cables if end.cable is not None]
    return ((kind, name) for kind, name in named if catalogue.has(kind, name))  # not what is described in place


def of_stock(path: str | Path, catalogue: Catalogue) -> Iterator[tuple[str, str]]:
    """The entries that a list of stock certainly names."""
    from minisim.stock.reader import read_stock

    for row in read_stock(path, catalogue=catalogue).rows:
        if row.understood.entry is not None:
            yield row.understood.entry.kind, row.understood.entry.entry
