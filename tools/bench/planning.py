"""What a plan takes: the pile of the demo, and nine such piles with twenty wishes."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from pathlib import Path

from bench.targets import Target
from minisim.catalogue import Catalogue
from minisim.plan.planner import Plan, plan
from minisim.plan.wishes import Wishes, read_wishes
from minisim.plan.words import words_of
from minisim.stock.model import Stock
from minisim.stock.reader import read_stock

PILE = Path(__file__).resolve().parent.parent.parent / "loadouts" / "kittiwake" / "pile"
LARGE_PILES, LARGE_WISHES = 9, 20
SECONDS = 60.0


@dataclass(frozen=True, slots=True)
class Planned:
    """One plan: how many pieces and wishes, how long, how many came out, and how far from proven."""

    pieces: int
    wishes: int
    seconds: float
    complete: int
    proven: bool
    gap: float  # how many more complete wishes the bound leaves open


def planned(stock: Stock, wishes: Wishes, catalogue: Catalogue) -> Planned:
    """Plan once."""
    began = time.perf_counter()
    made = plan(stock, wishes, catalogue, seconds=SECONDS)
    taken = time.perf_counter() - began
    count = sum(row.count for row in stock.rows)
    return Planned(count, len(wishes.wishes), taken, len(made.machines), made.choice.proven, _gap(made))


def _gap(made: Plan) -> float:
    """Between the bound and what was reached, over the goals that count complete wishes."""
    complete = [goal for goal in made.choice.goals if goal.name.startswith("wishes")]
    return sum(goal.bound for goal in complete) - len(made.machines)


def plans() -> tuple[Planned, Planned]:
    """The pile of the demo and its wishes, and many times as much."""
    catalogue = Catalogue()
    stock = read_stock(PILE / "stock.csv", catalogue=catalogue)
    wishes = read_wishes(PILE / "wishes.yaml", words_of(catalogue))
    return planned(stock, wishes, catalogue), planned(_large(stock), _many(wishes), catalogue)


def _large(stock: Stock) -> Stock:
    rows = (replace(row, number=1000 * pile + row.number) for pile in range(LARGE_PILES) for row in stock.rows)
    return replace(stock, rows=tuple(rows))


def _many(wishes: Wishes) -> Wishes:
    """The same wishes again and again, those of a later round after all of an earlier one."""
    count = len(wishes.wishes)
    found = [
        replace(wishes.wishes[number % count], id=f"wish-{number}", priority=1 + number // count)
        for number in range(LARGE_WISHES)
    ]
    return replace(wishes, wishes=tuple(found))


def lines(found: tuple[Planned, Planned]) -> list[str]:
    """What was planned, and what came of it."""
    return [
        f"plan: {one.pieces:,} pieces, {one.wishes} wishes: {one.seconds:.2f} s, {one.complete} machines complete, "
        + ("proven" if one.proven else f"not proven, gap {one.gap:g} machines")
        for one in found
    ]


def targets(found: tuple[Planned, Planned]) -> list[Target]:
    """Seconds of both; the large one need not be proven."""
    small, large = found
    what = f"plan of {small.pieces} pieces, {small.wishes} wishes"
    why = "" if small.proven else "the optimum was not proven"
    return [
        Target(what, 5.0, small.seconds if small.proven else None, at_least=False, unit=" s", why=why),
        Target(
            f"plan of {large.pieces:,} pieces, {large.wishes} wishes",
            SECONDS, large.seconds, at_least=False, unit=" s",
        ),
    ]
