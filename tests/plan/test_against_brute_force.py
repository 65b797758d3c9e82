"""The planner's division against trying everything: every small set of boards, laid out and checked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from functools import cache
from itertools import product

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from minisim.plan.choose import Selection
from minisim.plan.outfit import Machine, Unfit, outfit
from minisim.plan.pile import Thing, pile_of
from minisim.plan.planner import offer_of, plan
from minisim.plan.wishes import Wish

from .workshop import CATALOGUE, KITTIWAKE, problems, stock, wish, wishes

KINDS = (
    "mid-cpu-dual",
    "mos-memory-dual",
    "serial-line-single",
    "memory-two-lines-rom-dual",
    "boot-diagnostic-terminator-quad",
    "grant-card",
)
MOST = 5  # boards in one machine
FRAME = {("backplanes", "mux-twin-4-18bit"): 2, ("supplies", "mux-four-slot-box"): 2}
OFFER = offer_of(pile_of(stock({**FRAME, **{("boards", name): 2 for name in KINDS}}), CATALOGUE), CATALOGUE)
(HOME,) = OFFER.frames
WISHES = (wish("first", 1, memory_kb=32), wish("second", 2, memory_kb=64, serial_lines=2))

Boards = tuple[int, ...]  # how many of each of KINDS


@cache
def works(wanted: int, boards: Boards) -> bool:
    """Is there a layout of exactly these boards that is a machine for this wish?  By layout and check alone."""
    made = _machine(WISHES[wanted], boards)
    if not isinstance(made, Machine):
        return False
    lines = sum(one.lines for one in made.wired.registers if one.device == "serial-line")
    consoles = [one for one in made.wired.registers if getattr(one.base, "peek", None) == 0o17560]
    return lines >= WISHES[wanted].serial_lines and len(consoles) == 1


def _machine(wanted: Wish, boards: Boards) -> Machine | Unfit:
    things = {Thing("boards", name): count for name, count in zip(KINDS, boards, strict=True) if count}
    things |= dict.fromkeys(OFFER.frames[HOME].uses, 1)
    if boards[0] != 1:
        return Unfit()
    return outfit(Selection(wanted, HOME, things), OFFER.frames[HOME], OFFER.boards, KITTIWAKE, CATALOGUE)


def parts_of(counts: Boards) -> Iterator[Boards]:
    """Every smaller set of boards."""
    return (one for one in product(*(range(count + 1) for count in counts)) if 0 < sum(one) <= MOST)


def best(counts: Boards) -> tuple[int, int]:
    """Whether each of the two wishes can be complete, the first one first."""
    first = [one for one in parts_of(counts) if works(0, one)]
    if not first:
        return 0, int(any(works(1, one) for one in parts_of(counts)))
    rests = {tuple(have - used for have, used in zip(counts, one, strict=True)) for one in first}
    return 1, int(any(works(1, one) for rest in rests for one in parts_of(rest)))


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.tuples(*[st.integers(0, 2)] * len(KINDS)))
def test_no_division_is_better_than_the_one_that_is_proven(counts: Boards) -> None:
    pieces = Counter({("boards", name): count for name, count in zip(KINDS, counts, strict=True)})
    given_stock = stock({**FRAME, **pieces})
    found = plan(given_stock, wishes(*WISHES), CATALOGUE)
    assert problems(found, given_stock) == []
    complete = {made.selection.wish.id for made in found.machines}
    assert (int("first" in complete), int("second" in complete)) == best(counts)
