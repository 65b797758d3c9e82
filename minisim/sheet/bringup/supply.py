"""The supply alone: dummy load in ohms and watts, what to measure, and against which limits."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from minisim.known import Known
from minisim.sheet.blocks import BLANK, Block, ItemKind, Items, Role, Table, Words
from minisim.sheet.messages import say
from minisim.sheet.numbers import amount, figure_text, sum_text
from minisim.staging.budget import MARGIN, Budget, budgets, shown
from minisim.wiring.power import volts

if TYPE_CHECKING:
    from minisim.known import Total
    from minisim.staging import Stage
    from minisim.wiring.model import WiredRail

TOLERANCE = Decimal("0.05")
"""Of +5 V: 4.75 to 5.25 V is what data sheets of the 74 series print; of the other rails common practice."""


def supply_blocks(stage: Stage, first: Stage | None) -> Iterator[Block]:
    """Cautions, what to do, the load, the rails; `first` is the stage whose boards come next."""
    for number in range(1, 5):
        yield Words(say(f"bringup-supply-cautions-{number}"), Role.CAUTION)
    yield Items(tuple(say(f"bringup-supply-do-{number}") for number in range(1, 5)), ItemKind.STEPS)
    for budget in budgets(stage, first):
        yield from _dummy(budget)
    yield Words(say("bringup-dummy-why"), Role.SMALL)
    yield from rail_tables(stage)
    yield Words(say("bringup-rails-why"), Role.SMALL)
    if stage.wired.bus == "mux":
        yield Words(say("bringup-power-good"))


def _dummy(budget: Budget) -> Iterator[Block]:
    if not budget.dummies:
        yield Words(say("bringup-dummy-none", box=budget.box), Role.STRONG)
        return
    head = tuple(say(f"bringup-dummy-{name}") for name in ("rail", "amps", "ohms", "watts", "buy"))
    rows = tuple(
        (
            one.rail,
            f"{shown(one.amps)} A",
            f"{shown(one.ohms)} ohm",
            f"{shown(one.watts)} W",
            f"{shown(one.watts * MARGIN)} W",
        )
        for one in budget.dummies
    )
    yield Table(f"dummy-{budget.box}", say("bringup-dummy-caption", box=budget.box), head, rows)
    if budget.unstated:
        yield Words(say("bringup-dummy-unknown", rails=", ".join(budget.unstated), box=budget.box))


def rail_tables(stage: Stage, before: Stage | None = None) -> Iterator[Table]:
    """One table a box: limits, load (with that of the stage `before` where it was another) and rating, blanks."""
    was = {(rail.box, rail.rail): rail.load for box in (before.wired.boxes if before else ()) for rail in box.rails}
    names = ("rail", "limits", "load", "rating", "volts", "ripple", "initials")
    head = tuple(say(f"bringup-rails-{name}") for name in names)
    for box in stage.wired.boxes:
        rows = tuple(_rail(rail, was.get((rail.box, rail.rail))) for rail in box.rails)
        yield Table(f"rails-{stage.number}-{box.id}", say("bringup-rails-caption", box=box.id), head, rows)


def _rail(rail: WiredRail, was: Total | None) -> tuple[str, ...]:
    rating = figure_text(rail.rating)
    return (
        rail.rail,
        limits_text(rail.rail),
        _load(rail.load, was),
        f"{rating} A" if rating[:1].isdigit() else rating,
        BLANK,
        BLANK,
        BLANK,
    )


def limits_text(rail: str) -> str:
    """`4.75 to 5.25 V`."""
    low, high = limits(rail)
    return say("bringup-rails-between", low=low, high=high)


def _load(load: Total, was: Total | None) -> str:
    now, before = sum_text(load), sum_text(was) if was and _drawn(was) else ""
    return f"{now} A" if before in ("", now) else say("bringup-rails-grown", load=now, before=before)


def _drawn(load: Total) -> bool:
    """Is it known that anything is drawn?"""
    return any(part.figure.peek for part in load.parts if isinstance(part.figure, Known))


def limits(rail: str) -> tuple[str, str]:
    """The two ends between which a rail may lie, the nearer to zero first: `4.75` and `5.25`, `-11.4` and `-12.6`."""
    across = volts(rail) * (-1 if rail.startswith("-") else 1)
    return amount(across * (1 - TOLERANCE)), amount(across * (1 + TOLERANCE))
