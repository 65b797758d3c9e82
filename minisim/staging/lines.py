"""Stages as a person reads them."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from minisim.staging.budget import Budget
from minisim.staging.plan import Stage

_SUPPLY_ALONE = (
    "Before any board goes in: plug out, look at the power wiring, then each rail under the dummy load below, measured "
    "at the backplane; volts and ripple go into the record.",
    "A second person stands by who knows the main switch.",
)
_BOARD_IN = "Power off and plug out for every card; then each rail again, at the backplane, before the next step."


def stage_lines(stage: Stage, last: int, boxes: Iterable[Budget], before: str) -> Iterator[str]:
    """Title, boards, cards for the time being, power, dummy loads, what to mind."""
    yield f"{before}stage {stage.number} of {last}: {stage.title}"
    yield from _wrapped("In now: ", stage.added)
    yield from _wrapped("For now also: ", stage.cards)
    for box in boxes:
        yield from _box(box)
    yield from _wrapped("", _SUPPLY_ALONE if stage.number == 0 else (_BOARD_IN,), between=" ")


def _box(box: Budget) -> Iterator[str]:
    yield from _wrapped(f"Power of {box.box}: ", (*box.rails, box.watts))
    for dummy in box.dummies:
        yield from _wrapped("Dummy load ", (str(dummy),))
    if box.unstated:
        rails = " and ".join(box.unstated)
        yield from _wrapped("", (f"Least load of {rails} not known: read it from the manual of the supply.",))


def _wrapped(before: str, parts: tuple[str, ...], between: str = "; ") -> Iterator[str]:
    if parts:
        yield from textwrap.wrap(
            before + between.join(parts), 100, initial_indent="    ", subsequent_indent="      ",
            break_long_words=False, break_on_hyphens=False,
        )  # fmt: skip
