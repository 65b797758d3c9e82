"""The DMA grant of the separate-line bus is open at a slot.

What is checked
    Whether the DMA grant passes every slot between the processor and the last board that does DMA, or the turnaround
    terminator: by the wire CA1-CB1 of the slot, a dual grant card, or the board itself.

Why it matters
    DMA behind the slot is dead.  A turnaround terminator takes the open line, which floats high, for a grant, gives a
    lasting acknowledge, and the processor stands still.

Example
    machine.yaml:8:33: fault GRANT-006 dma-grant-open [main/a/5CF]: the DMA grant stops at main/a/5CF (wire out); up to
    the turnaround terminator every slot must pass it (small-peripheral-wiki, grant-card-wiki, sep-terminators-wiki).

Putting it right
    Fit the wire CA1-CB1 at the slots named, or a dual grant card where the slot is empty.

Known limits
    The state of wires that the loadout does not state is that of the backplane as shipped, partly unconfirmed.

Sources
    small-peripheral-wiki: the wire and when it is in.
    grant-card-wiki: what the two grant cards pass.
    sep-terminators-wiki: what the turnaround terminator makes of an open grant.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Mark, Severity
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
    id="GRANT-006",
    slug="dma-grant-open",
    severity=Severity.FAULT,
    needs=("SLOT-008", "SLOT-009", "SLOT-010"),
    sources=("small-peripheral-wiki", "grant-card-wiki", "sep-terminators-wiki"),
)
def dma_grant_open(wired: Wired) -> Iterator[Result]:
    """Ask of each slot whether it passes the DMA grant, and who needs it behind."""
    if wired.bus != "sep":
        return
    chain = wired.chain(GrantKind.DMA)
    harmful = tuple(hop for hop in open_hops(wired, chain, empty_only=False) if suffering(wired, chain, hop))
    mine = tuple(hop for hop in harmful if not (hop.joint and _told_by_interrupts(wired, hop)))
    first = next(iter(mine), None)
    for hop in chain.hops:
        if hop.number <= start_of(wired, chain):
            continue
        harmed = suffering(wired, chain, hop)
        subject = hop_subject(wired, hop, harmed, _wire_mark(wired, hop))
        if hop.joint and hop in harmful and _told_by_interrupts(wired, hop):
            yield does_not_apply(subject)  # GRANT-007 says it of the same cable
        elif hop not in harmful:
            unsure = doubts_about(wired, chain, hop, "DMA grant")
            yield not_checked(subject, *unsure) if unsure else passed(subject)
        elif hop is first:
            yield _finding(subject, mine, harmed)
        else:
            assert first is not None  # this hop is one of `mine`
            yield same_as(subject, hop_subject(wired, first, harmed, _wire_mark(wired, first)))


def _told_by_interrupts(wired: Wired, hop: Hop) -> bool:
    """Does the open joint harm an interrupt grant as well?"""
    chain = wired.chain(GrantKind.INTERRUPT)
    same = next((one for one in chain.hops if one.joint and one.place == hop.place), None)
    return same is not None and bool(suffering(wired, chain, same))


def _wire_mark(wired: Wired, hop: Hop) -> Mark | None:
    for box in wired.loadout.boxes:
        for unit in box.units:
            if (box.id, unit.id) == (hop.place.box, hop.place.unit):
                return unit.wires_marks.get(hop.place.slots[0])
    return None


def _finding(subject: Subject, harmful: tuple[Hop, ...], harmed: tuple[WiredBoard, ...]) -> Result:
    holes = before_the_joint(harmful)
    slots = [hop for hop in holes if not hop.joint]
    return failed(
        subject,
        found=f"the DMA grant stops at {places(slots)} ({slots[0].why})" + joint_text(holes)
        if slots
        else f"the DMA grant stops: {holes[0].why}",
        limit=f"every slot as far as {harmed[-1].place} must pass it",
        cause="DMA behind the slot is dead; before a turnaround terminator the processor stands still",
        fix=act_at(holes, "fit the wire CA1-CB1 at"),
        next_measurement=probe(
            f"with power off, measure from CA1 to CB1 at {slots[0].place}",
            "an open line",
            "the wire is in: write it under wires in the loadout",
        )
        if slots
        else probe_joint(),
        also=names(harmed),
    )
