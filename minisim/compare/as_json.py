"""The comparison as JSON, and the schema of it."""

from __future__ import annotations

import json
from typing import Any

from minisim.compare.report import Comparison
from minisim.trials.model import Case, Difference, Evidence, Result, Status

VERSION = 1


def as_json(comparison: Comparison) -> str:
    """One object; `compare_schema` describes it."""
    return json.dumps(data_of(comparison), indent=1, ensure_ascii=False) + "\n"


def data_of(comparison: Comparison) -> dict[str, Any]:
    """The same as plain data."""
    return {
        "comparison": VERSION,
        "profiles": list(comparison.profiles),
        "options": None if comparison.options is None else list(comparison.options),
        "cases": [_case(case, comparison) for case in comparison.cases],
        "counts": {
            "cases_compared": dict(comparison.cases_by_module),
            "cases_not_compared": dict(comparison.waiting),
            "results": len(comparison.compared),
            "differences": len(comparison.differences),
            "doubts": len(comparison.doubts),
            "by_module": {module: dict(counts) for module, counts in comparison.by_module.items()},
            "by_evidence": {evidence: dict(counts) for evidence, counts in comparison.by_evidence.items()},
        },
    }


def _case(case: Case, comparison: Comparison) -> dict[str, Any]:
    return {
        "id": case.id,
        "file": case.file,
        "about": case.about,
        "row": case.row or None,
        "module": case.module,
        "results": [_result(result) for result in comparison.results[case.id]],
    }


def _result(result: Result) -> dict[str, Any]:
    found: dict[str, Any] = {"profile": result.profile, "status": result.status}
    if result.line is not None:
        found |= {"evidence": result.line.evidence, "sources": list(result.line.sources)}
    if result.reason:
        found["reason"] = result.reason
    if result.differences:
        found["differences"] = [_difference(each) for each in result.differences]
    return found


def _difference(one: Difference) -> dict[str, Any]:
    return {
        "what": one.what,
        "documented": one.documented,
        "found": one.found,
        "xor": one.xor or None,
        "bits": list(one.bits),
        "words": one.words,
    }


# --- the schema -------------------------------------------------------------------------------------------------------

_TEXT = {"type": "string"}
_TEXTS = {"type": "array", "items": _TEXT}
_COUNT = {"type": "integer", "minimum": 0}
_COUNTS = {"type": "object", "additionalProperties": _COUNT}


def _record(what: str, required: dict[str, Any], optional: dict[str, Any] | None = None) -> dict[str, Any]:
    return {
        "description": what,
        "type": "object",
        "properties": required | (optional or {}),
        "required": list(required),
        "additionalProperties": False,
    }


def compare_schema() -> dict[str, Any]:
    """The JSON Schema of `minisim compare --json`."""
    difference = _record(
        "One thing found otherwise than documented; numbers are octal texts.",
        {
            "what": _TEXT | {"description": "the key of `then`, or what keeps its value"},
            "documented": _TEXT,
            "found": _TEXT,
            "xor": {"type": ["string", "null"]},
            "bits": {"type": "array", "items": {"type": "integer", "minimum": 0, "maximum": 21}},
            "words": _TEXT,
        },
    )
    result = _record(
        "How a case ended on one profile.",
        {"profile": _TEXT, "status": {"enum": [each.value for each in Status]}},
        {
            "evidence": {"enum": [each.value for each in Evidence]},
            "sources": _TEXTS,
            "reason": _TEXT | {"description": "why it was not compared"},
            "differences": {"type": "array", "items": difference},
        },
    )
    case = _record(
        "One trial case with its results, in the order of `profiles`.",
        {
            "id": _TEXT,
            "file": _TEXT,
            "about": _TEXT,
            "row": {"type": ["string", "null"], "description": "of the table of differences"},
            "module": _TEXT,
            "results": {"type": "array", "items": result},
        },
    )
    counts = _record(
        "Sums.",
        {
            "cases_compared": _COUNTS,
            "cases_not_compared": _COUNTS,
            "results": _COUNT,
            "differences": _COUNT,
            "doubts": _COUNT,
            "by_module": {"type": "object", "additionalProperties": _COUNTS},
            "by_evidence": {"type": "object", "additionalProperties": _COUNTS},
        },
    )
    root = _record(
        "What `minisim compare --json` prints.",
        {
            "comparison": {"const": VERSION},
            "profiles": _TEXTS,
            "options": {"type": ["array", "null"], "items": _TEXT, "description": "null: all that each can have"},
            "cases": {"type": "array", "items": case},
            "counts": counts,
        },
    )
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "minisim comparison"} | root
