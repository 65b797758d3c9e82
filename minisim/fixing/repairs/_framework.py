"""What a repair is: a generator of sets of changes that may put one finding right, the most likely first.

A repair need not be sure: the search carries each set out on the text, reads and checks it again, and keeps it only
where the finding is gone and nothing is worse.  Repairs are found by walking this folder; there is no list to keep.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import ModuleType

from minisim.findings import Finding
from minisim.fixing.edits import Edit
from minisim.fixing.situation import Situation

Changes = tuple[Edit, ...]
Propose = Callable[[Situation, Finding], Iterator[Changes]]


@dataclass(frozen=True, slots=True)
class Repair:
    """Sets of changes for the findings of some rules, named by their slugs."""

    rules: tuple[str, ...]
    propose: Propose
    module: str


def repair(*rules: str) -> Callable[[Propose], Repair]:
    """Make a repair of a generator function."""

    def decorate(propose: Propose) -> Repair:
        return Repair(rules, propose, propose.__module__)

    return decorate


@cache
def _modules() -> tuple[ModuleType, ...]:
    files = sorted(Path(__file__).parent.glob("[a-z]*.py"))
    return tuple(importlib.import_module(f"{__package__}.{path.stem}") for path in files)


@cache
def all_repairs() -> tuple[Repair, ...]:
    """Every repair, in the order of files and functions."""
    found = (one for module in _modules() for one in vars(module).values() if isinstance(one, Repair))
    return tuple(dict.fromkeys(found))


@cache
def repairs_of(slug: str) -> tuple[Repair, ...]:
    """The repairs that know something for a rule."""
    return tuple(one for one in all_repairs() if slug in one.rules)


@cache
def beyond() -> dict[str, str]:
    """Slug of a rule -> what is needed where no change of the file helps; from the table `BEYOND` of each file."""
    table: dict[str, str] = {}
    for module in _modules():
        for rule, needed in getattr(module, "BEYOND", {}).items():
            if rule in table:
                raise ValueError(f"two files say what {rule} needs")
            table[rule] = needed
    return table


def candidates(situation: Situation, finding: Finding) -> list[Changes]:
    """Every set of changes any repair offers for a finding, cheapest first, each once."""
    found = [changes for one in repairs_of(finding.slug) for changes in one.propose(situation, finding) if changes]
    return sorted(dict.fromkeys(found), key=cost_of)


def cost_of(changes: Changes) -> int:
    """What a set of changes costs."""
    return sum(edit.cost for edit in changes)
