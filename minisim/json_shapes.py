"""The words JSON Schemas are made of: records with exactly their keys, lists, and the plain values in them."""

from __future__ import annotations

from typing import Any

Shape = dict[str, Any]

TEXT: Shape = {"type": "string"}
TEXTS: Shape = {"type": "array", "items": TEXT}
YES: Shape = {"type": "boolean"}
COUNT: Shape = {"type": "integer", "minimum": 0}
POSITIVE: Shape = {"type": "integer", "minimum": 1}


def document(title: str, shape: Shape) -> Shape:
    """The schema of a whole file or output."""
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": title, **shape}


def said(shape: Shape, about: str) -> Shape:
    """The same with a description."""
    return {**shape, "description": about}


def record(properties: Shape, *, optional: bool = False, further: Shape | None = None, about: str = "") -> Shape:
    """An object with these keys and no others; all must be there, unless they are optional.

    `further` keys may be absent, `about` describes the record.
    """
    described = {"description": about} if about else {}
    required = {} if optional else {"required": list(properties)}
    shape = {"type": "object", "additionalProperties": False, **required}
    return {**described, **shape, "properties": {**properties, **(further or {})}}


def list_of(item: Shape) -> Shape:
    """A list of one kind of item."""
    return {"type": "array", "items": item}


def records(properties: Shape) -> Shape:
    """A list of records."""
    return list_of(record(properties))
