"""The comparison as JSON, and the schema of it."""

from __future__ import annotations

import json
from typing import Any

from minisim.compare.report import Comparison
from minisim.json_shapes import COUNT, TEXT, TEXTS, document, list_of, record, said
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

_COUNTS = {"type": "object", "additionalProperties": COUNT}


def compare_schema() -> dict[str, Any]:
    """The JSON Schema of `minisim compare --json`."""
    difference = record(
        {
            "what": said(TEXT, "the key of `then`, or what keeps its value"),
            "documented": TEXT,
            "found": TEXT,
            "xor": {"type": ["string", "null"]},
            "bits": {"type": "array", "items": {"type": "integer", "minimum": 0, "maximum": 21}},
            "words": TEXT,
        },
        about="One thing found otherwise than documented; numbers are octal texts.",
    )
    result = record(
        {"profile": TEXT, "status": {"enum": [each.value for each in Status]}},
        further={
            "evidence": {"enum": [each.value for each in Evidence]},
            "sources": TEXTS,
            "reason": said(TEXT, "why it was not compared"),
            "differences": list_of(difference),
        },
        about="How a case ended on one profile.",
    )
    case = record(
        {
            "id": TEXT,
            "file": TEXT,
            "about": TEXT,
            "row": {"type": ["string", "null"], "description": "of the table of differences"},
            "module": TEXT,
            "results": list_of(result),
        },
        about="One trial case with its results, in the order of `profiles`.",
    )
    counts = record(
        {
            "cases_compared": _COUNTS,
            "cases_not_compared": _COUNTS,
            "results": COUNT,
            "differences": COUNT,
            "doubts": COUNT,
            "by_module": {"type": "object", "additionalProperties": _COUNTS},
            "by_evidence": {"type": "object", "additionalProperties": _COUNTS},
        },
        about="Sums.",
    )
    root = record(
        {
            "comparison": {"const": VERSION},
            "profiles": TEXTS,
            "options": {"type": ["array", "null"], "items": TEXT, "description": "null: all that each can have"},
            "cases": list_of(case),
            "counts": counts,
        },
        about="What `minisim compare --json` prints.",
    )
    return document("minisim comparison", root)
