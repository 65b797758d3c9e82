"""Kinds of consequences: one file each, found by walking the folder; which rules a kind serves stands beside it."""

from __future__ import annotations

import importlib
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from minisim.catalogue.reader import Catalogue
from minisim.consequence.model import NotShownError, Shown
from minisim.findings import Finding, Report, Severity
from minisim.rules import all_rules
from minisim.wiring.model import Wired

Teller = Callable[[Finding, Wired, Catalogue], Shown]


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind: builds the machine with its fault, lets a program run in it, and tells."""

    rules: tuple[str, ...]  # slugs
    tell: Teller
    module: str


def shows(*rules: str) -> Callable[[Teller], Kind]:
    """Make a kind of a function of (finding, wired, catalogue) that raises NotShownError where it can't tell.

    `rules` are the slugs of those whose findings it shows.
    """

    def decorate(tell: Teller) -> Kind:
        return Kind(rules, tell, tell.__module__)

    return decorate


@cache
def kinds() -> tuple[Kind, ...]:
    """Every kind, by the name of its file."""
    found: list[Kind] = []
    for path in sorted(Path(__file__).parent.glob("[a-z]*.py")):
        module = importlib.import_module(f"minisim.consequence.{path.stem}")
        found += [one for one in vars(module).values() if isinstance(one, Kind) and one.module == module.__name__]
    return tuple(found)


def served() -> tuple[str, ...]:
    """Ids of the rules whose findings can be shown."""
    slugs = {slug for kind in kinds() for slug in kind.rules}
    return tuple(sorted(rule.id for rule in all_rules() if rule.slug in slugs))


def show(finding: Finding, wired: Wired, report: Report, catalogue: Catalogue) -> tuple[Shown, ...]:
    """Every consequence of a finding that can be shown, one at least.  NotShownError: none, and why."""
    _refuse(finding, report)
    mine = [kind for kind in kinds() if finding.slug in kind.rules]
    if not mine:
        raise NotShownError(f"nothing shows {finding.rule} {finding.slug}; shown are {', '.join(served())}")
    told: list[Shown] = []
    reasons: list[str] = []
    for kind in mine:
        try:
            told.append(kind.tell(finding, wired, catalogue))
        except NotShownError as reason:
            reasons.append(str(reason))
    if not told:
        raise NotShownError("; ".join(dict.fromkeys(reasons)))
    return tuple(told)


def _refuse(finding: Finding, report: Report) -> None:
    """A machine with damage is not switched on, in no way."""
    if finding.severity is Severity.DAMAGE:
        raise NotShownError(f"{finding.rule} {finding.slug} is damage: {finding.cause}; such a machine is not powered")
    damage = next((one for one in report.findings if one.severity is Severity.DAMAGE), None)
    if damage is not None:
        raise NotShownError(
            f"the machine has {damage.rule} {damage.slug} at {damage.place}, which is damage; it is not powered"
        )
