"""A plan as one page that stands alone: no network, black on white, one machine after the other."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from minisim.catalogue import Catalogue
from minisim.plan.missing import Gap, Lacking
from minisim.plan.report import MachineReport, Report, boxes_of, conditions, title_of
from minisim.plan.text import (
    forbidden_in_words,
    goals_in_words,
    group_in_words,
    result,
    rows_in_words,
    swap_in_words,
    verdict,
)
from minisim.plan.together import groups

_HEAD = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>Plan</title>
<style>
body { font: 16px/1.4 sans-serif; margin: 1em auto; padding: 0 1em; max-width: 70em; color: #000; background: #fff }
table { border-collapse: collapse; width: 100%; margin-bottom: 1em }
td, th { border: 1px solid #000; padding: .3em; text-align: left; vertical-align: top }
th, td:first-child, td:last-child { white-space: nowrap }
tr, h2, h3 { break-inside: avoid }
h2, h3 { break-after: avoid }
</style></head><body>
"""


def page(report: Report, catalogue: Catalogue) -> str:
    """The whole page."""
    parts = [f"<h1>{escape(result(report))}</h1><p>{escape(goals_in_words(report))}</p>"]
    parts += [_machine(one, report, catalogue) for one in report.machines]
    parts += [_gap(one, catalogue) for one in report.gaps]
    if report.test_first:
        lines = (one.title + rows_in_words(one.rows) for one in report.test_first)
        parts.append(_section("Worth testing first", _items(lines)))
    parts.append(_section("Left over", _left(report)))
    if together := groups(report.plan.left, catalogue):
        parts.append(_section("Keep together", _items(group_in_words(one, catalogue) for one in together)))
    boxes = (f"{box}: {count}" for box, count in boxes_of(report.leftovers).items())
    parts.append(_section("Left over, by box", _items(boxes)))
    return f"{_HEAD}{''.join(parts)}</body></html>\n"


def _left(report: Report) -> str:
    """By height, and by kind what is no board."""
    names = dict.fromkeys(one.group for one in report.leftovers)
    found = {name: [one for one in report.leftovers if one.group == name] for name in names}
    return "".join(
        f"<h3>{escape(name)}: {sum(one.count for one in many)}</h3>"
        + _items(f"{one.count} x {one.title} ({conditions(one.rows)})" for one in many)
        for name, many in found.items()
    )


def _section(title: str, body: str) -> str:
    return f"<section><h2>{escape(title)}</h2>{body}</section>\n"


def _items(lines: Iterable[str]) -> str:
    return f"<ul>{''.join(f'<li>{escape(line)}</li>' for line in lines)}</ul>"


def _machine(one: MachineReport, report: Report, catalogue: Catalogue) -> str:
    cells = (
        (taken.place or "-", taken.title, taken.why, rows_in_words(taken.rows).lstrip("; "), conditions(taken.rows))
        for taken in one.taken
    )
    body = "".join(f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in row)}</tr>" for row in cells)
    head = "".join(f"<th>{word}</th>" for word in ("Place", "Piece", "Why", "From", "Condition"))
    wish = one.machine.selection.wish
    title = f"{wish.name} ({wish.id}, priority {wish.priority}): complete"
    notes = [verdict(one), *one.limits]
    notes += [f"liked and had: {', '.join(one.likes)}"] if one.likes else []
    notes += [f"liked and not had: {', '.join(one.missed)}"] if one.missed else []
    notes += [swap_in_words(swap, report, catalogue) for swap in one.swaps]
    return _section(title, f"<table><tr>{head}</tr>{body}</table>{_items(notes)}")


def _gap(gap: Gap, catalogue: Catalogue) -> str:
    title = f"{gap.wish.name} ({gap.wish.id}, priority {gap.wish.priority})"
    if not gap.to_find:
        return _section(f"{title}: can't be built", _items([forbidden_in_words(gap), *gap.facts]))
    lists = [gap.to_find, *gap.other_lists]
    body = "<p>or</p>".join(_items(_lacking(one, catalogue) for one in listed) for listed in lists)
    return _section(f"{title}: not complete, find", body)


def _lacking(one: Lacking, catalogue: Catalogue) -> str:
    return f"{one.count} x {' or '.join(title_of(thing, catalogue) for thing in (one.thing, *one.instead))}"
