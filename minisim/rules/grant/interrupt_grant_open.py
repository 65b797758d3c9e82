"""An empty small-peripheral slot has no grant card.

What is checked
    On the separate-line bus: whether every slot without a board holds a card that passes the four interrupt grants, as
    far as the last board that interrupts, or the turnaround terminator.

Why it matters
    Interrupts behind the slot are dead.  A turnaround terminator takes the open lines for grants, gives a lasting
    acknowledge, and the processor stands still at power-up.

Example
    machine.yaml:15:7: fault GRANT-007 interrupt-grant-open [main/a/6CF]: main/a/6CF is empty and holds no grant card;
    every slot as far as main/a/9AB must pass the interrupt grants (grant-card-wiki, sep-terminators-wiki).

Putting it right
    Fit a grant card in row D of each slot named.

Known limits
    The line printed is that of the first board that suffers: an empty slot has no line of its own.

Sources
    grant-card-wiki: what the cards pass.
    sep-terminators-wiki: what the turnaround terminator makes of an open grant.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, Subject, does_not_apply, failed, not_checked, passed, probe, rule, same_as
from minisim.rules._facts import names
from minisim.rules._grants import (
    act_at,
    before_the_joint,
    doubts_about,
    hop_subject,
    joint_text,
    open_hops,
    places,
    probe_joint,
    start_of,
    suffering,
)
from minisim.wiring.model import GrantKind, Hop, Wired, WiredBoard


@rule(
    id="GRANT-007",
    slug="interrupt-grant-open",
    severity=Severity.FAULT,
    needs=("SLOT-008", "SLOT-009", "SLOT-010"),
    sources=("grant-card-wiki", "sep-terminators-wiki"),
)
def interrupt_grant_open(wired: Wired) -> Iterator[Result]:
    """Ask of each empty slot whether the interrupt grants pass it, and who needs them behind."""
    if wired.bus != "sep":
        return
    chain = wired.chain(GrantKind.INTERRUPT)
    harmful = tuple(hop for hop in open_hops(wired, chain, empty_only=True) if suffering(wired, chain, hop))
    for hop in chain.hops:
        if hop.number <= start_of(wired, chain):
            continue
        harmed = suffering(wired, chain, hop)
        subject = hop_subject(wired, hop, harmed)
        if hop.board is not None:
            yield does_not_apply(subject)
        elif hop not in harmful:
            unsure = doubts_about(wired, chain, hop, "interrupt grants")
            yield not_checked(subject, *unsure) if unsure else passed(subject)
        elif hop is harmful[0]:
            yield _finding(subject, harmful, harmed)
        else:
            yield same_as(subject, hop_subject(wired, harmful[0], harmed))


def _finding(subject: Subject, harmful: tuple[Hop, ...], harmed: tuple[WiredBoard, ...]) -> Result:
    holes = before_the_joint(harmful)
    empty = [hop for hop in holes if not hop.joint]
    many = len(empty) > 1
    return failed(
        subject,
        found=f"{places(empty)} {'are' if many else 'is'} empty and {'hold' if many else 'holds'} no grant card"
        + joint_text(holes)
        if empty
        else f"the interrupt grants stop: {holes[0].why}",
        limit=f"every slot as far as {harmed[-1].place} must pass the interrupt grants",
        cause="interrupts behind are dead; before a turnaround terminator the processor stands still at power-up",
        fix=act_at(holes, "fit a grant card in row D of"),
        next_measurement=probe(
            f"with power off, measure each interrupt grant across row D of {empty[0].place}, input to output",
            "an open line",
            "something passes the grants there: write it into the loadout",
        )
        if empty
        else probe_joint(),
        also=names(harmed),
    )
