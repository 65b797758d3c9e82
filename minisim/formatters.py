"""How a report is shown: text, JSON and the forms other programs read.  All of them are made from the same records."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from minisim.findings import Finding, Outcome, Report, Severity, State
from minisim.known import Evidence
from minisim.problems import Problem
from minisim.rules._cautions import CAUTION
from minisim.rules._disputes import dispute

FIRST_SCREEN = 5
"""Findings shown without --all."""

_COLOURS = {Severity.DAMAGE: "1;31", Severity.FAULT: "31", Severity.DOUBT: "33", Severity.NOTE: "36"}
_LIMITS = ("rating of", "total watts", "least load", "AC limit", "DC limit", "AC loads that need")
"""How the rules begin the names of figures that are limits; all others are values."""


# ---- text


def message(finding: Finding, *, colour: bool = False) -> str:
    """One line: `file:line:col: severity ID slug [place]: found; allowed (sources). Put right: act.`"""
    word = f"\x1b[{_COLOURS[finding.severity]}m{finding.severity}\x1b[0m" if colour else str(finding.severity)
    sources = f" ({', '.join(finding.sources)})" if finding.sources else ""
    return (
        f"{finding.mark}: {word} {finding.rule} {finding.slug} [{finding.place}]: "
        f"{_what(finding)}{sources}. Put right: {finding.fix}."
    )


def _what(finding: Finding) -> str:
    """What was found and what is allowed, the board first where there is one."""
    board = f"{finding.board}: " if finding.board else ""
    weak = weakness(finding)
    return f"{board}{finding.found}; {finding.limit}{f' ({weak})' if weak else ''}"


def weakness(finding: Finding) -> str:
    """What must be said of the evidence: `limit unconfirmed`, `value disputed`, `assumed: ...`."""
    if not finding.evidence.needs_saying:
        return ""
    if finding.evidence is Evidence.ASSUMED:
        return _assumption(finding)
    weak = [name for name in finding.rests_on if name.endswith(f": {finding.evidence}")]
    limits = [name for name in weak if name.startswith(_LIMITS)]
    words = (["limit"] if limits else []) + (["value"] if len(limits) < len(weak) or not weak else [])
    return f"{' and '.join(words)} {finding.evidence}"


def _assumption(finding: Finding) -> str:
    """A described board in its own words; other things taken for granted by their names."""
    end = f": {Evidence.ASSUMED}"
    assumed = [name.removesuffix(end) for name in finding.rests_on if name.endswith(end)]
    if assumed and not any("described" in name for name in assumed):
        return f"assumed: {' and '.join(assumed[:2])}"
    return "assumed: rests on a board described in the loadout"


def finding_lines(finding: Finding, *, colour: bool = False, whole: bool = False) -> list[str]:
    """A finding with the lines that stand under it; `whole` adds why it matters and all it rests on."""
    lines = [message(finding, colour=colour)]
    if finding.accepted:
        lines.append(f"    Accepted: {finding.accepted}")
    if whole:
        lines.append(f"    Why: {finding.cause}.")
        lines += [f"    Also: {other}" for other in finding.also]
    lines.append(f"    Measure next: {finding.next_measurement}.")
    lines += [f"    Disputed {dispute(number)}." for number in finding.disputed]
    rests = finding.rests_on if whole else _weak(finding.rests_on)
    if rests:
        lines.append(f"    Rests on {'; '.join(rests)}.")
    return lines


def _weak(rests_on: Iterable[str]) -> list[str]:
    words = tuple(f": {one}" for one in Evidence if one.needs_saying)
    weak = [one for one in rests_on if one.endswith(words)]
    return [*weak[:3], f"{len(weak) - 3} more (--all)"] if len(weak) > 4 else weak


def text(reports: Sequence[Report], *, colour: bool = False, whole: bool = False) -> str:
    """All reports as a person reads them; the caution stands once at the end where a hand is sent into a machine."""
    lines = [line for report in reports for line in _report_lines(report, colour=colour, whole=whole)]
    if any(report.findings for report in reports):
        lines.append(CAUTION)
    return "\n".join(lines) + "\n" if lines else ""


def _report_lines(report: Report, *, colour: bool, whole: bool) -> list[str]:
    # What the owner has taken on must not push anything off the first screen.
    in_order = report.findings if whole else tuple(sorted(report.findings, key=lambda one: not _is_open(one)))
    shown = in_order if whole else in_order[:FIRST_SCREEN]
    lines = [line for finding in shown for line in finding_lines(finding, colour=colour, whole=whole)]
    folded = in_order[len(shown) :]
    if folded:
        lines.append(f"{report.file}: {len(folded)} more: {_counted(folded)} (--all shows them)")
    if whole:
        lines += [_outcome_line(report, outcome) for outcome in report.outcomes]
        lines.append(_tally(report))
    return [*lines, summary(report, whole=whole)]


def _is_open(finding: Finding) -> bool:
    """Not taken on by the owner; damage stays open whatever the owner says."""
    return not finding.accepted or finding.severity is Severity.DAMAGE


def _tally(report: Report) -> str:
    """`FILE: 98 passed, 2 failed, 5 not checked, 40 do not apply`: how the rules ended, a line for each subject."""
    counts = Counter(outcome.state for outcome in report.outcomes)
    words = {**{state: str(state) for state in State}, State.NOT_APPLICABLE: "do not apply"}
    return f"{report.file}: {', '.join(f'{counts[state]} {words[state]}' for state in State)}"


def _counted(findings: Iterable[Finding]) -> str:
    counts = Counter(finding.severity for finding in findings)
    return ", ".join(_count(counts[severity], severity) for severity in Severity if counts[severity])


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 or word == "damage" else f"{number} {word}s"


def summary(report: Report, *, whole: bool = True) -> str:
    """The last line of a report: `consistent on paper` at best, and what is not known (unless whole: folded)."""
    open_ones = [one for one in report.findings if _is_open(one)]
    accepted = len(report.findings) - len(open_ones)
    parts = [_counted(open_ones) if open_ones else "consistent on paper"]
    if accepted:
        parts.append(f"{accepted} accepted")
    missing = report.not_known
    if missing:
        things = "1 thing" if len(missing) == 1 else f"{len(missing)} things"
        parts.append(f"{things} not known: {'; '.join(missing if whole else map(_folded, missing))}")
    return f"{report.file}: {'; '.join(parts)}"


def _folded(need: str) -> str:
    """`AC load of 6 boards` for a need that lists all six of them."""
    head, bracket, rest = need.partition(" (")
    return f"{head} (--all names them)" if bracket and rest.count(", ") > 2 else need


def _outcome_line(report: Report, outcome: Outcome) -> str:
    needs = f" (needs {outcome.needs})" if outcome.needs else ""
    weak = f", {outcome.evidence}" if outcome.evidence.needs_saying and outcome.state is not State.NOT_CHECKED else ""
    return f"{report.file}: {outcome.rule} {outcome.slug} [{outcome.place}]: {outcome.state}{weak}{needs}"


# ---- JSON


def json_text(reports: Sequence[Report], problems: Sequence[Problem] = ()) -> str:
    """The JSON form; its shape is `JSON_SHAPE`."""
    data = {
        "check": 1,
        "files": [_report_data(report) for report in reports],
        "unusable": [{**_mark(problem.mark), "message": problem.message} for problem in problems],
    }
    return json.dumps(data, indent=2, ensure_ascii=False) + "\n"


def _mark(mark: Any) -> dict[str, Any]:
    return {"file": mark.file, "line": mark.line, "column": mark.column}


def _report_data(report: Report) -> dict[str, Any]:
    return {
        "name": report.name,
        "file": report.file,
        "worst": str(report.worst) if report.worst else None,
        "findings": [finding_data(one) for one in report.findings],
        "not_known": list(report.not_known),
        "outcomes": [_outcome_data(one) for one in report.outcomes],
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
    }


_TEXT = {"type": "string"}
_TEXTS = {"type": "array", "items": _TEXT}
_COUNT = {"type": "integer", "minimum": 1}
_OPTIONAL = {"type": ["string", "null"]}
_PLACE = {"file": _TEXT, "line": _COUNT, "column": _COUNT}


def _object(properties: dict[str, Any]) -> dict[str, Any]:
    return {"type": "object", "additionalProperties": False, "required": list(properties), "properties": properties}


def _list(properties: dict[str, Any]) -> dict[str, Any]:
    return {"type": "array", "items": _object(properties)}


_SEVERITY = {"enum": [str(one) for one in Severity]}
JSON_SHAPE = _object(
    {
        "check": {"const": 1},
        "files": _list(
            {
                "name": _TEXT,
                "file": _TEXT,
                "worst": {"enum": [*(str(one) for one in Severity), None]},
                "findings": _list(
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
                "outcomes": _list(
                    {
                        **dict.fromkeys(("rule", "slug", "place"), _TEXT),
                        "state": {"enum": [str(one) for one in State]},
                        "needs": _OPTIONAL,
                        "missing": _TEXTS,
                        "evidence": {"enum": [str(one) for one in Evidence]},
                    }
                ),
            }
        ),
        "unusable": _list({**_PLACE, "message": _TEXT}),
    }
)
"""JSON Schema of the JSON form: findings worst first, outcomes in the order of the rules, input errors apart."""


# ---- forms of other programs


def _open_findings(reports: Iterable[Report]) -> list[Finding]:
    return [finding for report in reports for finding in report.findings]


def github(reports: Sequence[Report], problems: Sequence[Problem] = ()) -> str:
    """Workflow commands: one annotation a finding."""
    level = {Severity.DAMAGE: "error", Severity.FAULT: "error", Severity.DOUBT: "warning", Severity.NOTE: "notice"}
    lines = [
        f"::{'notice' if one.accepted else level[one.severity]} file={one.mark.file},line={one.mark.line},"
        f"col={one.mark.column},title={one.rule} {one.slug}::{_escaped(f'[{one.place}] {_what(one)}. {one.fix}')}"
        for one in _open_findings(reports)
    ]
    lines += [
        f"::error file={one.mark.file},line={one.mark.line},col={one.mark.column}::{_escaped(one.message)}"
        for one in problems
    ]
    return "".join(f"{line}\n" for line in lines)


def _escaped(words: str) -> str:
    return words.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def sarif(reports: Sequence[Report], problems: Sequence[Problem] = ()) -> str:
    """SARIF 2.1.0: one run, the rules that have findings, accepted ones as suppressed."""
    findings = _open_findings(reports)
    rules = {one.rule: one.slug for one in findings}
    run = {
        "tool": {"driver": {"name": "minisim", "rules": [{"id": rule, "name": rules[rule]} for rule in sorted(rules)]}},
        "results": [_sarif_result(one) for one in findings],
        "invocations": [
            {
                "executionSuccessful": not problems,
                "toolExecutionNotifications": [
                    {"level": "error", "message": {"text": one.message}, "locations": [_sarif_place(one.mark)]}
                    for one in problems
                ],
            }
        ],
    }
    schema = "https://json.schemastore.org/sarif-2.1.0.json"
    return json.dumps({"version": "2.1.0", "$schema": schema, "runs": [run]}, indent=2, ensure_ascii=False) + "\n"


def _sarif_place(mark: Any) -> dict[str, Any]:
    region = {"startLine": mark.line, "startColumn": mark.column}
    return {"physicalLocation": {"artifactLocation": {"uri": mark.file}, "region": region}}


def _sarif_result(finding: Finding) -> dict[str, Any]:
    level = {Severity.DAMAGE: "error", Severity.FAULT: "error", Severity.DOUBT: "warning", Severity.NOTE: "note"}
    result: dict[str, Any] = {
        "ruleId": finding.rule,
        "level": level[finding.severity],
        "message": {"text": f"[{finding.place}] {_what(finding)}. Put right: {finding.fix}."},
        "locations": [_sarif_place(finding.mark)],
    }
    if finding.accepted:
        result["suppressions"] = [{"kind": "inSource", "justification": finding.accepted}]
    return result


def junit(reports: Sequence[Report], problems: Sequence[Problem] = ()) -> str:
    """One suite a loadout, one case an outcome: failed ones fail, those not checked are skipped."""
    from xml.etree import ElementTree

    root = ElementTree.Element("testsuites")
    for report in reports:
        states = Counter(outcome.state for outcome in report.outcomes)
        skipped = states[State.NOT_CHECKED] + states[State.NOT_APPLICABLE]
        numbers = {"tests": len(report.outcomes), "failures": states[State.FAILED], "skipped": skipped}
        attributes = {"name": report.file, **{name: str(number) for name, number in numbers.items()}}
        suite = ElementTree.SubElement(root, "testsuite", attributes)
        for outcome in report.outcomes:
            case = ElementTree.SubElement(suite, "testcase", classname=outcome.rule, name=outcome.place)
            if outcome.state is State.FAILED:
                text = message(outcome.finding) if outcome.finding else ""
                ElementTree.SubElement(case, "failure", message=text)
            elif outcome.state is not State.PASSED:
                ElementTree.SubElement(case, "skipped", message=outcome.needs or str(outcome.state))
    for one in problems:
        suite = ElementTree.SubElement(root, "testsuite", name=one.mark.file, tests="1", errors="1")
        case = ElementTree.SubElement(suite, "testcase", name="readable")
        ElementTree.SubElement(case, "error", message=str(one))
    ElementTree.indent(root)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ElementTree.tostring(root, encoding="unicode") + "\n"


_COLUMNS = ("Severity", "Rule", "Place", "Found", "Put right", "Measure next")
_HTML_HEAD = """<!doctype html>
<html lang="en"><meta charset="utf-8"><title>Check of loadouts</title>
<style>
body { font: 16px/1.4 sans-serif; margin: 1em }
table { border-collapse: collapse }
td, th { border: 1px solid #000; padding: .3em; text-align: left; vertical-align: top }
</style>
"""


def html_page(reports: Sequence[Report], problems: Sequence[Problem] = ()) -> str:
    """One page that stands alone and prints in black and white."""
    from html import escape

    body = [f"<p>{escape(str(one))}</p>" for one in problems]
    for report in reports:
        body.append(f"<h2>{escape(report.name)}</h2><p>{escape(summary(report))}</p>")
        rows = "".join(_html_row(one) for one in report.findings)
        if rows:
            head = "".join(f"<th>{column}</th>" for column in _COLUMNS)
            body.append(f"<table><tr>{head}</tr>{rows}</table>")
    if any(report.findings for report in reports):
        body.append(f"<p><b>{escape(CAUTION)}</b></p>")
    return f"{_HTML_HEAD}<h1>Check of loadouts</h1>{''.join(body)}</html>\n"


def _html_row(finding: Finding) -> str:
    from html import escape

    found = _what(finding) + (f" Accepted: {finding.accepted}" if finding.accepted else "")
    cells = (
        f"{finding.severity}",
        f"{finding.rule} {finding.slug}",
        f"{finding.place}, line {finding.mark.line}",
        found,
        finding.fix,
        finding.next_measurement,
    )
    return "<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in cells) + "</tr>"


Formatter = Callable[[Sequence[Report], Sequence[Problem]], str]

FORMATTERS: dict[str, Formatter] = {
    "json": json_text,
    "sarif": sarif,
    "junit": junit,
    "github": github,
    "html": html_page,
}
"""All forms but text, by the word of --format."""
