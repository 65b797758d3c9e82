"""The report as JSON, and the schema of that form."""

from __future__ import annotations

import json
from typing import Any

from minisim.json_shapes import COUNT, TEXT, TEXTS, YES, document, list_of, record, said
from minisim.machine.records import Reason
from minisim.trials.own import Verdict
from minisim.trials.running.model import Account, CodeLine, Outcome, Report, last_line

VERSION = 1
_NAMES = ("r0", "r1", "r2", "r3", "r4", "r5", "sp", "pc")


def json_text(report: Report) -> str:
    """One object; `report_schema` describes it."""
    return json.dumps(data_of(report), indent=2, ensure_ascii=False) + "\n"


def data_of(report: Report) -> dict[str, Any]:
    """The same as plain data."""
    return {
        "trial-report": VERSION,
        "loadout": report.file,
        "name": report.name,
        "sha256": report.sha256,
        "profile": report.profile,
        "programs": [_outcome(one) for one in report.outcomes],
        "counts": {
            **{str(verdict).replace(" ", "-"): report.count(verdict) for verdict in Verdict},
            "cases": report.cases,
            "passes": report.passes,
        },
        "summary": last_line(report),
        "passed": report.passed,
    }


def _outcome(one: Outcome) -> dict[str, Any]:
    return {
        "program": one.name,
        "about": one.about,
        "version": one.version or None,
        "verdict": str(one.verdict),
        "because": one.because,
        "passes": one.passes,
        "cases": one.cases,
        "failures": list(one.failures),
        "notes": list(one.notes),
        "printed": one.said,
        "stop": None if one.stop is None else {
            "reason": str(one.stop.reason),
            "at": _word(one.stop.at),
            "next": _word(one.stop.pc),
            "instructions": one.stop.instructions,
            "guest-ns": one.stop.time_ns,
            "sentence": str(one.stop),
        },
        "account": None if one.account is None else _account(one.account),
    }  # fmt: skip


def _word(word: int) -> str:
    return f"{word:06o}"


def _account(account: Account) -> dict[str, Any]:
    registers = dict(zip(_NAMES, map(_word, account.registers), strict=True))
    return {
        "registers": {**registers, "ps": _word(account.ps)},
        "last": [list(lines) for lines in account.last],
        "code": [_code(line) for line in account.around],
    }


def _code(line: CodeLine) -> dict[str, Any]:
    return {
        "address": _word(line.address),
        "words": [_word(word) for word in line.words],
        "text": line.text,
        "label": line.label,
        "remark": line.remark,
        "ended-here": line.is_end,
    }


# --- the schema -------------------------------------------------------------------------------------------------------

_OCTAL = {"type": "string", "pattern": "^[0-7]{6}$"}


def report_schema() -> dict[str, Any]:
    """The JSON Schema of `minisim trial run --json`."""
    stop = record(
        {
            "reason": {"enum": [each.value for each in Reason]},
            "at": said(_OCTAL, "the last instruction"),
            "next": _OCTAL,
            "instructions": COUNT,
            "guest-ns": said(COUNT, "time of the machine, in nanoseconds"),
            "sentence": TEXT,
        }
    )
    code = record(
        {"address": _OCTAL, "words": list_of(_OCTAL), "text": TEXT, "label": TEXT, "remark": TEXT, "ended-here": YES}
    )
    account = record(
        {
            "registers": record(dict.fromkeys((*_NAMES, "ps"), _OCTAL)),
            "last": said(list_of(TEXTS), "the last instructions, each as sentences"),
            "code": list_of(code),
        }
    )
    program = record(
        {
            "program": TEXT,
            "about": TEXT,
            "version": {"type": ["string", "null"], "description": "SHA-256 of an owner's image"},
            "verdict": {"enum": [each.value for each in Verdict]},
            "because": said(TEXT, "why it failed, was not run, or needs a person"),
            "passes": COUNT,
            "cases": said(COUNT, "of one pass"),
            "failures": TEXTS,
            "notes": TEXTS,
            "printed": TEXT,
            "stop": {"anyOf": [stop, {"type": "null"}]},
            "account": {"anyOf": [account, {"type": "null"}]},
        }
    )
    counts = record({**{str(one).replace(" ", "-"): COUNT for one in Verdict}, "cases": COUNT, "passes": COUNT})
    root = record(
        {
            "trial-report": {"const": VERSION},
            "loadout": TEXT,
            "name": TEXT,
            "sha256": TEXT,
            "profile": TEXT,
            "programs": list_of(program),
            "counts": counts,
            "summary": TEXT,
            "passed": YES,
        },
        about="What `minisim trial run --json` prints.",
    )
    return document("minisim trial report", root)
