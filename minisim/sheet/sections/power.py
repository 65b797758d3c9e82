"""Power of each box, rail by rail, and the loads of the bus."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from minisim.known import Figure, Known, Total
from minisim.rules._loads import segments
from minisim.sheet.blocks import BLANK, Block, Heading, Items, Page, Table, Words
from minisim.sheet.messages import say
from minisim.sheet.numbers import amount, figure_text, handle, sum_text, weakest

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
    yield Heading(say("loads-title"))
    head = tuple(say(f"loads-{name}") for name in ("segment", "ac", "dc", "unknown"))
    rows = []
    for number, one in enumerate(segments(wired), 1):
        units = ", ".join(f"{unit.box}/{unit.id}" for unit in one.units)
        unknown = len(dict.fromkeys((*one.ac.unknown, *one.dc.unknown)))
        rows.append((f"{number}: {units}", sum_text(one.ac), sum_text(one.dc), str(unknown)))
    yield Table("loads", say("loads-caption"), head, tuple(rows))
    if ends := tuple(_end(wired, one) for one in wired.terminators):
        yield Items(ends)


def _end(wired: Wired, one: WiredTerminator) -> str:
    unit = wired.units[one.unit]
    what = say("loads-built-in", unit=f"{unit.box}/{unit.id}")
    if one.board is not None:
        board = wired.boards[one.board]
        what = f"{handle(board.entry)} ({board.place})"
    return say("loads-end", end=say(f"loads-at-{one.at_end}"), what=what, strength=figure_text(one.strength))
