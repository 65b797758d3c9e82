"""Annotations for hosted CI: one workflow command a finding, which the service shows at the line of the file."""

from __future__ import annotations

from collections.abc import Sequence

from minisim.findings import Finding, Mark, Report, Severity
from minisim.formatters.text_form import is_open, what
from minisim.problems import Problem

_LEVEL = {Severity.DAMAGE: "error", Severity.FAULT: "error", Severity.DOUBT: "warning", Severity.NOTE: "notice"}
_IN_MESSAGE = {"%": "%25", "\r": "%0D", "\n": "%0A"}
_IN_PROPERTY = {**_IN_MESSAGE, ":": "%3A", ",": "%2C"}  # these two end a property


def github(reports: Sequence[Report], problems: Sequence[Problem] = ()) -> str:
    """One annotation for each finding and each error of a file that can't be used."""
    lines = [_finding(one) for report in reports for one in report.findings]
    lines += [_command("error", one.mark, "can't be used", one.message) for one in problems]
    return "".join(f"{line}\n" for line in lines)


def _finding(finding: Finding) -> str:
    accepted = f" Accepted: {finding.accepted}." if finding.accepted else ""
    level = _LEVEL[finding.severity] if is_open(finding) else "notice"
    told = f"[{finding.place}] {what(finding)}. Put right: {finding.fix}.{accepted}"
    return _command(level, finding.mark, f"{finding.severity} {finding.rule} {finding.slug}", told)


def _command(level: str, mark: Mark, title: str, message: str) -> str:
    properties = {"file": mark.file, "line": str(mark.line), "col": str(mark.column), "title": title}
    told = ",".join(f"{name}={_escaped(value, _IN_PROPERTY)}" for name, value in properties.items())
    return f"::{level} {told}::{_escaped(message, _IN_MESSAGE)}"


def _escaped(words: str, table: dict[str, str]) -> str:
    return "".join(table.get(one, one) for one in words)
