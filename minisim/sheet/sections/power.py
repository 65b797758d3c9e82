"""Power of each box, rail by rail, and the loads of the bus."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from minisim.known import Figure, Known, Total
from minisim.rules._load_table import row_for
from minisim.rules._loads import ac_limit, end_of, joined_units, segments
from minisim.sheet.blocks import BLANK, Block, Heading, Items, Page, Table, Words
from minisim.sheet.messages import say
from minisim.sheet.numbers import amount, figure_text, handle, how_sure, sum_text, weakest

if TYPE_CHECKING:
    from minisim.wiring.model import Wired, WiredBox, WiredTerminator


def power_page(wired: Wired) -> Page:
    """One table a box (rating, load, margin, what is not known), then what each part draws, then the bus loads."""
    blocks: list[Block] = []
    for box in wired.boxes:
        blocks += _box(box)
    blocks += _loads(wired)
    return Page("power", say("power-title"), tuple(blocks))


def _box(box: WiredBox) -> Iterator[Block]:
    supply = box.supply.kind if box.supply else say("power-no-supply")
    yield Heading(say("power-box", box=box.id, supply=supply))
    head = tuple(say(f"power-{name}") for name in ("rail", "rating", "least", "load", "margin", "sure", "measured"))
    rows = [_row(rail.rail, "A", rail.rating, rail.minimum, rail.load) for rail in box.rails]
    rows.append(_row(say("power-all"), "W", box.watts_rating, None, box.watts))
    yield Table(f"power-{box.id}", say("power-caption", box=box.id), head, tuple(rows))
    unknown = {part.name for rail in box.rails for part in rail.load.parts if not isinstance(part.figure, Known)}
    missing = [name for name in sorted(unknown) if any(name in rail.load.unknown for rail in box.rails)]
    if missing:
        yield Words(say("power-unknown"))
        yield Items(tuple(missing))
    if box.supply and box.supply.notes:
        yield Words(say("power-notes", notes=box.supply.notes))
    parts = tuple(_parts(box))
    if parts:
        head = tuple(say(f"power-{name}") for name in ("part", "rail", "amps"))
        yield Table(f"draws-{box.id}", say("power-parts", box=box.id), head, parts)


def _row(name: str, unit: str, rating: Figure[Decimal], least: Figure[Decimal] | None, load: Total) -> tuple[str, ...]:
    weak = weakest(load)
    return (
        name,
        _with_unit(rating, unit),
        _with_unit(least, unit) if least is not None else "",
        f"{sum_text(load)} {unit}",
        _margin(rating, load, unit),
        say(f"evidence-{weak}") if weak else "",
        BLANK,
    )


def _with_unit(figure: Figure[Decimal], unit: str) -> str:
    text = figure_text(figure)
    return f"{text} {unit}" if isinstance(figure, Known) else text or say("power-none")


def _margin(rating: Figure[Decimal], load: Total, unit: str) -> str:
    if not isinstance(rating, Known):
        return say("power-not-proven")
    known = sum((part.figure.peek for part in load.parts if isinstance(part.figure, Known)), Decimal(0))
    left = f"{amount(rating.peek - known)} {unit}"
    return left if load.complete else say("power-at-most", amount=left)


def _parts(box: WiredBox) -> Iterator[tuple[str, ...]]:
    for rail in box.rails:
        for part in rail.load.parts:
            if isinstance(part.figure, Known) and part.figure.peek:
                sure = say(f"evidence-{part.figure.evidence}")
                yield part.name, rail.rail, f"{amount(part.figure.peek)} A ({sure})"


def _loads(wired: Wired) -> Iterator[Block]:
    """AC loads for each backplane (multiplexed bus) or segment, DC loads for each segment, each with its limit."""
    yield Heading(say("loads-title"))
    head = tuple(say(f"loads-{name}") for name in ("where", "kind", "load", "limit", "case", "unknown"))
    yield Table("loads", say("loads-caption"), head, tuple(_load_rows(wired)))
    if ends := tuple(_end(wired, one) for one in wired.terminators):
        yield Items(ends)


def _load_rows(wired: Wired) -> Iterator[tuple[str, ...]]:
    if wired.bus == "mux":
        for unit in joined_units(wired):
            limit, case = ac_limit(wired, unit)
            yield _load_row(f"{unit.box}/{unit.id}", say("loads-ac"), unit.ac, limit, case)
    for segment in segments(wired):
        where = ", ".join(f"{unit.box}/{unit.id}" for unit in segment.units)
        row = row_for(wired.bus, len(segment.units), end_of(wired, "near").word, end_of(wired, "far").word)
        if wired.bus == "sep":
            yield _load_row(where, say("loads-ac"), segment.ac, row.ac, row.case)
        yield _load_row(where, say("loads-dc"), segment.dc, row.dc, row.case)


def _load_row(where: str, kind: str, load: Total, limit: Known[Decimal], case: str) -> tuple[str, ...]:
    allowed = f"{amount(limit.peek)} ({how_sure(limit)})"
    return where, kind, sum_text(load), allowed, case, str(len(dict.fromkeys(load.unknown)))


def _end(wired: Wired, one: WiredTerminator) -> str:
    unit = wired.units[one.unit]
    what = say("loads-built-in", unit=f"{unit.box}/{unit.id}")
    if one.board is not None:
        board = wired.boards[one.board]
        what = f"{handle(board.entry)} ({board.place})"
    return say("loads-end", end=say(f"loads-at-{one.at_end}"), what=what, strength=figure_text(one.strength))
