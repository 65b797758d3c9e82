"""The JSON form: every field of every record, and its published shape."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from minisim.findings import Finding, Mark, Outcome, Report, Severity, State
from minisim.json_shapes import record, records
from minisim.known import Evidence
from minisim.problems import Problem
from minisim.rules._disputes import as_data


def json_text(reports: Sequence[Report], problems: Sequence[Problem] = ()) -> str:
    """The JSON form; its shape is `JSON_SHAPE`."""
    data = {
        "check": 1,
        "files": [_report_data(report) for report in reports],
        "unusable": [{**_mark(problem.mark), "message": problem.message} for problem in problems],
    }
    return json.dumps(data, indent=2, ensure_ascii=False) + "\n"


def _mark(mark: Mark) -> dict[str, Any]:
    return {"file": mark.file, "line": mark.line, "column": mark.column}


def _report_data(report: Report) -> dict[str, Any]:
    return {
        "name": report.name,
        "file": report.file,
        "state": report.state,
        "modifications": list(report.modifications),
        "head": list(report.head),
        "worst": str(report.worst) if report.worst else None,
        "findings": [finding_data(one) for one in report.findings],
        "not_known": list(report.not_known),
        "outcomes": [_outcome_data(one) for one in report.outcomes],
        "disputes": [as_data(number) for number in report.disputed],
    }


def finding_data(finding: Finding) -> dict[str, Any]:
    """One finding with every field, the place in the file spelled out."""
    return {
        "rule": finding.rule,
        "slug": finding.slug,
        "severity": str(finding.severity),
        "place": finding.place,
        "board": finding.board,
        **_mark(finding.mark),
        "found": finding.found,
        "limit": finding.limit,
        "unit": finding.unit,
        "cause": finding.cause,
        "fix": finding.fix,
        "next_measurement": finding.next_measurement,
        "sources": list(finding.sources),
        "evidence": str(finding.evidence),
        "rests_on": list(finding.rests_on),
        "disputed": list(finding.disputed),
        "also": list(finding.also),
        "accepted": finding.accepted or None,
    }


def _outcome_data(outcome: Outcome) -> dict[str, Any]:
    return {
        "rule": outcome.rule,
        "slug": outcome.slug,
        "place": outcome.place,
        "state": str(outcome.state),
        "needs": outcome.needs or None,
        "missing": list(outcome.missing),
        "evidence": str(outcome.evidence),
        "disputed": list(outcome.disputed),
    }


_TEXT = {"type": "string"}
_TEXTS = {"type": "array", "items": _TEXT}
_COUNT = {"type": "integer", "minimum": 1}
_OPTIONAL = {"type": ["string", "null"]}
_PLACE = {"file": _TEXT, "line": _COUNT, "column": _COUNT}


_SEVERITY = {"enum": [str(one) for one in Severity]}
JSON_SHAPE = record(
    {
        "check": {"const": 1},
        "files": records(
            {
                "name": _TEXT,
                "file": _TEXT,
                "state": _TEXT,
                "modifications": _TEXTS,
                "head": _TEXTS,
                "worst": {"enum": [*(str(one) for one in Severity), None]},
                "findings": records(
                    {
                        **dict.fromkeys(("rule", "slug"), _TEXT),
                        "severity": _SEVERITY,
                        **dict.fromkeys(("place", "board"), _TEXT),
                        **_PLACE,
                        **dict.fromkeys(("found", "limit", "unit", "cause", "fix", "next_measurement"), _TEXT),
                        "sources": _TEXTS,
                        "evidence": {"enum": [str(one) for one in Evidence]},
                        **dict.fromkeys(("rests_on", "disputed", "also"), _TEXTS),
                        "accepted": _OPTIONAL,
                    }
                ),
                "not_known": _TEXTS,
                "outcomes": records(
                    {
                        **dict.fromkeys(("rule", "slug", "place"), _TEXT),
                        "state": {"enum": [str(one) for one in State]},
                        "needs": _OPTIONAL,
                        "missing": _TEXTS,
                        "evidence": {"enum": [str(one) for one in Evidence]},
                        "disputed": _TEXTS,
                    }
                ),
                "disputes": records(
                    {
                        **dict.fromkeys(("number", "question"), _TEXT),
                        "readings": records(
                            {"says": _TEXT, "sources": _TEXTS, "known": _TEXT, "taken": {"type": "boolean"}}
                        ),
                        "test": _TEXT,
                    }
                ),
            }
        ),
        "unusable": records({**_PLACE, "message": _TEXT}),
    }
)
"""JSON Schema of the JSON form: findings worst first, outcomes in the order of the rules, input errors apart."""


def check_schema() -> dict[str, Any]:
    """The JSON Schema of the JSON form."""
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **JSON_SHAPE}
