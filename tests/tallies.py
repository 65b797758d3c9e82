"""What was compared with an oracle or a twin in this session, module by module: the last lines of a test run."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any


@dataclass
class Tally:
    """Cases of one module, and those that came out differently."""

    noun: str
    cases: int = 0
    differences: int = 0


TALLIES: dict[str, Tally] = {}
SHARES: dict[str, tuple[int, int]] = {}  # machine: instructions compared, those that the fast core did itself


def tally(module: str, cases: int, differences: int = 0, noun: str = "cases") -> None:
    """Count so many more."""
    found = TALLIES.setdefault(module, Tally(noun))
    found.cases += cases
    found.differences += differences


@contextmanager
def counted(module: str) -> Iterator[Tally]:
    """Cases are added to what this gives; an assertion that fails inside is a difference."""
    here = Tally("cases")
    try:
        yield here
    except AssertionError:
        here.differences += 1
        raise
    finally:
        tally(module, here.cases, here.differences)


def share(name: str, instructions: int, by_fast: int) -> None:
    """Of what was compared in lock-step on one machine: how much handlers of the fast core did."""
    before = SHARES.get(name, (0, 0))
    SHARES[name] = (before[0] + instructions, before[1] + by_fast)


def lines() -> list[str]:
    """One for each machine in lock-step, then one for each module, by name."""
    machines = [
        f"lock-step of {name}: {instructions} instructions, {by_fast / max(instructions, 1):.0%} by the fast core"
        for name, (instructions, by_fast) in sorted(SHARES.items())
    ]
    modules = [
        f"{module}: {each.cases} {each.noun} run, {each.differences} differences"
        for module, each in sorted(TALLIES.items())
    ]
    return machines + modules


# --- tests run in several processes; their counts come together in the one that prints


def as_data() -> dict[str, Any]:
    """What this process counted, to be sent."""
    return {"tallies": {name: [each.cases, each.differences, each.noun] for name, each in TALLIES.items()},
            "shares": {name: list(pair) for name, pair in SHARES.items()}}  # fmt: skip


def add_data(data: dict[str, Any]) -> None:
    """What another process counted."""
    for name, (cases, differences, noun) in data["tallies"].items():
        tally(name, cases, differences, noun)
    for name, (instructions, by_fast) in data["shares"].items():
        share(name, instructions, by_fast)
