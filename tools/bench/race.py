"""Times engines against each other: round after round each does the same work once, and what came out is compared."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from bench import mix
from bench.engines import (
    CORES,
    NATIVE,
    REFERENCE,
    BenchError,
    Engine,
    Guest,
    Library,
    MixGuest,
    Native,
    passes_for,
)
from bench.workloads import LOOPS

ROUNDS = 5
INSTRUCTIONS = 15_000_000  # about so many of ours in one run
TRUSTED = (NATIVE, REFERENCE)  # who is believed where votes are equal


@dataclass(slots=True)
class Race:
    """One workload and all that run it; `seconds` of each engine, one for each round."""

    workload: str
    engines: Sequence[Engine]
    amount: int
    instructions: int
    seconds: dict[str, list[float]] = field(default_factory=dict)

    def warm_up(self) -> None:
        """Run once without a clock, for what an engine does only the first time."""
        self._round()

    def round(self) -> None:
        """Time each engine once."""
        for name, seconds in self._round().items():
            self.seconds.setdefault(name, []).append(seconds)

    def _round(self) -> dict[str, float]:
        taken = {engine.name: timed_run(engine, self.amount) for engine in self.engines}
        agree(self.workload, {engine.name: engine.result() for engine in self.engines})
        guests = [engine for engine in self.engines if isinstance(engine, Guest)]
        agree(f"{self.workload} (registers, time, memory)", {guest.name: guest.inside() for guest in guests})
        return taken

    def figures(self) -> Figures:
        """The rounds as nanoseconds for each of our instructions."""
        return Figures({n: [s / self.instructions * 1e9 for s in times] for n, times in self.seconds.items()})


@dataclass(frozen=True, slots=True)
class Figures:
    """What each engine took in each round."""

    rounds: Mapping[str, Sequence[float]]

    def of(self, name: str) -> float | None:
        """The median, None for an engine that did not run."""
        return statistics.median(self.rounds[name]) if name in self.rounds else None

    def ratio(self, slower: str, faster: str) -> float | None:
        """How many times longer one took than the other: the median of the ratios of the rounds."""
        if slower not in self.rounds or faster not in self.rounds:
            return None
        return statistics.median(a / b for a, b in zip(self.rounds[slower], self.rounds[faster], strict=True))


def timed(work: Callable[..., object], **arguments: object) -> float:
    """Seconds one call takes."""
    begin = time.perf_counter()
    work(**arguments)
    return time.perf_counter() - begin


def timed_run(engine: Engine, amount: int) -> float:
    """Seconds of one run, from fresh data each time."""
    total = 0.0
    for _ in range(engine.repeats):
        engine.prepare(amount)
        total += timed(engine.run)
    return total / engine.repeats


def agree(workload: str, results: Mapping[str, bytes]) -> None:
    """BenchError names who got something else than the others."""
    votes = list(results.values())
    if len(set(votes)) <= 1:
        return
    right = max(results, key=lambda name: (votes.count(results[name]), name in TRUSTED))
    wrong = [name for name, result in results.items() if result != results[right]]
    places = ", ".join(f"the {name} (from byte {first_difference(results[name], results[right])} on)" for name in wrong)
    raise BenchError(f"{workload}: wrong result: {places}; the {right} is taken to be right")


def first_difference(one: bytes, other: bytes) -> int:
    """Where two texts of bytes begin to differ."""
    return next((i for i, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other)))


def races(native: Any | None, library: Any | None, instructions: int = INSTRUCTIONS) -> list[Race]:
    """All workloads with the engines that are there."""
    found: list[Race] = []
    for loop in LOOPS:
        engines: list[Engine] = [Guest(name, loop) for name in CORES]
        engines += [Native(native, loop)] if native else []
        engines += [Library(library, loop, apart=apart) for apart in (False, True)] if library else []
        found.append(Race(loop.name, engines, *passes_for(loop.name, instructions)))
    text = mix.text()
    found.append(Race("mix", [MixGuest(name, text) for name in CORES], instructions, instructions))
    return found


def run(all_races: Sequence[Race], rounds: int = ROUNDS) -> dict[str, Figures]:
    """Warm up, then all rounds, each through all workloads."""
    for race in all_races:
        race.warm_up()
    for _ in range(rounds):
        for race in all_races:
            race.round()
    return {race.workload: race.figures() for race in all_races}
