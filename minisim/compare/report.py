"""What came out of a comparison, as values: results by case and profile, and what they add up to."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from minisim.trials.model import Case, Difference, Evidence, Result, Status

MODULES = ("base", "eis", "fis", "fpp", "cis", "mmu")
"""In the order they are told."""

STRONG = (Evidence.SEEN, Evidence.DERIVED)


@dataclass(frozen=True)
class Comparison:
    """Results of `cases` on `profiles`: `results[case id]` has one entry a profile, in their order.

    `options` are those asked for; None: all that each profile can have.
    """

    cases: tuple[Case, ...]
    profiles: tuple[str, ...]
    options: tuple[str, ...] | None
    results: Mapping[str, tuple[Result, ...]]

    @cached_property
    def all_results(self) -> tuple[Result, ...]:
        """Every result, case by case."""
        return tuple(result for case in self.cases for result in self.results[case.id])

    @cached_property
    def compared(self) -> tuple[Result, ...]:
        """The results of cases that ran."""
        return tuple(result for result in self.all_results if result.status.compared)

    @cached_property
    def differences(self) -> tuple[Result, ...]:
        """What differs from a documented value."""
        return tuple(result for result in self.all_results if result.status is Status.DIFFERS)

    @cached_property
    def doubts(self) -> tuple[Result, ...]:
        """What differs from an unconfirmed value."""
        return tuple(result for result in self.all_results if result.status is Status.DIFFERS_UNCONFIRMED)

    @cached_property
    def by_module(self) -> Mapping[str, Counter[Status]]:
        """How the results ended, module by module."""
        counts: dict[str, Counter[Status]] = {module: Counter() for module in MODULES}
        for result in self.all_results:
            counts[result.case.module][result.status] += 1
        return {module: count for module, count in counts.items() if count}

    @cached_property
    def by_evidence(self) -> Mapping[Evidence, Counter[Status]]:
        """How the compared results ended, by what the values rest on."""
        counts: dict[Evidence, Counter[Status]] = {evidence: Counter() for evidence in Evidence}
        for result in self.compared:
            if result.line is not None:
                counts[result.line.evidence][result.status] += 1
        return {evidence: count for evidence, count in counts.items() if count}

    @cached_property
    def cases_by_module(self) -> Mapping[str, int]:
        """Cases that were compared on at least one profile."""
        ran = {result.case.id: result.case.module for result in self.compared}
        counts = Counter(ran.values())
        return {module: counts[module] for module in MODULES if counts[module]}

    @cached_property
    def waiting(self) -> Mapping[str, int]:
        """Cases that no profile of this comparison could run, by module."""
        ran = {result.case.id for result in self.compared}
        counts = Counter(case.module for case in self.cases if case.id not in ran)
        return {module: counts[module] for module in MODULES if counts[module]}

    @cached_property
    def reasons(self) -> Mapping[str, int]:
        """Why cases could not be run, with how many results, the most frequent first."""
        return dict(Counter(result.reason for result in self.all_results if result.reason).most_common())

    def rests_on(self, *evidence: Evidence) -> int:
        """How many compared results rest on these strengths of evidence."""
        return sum(self.by_evidence[each].total() for each in evidence if each in self.by_evidence)

    def agreed(self, *, strict: bool = False) -> bool:
        """Nothing differs; strictly: from no unconfirmed value either."""
        return not self.differences and not (strict and self.doubts)


@dataclass(frozen=True, slots=True)
class Group:
    """One case that differs alike on several profiles."""

    case: Case
    result: Result
    profiles: tuple[str, ...]
    differences: tuple[Difference, ...]


def grouped(results: Iterable[Result]) -> tuple[Group, ...]:
    """Results that differ, those that say the same put together."""
    found: dict[tuple[str, tuple[Difference, ...], int], list[Result]] = {}
    for result in results:
        line = result.line.mark.line if result.line else 0
        found.setdefault((result.case.id, result.differences, line), []).append(result)
    return tuple(
        Group(same[0].case, same[0], tuple(each.profile for each in same), same[0].differences)
        for same in found.values()
    )
