"""The JSON Schema of what `minisim loadout read-text --json` prints."""

from __future__ import annotations

from typing import Any

from minisim.json_shapes import list_of, record
from minisim.loadout.slot_list import Kind, Sure

_TEXT = {"type": "string"}
_TEXTS = {"type": "array", "items": _TEXT}
_MAYBE = {"type": ["string", "null"]}
_YES_NO = {"type": "boolean"}
_WHOLE = {"type": "integer", "minimum": 0}
_WORDS = {"type": "object", "additionalProperties": _TEXT}


def slot_list_schema() -> dict[str, Any]:
    """The schema; every key is always there."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A slot list as minisim understood it",
        **record(
            {
                "slot-list": {"const": 1},
                "file": _TEXT,
                "complete": {"description": "no needed fact is missing", **_YES_NO},
                "lines": list_of(_line()),
                "units": list_of(_unit()),
                "modifications": _TEXTS,
                "gaps": list_of(_gap()),
                "verdict": {"anyOf": [_verdict(), {"type": "null"}]},
                "advice": _TEXTS,
                "questions": list_of(_question()),
                "loadout": {"description": "the loadout as YAML, once the backplanes are known", **_MAYBE},
                "written": {"description": "the file it was written to", **_MAYBE},
            }
        ),
    }


def _line() -> dict[str, Any]:
    return record(
        {
            "number": {"type": "integer", "minimum": 1},
            "text": _TEXT,
            "kind": {"enum": [str(one) for one in Kind]},
            "sure": {"enum": [str(one) for one in Sure]},
            "place": _TEXT,
            "said": _TEXTS,
            "boards": list_of(_board()),
        }
    )


def _board() -> dict[str, Any]:
    return record(
        {
            **dict.fromkeys(("place", "number", "title", "how", "item", "remark"), _TEXT),
            "empty": _YES_NO,
            "board": {"description": "id of the catalogue", **_MAYBE},
            "score": {"type": ["number", "null"]},
            **dict.fromkeys(("sources", "options", "modifications"), _TEXTS),
            **dict.fromkeys(("settings", "described"), _WORDS),
        }
    )


def _unit() -> dict[str, Any]:
    return record({"place": _TEXT, "backplane": _MAYBE, "candidates": _TEXTS, "supply": _MAYBE})


def _gap() -> dict[str, Any]:
    return record(
        {
            "unit": _TEXT, "slots": list_of(_WHOLE), "listed": _YES_NO, "users": _TEXTS, "not_known": _TEXTS,
            "text": _TEXT,
        }
    )


def _verdict() -> dict[str, Any]:
    finding = record(
        {
            **dict.fromkeys(("rule", "slug", "severity", "place", "board", "found", "fix"), _TEXT),
            "only": {"description": "the backplanes that have it; empty: all", **_TEXTS},
            "depends_on_rows": _YES_NO,
        }
    )
    return record(
        {
            "backplanes": _TEXTS,
            "possible": {
                "description": "how many it could be; more than backplanes where not all were tried",
                **_WHOLE,
            },
            "cut_off": {"description": "boards that no grant reaches, in all of them", **_TEXTS},
            "in_all": list_of(finding),
            "depends": list_of(finding),
            "memory_kb": {"description": "KB, decimal", **_MAYBE},
            "memory_not_known": _TEXTS,
        }
    )


def _question() -> dict[str, Any]:
    return record(
        {
            "number": _WHOLE,
            "topic": _TEXT,
            "needed": _YES_NO,
            "text": _TEXT,
            "answer": _TEXT,
            "lines": list_of(_WHOLE),
            "choices": list_of(record({"id": _TEXT, "what": _TEXT})),
        }
    )
