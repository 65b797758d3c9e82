"""Power at one stage: amperes of each rail, watts, and the dummy load that the supply still needs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal

from minisim.known import Known, Total, Unknown
from minisim.staging.plan import Stage
from minisim.wiring.model import WiredBox, WiredRail
from minisim.wiring.power import volts

MARGIN = 2  # a resistor that gets hot is bought for twice the power; common practice


@dataclass(frozen=True, slots=True)
class Dummy:
    """A resistor between a rail and ground: amperes it draws, ohms, watts it turns into heat."""

    rail: str
    amps: Decimal
    ohms: Decimal
    watts: Decimal

    def __str__(self) -> str:
        return (
            f"{self.rail}: {shown(self.amps)} A by {shown(self.ohms)} ohm, {shown(self.watts)} W of heat "
            f"(take one for {shown(self.watts * MARGIN)} W or more)"
        )


@dataclass(frozen=True, slots=True)
class Budget:
    """One box at one stage, in sentences' parts."""

    box: str
    supply: str
    rails: tuple[str, ...]  # `+5 6.2 of 25 A, 2 parts not known`
    watts: str
    dummies: tuple[Dummy, ...]
    unstated: tuple[str, ...]  # rails of which nobody knows the least load


def budgets(stage: Stage, first: Stage | None = None) -> tuple[Budget, ...]:
    """Every box of the stage; `first` is stage 1, whose boards say what the dummy load of stage 0 should draw."""
    later = {box.id: box for box in first.wired.boxes} if first and stage.number == 0 else {}
    return tuple(_budget(box, later.get(box.id)) for box in stage.wired.boxes)


def _budget(box: WiredBox, later: WiredBox | None) -> Budget:
    unstated = [rail.rail for rail in box.rails if isinstance(rail.minimum, Unknown)]
    return Budget(
        box.id,
        box.supply.id if box.supply else "",
        tuple(f"{rail.rail} {_of(rail.load, rail.rating, 'A')}" for rail in box.rails),
        _of(box.watts, box.watts_rating, "W"),
        tuple(_dummies(box, later)),
        tuple(unstated),
    )


def _of(load: Total, rating: object, unit: str) -> str:
    limit = f" of {shown(rating.peek)}" if isinstance(rating, Known) else ""
    least = "at least " if load.unknown else ""
    unknown = f" ({len(load.unknown)} not known)" if load.unknown else ""
    sure = sum((part.figure.peek for part in load.parts if isinstance(part.figure, Known)), Decimal(0))
    return f"{least}{shown(sure)}{limit} {unit}{unknown}"


def _sure(rail: WiredRail) -> Decimal:
    return sum((part.figure.peek for part in rail.load.parts if isinstance(part.figure, Known)), Decimal(0))


def _dummies(box: WiredBox, later: WiredBox | None) -> Iterator[Dummy]:
    """What is missing to the least load; with the supply alone also what the first boards will draw."""
    drawn = {rail.rail: _sure(rail) for rail in later.rails} if later else {}
    for rail in box.rails:
        least = rail.minimum.peek if isinstance(rail.minimum, Known) else Decimal(0)
        missing = max(least, drawn.get(rail.rail, Decimal(0))) - _sure(rail)
        if missing > 0:
            across = volts(rail.rail)
            yield Dummy(rail.rail, missing, across / missing, across * missing)


def shown(value: Decimal) -> str:
    """Two significant digits below 10, else whole or tenths: nobody measures finer."""
    places = Decimal("0.01") if abs(value) < 1 else Decimal("0.1") if abs(value) < 100 else Decimal(1)
    text = f"{value.quantize(places, ROUND_HALF_EVEN):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
