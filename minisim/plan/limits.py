"""Limits of a wish in watts and kilograms, held against a finished machine: what is counted, and what is not known."""

from __future__ import annotations

from collections.abc import Iterator

from minisim.known import Unknown
from minisim.plan.columns import watts_of
from minisim.plan.outfit import Machine
from minisim.plan.traits import Traits


def limits_of(made: Machine) -> Iterator[str]:
    """One sentence for each limit that the wish names."""
    wish, boards = made.selection.wish, [one.board for one in made.stands]
    if wish.watts is not None:
        counted = sum(map(watts_of, boards))
        silent = list(dict.fromkeys(one.id for one in boards if _is_silent(one)))
        proof = f"not proven, currents not known: {', '.join(silent)}" if silent else "all currents are known"
        yield f"{counted:.1f} W counted of at most {wish.watts} W; {proof}"
    if wish.kg is not None:
        known = made.frame.kg
        weight = f"{known} kg" if known is not None else "not proven, weight not known"
        yield f"heaviest empty box, at most {wish.kg} kg: {weight}"


def _is_silent(board: Traits) -> bool:
    figures = board.entry.amps.values()
    return not figures or any(isinstance(one, Unknown) for one in figures)
