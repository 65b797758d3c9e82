"""The report in the Test Anything Protocol, version 14 (https://testanything.org/tap-version-14-specification.html)."""

from __future__ import annotations

import json
from collections.abc import Iterator

from minisim.trials.own import Verdict
from minisim.trials.running.model import Outcome, Report, heading, last_line
from minisim.trials.running.text import lines


def tap_text(report: Report) -> str:
    """Version, plan, a point a program; what was not run is skipped, what failed brings its account as YAML."""
    return "".join(f"{line}\n" for line in _lines(report))


def _lines(report: Report) -> Iterator[str]:
    yield "TAP version 14"
    yield f"1..{len(report.outcomes)}"
    yield f"# {_plain(heading(report))}"
    for number, one in enumerate(report.outcomes, 1):
        yield from _point(number, one)
    yield f"# {last_line(report)}"


def _point(number: int, one: Outcome) -> Iterator[str]:
    name = _escaped(_plain(one.name))
    if one.verdict in (Verdict.NOT_RUN, Verdict.NEEDS_PERSON):
        yield f"ok {number} - {name} # SKIP {_escaped(_plain(f'{one.verdict}: {one.because}'))}"
        return
    yield f"{'ok' if one.verdict is Verdict.PASS else 'not ok'} {number} - {name}"
    yield "  ---"
    yield f"  passes: {one.passes}"
    yield f"  cases: {one.cases}"
    yield f"  guest-seconds: {one.seconds:.6f}"
    if one.verdict is Verdict.FAIL:
        yield f"  message: {_quoted(one.because)}"
        yield "  account:"
        yield from (f"    - {_quoted(line)}" for line in lines(one))
    yield "  ..."


def _quoted(text: str) -> str:
    """A text of YAML in double quotes: JSON's form of it is one."""
    return json.dumps(text)


def _escaped(text: str) -> str:
    return text.replace("\\", "\\\\").replace("#", "\\#")


def _plain(text: str) -> str:
    """Without what would end the line."""
    return "".join(letter if letter.isprintable() else "?" for letter in text)
