"""The log, and what changed since the machine last worked, for programs; with their schema."""

from __future__ import annotations

from typing import Any

from minisim.json_shapes import list_of, record
from minisim.logbook.changes import Changes
from minisim.logbook.model import UNITS, Entry, Kind, Log
from minisim.logbook.summary import KINDS

_TEXT = {"type": "string"}


def log_as_json(log: Log) -> dict[str, Any]:
    """The whole log."""
    return {"log": 1, "file": log.file, "entries": [_entry(one) for one in log.entries]}


def changes_as_json(changes: Changes | None, file: str) -> dict[str, Any]:
    """What changed; `worked` null where no entry says that it worked."""
    return {
        "since-worked": 1,
        "file": file,
        "worked": _entry(changes.worked) if changes else None,
        "same-file": changes.same_file if changes else False,
        "changes": [
            {"kind": one.kind, "where": one.where, "before": one.before, "after": one.after}
            for one in (changes.changes if changes else ())
        ],
        "entries": [_entry(one) for one in (changes.entries if changes else ())],
    }


def _entry(entry: Entry) -> dict[str, Any]:
    return {
        "date": entry.date,
        "by": entry.by,
        "kind": str(entry.kind),
        "what": entry.what,
        "at": entry.at,
        "value": None if entry.value is None else f"{entry.value:f}",
        "unit": entry.unit,
        "text": entry.text,
    }


def _entry_shape() -> dict[str, Any]:
    return record(
        {
            "date": {"type": "string", "format": "date"},
            "by": _TEXT,
            "kind": {"enum": [str(one) for one in Kind]},
            "what": _TEXT,
            "at": _TEXT,
            "value": {"type": ["string", "null"], "pattern": r"^-?\d+(\.\d+)?$"},
            "unit": {"enum": ["", *UNITS]},
            "text": _TEXT,
        }
    )


def log_schema() -> dict[str, Any]:
    """Schema of `minisim loadout log --json`."""
    shape = record({"log": {"const": 1}, "file": _TEXT, "entries": list_of(_entry_shape())})
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "Log of a machine", **shape}


def since_worked_schema() -> dict[str, Any]:
    """Schema of `minisim loadout log --since-worked --json`."""
    change = {"kind": {"enum": ["moved", *KINDS]}, "where": _TEXT, "before": _TEXT, "after": _TEXT}
    shape = record(
        {
            "since-worked": {"const": 1},
            "file": _TEXT,
            "worked": {"anyOf": [_entry_shape(), {"type": "null"}]},
            "same-file": {"type": "boolean"},
            "changes": list_of(record(change)),
            "entries": list_of(_entry_shape()),
        }
    )
    title = "What changed since a machine last worked"
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": title, **shape}
