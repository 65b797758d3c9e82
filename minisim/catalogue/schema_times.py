"""The schema of the printed instruction times of a profile."""

from __future__ import annotations

from minisim.catalogue.schema_parts import Schema, either, list_of, mapping, one_of, ref
from minisim.catalogue.words import UNKNOWN


def instruction_times() -> Schema:
    """The block `instruction-times`."""
    modes = either(_mode(), list_of(_mode(), 1))
    names = either(_name(), list_of(_name(), 1))
    line = _time({"instructions": names}, {"modes": modes, "not-taken-us": ref("number")})
    by_mode = list_of(_time({"modes": modes}), 1)
    optional = {"source": by_mode, "destination": by_mode}
    single = ("read-only-less", "odd-byte", "trap", "rest", "rest-cycle")
    return mapping({"lines": list_of(line, 1)}, optional | {name: _time() for name in single})


def _mode() -> Schema:
    return either({"type": "integer", "minimum": 0, "maximum": 7}, {"type": "string", "pattern": "^[0-7]$"})


def _name() -> Schema:
    return {"type": "string", "pattern": "^[A-Za-z]{2,7}$"}


def _time(required: Schema | None = None, further: Schema | None = None) -> Schema:
    """One time: printed with its evidence, or unknown with what the model takes and why."""
    kinds = {
        "us": either(ref("number"), one_of((UNKNOWN,))),
        "us-range": {"type": "array", "items": ref("number"), "minItems": 2, "maxItems": 2},
        "us-at-most": ref("number"),
    }
    optional = {
        "model-us": ref("number"),
        "model-because": ref("text"),
        "evidence": ref("evidence"),
        "sources": ref("sources"),
        "note": ref("text"),
    }
    printed: Schema = {"required": ["evidence"], "properties": {"model-us": False, "model-because": False}}
    unknown: Schema = {
        "required": ["model-us", "model-because"],
        "properties": {"evidence": False, "sources": False},
    }
    return {
        **mapping(required or {}, {**kinds, **optional, **(further or {})}),
        "oneOf": [{"required": [kind]} for kind in kinds],
        "if": {"required": ["us"], "properties": {"us": {"const": UNKNOWN}}},
        "then": unknown,
        "else": printed,
    }
