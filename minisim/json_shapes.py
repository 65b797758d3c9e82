"""The words JSON Schemas of outputs are made of: records with exactly their keys, and lists."""

from __future__ import annotations

from typing import Any


def record(properties: dict[str, Any], *, optional: bool = False) -> dict[str, Any]:
    """An object with these keys and no others; all must be there, unless they are optional."""
    required = {} if optional else {"required": list(properties)}
    return {"type": "object", "additionalProperties": False, **required, "properties": properties}


def list_of(item: dict[str, Any]) -> dict[str, Any]:
    """A list of one kind of item."""
    return {"type": "array", "items": item}


def records(properties: dict[str, Any]) -> dict[str, Any]:
    """A list of records."""
    return list_of(record(properties))
