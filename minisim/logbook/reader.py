"""Reading the log: every problem with its line and column, none stops the reading."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path

from minisim.catalogue.fields import BadValueError, Fields, decimal, one_of, refuse, text, texts, whole
from minisim.logbook.model import UNITS, VERSION, Entry, Kind, Log
from minisim.logbook.summary import KINDS
from minisim.problems import InputError
from minisim.stock.history import is_date, is_initials
from minisim.yamltext import Node, parse, read_bytes

ENDING = ".log"
_NOTHING: Mapping[str, str] = {}


def log_path(loadout: str | Path) -> Path:
    """Where the log of a loadout lies: `gauge.log` beside `gauge.yaml`."""
    return Path(loadout).with_suffix(ENDING)


def read_log(loadout: str | Path) -> Log:
    """The log beside a loadout; an empty one where there is none.  InputError lists every problem."""
    path = log_path(loadout)
    if not path.exists():
        return Log(str(path))
    return log_of(read_bytes(path), str(path))


def log_of(data: bytes, file: str) -> Log:
    """The log in the bytes of a file."""
    node, problems = parse(data, file)
    if node is None:
        raise InputError(problems)
    fields = Fields(node, file, problems, "log")
    if fields.read("log", whole, VERSION) != VERSION:
        fields.say(node, f"this program reads version {VERSION}")
    entries = tuple(_entry(one) for one in fields.blocks("entries"))
    fields.finish()
    refuse(problems)
    return Log(file, entries)


def _entry(fields: Fields) -> Entry:
    fields.what = "entry"
    named = [kind for kind in Kind if kind in fields]
    if len(named) != 1:
        fields.say(fields.node, f"an entry has one of the keys {', '.join(Kind)}")
    kind = named[0] if named else Kind.REMARK
    measured = kind is Kind.MEASURED
    entry = Entry(
        date=fields.read("date", _date, ""),
        by=fields.read("by", _initials, ""),
        kind=kind,
        what=fields.read(kind, text, "") if named else "",
        at=fields.maybe("at", text, ""),
        value=fields.read("value", decimal, Decimal(0)) if measured else None,
        unit=fields.read("unit", one_of(UNITS), "") if measured else "",
        text=_text(fields, kind),
        machine=fields.read("machine", _machine, _NOTHING) if kind is Kind.WORKED else _NOTHING,
        mark=fields.node.mark,
    )
    fields.finish()
    return entry


def _text(fields: Fields, kind: Kind) -> str:
    if kind is Kind.CLOSED:
        return fields.read("because", text, "")
    if kind is Kind.REPLACED:
        return fields.read("with", text, "")
    return fields.maybe("note", text, "")


def _machine(node: Node) -> Mapping[str, str]:
    """What the machine was: `kind where` -> value."""
    facts = texts(node)
    for name in facts:
        kind, _, where = name.partition(" ")
        if kind not in KINDS or not where:
            raise BadValueError(f'"{name}" is no fact of a machine; it begins with one of {", ".join(KINDS)}')
    return facts


def _date(node: Node) -> str:
    word = text(node)
    if not is_date(word):
        raise BadValueError(f'"{word}" is no date like 2026-05-30')
    return word


def _initials(node: Node) -> str:
    word = text(node)
    if not is_initials(word):
        raise BadValueError(f'"{word}" are no initials: one to twelve letters')
    return word
