"""The JSON Schema of what `minisim loadout read-text --json` prints."""

from __future__ import annotations

from typing import Any

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
        **_object(
            {
                "slot-list": {"const": 1},
                "file": _TEXT,
                "complete": {"description": "no needed fact is missing", **_YES_NO},
                "lines": _list(_line()),
                "units": _list(_unit()),
                "modifications": _TEXTS,
                "gaps": _list(_gap()),
                "verdict": {"anyOf": [_verdict(), {"type": "null"}]},
                "advice": _TEXTS,
                "questions": _list(_question()),
                "loadout": {"description": "the loadout as YAML, once the backplanes are known", **_MAYBE},
                "written": {"description": "the file it was written to", **_MAYBE},
            }
        ),
    }


def _object(properties: dict[str, Any]) -> dict[str, Any]:
    return {"type": "object", "additionalProperties": False, "required": list(properties), "properties": properties}


def _list(item: dict[str, Any]) -> dict[str, Any]:
    return {"type": "array", "items": item}


def _line() -> dict[str, Any]:
    return _object(
        {
            "number": {"type": "integer", "minimum": 1},
            "text": _TEXT,
            "kind": {"enum": [str(one) for one in Kind]},
            "sure": {"enum": [str(one) for one in Sure]},
            "place": _TEXT,
            "said": _TEXTS,
            "boards": _list(_board()),
        }
    )


def _board() -> dict[str, Any]:
    return _object(
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
    return _object({"place": _TEXT, "backplane": _MAYBE, "candidates": _TEXTS, "supply": _MAYBE})


def _gap() -> dict[str, Any]:
    return _object(
        {"unit": _TEXT, "slots": _list(_WHOLE), "listed": _YES_NO, "users": _TEXTS, "not_known": _TEXTS, "text": _TEXT}
    )


def _verdict() -> dict[str, Any]:
    finding = _object(
        {
            **dict.fromkeys(("rule", "slug", "severity", "place", "board", "found", "fix"), _TEXT),
            "only": {"description": "the backplanes that have it; empty: all", **_TEXTS},
            "depends_on_rows": _YES_NO,
        }
    )
    return _object(
        {
            "backplanes": _TEXTS,
            "possible": {
                "description": "how many it could be; more than backplanes where not all were tried",
                **_WHOLE,
            },
            "cut_off": {"description": "boards that no grant reaches, in all of them", **_TEXTS},
            "in_all": _list(finding),
            "depends": _list(finding),
            "memory_kb": {"description": "KB, decimal", **_MAYBE},
            "memory_not_known": _TEXTS,
        }
    )


def _question() -> dict[str, Any]:
    return _object(
        {
            "number": _WHOLE,
            "topic": _TEXT,
            "needed": _YES_NO,
            "text": _TEXT,
            "answer": _TEXT,
            "lines": _list(_WHOLE),
            "choices": _list(_object({"id": _TEXT, "what": _TEXT})),
        }
    )
