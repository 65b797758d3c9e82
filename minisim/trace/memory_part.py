"""The upper part of the picture: memory boards and the gaps between them; with a trace, each board in boxes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import log2

from minisim.sheet.drawing import svg
from minisim.trace.activity import Activity, Touched
from minisim.trace.paper import LEFT, RIGHT, SMALL, TEXT, Paper, bars
from minisim.wiring.addresses import AddressRow, Kind
from minisim.wiring.map_words import grant, octal

_BOX = 120.0  # left edge of what lies at the addresses
_ACROSS = 16  # boxes in a line
_CELL = 34.0
_MOST_BOXES = 128
_LEAST_BYTES = 0o400
_COLUMNS = 2  # of the list of counts
_COUNTS = ("fetches", "reads", "writes")


@dataclass(frozen=True, slots=True)
class Grain:
    """How much memory one box stands for; 0: there is no memory."""

    bytes: int

    @property
    def words(self) -> int:
        """The same in words."""
        return self.bytes // 2


def grain_of(rows: Sequence[AddressRow]) -> Grain:
    """So that all memory fits into some 128 boxes."""
    total = sum((row.last or 0) + 1 - (row.first or 0) for row in rows if row.kind is Kind.MEMORY)
    size = _LEAST_BYTES
    while size * _MOST_BOXES < total:
        size *= 2
    return Grain(size if total else 0)


def draw_memory(paper: Paper, rows: Sequence[AddressRow], bits: int, activity: Activity | None) -> None:
    """Every row in its place, lowest address first."""
    grain = grain_of(rows)
    for row in rows:
        top = paper.y
        group = svg.group(paper.root, kind=row.kind.value, first=octal(row.first or 0, bits))
        frame = svg.rectangle(group, _BOX, top, RIGHT - _BOX, 0, dash="" if row.kind is Kind.MEMORY else "6 6")
        svg.words(paper.root, LEFT, top + TEXT, octal(row.first or 0, bits), TEXT)
        paper.gap(6)
        _say(paper, row)
        if activity is not None:
            _touched(paper, row, bits, activity, grain)
        else:
            paper.gap(_spare(row))
        paper.y = max(paper.y + 6, top + 2 * TEXT + 10)
        svg.words(paper.root, LEFT, paper.y - 5, octal(row.last or 0, bits), TEXT)
        frame.set("height", f"{paper.y - top:g}")
        paper.gap(4)


def _spare(row: AddressRow) -> float:
    """Larger memories are drawn larger, but not in proportion: 4 MB would need pages."""
    size = (row.last or 0) + 1 - (row.first or 0)
    return 8 * max(log2(max(size, 1)) - 11, 0) if row.kind is Kind.MEMORY else 0


def _say(paper: Paper, row: AddressRow) -> None:
    paper.say(row.what, TEXT, bold=row.kind is Kind.MEMORY, x=_BOX + 10)
    if row.place:
        words = (row.place, f"handle {row.handle}" if row.handle else "", f"grant {grant(row)}")
        paper.say(", ".join(word for word in words if word), SMALL, x=_BOX + 10)


# --- with a trace -----------------------------------------------------------------------------------------------------


def _touched(paper: Paper, row: AddressRow, bits: int, activity: Activity, grain: Grain) -> None:
    first, last = row.first or 0, row.last or 0
    blocks = _blocks(activity, first, last, grain.bytes or last + 1)
    if row.kind is not Kind.MEMORY or not blocks:
        total = sum(blocks.values(), Touched())
        said = f"{total.fetches} fetches, {total.reads} reads, {total.writes} writes" if blocks else "not touched"
        if blocks or row.kind is Kind.MEMORY:
            paper.say(said, SMALL, x=_BOX + 10)
        return
    paper.gap(6)
    _boxes(paper, first, last, bits, blocks, grain.bytes)
    paper.gap(4)
    _list(paper, last, bits, blocks, grain.bytes)


def _blocks(activity: Activity, first: int, last: int, size: int) -> dict[int, Touched]:
    """What was touched of each block, by its first address."""
    found: dict[int, Touched] = {}
    for at, touched in activity.words.items():
        if first <= at <= last:
            start = max(at // size * size, first)
            found[start] = found.get(start, Touched()) + touched
    return dict(sorted(found.items()))


def _boxes(paper: Paper, first: int, last: int, bits: int, blocks: dict[int, Touched], size: int) -> None:
    """Lines of boxes; lines of which nothing was touched are one line of words."""
    x = _BOX + 20 + svg.width_of(octal(last, bits), SMALL)
    width = (RIGHT - 10 - x) / _ACROSS
    for start, end, is_touched in _lines(first, last, blocks, size):
        if not is_touched:
            said = f"{octal(start, bits)} to {octal(end, bits)} not touched"
            svg.words(paper.root, _BOX + 10, paper.y + SMALL, said, SMALL)
            paper.gap(SMALL * svg.LINE + 4)
            continue
        svg.words(paper.root, _BOX + 10, paper.y + _CELL / 2 + 4, octal(start, bits), SMALL)
        for place, at in enumerate(range(start // size * size, end + 1, size)):
            box = svg.group(paper.root, block=octal(max(at, start), bits))
            svg.rectangle(box, x + place * width, paper.y, width, _CELL, weight=1)
            bars(box, x + place * width + 3, paper.y + 2, width - 6, _CELL - 3, blocks.get(max(at, start), Touched()))
        paper.gap(_CELL + 4)


def _lines(first: int, last: int, blocks: dict[int, Touched], size: int) -> Iterator[tuple[int, int, bool]]:
    """First and last address of each line, those without a touched block put together."""
    step, at = size * _ACROSS, first
    quiet: int | None = None
    while at <= last:
        end = min((at // step + 1) * step - 1, last)
        if any(at <= block <= end for block in blocks):
            if quiet is not None:
                yield quiet, at - 1, False
            quiet = None
            yield at, end, True
        elif quiet is None:
            quiet = at
        at = end + 1
    if quiet is not None:
        yield quiet, last, False


def _list(paper: Paper, last: int, bits: int, blocks: dict[int, Touched], size: int) -> None:
    """The counts, block by block, in columns side by side."""
    rows = -(-len(blocks) // _COLUMNS)
    width, top = (RIGHT - 10 - _BOX - 10) / _COLUMNS, paper.y
    items = list(blocks.items())
    for column in range(min(_COLUMNS, len(items))):
        paper.y, x = top, _BOX + 10 + column * width
        _counts_line(paper, x, width, "block", _COUNTS)
        for at, touched in items[column * rows : (column + 1) * rows]:
            end = min(at // size * size + size - 1, last)
            counts = (f"{touched.fetches}", f"{touched.reads}", f"{touched.writes}")
            _counts_line(paper, x, width, f"{octal(at, bits)} to {octal(end, bits)}", counts)
    paper.y = top + (rows + 1) * SMALL * svg.LINE


def _counts_line(paper: Paper, x: float, width: float, what: str, counts: Sequence[str]) -> None:
    paper.gap(SMALL * svg.LINE)
    svg.words(paper.root, x, paper.y - 3, what, SMALL)
    free = width - 20 - svg.width_of("0" * 20, SMALL)
    for place, count in enumerate(counts, 1):
        svg.words(paper.root, x + width - 20 - free + place * free / 3, paper.y - 3, count, SMALL, anchor="end")
