"""Segments of the bus with their loads, and what stands at the ends."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from minisim.known import Evidence, Figure, Known, NotApplicable, Part, Total, total
from minisim.rules._facts import known, need, short
from minisim.rules._load_table import FULL, NONE, WEAK, row_for
from minisim.wiring.ends import BOTH_SEGMENTS, NEAR
from minisim.wiring.model import Wired, WiredBox, WiredTerminator, WiredUnit
from minisim.wiring.places import label

MODIFIED = "modified"


@dataclass(frozen=True, slots=True)
class Segment:
    """A stretch of bus with its own load budget: all backplanes, unless a repeater divides them."""

    units: tuple[WiredUnit, ...]
    dc: Total
    ac: Total


def segments(wired: Wired) -> tuple[Segment, ...]:
    """The segments of the bus, processor's first; a repeater's backplane counts on both sides (repeater-wiki)."""
    groups: list[list[WiredUnit]] = [[]]
    for unit in joined_units(wired):
        groups[-1].append(unit)
        if unit.entry.termination_end == BOTH_SEGMENTS:
            groups.append([unit])
    return tuple(_segment(wired, tuple(units)) for units in groups)


def _segment(wired: Wired, units: tuple[WiredUnit, ...]) -> Segment:
    indexes = {unit.index for unit in units}
    # The entry of a repeater counts its boards, once on each side.
    indexes -= {unit.index for unit in units if unit.entry.termination_end == BOTH_SEGMENTS}
    parts = [Part(label(board), board.entry.dc) for board in wired.boards if board.unit in indexes]
    parts += [Part(f"backplane {unit.box}/{unit.id}", unit.entry.dc) for unit in units]
    return Segment(units, total(parts), total(part for unit in units for part in unit.ac.parts))


def amount(value: Decimal) -> str:
    """A decimal without idle zeros: `6.3`, `20`."""
    return f"{value.normalize():f}"


def least_text(sum_: Total, unit: str) -> str:
    """`6.3 A`, or `at least 6.3 A` where parts are unknown."""
    start = "" if sum_.complete else "at least "
    return f"{start}{amount(sum_.least)}{unit}"


def stated(figure: Figure[Decimal]) -> str:
    """` as the loadout states` behind a figure of the owner, which has no source."""
    return " as the loadout states" if isinstance(figure, Known) and figure.evidence is Evidence.OWNER else ""


def currents_missing(box: WiredBox) -> list[str]:
    """The same needs POWER-002 names, one for each rail of a box with unknown currents."""
    return [need(f"current at {rail.rail}", rail.load.unknown) for rail in box.rails if rail.load.unknown]


def joined_units(wired: Wired) -> tuple[WiredUnit, ...]:
    """The backplanes that are one bus: up to the first open joint."""
    joined = []
    for unit in wired.units:
        if not unit.joined:
            break
        joined.append(unit)
    return tuple(joined)


def ac_limit(wired: Wired, unit: WiredUnit) -> tuple[Known[Decimal], str]:
    """AC loads that one backplane of the multiplexed bus may carry, and the case: its own limit, or by its ends."""
    own = unit.entry.limits.get("ac")
    if isinstance(own, Known):
        return own, "limit of this box"
    row = row_for("mux", len(joined_units(wired)), end_of(wired, "near").word, end_of(wired, "far").word)
    return row.ac, row.case


@dataclass(frozen=True, slots=True)
class End:
    """What ends the bus at one side: a word of the load table, or why that is not known."""

    word: str
    unknown: tuple[str, ...]

    @property
    def closed(self) -> bool:
        """Does a terminator of known strength stand there?"""
        return self.word != NONE


def end_of(wired: Wired, side: str) -> End:
    """The strongest terminator at the `near` or `far` end.  A strength nobody knows counts as none, and is named."""
    words, unknown = [NONE], []
    for one in wired.terminators:
        if one.at_end != side and not (side == NEAR and stands_as_made(wired, one)):
            continue
        name = terminator_name(wired, one)
        word = known(one.strength, f"terminator of {name}")
        if word in (WEAK, FULL):
            words.append(word)
        elif not isinstance(one.strength, NotApplicable) and word != "no":
            unknown.append(f"terminator of {name}")
    return End(max(words, key=(NONE, WEAK, FULL).index), tuple(unknown))


def stands_as_made(wired: Wired, one: WiredTerminator) -> bool:
    """A terminator made for modified slots, in one of the first unit: it ends the bus there, one to a machine."""
    board = wired.boards[one.board] if one.board is not None else None
    return board is not None and board.unit == 0 and MODIFIED in board.kinds and MODIFIED in board.entry.slots


def terminator_name(wired: Wired, one: WiredTerminator) -> str:
    """The board, or the backplane, that holds a terminator."""
    if one.board is not None:
        return short(wired.boards[one.board])
    return f"backplane {wired.units[one.unit].box}/{wired.units[one.unit].id}"
