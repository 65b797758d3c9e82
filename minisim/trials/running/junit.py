"""The report as JUnit XML: one suite, one case a program."""

from __future__ import annotations

import re

from minisim.trials.own import Verdict
from minisim.trials.running.model import Outcome, Report, heading
from minisim.trials.running.text import lines

# What a document of XML can't hold, not even escaped.
_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
SKIPPED = (Verdict.NOT_RUN, Verdict.NEEDS_PERSON)


def junit_text(report: Report) -> str:
    """Failures fail; what was not run or needs a person is skipped, with the reason; times are the machine's own."""
    from xml.etree import ElementTree

    seconds = f"{sum(one.seconds for one in report.outcomes):.3f}"
    counts = {"tests": str(len(report.outcomes)), "failures": str(report.count(Verdict.FAIL)), "errors": "0"}
    root = ElementTree.Element("testsuites", {"name": "minisim trial run", **counts, "time": seconds})
    skipped = {"skipped": str(report.count(*SKIPPED))}
    suite = ElementTree.SubElement(root, "testsuite", {"name": _clean(heading(report)), **counts, **skipped,
                                                       "time": seconds})  # fmt: skip
    for one in report.outcomes:
        _case(suite, one)
    ElementTree.indent(root)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ElementTree.tostring(root, encoding="unicode") + "\n"


def _case(suite: object, one: Outcome) -> None:
    from xml.etree.ElementTree import Element, SubElement

    assert isinstance(suite, Element)
    case = SubElement(suite, "testcase", classname="program", name=_clean(one.name), time=f"{one.seconds:.3f}")
    if one.verdict in SKIPPED:
        SubElement(case, "skipped", message=_clean(f"{one.verdict}: {one.because}"))
    elif one.verdict is Verdict.FAIL:
        failure = SubElement(case, "failure", type=str(one.verdict), message=_clean(one.because))
        failure.text = _clean("\n".join(lines(one)))
    if one.said:
        SubElement(case, "system-out").text = _clean(one.said.replace("\r\n", "\n"))


def _clean(words: str) -> str:
    return _NOT_XML.sub("?", words)
