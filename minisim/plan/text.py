"""A plan in words, for a screen of 80 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from itertools import groupby

from minisim.catalogue import Catalogue
from minisim.findings import Severity
from minisim.plan.missing import Gap
from minisim.plan.report import MachineReport, Report, Taken, boxes_of, conditions, title_of
from minisim.plan.wishes import needs_in_words

WIDTH = 79


def lines(report: Report, catalogue: Catalogue, *, whole: bool = False) -> Iterator[str]:
    """The lines of a plan; `whole` lists every left piece."""
    for machine in report.machines:
        yield from _machine(machine)
        yield ""
    for gap in report.gaps:
        yield from _gap(gap, catalogue)
        yield ""
    yield from _tests(report.test_first)
    yield from _left(report, whole=whole)
    yield from _aside(report)
    yield _sum(report)


def _wrapped(text: str, first: str = "", rest: str | None = None) -> Iterator[str]:
    indent = " " * len(first) if rest is None else rest
    yield from textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=indent) or [first]


def _machine(one: MachineReport) -> Iterator[str]:
    made = one.machine
    wish = made.selection.wish
    yield f"{wish.name} ({wish.id}, priority {wish.priority}): complete"
    for taken in one.taken:
        untested = f" [{conditions(taken.rows)}]" if taken.untested else ""
        where = f"{taken.place:<6}" if taken.place else f"{'-':<6}"
        yield from _wrapped(f"{taken.title}: {taken.why}{_from(taken)}{untested}", f"  {where}")
    open_ones = [finding for finding in made.report.findings if not finding.accepted]
    doubts = sum(finding.severity is Severity.DOUBT for finding in open_ones)
    check = "consistent on paper" if not open_ones else f"{len(open_ones)} findings, {doubts} of them doubts"
    power = "power proven on paper" if one.power_proven else "power not proven (currents or ratings not known)"
    yield from _wrapped(f"{check}; {power}; {len(made.report.not_known)} things not known", "  ")
    if one.likes:
        yield from _wrapped(f"liked and had: {', '.join(one.likes)}", "  ")
    if one.missed:
        yield from _wrapped(f"liked and not had: {', '.join(one.missed)}", "  ")


def _from(taken: Taken) -> str:
    names = [row.name + (f" in {row.box}" if row.box else "") for row in taken.rows[:3]]
    return f"; {', '.join(names)}" if names else ""


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
        return
    yield f"{wish.name} ({wish.id}, priority {wish.priority}): can't be built"
    if gap.forbidden_by:
        words = needs_in_words(wish)
        names = ", ".join(f"{need} ({text})" if (text := _need(words, need)) else need for need in gap.forbidden_by)
        yield from _wrapped(f"nothing in the catalogue does it; it could be done without: {names}", "  ")
    else:
        yield from _wrapped("nothing in the catalogue does it, whichever single need is left out", "  ")


def _need(words: object, need: str) -> str:
    names = {
        "memory-kb": "memory",
        "serial-lines": "serial lines",
        "watts": "power",
        "kg": "weight",
        "boot": "boots from",
    }
    return dict(words).get(names.get(need, need), "")  # type: ignore[call-overload, no-any-return]


def _tests(taken: Iterable[Taken]) -> Iterator[str]:
    found = list(taken)
    if found:
        yield "Worth testing first: a machine rests on them, and nobody has seen them work"
        for one in found:
            yield from _wrapped(one.title + _from(one), "  ")
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


def _aside(report: Report) -> Iterator[str]:
    aside = report.plan.pile.set_aside
    if aside:
        counts: dict[str, int] = {}
        for row, why in aside:
            counts[why] = counts.get(why, 0) + row.count
        yield from _wrapped("; ".join(f"{count} because {why}" for why, count in counts.items()), "Not counted: ")
        yield ""


def _sum(report: Report) -> str:
    done, all_wishes = len(report.machines), len(report.machines) + len(report.gaps)
    choice = report.plan.choice
    if choice.proven and report.plan.cuts:
        how = "proven: no other division that can be laid out does better"
    elif choice.proven:
        how = "proven: no other division does better"
    else:
        worst = max((goal.bound - goal.value for goal in choice.goals), default=0)
        how = f"best found in the time; at most {worst:g} better is possible"
    return f"{done} of {all_wishes} machines complete; {how}"
