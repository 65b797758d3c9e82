"""The lower part of the picture: the I/O page, row by row, with the registers of each device."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from minisim.sheet.drawing import svg
from minisim.trace.activity import Activity, Touched
from minisim.trace.paper import LEFT, RIGHT, SMALL, Paper, bars
from minisim.wiring.addresses import AddressRow, Kind
from minisim.wiring.map_words import grant, octal, span, vectors

_LINE = SMALL * svg.LINE
_ADDRESS, _WHAT, _PLACE, _VECTOR, _GRANT = LEFT + 10, 190.0, 480.0, 770.0, 870.0
_NAME = 300.0  # of a register, under its device
_COUNTS = (640.0, 740.0, 840.0)  # right edges
_BARS = 870.0


@dataclass(frozen=True, slots=True)
class _Word:
    """One word of a row: a register, or one that was touched."""

    at: int
    name: str
    touched: Touched | None


def draw_page(
    paper: Paper, rows: Sequence[AddressRow], bits: int, names: Mapping[int, str], activity: Activity | None
) -> None:
    """Every row in a frame; a gap in a dashed one."""
    _heads(paper, activity is not None)
    for row in rows:
        top = paper.y
        group = svg.group(paper.root, kind=row.kind.value, first=octal(row.first or 0, bits))
        frame = svg.rectangle(
            group, LEFT, top, RIGHT - LEFT, 0, weight=svg.THIN, dash="6 6" if row.kind is Kind.FREE else ""
        )
        _cells(paper, row, bits)
        for word in _words(row, names, activity):
            _register(paper, word, bits)
        paper.gap(5)
        frame.set("height", f"{paper.y - top:g}")
        paper.gap(3)


def draw_placeless(paper: Paper, rows: Sequence[AddressRow], bits: int) -> None:
    """What has no address, or one that is not known."""
    for row in rows:
        _cells(paper, row, bits)
        paper.gap(4)


def _heads(paper: Paper, counts: bool) -> None:
    xs, heads = (_ADDRESS, _WHAT, _PLACE, _VECTOR, _GRANT), ("addresses", "what answers", "place and handle")
    for x, text in zip(xs, (*heads, "vector", "grant"), strict=True):
        svg.words(paper.root, x, paper.y + SMALL, text, SMALL, bold=True)
    paper.gap(_LINE)
    if counts:
        for x, text in zip(_COUNTS, ("fetches", "reads", "writes"), strict=True):
            svg.words(paper.root, x, paper.y + SMALL, text, SMALL, bold=True, anchor="end")
        svg.words(paper.root, _NAME, paper.y + SMALL, "register", SMALL, bold=True)
        paper.gap(_LINE)
    paper.gap(4)


def _cells(paper: Paper, row: AddressRow, bits: int) -> None:
    """A row as `minisim map` prints it, each cell in as many lines as it needs."""
    bold = row.kind is not Kind.FREE
    columns = (
        (_ADDRESS, [span(row, bits)]),
        (_WHAT, svg.folded(row.what, _PLACE - _WHAT - 10, SMALL)),
        (_PLACE, _where(row)),
        (_VECTOR, [vectors(row)]),
        (_GRANT, svg.folded(grant(row), RIGHT - _GRANT - 10, SMALL)),
    )
    top, lowest = paper.y + 3, paper.y + 3
    for x, lines in columns:
        said = [svg.Said(line, SMALL, bold and x == _WHAT) for line in lines if line]
        lowest = max(lowest, svg.write(paper.root, x, top, said))
    paper.y = lowest


def _where(row: AddressRow) -> list[str]:
    """Place and handle; the handles of a set may need more than one line."""
    most, lines = int((_VECTOR - _PLACE - 10) / (SMALL * svg.EM)), [row.place]
    for part in re.findall(r"[^/]+/?", row.handle):
        gap = "" if lines[-1].endswith("/") and lines[-1] != row.place else " "
        if len(lines[-1] + gap + part) <= most:
            lines[-1] += gap + part
        else:
            lines.append(part)
    return lines


def _words(row: AddressRow, names: Mapping[int, str], activity: Activity | None) -> Iterator[_Word]:
    """The registers of a row, and whatever else of it was touched; ROM is told as a whole."""
    first, last = row.first or 0, row.last or 0
    if row.kind is Kind.ROM:
        if activity is not None and (touched := activity.between(first, last)).total:
            yield _Word(first, "all words", touched)
        return
    known = {at: name for at, name in names.items() if first <= at <= last} if row.kind is not Kind.FREE else {}
    found = {} if activity is None else {at: one for at, one in activity.words.items() if first <= at <= last}
    for at in sorted({*known, *found}):
        yield _Word(at, known.get(at, ""), None if activity is None else found.get(at, Touched()))


def _register(paper: Paper, word: _Word, bits: int) -> None:
    top = paper.y
    paper.gap(_LINE)
    svg.words(paper.root, _WHAT, paper.y - 3, octal(word.at, bits), SMALL)
    width = (_COUNTS[0] - 80 if word.touched else RIGHT) - _NAME
    svg.words(paper.root, _NAME, paper.y - 3, svg.folded(word.name, width, SMALL)[0], SMALL)
    if word.touched is None:
        return
    counts = (word.touched.fetches, word.touched.reads, word.touched.writes)
    for x, count in zip(_COUNTS, counts, strict=True):
        svg.words(paper.root, x, paper.y - 3, f"{count}", SMALL, anchor="end")
    group = svg.group(paper.root, register=octal(word.at, bits))
    bars(group, _BARS, top + 2, 60, _LINE - 2, word.touched)
