"""A plan as one page that stands alone: no network, black on white, one machine after the other."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from minisim.catalogue import Catalogue
from minisim.plan.missing import Gap
from minisim.plan.report import MachineReport, Report, Taken, boxes_of, conditions, title_of

_HEAD = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>Plan</title>
<style>
body { font: 16px/1.4 sans-serif; margin: 1em; color: #000; background: #fff }
table { border-collapse: collapse; width: 100%; margin-bottom: 1em }
td, th { border: 1px solid #000; padding: .3em; text-align: left; vertical-align: top }
section { break-inside: avoid }
</style></head><body>
"""


def page(report: Report, catalogue: Catalogue) -> str:
    """The whole page."""
    done, wished = len(report.machines), len(report.machines) + len(report.gaps)
    parts = [f"<h1>Plan: {done} of {wished} machines complete</h1>"]
    parts += [_machine(one) for one in report.machines]
    parts += [_gap(one, catalogue) for one in report.gaps]
    if report.test_first:
        parts.append(_section("Worth testing first", _items(one.title + _rows(one) for one in report.test_first)))
    left = (f"{one.count} x {one.title} ({one.group}; {conditions(one.rows)})" for one in report.leftovers)
    parts.append(_section("Left over", _items(left)))
    boxes = (f"{box}: {count}" for box, count in boxes_of(report.leftovers).items())
    parts.append(_section("Left over, by box", _items(boxes)))
    return f"{_HEAD}{''.join(parts)}</body></html>\n"


def _section(title: str, body: str) -> str:
    return f"<section><h2>{escape(title)}</h2>{body}</section>\n"


def _items(lines: Iterable[str]) -> str:
    return f"<ul>{''.join(f'<li>{escape(line)}</li>' for line in lines)}</ul>"


def _machine(one: MachineReport) -> str:
    cells = (
        (taken.place or "-", taken.title, taken.why, _rows(taken).lstrip("; "), "untested" if taken.untested else "")
        for taken in one.taken
    )
    body = "".join(f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in row)}</tr>" for row in cells)
    head = "".join(f"<th>{word}</th>" for word in ("Place", "Piece", "Why", "From", "Condition"))
    power = "power proven on paper" if one.power_proven else "power not proven: currents or ratings are not known"
    wish = one.machine.selection.wish
    title = f"{wish.name} ({wish.id}, priority {wish.priority}): complete"
    return _section(title, f"<table><tr>{head}</tr>{body}</table><p>{escape(power)}</p>")


def _rows(taken: Taken) -> str:
    names = [row.name + (f" in {row.box}" if row.box else "") for row in taken.rows]
    return f"; {', '.join(names)}" if names else ""


def _gap(gap: Gap, catalogue: Catalogue) -> str:
    lines = [
        f"{one.count} x {' or '.join(title_of(thing, catalogue) for thing in (one.thing, *one.instead))}"
        for one in gap.to_find
    ]
    if not lines:
        needs = ", ".join(gap.forbidden_by) or "all needs together"
        lines = [f"nothing in the catalogue does it; forbidden by: {needs}"]
    return _section(f"{gap.wish.name} ({gap.wish.id}, priority {gap.wish.priority}): not complete", _items(lines))
