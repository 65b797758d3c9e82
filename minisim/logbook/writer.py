"""Adding to the log: what stands there stays byte for byte, two people at once lose nothing, a kill loses nothing."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

from minisim.files import alone_in_folder, write_atomically
from minisim.findings import Mark
from minisim.logbook.model import VERSION, Entry, Kind, Log
from minisim.logbook.reader import log_of, log_path
from minisim.problems import InputError, Problem
from minisim.yamltext import read_bytes

_HEAD = f"""# What was measured and done on this machine. minisim only adds to it; it may be read and mended by hand.
log: {VERSION}
entries:
"""


def add_entry(loadout: str | Path, entry: Entry) -> Log:
    """Append an entry to the log of a loadout and give the whole log; on the disk when this returns.

    InputError: the log can't be read as it stands, or can't be written; nothing is changed then.
    """
    path = log_path(loadout)
    with alone_in_folder(path):
        old = read_bytes(path) if path.exists() else _HEAD.encode()
        before = log_of(old, str(path)).entries if path.exists() else ()
        new = old + (b"" if old.endswith(b"\n") else b"\n") + line_of(entry).encode()
        log = _checked(new, path, len(before) + 1)
        write_atomically(path, new)
    return log


def _checked(data: bytes, path: Path, entries: int) -> Log:
    """The log as it will be read: an entry must not fall into something that stands last in a file mended by hand."""
    try:
        log = log_of(data, str(path))
    except InputError:
        log = None
    if log is None or len(log.entries) != entries:
        message = "an entry can't be added behind what stands last here: put `entries:` last, each entry behind `  - `"
        raise InputError([Problem(Mark(str(path), 1, 1), message)])
    return log


def line_of(entry: Entry) -> str:
    """One entry as it stands in the file."""
    body = ", ".join(f"{name}: {value}" for name, value in _pairs(entry))
    return f"  - {{{body}}}\n"


def _pairs(entry: Entry) -> Iterator[tuple[str, str]]:
    yield "date", entry.date
    yield "by", entry.by
    yield str(entry.kind), _quoted(entry.what)
    if entry.at:
        yield "at", _quoted(entry.at)
    if entry.value is not None:
        yield "value", f"{entry.value:f}"
        yield "unit", entry.unit
    if entry.text:
        yield {Kind.CLOSED: "because", Kind.REPLACED: "with"}.get(entry.kind, "note"), _quoted(entry.text)
    if entry.machine:
        facts = ", ".join(f"{_quoted(name)}: {_quoted(value)}" for name, value in entry.machine.items())
        yield "machine", f"{{{facts}}}"


def _quoted(text: str) -> str:
    """A text in double quotes; what may not stand in such a file as it is stands by its number."""
    shown = json.dumps(text, ensure_ascii=False)
    return "".join(one if one.isprintable() else f"\\U{ord(one):08x}" for one in shown)
