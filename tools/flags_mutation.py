"""Can the trial cases tell every flag of the profiles?  `make flags-mutation` runs this; files of cases may be named.

Each flag of the table of differences is turned to another of its legal values in a copy of a profile, and all cases run
on that copy: at least one must differ that did not before.  A flag that holds several facts has each fact turned.  One
profile and value that shows is enough; they are tried one after the other.  A flag that no case can tell needs a reason
in minisim/trials/cases/unobservable.yaml, and a flag with a reason must not show.  Exit 1: a flag breaks this; 2: the
cases can't be read.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from minisim.catalogue.model import Profile
from minisim.catalogue.reader import Catalogue
from minisim.compare import chosen_cases, compare
from minisim.cpu.profile import NOT_APPLICABLE, flags
from minisim.cpu.unobservable import unobservable
from minisim.problems import InputError
from minisim.trials.model import Case
from minisim.trials.reader import read_set

YES_NO = ("yes", "no")
STANDS_TWICE = {("later_base_instructions", "rtt"): ("rtt", ""), ("rtt", ""): ("later_base_instructions", "rtt")}
"""One fact in two rows of the table (D08, D14): a copy of a profile must not contradict itself, so both are turned."""


@dataclass(frozen=True, slots=True)
class Target:
    """What is turned: a flag, or one fact of a flag (`fact` is empty for a plain one)."""

    row: str
    flag: str
    fact: str
    words: tuple[str, ...]

    def __str__(self) -> str:
        return f"{self.row} {self.flag}{' ' + self.fact if self.fact else ''}"

    def word_in(self, profile: Profile) -> str:
        """What the model does there."""
        model = profile.flags[self.flag].model
        if isinstance(model, Mapping):
            return model.get(self.fact, NOT_APPLICABLE)
        return NOT_APPLICABLE if self.fact else model

    def turned(self, profile: Profile, word: str) -> Profile:
        """A copy of the profile where the model does something else."""
        copy = _with(profile, self.flag, self.fact, word)
        twin = STANDS_TWICE.get((self.flag, self.fact))
        return _with(copy, *twin, word) if twin else copy


def _with(profile: Profile, name: str, fact: str, word: str) -> Profile:
    flag = profile.flags[name]
    model = {**flag.model, fact: word} if isinstance(flag.model, Mapping) else word
    return replace(profile, flags={**profile.flags, name: replace(flag, model=model)})


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of one target: the turn that showed and the cases that told it; none if nothing did."""

    target: Target
    reason: str
    profile: str = ""
    before: str = ""
    after: str = ""
    cases: tuple[str, ...] = ()

    @property
    def is_wrong(self) -> bool:
        """Seen by no case and no reason given, or a reason given and seen all the same."""
        return bool(self.cases) == bool(self.reason)

    def __str__(self) -> str:
        if self.cases:
            end = f"; but unobservable.yaml says: {self.reason}" if self.reason else ""
            return (f"{self.target}: {self.before} -> {self.after} in {self.profile}: "
                    f"{_counted(len(self.cases), 'case')}, first {self.cases[0]}{end}")  # fmt: skip
        return f"{self.target}: no case tells it" + (f": {self.reason}" if self.reason else ", and no reason is given")


@dataclass(slots=True)
class Mutation:
    """All cases on all profiles as they are, and then with one flag turned."""

    cases: Sequence[Case]
    profiles: Sequence[Profile]
    reasons: Mapping[str, str]
    _before: dict[str, frozenset[str]] = field(default_factory=dict)

    def outcome(self, target: Target) -> Outcome:
        """The first turn that shows.  Profiles where the cases speak of this row come first."""
        reason = self.reasons.get(target.row, "")
        for profile in sorted(self.profiles, key=lambda profile: not self._speaks(target.row, profile.id)):
            before = target.word_in(profile)
            for after in target.words:
                if before in (NOT_APPLICABLE, after):
                    continue
                if told := self._told_by(profile, target.turned(profile, after)):
                    return Outcome(target, reason, profile.id, before, after, told)
        return Outcome(target, reason)

    def _speaks(self, row: str, profile: str) -> bool:
        return any(case.row == row and case.line_for(profile) is not None for case in self.cases)

    def _told_by(self, profile: Profile, copy: Profile) -> tuple[str, ...]:
        """The cases that differ on the copy and not on the profile."""
        if profile.id not in self._before:
            self._before[profile.id] = frozenset(self._differing(profile))
        return tuple(name for name in self._differing(copy) if name not in self._before[profile.id])

    def _differing(self, profile: Profile) -> Iterator[str]:
        spoken = [case for case in self.cases if case.line_for(profile.id) is not None]
        results = compare(spoken, [profile]).results
        return (name for name, (result,) in results.items() if result.status.differs)


def targets() -> Iterator[Target]:
    """All that can be turned, in the order of the table."""
    for flag in flags():
        if flag.is_facts:
            yield from (Target(flag.row, flag.name, fact, YES_NO) for fact in flag.words)
        else:
            yield Target(flag.row, flag.name, "", flag.words)


def summary(outcomes: Sequence[Outcome], seconds: float) -> str:
    """The last line."""
    rows = {one.target.row for one in outcomes}
    seen = rows - {one.target.row for one in outcomes if not one.cases}
    wrong = {one.target.row for one in outcomes if one.is_wrong}
    excused = len(rows - seen - wrong)
    return (f"{_counted(len(rows), 'flag')}: {len(seen - wrong)} told by cases, {excused} with a reason why none can, "
            f"{len(wrong)} wrong; {seconds:.0f} s")  # fmt: skip


def _counted(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def _cases(files: Sequence[str]) -> Sequence[Case]:
    """Those of the files named, or of the project; a file that can't be read is no reason to go on without it."""
    found = read_set()
    if not files and found.problems:
        raise InputError(found.problems)
    return chosen_cases(files, found)


def main(arguments: Sequence[str]) -> int:
    """Turn each flag, print a line for each and the sum."""
    began, catalogue = time.monotonic(), Catalogue()
    try:
        cases, reasons = _cases(arguments), unobservable()
    except InputError as error:
        print(error, file=sys.stderr)
        return 2
    mutation = Mutation(cases, [catalogue.profile(name) for name in catalogue.ids("profiles")], reasons)
    outcomes: list[Outcome] = []
    for target in targets():
        outcomes.append(mutation.outcome(target))
        print(("WRONG " if outcomes[-1].is_wrong else "") + str(outcomes[-1]), flush=True)
    print(summary(outcomes, time.monotonic() - began))
    return int(any(one.is_wrong for one in outcomes))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
