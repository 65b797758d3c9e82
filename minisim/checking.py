"""Run every rule over one machine and collect everything: `check(loadout) -> Report`.

The runner adds what a rule could forget: the evidence it rested on, the disputes behind that evidence, silence where a
prerequisite failed, the owner's acceptances, and a finding of its own where a rule crashes.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from minisim.findings import Finding, Outcome, Report, Severity, State
from minisim.known import Evidence, Known, Ledger, reading, worst
from minisim.loadout.model import Acceptance, Loadout
from minisim.rules._framework import Result, Rule, all_rules
from minisim.rules.int.acceptance_without_finding import idle_acceptance
from minisim.rules.int.rule_crashed import crash_finding
from minisim.wiring.model import Wired

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue

_DISPUTE = re.compile(r"\bD\d+\b")


def check(loadout: Loadout, catalogue: Catalogue | None = None) -> Report:
    """Check one loadout.  Raises LoadoutError where it can't be resolved against the catalogue."""
    from minisim.wiring.resolve import resolve

    return check_wired(resolve(loadout, catalogue))


def check_wired(wired: Wired, rules: Iterable[Rule] | None = None) -> Report:
    """Check a resolved machine with all rules, or with those given (in the order of their needs)."""
    run = _Run(wired)
    for rule in all_rules() if rules is None else rules:
        if rule.check is not None:
            run.rule(rule)
    run.idle_acceptances()
    loadout = wired.loadout
    return Report(
        loadout.name, loadout.file, _sorted(run.outcomes), tuple(run.outcomes), loadout.state, loadout.modifications
    )


def _sorted(outcomes: Iterable[Outcome]) -> tuple[Finding, ...]:
    found = dict.fromkeys(outcome.finding for outcome in outcomes if outcome.finding is not None)
    return tuple(sorted(found, key=lambda one: (one.severity.rank, one.mark, one.rule, one.place)))


