"""The rules over one stage.

What only comes from the boards that are still missing is told as a note, with the stage that brings the cure.  What can
harm or mislead at the bench - power, grants, slots, loads, the ends of the bus - keeps its severity at every stage.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from minisim.checking import check_wired
from minisim.findings import Finding, Mark, Outcome, Report, Severity
from minisim.problems import InputError, Problem
from minisim.rules import all_rules
from minisim.rules.int.acceptance_without_finding import INT_002
from minisim.staging.budget import Budget, budgets
from minisim.staging.lines import stage_lines
from minisim.staging.plan import Stage, Staging

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue
    from minisim.loadout.model import Loadout

REAL_AT_EVERY_STAGE = ("POWER", "GRANT", "SLOT", "LOAD", "TERM", "CARE")
_IDLE = INT_002.id  # an acceptance of what is not there yet
_SUPPLY_ONLY = ("POWER",)

Subject = tuple[str, str]


@dataclass(frozen=True, slots=True)
class StageReport:
    """One stage with its budget and what the rules say of it."""

    stage: Stage
    last: int
    budgets: tuple[Budget, ...]
    report: Report


def check_stage(loadout: Loadout, number: int, catalogue: Catalogue) -> StageReport:
    """Check the machine as built so far.  InputError: it has no such stage."""
    staging = Staging(loadout, catalogue)
    if number > staging.last:
        stages = f"stages 0 to {staging.last}" if staging.last else "stage 0 alone, without a board"
        raise InputError([Problem(Mark(loadout.file, 1, 1), f"no stage {number}: the bring-up has {stages}")])
    stage = staging.stage(number)
    boxes = budgets(stage, staging.stage(1) if staging.last else None)
    head = tuple(stage_lines(stage, staging.last, boxes, f"{loadout.file}: "))
    return StageReport(stage, staging.last, boxes, replace(_report(staging, number), head=head))


def _report(staging: Staging, number: int) -> Report:
    raw = _raw(staging, number)
    name = f"{raw.name}, stage {number} of {staging.last}"
    if number == staging.last:
        return replace(raw, name=name)
    planned = _subjects(_raw(staging, staging.last))
    found = [one for one in raw.findings if one.rule != _IDLE or _subject(one) in planned]
    early = [one for one in found if _subject(one) not in planned]
    cures = _cured_at(staging, number, {_subject(one) for one in early}) if early else {}
    said = {one: _said(one, cures[_subject(one)], staging) for one in early}
    findings = sorted(
        (said.get(one, one) for one in found), key=lambda one: (one.severity.rank, one.mark, one.rule, one.place)
    )
    outcomes = [_outcome(one, said) for one in raw.outcomes if one.finding is None or one.finding in found]
    return replace(raw, name=name, findings=tuple(findings), outcomes=tuple(outcomes))


def _raw(staging: Staging, number: int) -> Report:
    """All rules; of the supply alone only what concerns the supply."""
    wired = staging.stage(number).wired
    if number or not staging.last:
        return check_wired(wired)
    return check_wired(wired, [rule for rule in all_rules() if rule.id.startswith(_SUPPLY_ONLY)])


def _subject(finding: Finding) -> Subject:
    return finding.rule, finding.place


def _subjects(report: Report) -> set[Subject]:
    return {_subject(one) for one in report.findings}


def _is_real(finding: Finding) -> bool:
    return finding.severity is Severity.DAMAGE or finding.rule.startswith(REAL_AT_EVERY_STAGE)


def _cured_at(staging: Staging, number: int, subjects: set[Subject]) -> dict[Subject, int]:
    """The stage from which each of them is no longer found; the whole plan has none of them."""
    cures: dict[Subject, int] = {}
    for later in range(number + 1, staging.last + 1):
        there = _subjects(_raw(staging, later)) if later < staging.last else set()
        cures |= dict.fromkeys(subjects - there - set(cures), later)
        if len(cures) == len(subjects):
            break
    return cures


def _said(finding: Finding, cure: int, staging: Staging) -> Finding:
    """With the stage that ends it; only what is real at every stage is to be put right now."""
    if _is_real(finding):
        return replace(finding, fix=f"{finding.fix}, until stage {cure}")
    brings = " and ".join(staging.stage(cure).added[:2])
    return replace(finding, severity=Severity.NOTE, fix=f"nothing now: stage {cure} brings it, with {brings}")


def _outcome(outcome: Outcome, said: dict[Finding, Finding]) -> Outcome:
    return replace(outcome, finding=said[outcome.finding]) if outcome.finding in said else outcome
