"""The report on coverage goals, as lines and as a page."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from minisim.cpu import records
from minisim.trials.goals import goals
from minisim.trials.open_goals import Reason

PAGE = "reference/coverage-goals.md"
HEAD = """# What is tested of each instruction

Goals follow from the record of each instruction: every addressing mode of each operand, operands through SP and PC and
both through one register, values at the ends of the range, each condition code both ways, each trap. Reached by cases:
a trial case (`minisim/trials/cases/`) has run there on some profile. By an oracle alone: no trial case, but a seeded
sample of the cases that the exact oracles of the tests judge. By both cores alone: only random states from which the
reference core and the fast core are held against each other. Open: none of them; the reason stands below.
`make goals` writes this page.

| instruction | module | goals | by cases | by an oracle alone | by both cores alone | open |
|---|---|---|---|---|---|---|
"""

Reached = Mapping[str, set[str]]


@dataclass(frozen=True)
class Coverage:
    """What was reached, by mnemonic, and the reasons for what was not."""

    cases: Reached
    oracles: Reached
    cores: Reached
    reasons: Sequence[Reason]

    def counts(self, mnemonic: str, wanted: Collection[str]) -> tuple[int, ...]:
        """Of these goals: reached by cases, by an oracle alone, by both cores alone, open."""
        left, found = set(wanted), []
        for reached in (self.cases, self.oracles, self.cores):
            found.append(len(left & reached[mnemonic]))
            left -= reached[mnemonic]
        return (*found, len(left))

    @cached_property
    def open(self) -> list[tuple[str, str]]:
        """Mnemonic and goal of everything that nothing has reached."""
        return [
            (record.mnemonic, goal)
            for record in records()
            for goal in goals(record)
            if not any(goal in reached[record.mnemonic] for reached in (self.cases, self.oracles, self.cores))
        ]

    @cached_property
    def unexplained(self) -> list[tuple[str, str]]:
        """Open goals without a reason."""
        return [(name, goal) for name, goal in self.open if not any(each.covers(name, goal) for each in self.reasons)]

    @cached_property
    def needless(self) -> list[Reason]:
        """Reasons that speak of no open goal."""
        return [each for each in self.reasons if not any(each.covers(name, goal) for name, goal in self.open)]

    def lines(self) -> Iterator[str]:
        """What is wrong."""
        for name, goal in self.unexplained:
            yield f"open without a reason: {name}: {goal}"
        for reason in self.needless:
            yield f"nothing is open there: {' '.join(reason.instructions)}: {reason.goal}"

    @property
    def summary(self) -> str:
        """One line."""
        rows = [self.counts(record.mnemonic, goals(record)) for record in records()]
        cases, oracles, cores, still_open = (sum(column) for column in zip(*rows, strict=True))
        return (
            f"{len(rows)} instructions, {cases + oracles + cores + still_open} goals: {cases} reached by cases,"
            f" {oracles} by an oracle alone, {cores} by both cores alone, {still_open} open,"
            f" {len(self.unexplained)} of them without a reason;"
        )


def text_of(coverage: Coverage) -> str:
    """The page."""
    return HEAD + "\n".join([*_rows(coverage), "", "## Why goals are open", "", *_reasons(coverage)]) + "\n"


def _rows(coverage: Coverage) -> Iterator[str]:
    for record in sorted(records(), key=lambda each: each.mnemonic):
        wanted = goals(record)
        counts = " | ".join(str(count) for count in coverage.counts(record.mnemonic, wanted))
        yield f"| {record.mnemonic} | {record.module} | {len(wanted)} | {counts} |"


def _reasons(coverage: Coverage) -> Iterator[str]:
    for reason in coverage.reasons:
        count = sum(reason.covers(name, goal) for name, goal in coverage.open)
        yield f"- `{' '.join(reason.instructions)}`: `{reason.goal}` ({count}): {reason.why}"
