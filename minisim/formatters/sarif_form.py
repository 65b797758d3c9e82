"""SARIF 2.1.0: one run with every rule that found something, results, acceptances as suppressions.

What is not known makes no result: viewers show each one as a problem, and there are no problems behind these.  It
stands in one notification a file.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path, PurePosixPath
from typing import Any
from urllib.parse import quote

from minisim.findings import Finding, Mark, Report, Severity
from minisim.formatters.text_form import is_open, summary, what
from minisim.problems import Problem

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
BASE = "CALLED-FROM"
_LEVEL = {Severity.DAMAGE: "error", Severity.FAULT: "error", Severity.DOUBT: "warning", Severity.NOTE: "note"}
_RANK = {Severity.DAMAGE: 100, Severity.FAULT: 75, Severity.DOUBT: 50, Severity.NOTE: 25}
_AT_LINE = re.compile(r" at line (\d+)$")


def sarif(reports: Sequence[Report], problems: Sequence[Problem] = ()) -> str:
    """The log: a SARIF reader finds every finding of the text form in it, with line, rule, repair and acceptance."""
    log = {"$schema": SCHEMA, "version": "2.1.0", "runs": [_run(reports, problems)]}
    return json.dumps(log, indent=2, ensure_ascii=False) + "\n"


def _run(reports: Sequence[Report], problems: Sequence[Problem]) -> dict[str, Any]:
    ids = sorted({one.rule for report in reports for one in report.findings})
    files = list(dict.fromkeys([report.file for report in reports]))
    return {
        "tool": {"driver": _driver(ids)},
        "columnKind": "unicodeCodePoints",
        "originalUriBaseIds": {BASE: {"description": {"text": "the folder in which minisim check was called"}}},
        "artifacts": [
            {"location": _file(one), "roles": ["analysisTarget"], "mimeType": "application/yaml"} for one in files
        ],
        "invocations": [_invocation(reports, problems)],
        "results": [result for report in reports for result in _results(report, ids, files)],
    }


# ---- the tool and its rules


def _driver(ids: Sequence[str]) -> dict[str, Any]:
    from minisim.cli import version

    return {
        "name": "minisim",
        "semanticVersion": version(),
        "version": version(),
        "shortDescription": {"text": "Checks planned 16-bit octal minicomputers before power comes on."},
        "rules": [_rule(one) for one in ids],
    }


def _rule(rule_id: str) -> dict[str, Any]:
    from minisim.rules import find_rule

    rule = find_rule(rule_id)
    if rule is None:  # nothing makes such a finding; a log must not fail over it
        return {"id": rule_id}
    return {
        "id": rule.id,
        "name": rule.slug,
        "shortDescription": {"text": f"{rule.title}."},
        "fullDescription": {"text": _full(rule.doc)},
        "help": {"text": rule.doc, "markdown": _markdown(rule.doc)},
        "defaultConfiguration": {"level": _LEVEL[rule.severity], "rank": _RANK[rule.severity]},
        "properties": {"severity": str(rule.severity), "sources": list(rule.sources)},
    }


def _full(doc: str) -> str:
    from minisim.rules.page import sections

    parts = sections(doc)
    return " ".join(f"{parts.get('What is checked', '')} {parts.get('Why it matters', '')}".split())


def _markdown(doc: str) -> str:
    """The documentation with its headings as headings and its example as code."""
    from minisim.rules.page import sections

    parts = sections(doc)
    made = [parts.pop("")]
    for heading, words in parts.items():
        made.append(f"## {heading}\n\n" + (f"```\n{words}\n```" if heading == "Example" else words))
    return "\n\n".join(made)


# ---- results


def _results(report: Report, ids: Sequence[str], files: Sequence[str]) -> Iterator[dict[str, Any]]:
    seen: Counter[tuple[str, str]] = Counter()
    for finding in report.findings:
        subject = (finding.rule, finding.place)
        yield _result(finding, ids.index(finding.rule), files.index(report.file), seen[subject])
        seen[subject] += 1


def _result(finding: Finding, rule: int, file: int, number: int) -> dict[str, Any]:
    result: dict[str, Any] = {
        "ruleId": finding.rule,
        "ruleIndex": rule,
        "kind": "fail",
        "level": _LEVEL[finding.severity],
        "rank": _RANK[finding.severity],
        "message": {"text": _told(finding), "markdown": _told(finding, bold="**")},
        "locations": [_location(finding.mark, place=finding.place, index=file)],
        "partialFingerprints": {"subject/v1": _fingerprint(finding, number)},
        "properties": _properties(finding),
    }
    if others := _related(finding):
        result["relatedLocations"] = others
    if finding.accepted and not is_open(finding):  # damage stays a result, whatever the owner says
        result["suppressions"] = [{"kind": "inSource", "status": "accepted", "justification": finding.accepted}]
    return result


def _told(finding: Finding, *, bold: str = "") -> str:
    """The place stands without brackets here: in a message they may begin a link."""
    sources = f" ({', '.join(finding.sources)})" if finding.sources else ""
    parts = [
        ("", f"{finding.place}: {what(finding)}{sources}."),
        ("Put right:", f" {finding.fix}."),
        ("Measure next:", f" {finding.next_measurement}."),
    ]
    if finding.accepted:
        parts.append(("Accepted:", f" {finding.accepted}."))
    if not bold:
        return _no_link(" ".join(word + said for word, said in parts))
    return "\n\n".join(f"{bold}{word}{bold}{_literal(said)}" if word else _literal(said) for word, said in parts)


def _literal(words: str) -> str:
    """What markdown would take for its own stands as it is."""
    return re.sub(r"([\\`*<>\[\]_#])", r"\\\1", words)


def _no_link(words: str) -> str:
    return words.replace("](", "] (") or "no reason given"


def _properties(finding: Finding) -> dict[str, Any]:
    said = {
        "severity": str(finding.severity),
        "place": finding.place,
        "evidence": str(finding.evidence),
        "cause": finding.cause,
        "nextMeasurement": finding.next_measurement,
        "sources": list(finding.sources),
    }
    if finding.rests_on:
        said["restsOn"] = list(finding.rests_on)
    return said


def _fingerprint(finding: Finding, number: int) -> str:
    """The same for the same rule at the same place, wherever the lines of the file go."""
    words = "\n".join((finding.rule, finding.place, str(number)))
    return hashlib.sha256(words.encode("utf-8", "replace")).hexdigest()[:32]


def _related(finding: Finding) -> list[dict[str, Any]]:
    """The other parties of a conflict, in the file where they have a line of their own."""
    return [_also(number, one, finding.mark.file) for number, one in enumerate(finding.also, 1)]


def _also(number: int, words: str, file: str) -> dict[str, Any]:
    line = _AT_LINE.search(words)
    place: dict[str, Any] = {"id": number, "message": {"text": _no_link(words)}}
    if line:
        place["physicalLocation"] = {"artifactLocation": _file(file), "region": {"startLine": int(line[1])}}
    return place


# ---- places


def _location(mark: Mark, *, place: str = "", index: int | None = None) -> dict[str, Any]:
    artifact = _file(mark.file) if index is None else {**_file(mark.file), "index": index}
    region = {"startLine": mark.line, "startColumn": mark.column}
    made: dict[str, Any] = {"physicalLocation": {"artifactLocation": artifact, "region": region}}
    if place:
        made["logicalLocations"] = [{"fullyQualifiedName": place, "kind": "place in the machine"}]
    return made


def _file(name: str) -> dict[str, Any]:
    """Relative to where the command was called, else a whole file address."""
    here = Path(os.path.normpath(name))
    if here.is_absolute() and here.is_relative_to(Path.cwd()):
        here = here.relative_to(Path.cwd())
    if not here.is_absolute() and here.parts[:1] != ("..",):
        return {"uri": quote(os.fsencode(_relative(here.as_posix()))), "uriBaseId": BASE}
    whole = Path(os.path.normpath(Path.cwd() / here))
    return {"uri": f"file://{quote(os.fsencode(whole.as_posix()))}"}


def _relative(path: str) -> str:
    """A first part with a colon would be taken for a scheme."""
    return f"./{path}" if ":" in PurePosixPath(path).parts[0] else path


# ---- how the check went


def _invocation(reports: Iterable[Report], problems: Sequence[Problem]) -> dict[str, Any]:
    notes = [_notification("error", one.message, one.mark) for one in problems]
    notes += [_notification("note", summary(one), Mark(one.file, 1, 1)) for one in reports]
    return {"executionSuccessful": not problems, "toolExecutionNotifications": notes}


def _notification(level: str, words: str, mark: Mark) -> dict[str, Any]:
    return {"level": level, "message": {"text": _no_link(words)}, "locations": [_location(mark)]}
