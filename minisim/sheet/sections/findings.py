"""What the checker says: findings with the next measurement, those taken on with their reasons, what is not known."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from minisim.findings import Severity
from minisim.sheet.blocks import Block, Fields, Heading, ItemKind, Items, Page, Role, Words
from minisim.sheet.messages import say

if TYPE_CHECKING:
    from minisim.findings import Finding, Report


def findings_page(report: Report) -> Page:
    """Open ones worst first, then the accepted ones, then what could not be checked."""
    open_ones = [one for one in report.findings if not one.accepted]
    taken_on = [one for one in report.findings if one.accepted]
    blocks: list[Block] = []
    for one in open_ones:
        blocks += finding_blocks(one)
    if not open_ones:
        blocks.append(Words(say("findings-none"), Role.STRONG))
    if taken_on:
        blocks.append(Heading(say("findings-accepted")))
        blocks.append(Items(tuple(_accepted(one) for one in taken_on)))
    if report.not_known:
        blocks.append(Heading(say("findings-not-known")))
        blocks.append(Items(report.not_known, ItemKind.BOXES))
    return Page("findings", say("findings-title"), tuple(blocks))


def finding_blocks(one: Finding) -> Iterator[Block]:
    """One finding as a heading and its fields."""
    yield Heading(f"{say(f'severity-{one.severity}')}: {one.rule} {one.slug} [{one.place}]")
    board = f"{one.board}: " if one.board else ""
    rows = [
        (say("findings-found"), f"{board}{one.found}"),
        (say("findings-limit"), one.limit),
        (say("findings-why"), one.cause),
        (say("findings-fix"), one.fix),
        (say("findings-next"), one.next_measurement),
        (say("findings-also"), "; ".join(one.also)),
        (say("findings-evidence"), _evidence(one)),
        (say("findings-sources"), ", ".join(one.sources)),
    ]
    yield Fields(tuple((name, value) for name, value in rows if value))


def _evidence(one: Finding) -> str:
    weak = one.evidence.needs_saying
    disputed = [say("findings-disputed", number=number) for number in one.disputed]
    return "; ".join(([say(f"evidence-{one.evidence}")] if weak else []) + disputed)


def _accepted(one: Finding) -> str:
    severity = say(f"severity-{one.severity}")
    words = {"severity": severity, "rule": one.rule, "place": one.place, "found": one.found, "because": one.accepted}
    return say("findings-accepted-line", **words)


def accepted_damage(report: Report) -> Iterator[Words]:
    """Damage that the owner takes on stands before everything else."""
    for one in report.findings:
        if one.severity is Severity.DAMAGE and one.accepted:
            words = {"rule": one.rule, "place": one.place, "found": one.found, "because": one.accepted}
            yield Words(say("findings-damage-accepted", **words), Role.CAUTION)


def open_damage(report: Report) -> tuple[Finding, ...]:
    """Damage that nobody has taken on: with it nothing but the warning is printed."""
    return tuple(one for one in report.findings if one.severity is Severity.DAMAGE and not one.accepted)


def warning_page(damage: tuple[Finding, ...]) -> Page:
    """The only page of a machine that would be harmed."""
    blocks: list[Block] = [Words(say("warning-no-power"), Role.CAUTION), Words(say("warning-why"))]
    for one in damage:
        blocks += finding_blocks(one)
    blocks.append(Words(say("warning-then")))
    return Page("warning", say("warning-title"), tuple(blocks), starts_sheet=False)
