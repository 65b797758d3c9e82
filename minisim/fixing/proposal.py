"""`propose(path)`: the smallest set of changes that puts a loadout right, finding by finding, the worst first."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from minisim.catalogue import Catalogue
from minisim.files import write_atomically
from minisim.findings import Finding, Mark, Report, Severity
from minisim.fixing.comparing import Key, badness, counts, key_of, lost_checks, new_findings, put_right
from minisim.fixing.diffs import unified
from minisim.fixing.edits import Edit, PutBoard, RemoveBoard
from minisim.fixing.repairs import Changes, beyond, candidates, cost_of
from minisim.fixing.search import Budget, Found, put_one_right
from minisim.fixing.situation import Situation, Source, after, begin
from minisim.fixing.splices import CannotEdit
from minisim.loadout.reader import read_bytes_of_loadout
from minisim.problems import InputError, Problem
from minisim.rules import all_rules

USUAL = Severity.DOUBT
"""What is put right without being asked for more: damage, fault and doubt."""


@dataclass(frozen=True, slots=True)
class Step:
    """Changes that belong together, the findings they put right, and what is not known any more after them."""

    changes: Changes
    findings: tuple[Finding, ...]
    not_known: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Left:
    """A finding that stays, and why."""

    finding: Finding
    why: str


@dataclass(frozen=True, slots=True)
class Proposal:
    """What would make one loadout right: steps, the diff, what stays.  `after` is the report of the changed file."""

    file: str
    name: str
    state: str
    steps: tuple[Step, ...]
    left: tuple[Left, ...]
    notes: int  # open notes that nobody asked to put right
    bounded: bool  # the search ended at its bound
    before: bytes
    data: bytes
    after: Report

    @property
    def diff(self) -> str:
        """The change of the file as a unified diff; empty where there is none."""
        return unified(self.file, self.before, self.data)

    @property
    def as_found(self) -> bool:
        """Is it a record of a machine as it came in?"""
        return self.state == "as-found"


def propose(
    path: str | Path, *, catalogue: Catalogue | None = None, media_root: str | Path | None = None,
    least: Severity = USUAL, tell: Callable[[int], None] | None = None,
) -> Proposal:  # fmt: skip
    """Find changes for every open finding from `least` on; `tell` is called with the number of checks done so far.

    LoadoutError where the file can't be used.
    """
    data = read_bytes_of_loadout(path)
    start = begin(data, Source(str(path), (catalogue or Catalogue()).beside(path), media_root))
    run = _best_run(start, least, Budget(tell=tell))
    steps, end = run.shortened()
    return Proposal(
        file=str(path),
        name=start.wired.loadout.name,
        state=start.wired.loadout.state,
        steps=steps,
        left=tuple(Left(one, run.why(end, one)) for one in run.wanted(end)),
        notes=sum(counts(one) and one.severity.rank > least.rank for one in end.report.findings),
        bounded=run.bounded,
        before=data,
        data=end.data,
        after=end.report,
    )


def write(proposal: Proposal) -> None:
    """Put the changed text in the place of the file, whole or not at all.

    InputError where the file is a record of a machine as found, or is no longer what was read.
    """
    if proposal.data == proposal.before:
        return
    top = Mark(proposal.file, 1, 1)
    if proposal.as_found:
        raise InputError([Problem(top, AS_FOUND)])
    now = read_bytes_of_loadout(proposal.file)
    if hashlib.sha256(now).digest() != hashlib.sha256(proposal.before).digest():
        raise InputError([Problem(top, "the file was changed meanwhile; nothing is written, run the command again")])
    _refuse_read_only(proposal.file, top)
    write_atomically(proposal.file, proposal.data)


AS_FOUND = (
    "state: as-found is a record and is never written over; copy the file, write state: planned in the copy, and put "
    "that right"
)


def _refuse_read_only(file: str, top: Mark) -> None:
    """A file set to read-only is meant to stay, though its folder would let it be replaced."""
    if not Path(file).stat().st_mode & 0o222:
        raise InputError([Problem(top, "can't write the file: it is set to read-only")])


def _best_run(start: Situation, least: Severity, budget: Budget) -> _Run:
    """One run; where findings stay, another that takes equal ones in the other order may leave fewer."""
    run = _Run(start, least, budget)
    run.all()
    if run.bounded or not run.found or not run.wanted(run.now):
        return run
    other = _Run(start, least, budget, backwards=True)
    other.all()
    return min(run, other, key=lambda one: (badness(one.now), one.cost))


class _Run:
    """One run over the findings of one loadout."""

    def __init__(self, start: Situation, least: Severity, budget: Budget, *, backwards: bool = False) -> None:
        self.start = start
        self.now = start
        self.least = least
        self.budget = budget
        self.backwards = backwards
        self.bounded = False
        self.found: list[Found] = []
        self.given_up: dict[Key, int] = {}  # finding -> how many steps there were when nothing helped

    @property
    def cost(self) -> int:
        """What all its changes cost."""
        return sum(cost_of(one.changes) for one in self.found)

    def wanted(self, situation: Situation) -> list[Finding]:
        """The open findings that are to be put right, the worst first."""
        return [one for one in situation.report.findings if counts(one) and one.severity.rank <= self.least.rank]

    def all(self) -> None:
        """Put one finding after the other right, as long as there is one that was not given up."""
        while not self.budget.spent and (target := self._next()) is not None:
            found = put_one_right(self.now, target, self.budget)
            if found is None:
                self.given_up[key_of(self.now, target)] = len(self.found)
            else:
                self.found.append(found)
                self.now = found.situation
        self.bounded = self.budget.spent

    def _next(self) -> Finding | None:
        """The worst finding not tried yet; then those that were given up before something else changed.

        Of equal ones that first on whose rule the most others rest: a board in a wrong place breaks much else.
        """
        waiting = sorted(self.wanted(self.now), key=_urgency)
        if self.backwards:
            waiting.reverse()
            waiting.sort(key=lambda one: one.severity.rank)
        wanted = [(self.given_up.get(key_of(self.now, one), -1), one) for one in waiting]
        untried = [one for tried, one in wanted if tried < 0]
        again = [one for tried, one in wanted if 0 <= tried < len(self.found)]
        return next(iter([*untried, *again]), None)

    def shortened(self) -> tuple[tuple[Step, ...], Situation]:
        """The steps without those that later ones made needless, and the situation at their end."""
        sets = self._without_detours([one.changes for one in self.found])
        for index in reversed(range(len(sets))):
            fewer = [*sets[:index], *sets[index + 1 :]]
            if self._as_good(fewer):
                sets = fewer
        return self._steps(sets)

    def _without_detours(self, sets: list[Changes]) -> list[Changes]:
        """The sets without cards that are put in and taken out again, where the text ends the same."""
        put = {edit.place: edit for changes in sets for edit in changes if isinstance(edit, PutBoard)}
        out = {edit.place: edit for changes in sets for edit in changes if isinstance(edit, RemoveBoard)}
        for place in put.keys() & out.keys():
            fewer = [tuple(edit for edit in changes if edit not in (put[place], out[place])) for changes in sets]
            fewer = [changes for changes in fewer if changes]
            if self._as_good(fewer):
                sets = fewer
        return sets

    def _as_good(self, sets: Sequence[Changes]) -> bool:
        try:
            end = after(self.start, [edit for changes in sets for edit in changes])
        except (CannotEdit, InputError):
            return False
        if badness(end) > badness(self.now) or new_findings(self.now, end):
            return False
        gone = put_right(self.start, end)
        return not any(lost_checks(self.now, end, finding) for finding in gone)

    def _steps(self, sets: Sequence[Changes]) -> tuple[tuple[Step, ...], Situation]:
        """The steps one after the other, each with what it puts right of what was there at first.

        A step that puts only right what an earlier one uncovered belongs to that one.
        """
        steps: list[Step] = []
        now = self.start
        at_first = {key_of(self.start, one) for one in self.start.report.findings}
        for changes in sets:
            then = after(now, changes)
            findings = tuple(one for one in put_right(now, then) if key_of(now, one) in at_first)
            step = Step(changes, findings, _lost(now, then, findings))
            steps = [*steps, step] if findings or not steps else [*steps[:-1], _as_one(steps[-1], step)]
            now = then
        return tuple(steps), now

    def why(self, end: Situation, finding: Finding) -> str:
        """Why a finding stays."""
        needed = beyond().get(finding.slug, "")
        if not candidates(end, finding):
            return needed or "no change of the file helps"
        tried = "no change of the file was found that makes nothing else worse"
        return f"{tried}; {needed}" if needed else tried


def _lost(before: Situation, now: Situation, findings: Sequence[Finding]) -> tuple[str, ...]:
    """What the rules miss now, where one can't decide that could."""
    if not any(lost_checks(before, now, finding) for finding in findings):
        return ()
    return tuple(need for need in now.report.not_known if need not in before.report.not_known)


def _as_one(first: Step, second: Step) -> Step:
    return Step((*first.changes, *second.changes), first.findings, (*first.not_known, *second.not_known))


def _urgency(finding: Finding) -> tuple[int, int]:
    return finding.severity.rank, -_resting().get(finding.rule, 0)


@cache
def _resting() -> dict[str, int]:
    """Id of a rule -> how many rules are asked only where it holds."""
    return Counter(need for rule in all_rules() for need in rule.needs)


def edits_of(proposal: Proposal) -> tuple[Edit, ...]:
    """Every change of a proposal, in order."""
    return tuple(edit for step in proposal.steps for edit in step.changes)
