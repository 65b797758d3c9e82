"""The JSON Schema of a symptom file, made from the keys the reader knows and the closed sets it may name."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from minisim.why.facts import FACTS
from minisim.why.lists import BOARDS, LISTS
from minisim.why.reader import (
    ASK_KEYS,
    CAUSE_KEYS,
    CAUSE_REQUIRED,
    FILE_KEYS,
    HEAD_KEYS,
    MOST_WEIGHT,
    TELL_KEYS,
    USE_KEYS,
    VERSION,
)

_TEXT = {"type": "string", "minLength": 1}
_YES = {"enum": ["yes", "no", True, False]}
_WEIGHT = {"type": ["integer", "string"], "pattern": "^[0-9]+$", "minimum": 0, "maximum": MOST_WEIGHT}
_FACTS = {"type": "array", "items": {"$ref": "#/$defs/fact"}}

_VALUES: dict[str, dict[str, Any]] = {
    "why": {"enum": [VERSION, int(VERSION)]},
    "examples": {"type": "array", "items": _TEXT, "minItems": 1},
    "phrases": {"type": "array", "items": _TEXT, "minItems": 1},
    "weight": _WEIGHT,
    "when": _FACTS,
    "unless": _FACTS,
    "rules": {"type": "array", "items": {"type": "string", "pattern": "^[A-Z]+-[0-9]{3}$"}},
    "about": {"enum": list(BOARDS)},
    "look-at": {"enum": list(LISTS)},
    "hand": _YES,
    "unconfirmed": _YES,
    "sources": {"type": "array", "items": _TEXT, "minItems": 1},
    "expect": _TEXT | {"description": "what is seen if this is the cause"},
}
"""What a value may be, where more than text is known of it."""


def symptom_schema() -> dict[str, Any]:
    """The schema of a symptom file, version 1."""
    own = {
        "tells": {"type": "array", "items": _record(TELL_KEYS, ("say",))},
        "ask": {"type": "array", "items": _record(ASK_KEYS, ("look", "if-yes", "if-no"))},
        "causes": {
            "type": "array",
            "minItems": 1,
            "items": {"anyOf": [_record(CAUSE_KEYS, CAUSE_REQUIRED), _record(USE_KEYS, ("use", "weight"))]},
        },
    }
    properties = {name: own.get(name) or _VALUES.get(name, _TEXT) for name in FILE_KEYS}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "minisim symptom",
        "$defs": {"fact": _fact()},
        "type": "object",
        "properties": properties,
        "required": [*HEAD_KEYS, "causes", "otherwise"],
        "additionalProperties": False,
    }


def _fact() -> dict[str, Any]:
    """A fact alone, or one with its argument."""
    plain = [name for name, fact in FACTS.items() if not fact.takes_argument]
    with_one = [name for name, fact in FACTS.items() if fact.takes_argument]
    argument = {
        "type": "object",
        "properties": {name: {"type": ["string", "integer"]} for name in with_one},
        "minProperties": 1,
        "maxProperties": 1,
        "additionalProperties": False,
    }
    return {"anyOf": [{"enum": plain}, argument]}


def _record(keys: Iterable[str], required: Iterable[str]) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": {name: _VALUES.get(name, _TEXT) for name in keys},
        "required": list(required),
        "additionalProperties": False,
    }
