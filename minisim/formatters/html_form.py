"""HTML: one page that stands alone, for a tablet at the rack or for paper; no network, no script needed to read it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from html import escape

from minisim.findings import Finding, Report
from minisim.formatters.html_parts import FOOT, HEAD
from minisim.formatters.text_form import FIRST_SCREEN, counted, is_open, weakness
from minisim.known import Evidence
from minisim.problems import Problem
from minisim.rules._cautions import CAUTION
from minisim.rules._disputes import dispute


def html_page(reports: Sequence[Report], problems: Sequence[Problem] = ()) -> str:
    """The worst first and open, the rest folded; at the end the rules that found something, and the cautions."""
    from minisim.cli import version

    findings = [one for report in reports for one in report.findings]
    parts = [HEAD, "<h1>Check of loadouts</h1>"]
    parts.append(f'<p class="made">Made on {date.today().isoformat()} by minisim {escape(version())}.</p>')
    if findings:
        first, _, _ = CAUTION.partition(" (")
        parts.append(f'<p class="caution">{escape(first)} (<a href="#cautions">all cautions</a>).</p>')
    parts.append(_contents(reports) if len(reports) > 1 else "")
    parts.append(_unusable(problems))
    parts += [_report(report, number) for number, report in enumerate(reports)]
    if findings:
        parts += [_cautions(), _rules(findings)]
    return "\n".join(part for part in [*parts, FOOT] if part) + "\n"


def html_fragment(report: Report) -> str:
    """One report as it stands inside the page, for a notebook: it brings no looks of its own."""
    findings = report.findings
    first, _, _ = CAUTION.partition(" (")
    parts = [f'<p class="caution"><b>{escape(first)}.</b></p>' if findings else "", _report(report, 0)]
    if findings:
        parts += [_rules(findings), f"<details><summary>All cautions</summary>{_cautions()}</details>"]
    return f'<div class="minisim-check">{"".join(part for part in parts if part)}</div>'


def _contents(reports: Iterable[Report]) -> str:
    rows = "".join(
        f'<li><a href="#machine-{number}">{escape(one.name)}</a>: {escape(_verdict(one))}</li>'
        for number, one in enumerate(reports)
    )
    return f"<nav><ul>{rows}</ul></nav>"


def _unusable(problems: Iterable[Problem]) -> str:
    rows = "".join(f"<li>{escape(str(one))}</li>" for one in problems)
    return f"<section><h2>Files that can't be used</h2><ul>{rows}</ul></section>" if rows else ""


# ---- one machine


def _report(report: Report, number: int) -> str:
    in_order = sorted(report.findings, key=lambda one: not is_open(one))
    shown, folded = in_order[:FIRST_SCREEN], in_order[FIRST_SCREEN:]
    parts = [
        f'<section id="machine-{number}">',
        f"<h2>{escape(report.name)}</h2>",
        f'<p class="file">{escape(report.file)}</p>',
        f'<p class="verdict">{escape(_verdict(report))}</p>',
        f"<p>{_sentence(report.standing)}</p>" if report.standing else "",
        f"<pre>{escape(chr(10).join(report.head))}</pre>" if report.head else "",
        *(_finding(one, unfolded=True) for one in shown),
    ]
    if folded:
        more = "".join(_finding(one) for one in folded)
        parts.append(f"<details><summary>{len(folded)} more: {escape(counted(folded))}</summary>{more}</details>")
    return "\n".join(part for part in [*parts, _not_known(report), "</section>"] if part)


def _verdict(report: Report) -> str:
    open_ones = [one for one in report.findings if is_open(one)]
    accepted = len(report.findings) - len(open_ones)
    words = [counted(open_ones) if open_ones else "consistent on paper"]
    words += [f"{accepted} accepted"] if accepted else []
    missing = len(report.not_known)
    words += [f"{missing} thing{'' if missing == 1 else 's'} not known"] if missing else []
    return "; ".join(words)


def _not_known(report: Report) -> str:
    rows = "".join(f"<li>{escape(need)}</li>" for need in report.not_known)
    return f"<h3>Not known, so not checked</h3><ul>{rows}</ul>" if rows else ""


def _finding(finding: Finding, *, unfolded: bool = False) -> str:
    """The line of the fault to tap on; under it the act, the measurement, why, and what it rests on."""
    word = str(finding.severity) if is_open(finding) else f"{finding.severity}, accepted"
    head = (
        f'<span class="word {finding.severity}">{escape(word)}</span> <b>{escape(finding.place)}</b> '
        f"{escape(f'{finding.board}: ' if finding.board else '')}{escape(finding.found)}"
    )
    rows = "".join(f"<dt>{escape(name)}</dt><dd>{said}</dd>" for name, said in _rows(finding))
    rule = f'<a href="#rule-{escape(finding.rule)}">{escape(finding.rule)} {escape(finding.slug)}</a>'
    return (
        f'<details class="finding {finding.severity}"{" open" if unfolded else ""}><summary>{head}</summary>'
        f'<dl>{rows}</dl><p class="from">Rule {rule}, line {finding.mark.line} of the file. '
        f'<span class="done">Done: <i class="box"></i> by</span></p></details>'
    )


def _rows(finding: Finding) -> Iterable[tuple[str, str]]:
    yield "Put right", _sentence(finding.fix)
    yield "Measure next", _sentence(finding.next_measurement)
    if finding.accepted:
        yield "Accepted", _sentence(finding.accepted)
    sources = f" ({', '.join(finding.sources)})" if finding.sources else ""
    yield "Allowed", _sentence(f"{finding.limit}{sources}")
    yield "Why", _sentence(finding.cause)
    if finding.also:
        yield "Also", "<br>".join(map(escape, finding.also))
    if weak := weakness(finding):
        yield "Evidence", _sentence(weak)
    for number in finding.disputed:
        yield "Disputed", _sentence(dispute(number))
    if rests := [one for one in finding.rests_on if one.endswith(tuple(f": {e}" for e in Evidence if e.needs_saying))]:
        yield "Rests on", "<br>".join(map(escape, rests))


def _sentence(words: str) -> str:
    return escape(words[:1].upper() + words[1:].rstrip(".") + ".")


# ---- the end of the page


def _cautions() -> str:
    from minisim.sheet.cautions import general_cautions
    from minisim.sheet.messages import say

    items = "".join(f"<li>{escape(row)}</li>" for row in general_cautions())
    title, first = escape(say("cautions-title")), escape(say("cautions-codes"))
    return f'<section id="cautions"><h2>{title}</h2><p><b>{first}</b></p><ul>{items}</ul></section>'


def _rules(findings: Iterable[Finding]) -> str:
    ids = sorted({one.rule for one in findings})
    return f"<section><h2>The rules that found something</h2>{''.join(map(_rule, ids))}</section>"


def _rule(rule_id: str) -> str:
    from minisim.rules import find_rule
    from minisim.rules.page import sections

    rule = find_rule(rule_id)
    if rule is None:
        return ""
    parts = sections(rule.doc)
    title = parts.pop("")
    body = "".join(f"<h4>{escape(heading)}</h4>{_words(heading, said)}" for heading, said in parts.items())
    return (
        f'<details id="rule-{escape(rule.id)}"><summary><b>{escape(rule.id)} {escape(rule.slug)}</b> '
        f"{escape(title)}</summary>{body}</details>"
    )


def _words(heading: str, said: str) -> str:
    kind = ' class="example"' if heading == "Example" else ""
    return "".join(f"<p{kind}>{escape(' '.join(paragraph.split()))}</p>" for paragraph in said.split("\n\n"))
