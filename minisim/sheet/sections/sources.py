"""The documents behind the figures of this machine, and what the sheet itself rests on."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from minisim.sheet.blocks import Fields, Page, Table, Words
from minisim.sheet.messages import say
from minisim.sheet.numbers import sources_in
from minisim.sources import read_sources

if TYPE_CHECKING:
    from minisim.findings import Report
    from minisim.wiring.model import Wired


def sources_page(wired: Wired, report: Report, facts: dict[str, str]) -> Page:
    """Key, document, how it was read; then version, date and hash."""
    known = read_sources()
    keys = dict.fromkeys([*_of_findings(report), *sources_in(_entries(wired))])
    rows = tuple((key, known[key].line, known[key].how) for key in sorted(keys) if key in known)
    head = tuple(say(f"sources-{name}") for name in ("key", "document", "how"))
    made = Fields(tuple((say(f"sources-{name}"), facts[name]) for name in ("file", "sha256", "version", "date")))
    table = Table("source-list", say("sources-caption"), head, rows)
    return Page("sources", say("sources-title"), (table, Words(say("sources-made")), made))


def _of_findings(report: Report) -> Iterable[str]:
    return (key for one in report.findings for key in one.sources)


def _entries(wired: Wired) -> Iterable[object]:
    yield from (board.entry for board in wired.boards)
    yield from (unit.entry for unit in wired.units)
    yield from (box.supply for box in wired.boxes if box.supply)
    yield from (cable.drive for cable in wired.cables)
    yield from (cable.cable for cable in wired.cables if cable.cable)
