"""The text form: one line a finding as `file:line:col: severity ID slug [place]: ...`, and what stands under it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from minisim.findings import Finding, Outcome, Report, Severity, State
from minisim.known import Evidence
from minisim.rules._cautions import CAUTION
from minisim.rules._disputes import dispute

FIRST_SCREEN = 5
"""Most findings shown without --all, and most lines about them."""

_COLOURS = {Severity.DAMAGE: "1;31", Severity.FAULT: "31", Severity.DOUBT: "33", Severity.NOTE: "36"}
_LIMITS = ("rating of", "total watts", "least load", "AC limit", "DC limit", "AC loads that need")
"""How the rules begin the names of figures that are limits; all others are values."""


def message(finding: Finding, *, colour: bool = False) -> str:
    """One line: `file:line:col: severity ID slug [place]: found; allowed (sources). Put right: act.`"""
    word = f"\x1b[{_COLOURS[finding.severity]}m{finding.severity}\x1b[0m" if colour else str(finding.severity)
    sources = f" ({', '.join(finding.sources)})" if finding.sources else ""
    return (
        f"{finding.mark}: {word} {finding.rule} {finding.slug} [{finding.place}]: "
        f"{what(finding)}{sources}. Put right: {finding.fix}."
    )


def what(finding: Finding) -> str:
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
    in_order = report.findings if whole else tuple(sorted(report.findings, key=lambda one: not is_open(one)))
    shown = in_order if whole else in_order[:FIRST_SCREEN]
    blocks = [finding_lines(finding, colour=colour, whole=whole) for finding in shown]
    kept = blocks if whole else _first_screen(shown, blocks)
    lines = [*report.head, *(line for block in kept for line in block)]
    folded = in_order[len(shown) :]
    if folded:
        lines.append(f"{report.file}: {len(folded)} more: {counted(folded)} (--all shows them)")
    elif kept != blocks:
        lines.append(f"{report.file}: --all shows what to measure for each, and what it rests on")
    if whole:
        lines += [_outcome_line(report, outcome) for outcome in report.outcomes]
        lines += [f"{report.file}: disputed {dispute(number)}." for number in report.disputed]
        lines.append(_tally(report))
    return [*lines, summary(report, whole=whole)]


def _first_screen(findings: Sequence[Finding], blocks: Sequence[list[str]]) -> list[list[str]]:
    """As many lines as the first screen holds: every message, then line by line what stands under them, in turn.

    A dispute is named all the same.
    """
    taken = [1] * len(blocks)
    for depth in range(1, max(map(len, blocks), default=0)):
        for number, block in enumerate(blocks):
            if depth < len(block) and sum(taken) < FIRST_SCREEN:
                taken[number] += 1
    kept = [block[:count] for block, count in zip(blocks, taken, strict=True)]
    for finding, block in zip(findings, kept, strict=True):
        cut = [number for number in finding.disputed if not any(f"Disputed {number}:" in line for line in block)]
        if cut:
            block[0] += f" Disputed: {', '.join(cut)}."
    return kept


def is_open(finding: Finding) -> bool:
    """Not taken on by the owner; damage stays open whatever the owner says."""
    return not finding.accepted or finding.severity is Severity.DAMAGE


def _tally(report: Report) -> str:
    """`FILE: 98 passed, 2 failed, 5 not checked, 40 do not apply`: how the rules ended, a line for each subject."""
    counts = Counter(outcome.state for outcome in report.outcomes)
    words = {**{state: str(state) for state in State}, State.NOT_APPLICABLE: "do not apply"}
    return f"{report.file}: {', '.join(f'{counts[state]} {words[state]}' for state in State)}"


def counted(findings: Iterable[Finding]) -> str:
    counts = Counter(finding.severity for finding in findings)
    return ", ".join(_count(counts[severity], severity) for severity in Severity if counts[severity])


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 or word == "damage" else f"{number} {word}s"


def summary(report: Report, *, whole: bool = True) -> str:
    """The last line of a report: `consistent on paper` at best, and what is not known (unless whole: folded)."""
    open_ones = [one for one in report.findings if is_open(one)]
    accepted = len(report.findings) - len(open_ones)
    parts = [counted(open_ones) if open_ones else "consistent on paper"]
    if report.standing:
        parts.append(report.standing)
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
    points = f" ({', '.join(outcome.disputed)})" if outcome.disputed and outcome.state is State.PASSED else ""
    return f"{report.file}: {outcome.rule} {outcome.slug} [{outcome.place}]: {outcome.state}{weak}{points}{needs}"
