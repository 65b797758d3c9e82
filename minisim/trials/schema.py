"""The JSON Schema of a file of trial cases, made from the keys the reader knows."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from minisim.json_shapes import document, record
from minisim.machine.explain import DECIMAL_TYPES
from minisim.trials.keys import KINDS, MASKS
from minisim.trials.model import Evidence
from minisim.trials.reader import FILE_KEYS, VERSION
from minisim.trials.rows import ID, ROW_KEYS, TABLE_KEYS
from minisim.trials.scope import FIELDS, modules

# Editors read a file with YAML's own guess at numbers: a word without quotes comes as a number.
_LOOSE = {"type": ["string", "number", "boolean", "null"]}
_TEXT = {"type": "string", "minLength": 1}
_OCTAL = {"type": ["string", "integer"], "pattern": "^[0-7]+$"}
_NAMES = {"type": ["string", "array", "null"], "items": {"type": "string"}}
_ID = {"type": "string", "pattern": f"^{ID}$"}

VALUES: dict[str, dict[str, Any]] = {
    "yes or no": {"enum": ["yes", "no", True, False]},
    "decimal type": {"enum": list(DECIMAL_TYPES)},
    "codes": {"type": ["string", "integer"], "pattern": "^([01x-]{4}|[x-])$"},
}
"""What a value may be, where more than text is known of it."""

_FIELDS: dict[str, dict[str, Any]] = {
    "needs": {"type": ["string", "array"], "items": {"enum": list(modules())}},
    "without": {"type": ["string", "array"], "items": {"enum": list(modules())}},
    "source": _NAMES | {"description": "key of the bibliography; null: derived from the rules"},
    "place": {"type": ["string", "null"], "description": "page, section"},
    "evidence": {"enum": [each.value for each in Evidence]},
    "about": _TEXT | {"description": "one plain sentence"},
    "row": {"type": "string", "pattern": "^D[0-9]{2}$", "description": "row of the table of differences"},
    "program": _TEXT | {"description": "assembler text; in one line, semicolons part the statements"},
    "words": {"type": ["string", "array"], "items": _OCTAL, "description": "the program as octal words"},
    "at": _OCTAL | {"description": "where the program lies and starts"},
    "steps": {"type": ["integer", "string"], "description": "instructions to run (decimal)"},
    "mask": _NAMES | {"description": f"not compared: {', '.join(MASKS)}"},
    "note": {"type": ["string", "null"]},
    "profile": _NAMES | {"description": "profiles the row speaks for"},
}


def trials_schema() -> dict[str, Any]:
    """The schema of a file of trial cases, version 1."""
    sides = {side: {"anyOf": [_settings(side), _NAMES]} for side in ("given", "then")}
    tables = {"type": "array", "minItems": 1, "items": _table()}
    needed = {"trials": {"enum": [VERSION, int(VERSION)]}, "title": _TEXT, "tables": tables}
    shape = record(needed, further={name: _FIELDS[name] for name in FILE_KEYS if name in FIELDS})
    return document("minisim trial cases", {"$defs": sides, **shape})


def _table() -> dict[str, Any]:
    own = {
        "id": _ID,
        "given": {"$ref": "#/$defs/given"},
        "then": {"$ref": "#/$defs/then"},
        "columns-first": {"type": ["array", "string"], "items": {"enum": list(FIELDS)}},
        "rows": {"type": "array", "items": {"anyOf": [{"type": "array", "items": _LOOSE, "minItems": 1}, _row()]}},
    }
    return _keys(TABLE_KEYS, own, "id", "rows")


def _row() -> dict[str, Any]:
    own = {"id": _ID, "given": {"$ref": "#/$defs/given"}, "then": {"$ref": "#/$defs/then"}}
    return _keys(ROW_KEYS, own, "id")


def _keys(names: Iterable[str], own: dict[str, Any], *needed: str) -> dict[str, Any]:
    """A mapping of some keys, of which some must be there."""
    shapes = {name: own.get(name) or _FIELDS[name] for name in names}
    return record({name: shapes.pop(name) for name in needed}, further=shapes)


def _settings(side: str) -> dict[str, Any]:
    """Keys with values."""
    kinds = [kind for kind in KINDS if kind.side in (side, "both")]
    patterns = {
        f"^{kind.shape}$": _value(kind.value, side) | {"description": f"{kind.written}: {kind.what}"} for kind in kinds
    }
    return {"type": "object", "patternProperties": patterns, "additionalProperties": False}


def _value(name: str, side: str) -> dict[str, Any]:
    value = VALUES.get(name, _LOOSE)
    return {"anyOf": [value, {"enum": ["x", "-"]}]} if side == "then" and name in VALUES else value
