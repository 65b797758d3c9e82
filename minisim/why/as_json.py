"""A diagnosis as JSON, and the schema of that form."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from minisim.findings import Finding, Severity
from minisim.json_shapes import POSITIVE, TEXT, TEXTS, YES, document, list_of, record, records, said
from minisim.why.diagnosis import Diagnosis
from minisim.why.model import Head, Ranked

VERSION = 1


def json_text(found: Diagnosis) -> str:
    """The JSON form; its shape is `why_schema`."""
    data = {
        "why": VERSION,
        "loadout": found.report.file,
        "name": found.report.name,
        "words": found.words,
        "symptom": found.symptom.head.id,
        "title": found.symptom.head.title,
        "also-fits": [head.id for head in found.also_fits],
        "values": {name: _value(value) for name, value in found.symptom.values.items()},
        "tells": list(found.tells),
        "ask": [{"look": one.look, "if-yes": one.yes, "if-no": one.no} for one in found.ask],
        "damage": [_finding(one) for one in found.damage],
        "causes": [_cause(number, one) for number, one in enumerate(found.causes, 1)],
        "ruled-out": [{"id": one.id, "cause": one.cause, "because": one.because} for one in found.ruled_out],
        "otherwise": found.otherwise,
    }
    return json.dumps(data, indent=2, ensure_ascii=False) + "\n"


def listing_json(heads: Iterable[Head]) -> str:
    """Every symptom with its examples."""
    data = [{"symptom": head.id, "title": head.title, "examples": list(head.examples)} for head in heads]
    return json.dumps({"why": VERSION, "symptoms": data}, indent=2, ensure_ascii=False) + "\n"


def _value(value: int | str) -> str:
    """Numbers as octal text."""
    return f"{value:06o}" if isinstance(value, int) else value


def _finding(one: Finding) -> dict[str, Any]:
    return {
        "rule": one.rule,
        "severity": str(one.severity),
        "place": one.place,
        "found": one.found,
        "fix": one.fix,
        "accepted": one.accepted,
    }


def _cause(number: int, one: Ranked) -> dict[str, Any]:
    return {
        "rank": number,
        "id": one.id,
        "cause": one.cause,
        "score": one.score,
        "findings": [_finding(each) for each in one.findings],
        "right-on-paper": one.on_paper,
        "not-known": list(one.not_known),
        "places": list(one.places),
        "measure": one.measure,
        "expect": one.expect,
        "if-not": one.if_not,
        "hand": one.hand,
        "mind": one.mind,
        "sources": list(one.sources),
        "unconfirmed": one.unconfirmed,
    }


# ---- schema

_FINDING = record({
    "rule": TEXT,
    "severity": {"enum": [one.value for one in Severity]},
    "place": TEXT,
    "found": TEXT,
    "fix": TEXT,
    "accepted": said(TEXT, "the owner's reason, if the finding is accepted"),
})  # fmt: skip

_CAUSE = record({
    "rank": POSITIVE,
    "id": TEXT,
    "cause": TEXT,
    "score": {"type": "integer", "description": "gives the order: weight of the cause, raised by findings"},
    "findings": list_of(_FINDING),
    "right-on-paper": said(YES, "every rule behind this cause passed for the loadout"),
    "not-known": TEXTS,
    "places": said(TEXTS, "where to look, in order"),
    "measure": TEXT,
    "expect": TEXT,
    "if-not": TEXT,
    "hand": said(YES, "the measurement sends a hand into the machine"),
    "mind": said(TEXT, "what to mind at exactly this step"),
    "sources": {"type": "array", "items": TEXT, "minItems": 1},
    "unconfirmed": YES,
})  # fmt: skip


def why_schema() -> dict[str, Any]:
    """The schema of `minisim why --json`."""
    return document(
        "minisim why --json",
        record({
            "why": {"const": VERSION},
            "loadout": TEXT,
            "name": TEXT,
            "words": said(TEXT, "the symptom as asked"),
            "symptom": TEXT,
            "title": TEXT,
            "also-fits": said(TEXTS, "other symptoms that fit the words as well"),
            "values": {"type": "object", "additionalProperties": {"type": "string"}, "description": "numbers in octal"},
            "tells": TEXTS,
            "ask": records({"look": TEXT, "if-yes": TEXT, "if-no": TEXT}),
            "damage": list_of(_FINDING),
            "causes": list_of(_CAUSE),
            "ruled-out": records({"id": TEXT, "cause": TEXT, "because": TEXT}),
            "otherwise": said(TEXT, "what to measure where no cause is left"),
        }),
    )  # fmt: skip
