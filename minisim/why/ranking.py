"""Which causes this machine can have, in which order: the weight of the data, raised by what the rules found."""

from __future__ import annotations

from collections.abc import Iterable

from minisim.findings import Finding, Severity
from minisim.why.case import Case
from minisim.why.facts import FACTS, answer
from minisim.why.lists import BOARDS, LISTS
from minisim.why.model import Answer, Cause, Condition, Ranked, RuledOut
from minisim.why.sayings import filled

RAISED = {Severity.DAMAGE: 400, Severity.FAULT: 300, Severity.DOUBT: 200, Severity.NOTE: 10}
"""Added to the weight of a cause whose rule has a finding, by the severity of the worst."""

DOUBTFUL = 10
"""Taken off where the loadout does not tell whether a fact holds."""


def rank(causes: Iterable[Cause], case: Case) -> tuple[tuple[Ranked, ...], tuple[RuledOut, ...]]:
    """The causes this machine can have, the likeliest first, and those it can't have with the reason."""
    possible: list[Ranked] = []
    out: list[RuledOut] = []
    for cause in causes:
        if not _concerns(cause, case):
            continue
        answers = list(_answers(cause, case))
        against = next((text for holds, text in answers if holds is False), None)
        if against is not None:
            out.append(RuledOut(cause.id, filled(cause.cause, case), against))
        else:
            possible.append(_ranked(cause, case, tuple(text for holds, text in answers if holds is None)))
    return tuple(sorted(possible, key=lambda one: -one.score)), tuple(out)


def _concerns(cause: Cause, case: Case) -> bool:
    """Do the facts about the owner's words allow the cause?  Where they don't, it is no matter at all."""
    when, unless = (tuple(one for one in part if FACTS[one.fact].of_words) for part in (cause.when, cause.unless))
    return applies(when, unless, case)


def applies(when: Iterable[Condition], unless: Iterable[Condition], case: Case) -> bool:
    """Do all of the first hold, as far as the loadout tells, and none of the second for certain?"""
    return all(answer(case, one).holds is not False for one in when) and not any(
        answer(case, one).holds for one in unless
    )


def _answers(cause: Cause, case: Case) -> Iterable[tuple[bool | None, str]]:
    """Each condition as a fact that should hold, with what is so in this machine."""
    for one in cause.when:
        found = answer(case, one)
        yield found.holds, found.said
    for one in cause.unless:
        found = answer(case, one)
        yield _turned(found), found.said


def _turned(found: Answer) -> bool | None:
    return None if found.holds is None else not found.holds


def _ranked(cause: Cause, case: Case, doubts: tuple[str, ...]) -> Ranked:
    findings = tuple(_about(case.findings(cause.rules), cause.about, case))
    raised = max((RAISED[one.severity] for one in findings), default=0)
    on_paper = bool(cause.rules) and not findings and case.all_passed(cause.rules)
    return Ranked(
        id=cause.id,
        cause=filled(cause.cause, case),
        score=cause.weight + raised - (DOUBTFUL if doubts else 0),
        findings=findings,
        on_paper=on_paper,
        not_known=doubts if findings else (*doubts, *case.not_known(cause.rules)),
        places=tuple(LISTS[cause.look_at](case)) if cause.look_at else (),
        measure=filled(cause.measure, case),
        expect=filled(cause.expect, case),
        if_not=filled(cause.if_not, case),
        hand=cause.hand,
        mind=filled(cause.mind, case),
        sources=cause.sources,
        unconfirmed=cause.unconfirmed,
    )


def _about(findings: tuple[Finding, ...], about: str, case: Case) -> Iterable[Finding]:
    """Of the findings only those at the boards that the cause is about, or that name one of them."""
    if not about:
        yield from findings
        return
    wanted = [str(board.place) for board in BOARDS[about](case)]
    for one in findings:
        told = (one.place, *one.also, one.found)
        if any(_names(text, place) for text in told for place in wanted):
            yield one


def _names(text: str, place: str) -> bool:
    """Is this place named, and not only one that begins like it?"""
    at = text.find(place)
    return at >= 0 and not text[at + len(place) : at + len(place) + 1].isalnum()
