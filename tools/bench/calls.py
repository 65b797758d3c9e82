"""The cost of coming back to Python: bounded slices and single steps, ours and the library's, on the sieve."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from bench import layout
from bench.engines import FAST, LIBRARY, REFERENCE, BenchError, Guest, Library
from bench.race import ROUNDS, Figures, agree, timed
from bench.workloads import LOOP, Workload

SLICE = 10_000
SLICES, STEPS = 100, 2_000  # in one round
SIEVE = LOOP["sieve"]
LIMITED, ONE, STEP = "run(limit=10_000)", "run(limit=1)", "step()"
LIBRARY_LIMITED, LIBRARY_ONE = "unicorn count=10000", "unicorn count=1"


@dataclass(frozen=True, slots=True)
class Way:
    """One way of running: `turn` is called `calls` times in a round, and runs `each` instructions."""

    name: str
    turn: Callable[[], object]
    calls: int
    each: int

    def round(self) -> None:
        """All calls of a round."""
        for _ in range(self.calls):
            self.turn()


def ours(guest: Guest) -> list[Way]:
    """What Python calls of minisim."""
    machine = guest.machine
    return [
        Way(LIMITED, lambda: machine.run(limit=SLICE), SLICES, SLICE),
        Way(ONE, lambda: machine.run(limit=1), STEPS, 1),
        Way(STEP, machine.step, STEPS, 1),
    ]


class Walk:
    """The library, part by part; each starts where the last one ended."""

    def __init__(self, engine: Library) -> None:
        self._engine = engine
        self.at = layout.OTHER_CODE

    def part(self, count: int) -> None:
        """So many instructions."""
        self.at = self._engine.part(self.at, count)


def theirs(walk: Walk) -> list[Way]:
    """The same of the library."""
    return [
        Way(LIBRARY_LIMITED, lambda: walk.part(SLICE), SLICES, SLICE),
        Way(LIBRARY_ONE, lambda: walk.part(1), STEPS, 1),
    ]


def measure(library: Any | None, rounds: int = ROUNDS) -> Figures:
    """Nanoseconds a call of each way.  BenchError: in parts something else came out than in one piece."""
    guest = Guest(FAST, SIEVE)
    guest.prepare(layout.MOST_PASSES)
    ways = ours(guest)
    if library is not None:
        check_parts(library)
        engine = Library(library, SIEVE)
        engine.prepare(layout.MOST_PASSES)
        ways += theirs(Walk(engine))
    taken: dict[str, list[float]] = {way.name: [] for way in ways}
    for number in range(rounds + 1):  # the first one warms up
        for way in ways:
            seconds = timed(way.round)
            if number:
                taken[way.name].append(seconds / way.calls * 1e9)
    check_whole(guest, (rounds + 1) * (SLICES * SLICE + 2 * STEPS))
    return Figures(taken)


def check_whole(guest: Guest, instructions: int) -> None:
    """The reference core in one piece comes to the same."""
    whole = Guest(REFERENCE, SIEVE)
    whole.prepare(layout.MOST_PASSES)
    whole.machine.run(limit=instructions)
    agree("sieve in slices and steps", {FAST: guest.inside(), REFERENCE: whole.inside()})


def check_parts(library: Any, workload: Workload = SIEVE, most: int = 1_000) -> None:
    """The library in parts comes to the end with the result of our reference core."""
    engine, guest = Library(library, workload), Guest(REFERENCE, workload)
    for each in (engine, guest):
        each.prepare(1)
    guest.run()
    walk = Walk(engine)
    for _ in range(most):
        walk.part(SLICE)
        if walk.at == layout.OTHER_CODE + len(workload.other_code):
            break
    else:
        raise BenchError("unicorn in parts did not come to the end of the sieve")
    agree("sieve in parts", {LIBRARY: engine.result(), REFERENCE: guest.result()})