@dataclass(slots=True)
class _Run:
    """The state of one check: outcomes so far, and where each rule did not hold."""

    wired: Wired
    outcomes: list[Outcome] = field(default_factory=list)
    unsound: dict[str, set[str]] = field(default_factory=dict)
    crashed: set[str] = field(default_factory=set)
    used: set[Acceptance] = field(default_factory=set)

    def rule(self, rule: Rule) -> None:
        """Run one rule to its end or its crash."""
        assert rule.check is not None
        if broken := [need for need in rule.needs if need in self.crashed]:
            self._not_run(rule, f"{broken[0]} to run")
            return
        with reading() as ledger:
            try:
                for result in rule.check(self.wired):
                    self._take(rule, result, ledger)
            except Exception as error:  # whatever a rule does wrong must not hide the other rules
                self._crash(rule, error)

    def _take(self, rule: Rule, result: Result, ledger: Ledger) -> None:
        read = ledger.take()
        waits = self._waits_for(rule, result)
        if waits:
            outcome = self._blocked(rule, result, waits)
        elif rule.explains and not self._has_finding(rule.explains, result.subject.place):
            outcome = replace(_outcome(rule, result, ()), state=State.NOT_APPLICABLE, needs="", missing=())
        elif result.state is State.FAILED:
            outcome = self._failed(rule, result, read)
        else:
            outcome = _outcome(rule, result, read)
        self.outcomes.append(outcome)

    def _waits_for(self, rule: Rule, result: Result) -> str:
        places = (result.subject.place, *result.leans_on)
        for need in rule.needs:
            for place in places:
                if place in self.unsound.get(need, ()):
                    return f"{need} at {place} to be put right"
        return ""

    def _blocked(self, rule: Rule, result: Result, waits: str) -> Outcome:
        self.unsound.setdefault(rule.id, set()).add(result.subject.place)
        return Outcome(rule.id, rule.slug, result.subject.place, State.NOT_CHECKED, waits)

    def _has_finding(self, rule: str, place: str) -> bool:
        return any(one.finding and one.rule == rule and one.finding.place == place for one in self.outcomes)

    def _failed(self, rule: Rule, result: Result, read: tuple[Known[object], ...]) -> Outcome:
        if result.shares:
            finding = self._finding_at(rule, result.shares)
        else:
            finding = self._accepted(_finding(rule, result, read))
        if finding is not None and not finding.accepted and finding.severity is not Severity.NOTE:
            self.unsound.setdefault(rule.id, set()).add(result.subject.place)
        return replace(_outcome(rule, result, read), finding=finding)

    def _finding_at(self, rule: Rule, place: str) -> Finding | None:
        mine = (one.finding for one in self.outcomes if one.rule == rule.id and one.place == place and one.finding)
        return next(mine, None)

    def _accepted(self, finding: Finding) -> Finding:
        for acceptance in self.wired.loadout.accept:
            if acceptance.rule in (finding.rule, finding.slug) and acceptance.at == finding.place:
                self.used.add(acceptance)
                return replace(finding, accepted=acceptance.because)
        return finding

    def _crash(self, rule: Rule, error: Exception) -> None:
        self.crashed.add(rule.id)
        finding = crash_finding(rule, error, self.wired)
        self._add(finding)
        self._not_run(rule, f"{rule.id} to run")

    def _not_run(self, rule: Rule, waits: str) -> None:
        self.crashed.add(rule.id)
        place = self.wired.loadout.boxes[0].id if self.wired.loadout.boxes else ""
        self.outcomes.append(Outcome(rule.id, rule.slug, place, State.NOT_CHECKED, waits))

    def idle_acceptances(self) -> None:
        """Say which acceptances matched nothing."""
        findings = [one.finding for one in self.outcomes if one.finding]
        for acceptance in self.wired.loadout.accept:
            if acceptance not in self.used:
                self._add(idle_acceptance(acceptance, findings))

    def _add(self, finding: Finding) -> None:
        self.outcomes.append(Outcome(finding.rule, finding.slug, finding.place, State.FAILED, finding=finding))


def _outcome(rule: Rule, result: Result, read: tuple[Known[object], ...]) -> Outcome:
    return Outcome(
        rule=rule.id,
        slug=rule.slug,
        place=result.subject.place,
        state=result.state,
        needs="; ".join(result.needs),
        missing=result.needs if result.state is State.NOT_CHECKED else (),
        evidence=worst(read),
        rests_on=rests_on(read),
        disputed=_disputed(result, read),
    )


def _finding(rule: Rule, result: Result, read: tuple[Known[object], ...]) -> Finding:
    return Finding(
        rule=rule.id,
        slug=rule.slug,
        severity=result.severity or rule.severity,
        place=result.subject.place,
        board=result.subject.board,
        mark=result.subject.mark,
        found=result.found,
        limit=result.limit,
        cause=result.cause,
        fix=result.fix,
        next_measurement=result.next_measurement,
        unit=result.unit,
        sources=rule.sources if result.sources is None else result.sources,
        evidence=worst(read),
        rests_on=rests_on(read),
        disputed=_disputed(result, read),
        also=result.also,
    )


def rests_on(read: Iterable[Known[object]]) -> tuple[str, ...]:
    """The named figures among those read, each once with its evidence, the weakest first."""
    named = sorted((one for one in read if one.name), key=lambda one: -one.evidence.rank)
    return tuple(dict.fromkeys(f"{one.name}: {one.evidence.value}" for one in named))


def _disputed(result: Result, read: Iterable[Known[object]]) -> tuple[str, ...]:
    """D-numbers the rule names, and those in the notes of disputed figures it read."""
    notes = (one.note for one in read if one.evidence is Evidence.DISPUTED)
    seen = [number for note in notes for number in _DISPUTE.findall(note)]
    return tuple(dict.fromkeys([*result.disputed, *seen]))
