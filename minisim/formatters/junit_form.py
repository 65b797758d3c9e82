"""JUnit XML, as test reports are read by most services: one suite a loadout, one case an outcome."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from minisim.findings import Outcome, Report, State
from minisim.formatters.text_form import finding_lines, is_open, message
from minisim.problems import Problem

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

# What a document of XML can't hold, not even escaped.
_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def junit(reports: Sequence[Report], problems: Sequence[Problem] = ()) -> str:
    """Failed outcomes fail; what was not checked or does not apply is skipped; a file that can't be used is an error.

    What the owner has taken on is skipped, with the reason.
    """
    from xml.etree import ElementTree

    suites = [_suite(report) for report in reports]
    suites += [_unusable(file, [one for one in problems if one.mark.file == file]) for file in _files(problems)]
    totals = {name: str(sum(int(one.attrib[name]) for one in suites)) for name in ("tests", "failures", "errors")}
    root = ElementTree.Element("testsuites", {"name": "minisim check", **totals})
    root.extend(suites)
    ElementTree.indent(root)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ElementTree.tostring(root, encoding="unicode") + "\n"


def _files(problems: Iterable[Problem]) -> list[str]:
    return list(dict.fromkeys(one.mark.file for one in problems))


def _suite(report: Report) -> Element:
    from xml.etree.ElementTree import SubElement

    cases = [(outcome, _ending(outcome)) for outcome in report.outcomes]
    counts = Counter(ending for _, ending in cases)
    suite = _new_suite(report.file, tests=len(cases), failures=counts["failure"], skipped=counts["skipped"])
    for outcome, ending in cases:
        case = SubElement(suite, "testcase", classname=outcome.rule, name=_clean(f"{outcome.slug} {outcome.place}"))
        if ending:
            told = SubElement(case, ending, message=_clean(_said(outcome)))
            if ending == "failure" and outcome.finding:
                told.set("type", str(outcome.finding.severity))
                told.text = _clean("\n".join(finding_lines(outcome.finding, whole=True)))
    return suite


def _ending(outcome: Outcome) -> str:
    """The element that says how a case ended; "" for a passed one."""
    if outcome.state is State.PASSED:
        return ""
    taken_on = outcome.finding is not None and not is_open(outcome.finding)
    return "failure" if outcome.state is State.FAILED and not taken_on else "skipped"


def _said(outcome: Outcome) -> str:
    if outcome.state is not State.FAILED:
        return f"{outcome.state}: needs {outcome.needs}" if outcome.needs else str(outcome.state)
    if outcome.finding is None:
        return "fails by the same cause as another place"
    return f"accepted: {outcome.finding.accepted}" if not is_open(outcome.finding) else message(outcome.finding)


def _unusable(file: str, problems: Sequence[Problem]) -> Element:
    from xml.etree.ElementTree import SubElement

    suite = _new_suite(file, tests=1, errors=1)
    case = SubElement(suite, "testcase", classname="file", name="can be used")
    error = SubElement(case, "error", type="unusable", message=_clean(str(problems[0])))
    error.text = _clean("\n".join(map(str, problems)))
    return suite


def _new_suite(file: str, *, tests: int, failures: int = 0, errors: int = 0, skipped: int = 0) -> Element:
    from xml.etree.ElementTree import Element

    counts = {"tests": tests, "failures": failures, "errors": errors, "skipped": skipped}
    return Element("testsuite", {"name": _clean(file), **{name: str(number) for name, number in counts.items()}})


def _clean(words: str) -> str:
    return _NOT_XML.sub("?", words)
