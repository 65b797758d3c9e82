"""Is one report nowhere worse than another?

Findings are the same where rule, place and kind are: places of moved boards count as where the board stood at first,
and the kind is what the finding asks for, without the figures and places in it (one place may lack a terminator at
either end, by the same rule).
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from minisim.findings import Finding, Outcome, Severity, State
from minisim.fixing.situation import Situation
from minisim.rules import find_rule

Key = tuple[str, str, str]
Place = tuple[str, str]  # rule and first place
_CHANGING = re.compile(r"\(.*?\)|\S*[\d/]\S*|\band\b|,")
_PLACE = re.compile(r"/|^\d+$|^and$")
_NO_MARKS = str.maketrans("(),;", "    ")
_AMOUNT = re.compile(r"\d+(?:\.\d+)?")
_OF_THE_BUS = frozenset({"far-end-open"})  # its place is wherever the bus ends
_LESS_IS_WORSE = frozenset({"minimum-load-missed"})


def key_of(situation: Situation, finding: Finding) -> Key:
    """Rule, first place and kind."""
    place = "" if finding.slug in _OF_THE_BUS else situation.first_place(finding.place)
    return finding.rule, place, " ".join(_CHANGING.sub(" ", finding.fix).split())


def counts(finding: Finding) -> bool:
    """Is it open?  What the owner has accepted is not, but damage always is."""
    return not finding.accepted or finding.severity is Severity.DAMAGE


def same(one: Situation, finding: Finding, other: Situation) -> Finding | None:
    """The finding of another situation that is this one."""
    key = key_of(one, finding)
    return next((found for found in other.report.findings if key_of(other, found) == key), None)


def gone(before: Situation, finding: Finding, now: Situation) -> bool:
    """Is there one finding less of this rule at this place?"""
    key = key_of(before, finding)
    return len(_by_key(now).get(key, ())) < len(_by_key(before)[key])


def put_right(before: Situation, now: Situation) -> Iterator[Finding]:
    """The open findings of `before` that `now` no longer has."""
    later = _by_key(now)
    for key, findings in _by_key(before).items():
        yield from findings[len(later.get(key, ())) :]


def new_findings(before: Situation, now: Situation) -> list[Finding]:
    """Findings of `now` that `before` did not have, or had less severe, or with a smaller excess; the worst first."""
    earlier = _by_key(before)
    found = []
    for key, findings in _by_key(now).items():
        old = earlier.get(key, [])
        found += [one for index, one in enumerate(findings) if index >= len(old) or _worse(one, old[index])]
    return sorted(found, key=lambda one: (one.severity.rank, one.mark))


def _by_key(situation: Situation) -> dict[Key, list[Finding]]:
    table: dict[Key, list[Finding]] = defaultdict(list)
    for finding in situation.report.findings:  # worst first already
        if counts(finding):
            table[key_of(situation, finding)].append(finding)
    return table


def _worse(now: Finding, before: Finding) -> bool:
    if now.severity.rank < before.severity.rank:
        return True
    if not (now.unit and before.unit):
        return False
    excess, earlier = _amount(now), _amount(before)
    return excess < earlier if now.slug in _LESS_IS_WORSE else excess > earlier


def _amount(finding: Finding) -> float:
    match = _AMOUNT.search(finding.found)
    return float(match[0]) if match else 0.0


def lost_checks(before: Situation, now: Situation, target: Finding) -> set[Place]:
    """What is not known any more and had passed before, or, of the target itself, had been decided.

    A figure that was not known before either, and only moved with its board, doesn't count; nor do rules that only ever
    give a note.
    """
    sound = _passed(before) | {(target.rule, before.first_place(target.place))}
    known_gaps = {word for words in _unknown(before).values() for word in words}
    return {
        place
        for place, words in _unknown(now).items()
        if place in sound and not words <= known_gaps and _severity(place[0]) is not Severity.NOTE
    }


def _severity(rule: str) -> Severity | None:
    found = find_rule(rule)
    return found.severity if found else None


def _unknown(situation: Situation) -> dict[Place, set[str]]:
    """What could not be checked for lack of a figure, with the words for the figures, but no places and numbers."""
    found: dict[Place, set[str]] = defaultdict(set)
    for one in situation.report.outcomes:
        if one.state is State.NOT_CHECKED and one.missing:
            found[_place(situation, one)].update(" ".join(one.missing).translate(_NO_MARKS).split())
    return {place: {word for word in words if not _PLACE.search(word)} for place, words in found.items()}


def _passed(situation: Situation) -> set[Place]:
    return {_place(situation, one) for one in situation.report.outcomes if one.state is State.PASSED}


def _place(situation: Situation, outcome: Outcome) -> Place:
    return outcome.rule, situation.first_place(outcome.place)


@dataclass(frozen=True, slots=True)
class Hidden:
    """Rules that waited, in one situation, for another finding to be put right, by rule and place."""

    places: frozenset[Place]

    def has(self, situation: Situation, finding: Finding, target: Finding) -> bool:
        """Was this finding there all along, and is it no worse than the one that hid it?"""
        return finding.severity.rank >= target.severity.rank and key_of(situation, finding)[:2] in self.places


def hidden(situation: Situation) -> Hidden:
    """What could not be asked yet."""
    waiting = (one for one in situation.report.outcomes if one.state is State.NOT_CHECKED and not one.missing)
    return Hidden(frozenset(_place(situation, one) for one in waiting))


def badness(situation: Situation) -> tuple[int, ...]:
    """How many open findings of each severity, damage first: the smaller, the better."""
    open_ones = [one.severity for one in situation.report.findings if counts(one)]
    return tuple(open_ones.count(severity) for severity in Severity)
