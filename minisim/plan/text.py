"""A plan in words, for a screen of 80 columns."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterable, Iterator
from itertools import groupby

from minisim.catalogue import Catalogue
from minisim.findings import Severity
from minisim.plan.choose import UNTESTED, UNTESTED_WEIGHT, Goal
from minisim.plan.missing import Gap
from minisim.plan.report import MachineReport, Report, Taken, boxes_of, conditions, title_of
from minisim.plan.swaps import Swap
from minisim.plan.together import Group, groups
from minisim.stock.model import Row

WIDTH = 79


def lines(report: Report, catalogue: Catalogue, *, whole: bool = False) -> Iterator[str]:
    """The lines of a plan; `whole` lists every left piece."""
    for machine in report.machines:
        yield from _machine(machine, report, catalogue)
        yield ""
    for gap in report.gaps:
        yield from _gap(gap, catalogue)
        yield ""
    yield from _tests(report.test_first)
    yield from _left(report, whole=whole)
    yield from _together(report, catalogue)
    yield from _aside(report)
    yield from _wrapped(goals_in_words(report), "Goals: ")
    yield from _wrapped(result(report))


def _wrapped(text: str, first: str = "", rest: str | None = None) -> Iterator[str]:
    indent = " " * len(first) if rest is None else rest
    yield from textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=indent) or [first]


def _machine(one: MachineReport, report: Report, catalogue: Catalogue) -> Iterator[str]:
    made = one.machine
    wish = made.selection.wish
    yield f"{wish.name} ({wish.id}, priority {wish.priority}): complete"
    for taken in one.taken:
        untested = f" [{conditions(taken.rows)}]" if taken.untested else ""
        where = f"{taken.place:<6}" if taken.place else f"{'-':<6}"
        yield from _wrapped(f"{taken.title}: {taken.why}{rows_in_words(taken.rows[:3])}{untested}", f"  {where}")
    yield from _wrapped(verdict(one), "  ")
    for limit in one.limits:
        yield from _wrapped(limit, "  ", "    ")
    if one.likes:
        yield from _wrapped(f"liked and had: {', '.join(one.likes)}", "  ")
    if one.missed:
        yield from _wrapped(f"liked and not had: {', '.join(one.missed)}", "  ")
    for swap in one.swaps:
        yield from _wrapped(swap_in_words(swap, report, catalogue), "  ", "    ")


def swap_in_words(swap: Swap, report: Report, catalogue: Catalogue) -> str:
    """One exchange as a sentence, with where the other board lies."""
    rows = {one.thing: one.rows[:1] for one in report.leftovers}
    lies = {one: rows_in_words(rows.get(one, ())).lstrip("; ") for one in swap.instead}
    others = [
        f"{title_of(one, catalogue)} ({where})" if where else title_of(one, catalogue) for one, where in lies.items()
    ]
    return f"exchange: {title_of(swap.thing, catalogue)}, with {' or '.join(others)}"


def verdict(one: MachineReport) -> str:
    """What the check of a machine says, in a line."""
    made = one.machine
    open_ones = [finding.severity for finding in made.report.findings if not finding.accepted]
    found = [_count(open_ones.count(severity), str(severity)) for severity in Severity if severity in open_ones]
    check = f"{', '.join(found)}, shown by minisim check" if found else "consistent on paper"
    power = "power proven on paper" if one.power_proven else "power not proven (currents or ratings not known)"
    return f"{check}; {power}; {_count(len(made.report.not_known), 'thing')} not known"


def rows_in_words(rows: Iterable[Row]) -> str:
    """Which pieces, and where they lie; empty, or with a semicolon before it."""
    names = [row.name + (f" in {row.box}" if row.box else "") for row in rows]
    return f"; {', '.join(names)}" if names else ""


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def _gap(gap: Gap, catalogue: Catalogue) -> Iterator[str]:
    wish = gap.wish
    if gap.to_find:
        many = sum(one.count for one in gap.to_find)
        short = "one thing short" if many == 1 else f"{many} things short"
        yield f"{wish.name} ({wish.id}, priority {wish.priority}): {short}"
        for one in gap.to_find:
            yield from _wrapped(f"{one.count} x {title_of(one.thing, catalogue)}", "  find  ")
            for other in one.instead:
                yield from _wrapped(f"or {title_of(other, catalogue)}", "        ")
        for others in gap.other_lists:
            listed = (f"{one.count} x {title_of(one.thing, catalogue)}" for one in others)
            yield from _wrapped("; and ".join(listed), "  or    ")
        return
    yield f"{wish.name} ({wish.id}, priority {wish.priority}): can't be built"
    yield from _wrapped(forbidden_in_words(gap), "  ")
    for fact in gap.facts:
        yield from _wrapped(fact, "  - ")


def forbidden_in_words(gap: Gap) -> str:
    """Which needs stand in the way."""
    if not gap.forbidden_by:
        return "nothing in the catalogue does it, whichever single need is left out"
    return f"nothing in the catalogue does it; it could be built without one of: {', '.join(gap.forbidden_by)}"


def _tests(taken: Iterable[Taken]) -> Iterator[str]:
    found = list(taken)
    if found:
        yield "Worth testing first: a machine rests on them, and nobody has seen them work"
        for one in found:
            yield from _wrapped(one.title + rows_in_words(one.rows[:3]), "  ")
        yield ""


def _left(report: Report, *, whole: bool) -> Iterator[str]:
    total = sum(one.count for one in report.leftovers)
    yield f"Left over: {total} pieces"
    for group, many in groupby(report.leftovers, key=lambda one: one.group):
        found = list(many)
        yield f"  {group}: {sum(one.count for one in found)}"
        for one in found if whole else ():
            yield from _wrapped(f"{one.count} x {one.title} ({conditions(one.rows)})", "    ")
    boxes = boxes_of(report.leftovers)
    if boxes:
        yield from _wrapped(", ".join(f"{box}: {count}" for box, count in boxes.items()), "  by box: ")
    yield ""


def _together(report: Report, catalogue: Catalogue) -> Iterator[str]:
    found = groups(report.plan.left, catalogue)
    if found:
        yield "Keep together, if you give them away"
        for group in found:
            yield from _wrapped(group_in_words(group, catalogue), "  ", "    ")
        yield ""


def group_in_words(group: Group, catalogue: Catalogue) -> str:
    """A group as a sentence."""
    listed = "; ".join(f"{count} x {title_of(thing, catalogue)}" for thing, count in group.things)
    return f"{group.because}: {listed}"


def _aside(report: Report) -> Iterator[str]:
    aside = report.plan.pile.set_aside
    if aside:
        counts: dict[str, int] = {}
        for row, why in aside:
            counts[why] = counts.get(why, 0) + row.count
        yield from _wrapped("; ".join(f"{count} because {why}" for why, count in counts.items()), "Not counted: ")
        yield ""


def result(report: Report) -> str:
    """How many machines there are, and how sure it is that no division does better."""
    done, all_wishes = len(report.machines), len(report.machines) + len(report.gaps)
    choice = report.plan.choice
    if choice.proven and report.plan.cuts:
        how = "proven: no other division that can be laid out does better"
    elif choice.proven:
        how = "proven: no other division does better"
    else:
        how = "best found in the time, not proven; more time: --time"
    return f"{done} of {all_wishes} machines complete; {how}"


def goals_in_words(report: Report) -> str:
    """Each goal as it came out, and what nobody could beat."""
    return "; ".join(map(_goal, report.plan.choice.goals))


def _goal(goal: Goal) -> str:
    if goal.name == UNTESTED:
        value, bound = (math.ceil(-amount / UNTESTED_WEIGHT) - 1 for amount in (goal.value, goal.bound))
        words = f"{value} untested pieces, at least {max(bound, 0)}"
    else:
        words = f"{goal.name}: {goal.value:g} of at most {goal.bound:g}"
    return words if goal.proven else f"{words} (not proven)"
