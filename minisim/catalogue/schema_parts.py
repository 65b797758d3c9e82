"""Pieces that the schemas of the catalogue files are made of."""

from __future__ import annotations

from typing import Any

from minisim.catalogue.words import BUSES, EVIDENCE, NONE, UNKNOWN, YES_NO

Schema = dict[str, Any]


def definitions() -> Schema:
    """What the schemas share by reference."""
    return {
        "id": {"type": "string", "pattern": "^[a-z][a-z0-9-]*$"},
        "ids": {"type": "array", "items": ref("id"), "uniqueItems": True},
        "text": {"type": "string", "minLength": 1},
        "number": {"anyOf": [{"type": "number"}, {"type": "string", "pattern": r"^-?[0-9]+(\.[0-9]+)?$"}]},
        "whole": {"anyOf": [{"type": "integer", "minimum": 0}, {"type": "string", "pattern": "^[0-9]+$"}]},
        "octal": {"type": "string", "pattern": "^(0|1)?[0-7]{1,5}$"},
        "address": {"type": "string", "pattern": "^7[67][0-7]{3}[0246]$"},
        "vector": {"type": "string", "pattern": "^[0-7]{0,2}[04]$"},
        "evidence": one_of(EVIDENCE),
        "sources": {"type": "array", "items": ref("id"), "uniqueItems": True},
    }


def ref(name: str) -> Schema:
    """One of the shared definitions."""
    return {"$ref": f"#/$defs/{name}"}


def one_of(words: tuple[str, ...]) -> Schema:
    """One of some words."""
    return {"enum": list(words)}


def list_of(items: Schema, least: int = 0) -> Schema:
    """A list, with so many items at least."""
    return {"type": "array", "items": items, "minItems": least}


def either(*choices: Schema) -> Schema:
    """Any of some schemas."""
    return {"anyOf": list(choices)}


def mapping(required: Schema, optional: Schema | None = None) -> Schema:
    """A mapping of known keys."""
    properties = {**required, **(optional or {})}
    return {
        "type": "object",
        "properties": properties,
        "required": list(required),
        "additionalProperties": False,
    }


def free_mapping(values: Schema, names: tuple[str, ...] = ()) -> Schema:
    """A mapping with free keys, or with keys of a vocabulary, and values of one kind."""
    return {"type": "object", "additionalProperties": values, **({"propertyNames": one_of(names)} if names else {})}


def record(value: Schema, **extra: Schema) -> Schema:
    """{value, evidence, sources}: no evidence for what is unknown, evidence for everything else."""
    optional = {"evidence": ref("evidence"), "sources": ref("sources"), "note": ref("text"), **extra}
    known = {"if": {"properties": {"value": {"not": {"const": UNKNOWN}}}}, "then": {"required": ["evidence"]}}
    unknown = {"else": {"properties": {"evidence": False}}}
    return {**mapping({"value": either(value, one_of((UNKNOWN, NONE)))}, optional), **known, **unknown}


def evidence_only(**extra: Schema) -> Schema:
    """Evidence and sources of a key without a record of its own."""
    return mapping({"evidence": ref("evidence"), "sources": ref("sources")}, {"note": ref("text"), **extra})


def number(**extra: Schema) -> Schema:
    """A record of a number."""
    return record(ref("number"), **extra)


def yes_no(**extra: Schema) -> Schema:
    """A record of yes or no."""
    return record(one_of(YES_NO), **extra)


ONLY_UNKNOWN = one_of((UNKNOWN,))
NOTHING = one_of((NONE, UNKNOWN))
SIZE = {"inches": ref("number"), "pounds": ref("number"), "empty": one_of(YES_NO), "rack": ref("text")}


def common(buses: tuple[str, ...] = BUSES) -> Schema:
    """What an entry of most folders begins with."""
    return {"id": ref("id"), "kind": ref("text"), "bus": one_of(buses)}


def markings() -> Schema:
    """A record of etched numbers."""
    return record(list_of({"type": "string", "pattern": "^[A-Z0-9][A-Z0-9-]+$"}, 1))
