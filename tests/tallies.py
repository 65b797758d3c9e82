"""What was compared with an oracle or a twin in this session, module by module: the last lines of a test run."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass


@dataclass
class Tally:
    """Cases of one module, and those that came out differently."""

    noun: str
    cases: int = 0
    differences: int = 0


TALLIES: dict[str, Tally] = {}


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


def lines() -> list[str]:
    """One for each module, by name."""
    return [
        f"{module}: {each.cases} {each.noun} run, {each.differences} differences"
        for module, each in sorted(TALLIES.items())
    ]
