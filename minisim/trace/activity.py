"""What a traced run touched: fetches, reads and writes of every word of the bus."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from pathlib import Path

from minisim.trace.reader import TracedInstruction, TraceEnd, TraceHead, TraceReader
from minisim.wiring.addresses import address_bits, page_start
from minisim.wiring.model import Wired

KINDS = ("fetch", "read", "write")


@dataclass(frozen=True, slots=True)
class Touched:
    """How often something was touched; what a device moves by itself is in no trace."""

    fetches: int = 0
    reads: int = 0
    writes: int = 0

    @property
    def total(self) -> int:
        """All together."""
        return self.fetches + self.reads + self.writes

    def __add__(self, other: Touched) -> Touched:
        return Touched(self.fetches + other.fetches, self.reads + other.reads, self.writes + other.writes)


@dataclass(frozen=True, slots=True)
class Activity:
    """Of one trace: accesses by word address of the bus.  `end` None: the trace was cut off."""

    head: TraceHead
    end: TraceEnd | None
    instructions: int
    words: dict[int, Touched] = field(default_factory=dict)

    def between(self, first: int, last: int) -> Touched:
        """All from one address to another, both included."""
        return sum((one for at, one in self.words.items() if first <= at <= last), Touched())


def activity_of(path: str | Path, wired: Wired) -> Activity:
    """What a trace touched, by the addresses of this loadout's map.  InputError: it can't be read.

    A processor may drive fewer address lines than its bus has: its I/O page is that of the bus all the same.
    """
    activity = counted(path)
    page, on_map = page_start(activity.head.address_bits), page_start(address_bits(wired))
    words = {at if at < page else at - page + on_map: touched for at, touched in activity.words.items()}
    return replace(activity, words=words)


def counted(path: str | Path) -> Activity:
    """Read a whole trace and count.  InputError: it can't be read."""
    reader = TraceReader(path)
    lines, words = _count(reader)
    return Activity(reader.head, reader.end, lines, words)


def _count(instructions: Iterable[TracedInstruction]) -> tuple[int, dict[int, Touched]]:
    found: dict[int, list[int]] = {}
    lines = 0
    for one in instructions:
        lines += 1
        for access in one.accesses:
            row = found.setdefault(access.bus & ~1, [0, 0, 0])
            row[KINDS.index(access.kind)] += 1
    return lines, {at: Touched(*row) for at, row in sorted(found.items())}
