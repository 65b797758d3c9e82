"""The log of the machine, and what changed since it last worked."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from minisim.logbook import Kind, changes_since_worked
from minisim.sheet.blocks import BLANK, Block, Page, Role, Table, Words
from minisim.sheet.messages import say
from minisim.sheet.numbers import amount

if TYPE_CHECKING:
    from minisim.logbook import Entry, Log
    from minisim.wiring.model import Wired

_HAND_ROWS = 8


def log_page(wired: Wired, log: Log) -> Page:
    """What changed, measurements, remarks, and rows to write in by hand."""
    blocks: list[Block] = [*_changed(wired, log)]
    measured = [one for one in log.entries if one.kind is Kind.MEASURED]
    said = [one for one in log.entries if one.kind is not Kind.MEASURED]
    if measured:
        head = tuple(say(f"log-{name}") for name in ("date", "by", "what", "at", "value", "note"))
        blocks.append(Table("measured", say("log-measured-caption"), head, tuple(map(_figure, measured))))
    if said:
        head = tuple(say(f"log-{name}") for name in ("date", "by", "at", "note"))
        blocks.append(Table("said", say("log-said-caption"), head, tuple(map(_said, said))))
    head = tuple(say(f"log-{name}") for name in ("hand-date", "by", "at", "note"))
    blocks.append(Table("by-hand", say("log-hand-caption"), head, ((BLANK,) * 4,) * _HAND_ROWS))
    blocks.append(Words(say("log-verdict"), Role.SMALL))
    return Page("log", say("log-title"), tuple(blocks))


def _changed(wired: Wired, log: Log) -> Iterator[Block]:
    found = changes_since_worked(log, wired.loadout)
    if found is None:
        yield Words(say("log-never-worked", file=wired.loadout.file))
        return
    words = {"date": found.worked.date, "by": found.worked.by}
    if not found.changes:
        yield Words(say("log-unchanged", **words), Role.STRONG)
        return
    yield Words(say("log-changed", **words), Role.STRONG)
    head = tuple(say(f"log-change-{name}") for name in ("kind", "where", "before", "after"))
    rows = tuple((say(f"log-kind-{one.kind}"), one.where, one.before, one.after) for one in found.changes)
    yield Table("changes", say("log-changes-caption"), head, rows)


def _figure(entry: Entry) -> tuple[str, ...]:
    value = f"{amount(entry.value)} {entry.unit}" if entry.value is not None else ""
    return entry.date, entry.by, entry.what, entry.at, value, entry.text


def _said(entry: Entry) -> tuple[str, ...]:
    text = say(f"log-said-{entry.kind}", what=entry.what, text=entry.text)
    where = entry.what if entry.kind is Kind.REPLACED else entry.at
    return entry.date, entry.by, where, text
