"""An empty position lies between the processor and a board that interrupts or does DMA.

What is checked
    On the multiplexed bus: whether every position of the grant chain, from the processor to the last board that uses
    interrupts or DMA, is filled.  The order of the positions is that of the backplane entry.

Why it matters
    Grants pass through each board.  Behind a hole the registers still answer, so the board looks alive, but it never
    gets an interrupt or the bus, and its request can bring the processor into a bad state.

Example
    machine.yaml:13:7: fault GRANT-001 bus-grant-gap [main/a/2AB]: no grant reaches the board: main/a/2CD before it is
    empty; every position as far as main/a/2AB must pass the grants (grant-continuity-note).

Putting it right
    Fit a grant card in each empty position named, or move the boards together.

Known limits
    One finding names every board behind the same hole and every position to fill.  Empty positions behind the last
    board that uses the bus are allowed.

Sources
    grant-continuity-note: what a hole in the chain does.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Evidence, Known
from minisim.rules import Result, Subject, does_not_apply, failed, not_checked, passed, probe, rule, same_as
from minisim.rules._facts import board_subject, known, names, short
from minisim.rules._grants import (
    CutOff,
    act_at,
    cut_off,
    holes_of,
    holes_to_fill,
    joint_text,
    number_of,
    places,
    uses_any_grant,
)
from minisim.wiring.model import GrantChain, GrantKind, Hop, Wired, WiredBoard


@rule(
    id="GRANT-001",
    slug="bus-grant-gap",
    severity=Severity.FAULT,
    needs=("SLOT-008", "SLOT-009", "SLOT-010"),
    sources=("grant-continuity-note",),
)
def bus_grant_gap(wired: Wired) -> Iterator[Result]:
    """Ask of each board that uses grants whether an empty position cuts it off."""
    if wired.bus != "mux":
        return
    chain, gap = wired.chain(GrantKind.INTERRUPT), cut_off(wired)
    for board in wired.boards:
        yield _result(board, chain, gap, holes_of(wired))


def _result(board: WiredBoard, chain: GrantChain, gap: CutOff, holes: tuple[Hop, ...]) -> Result:
    subject, hop = board_subject(board), chain.hop_of(board.index)
    uses = uses_any_grant(board)
    if uses is False or hop is None:
        return does_not_apply(subject)
    known(chain.order_evidence, f"grant order of {board.place.box}/{board.place.unit}")
    if uses is None:
        behind = any(hole.number < hop.number for hole in holes)
        return not_checked(subject, f"interrupts and DMA of {short(board)}") if behind else passed(subject)
    if board not in gap.boards:
        return passed(subject)
    first = board_subject(gap.boards[0])
    return same_as(subject, first) if board is not gap.boards[0] else _finding(subject, chain, gap)


def _finding(subject: Subject, chain: GrantChain, gap: CutOff) -> Result:
    last, others, holes = gap.boards[-1], names(gap.boards[1:]), holes_to_fill(chain, gap)
    disputed = isinstance(chain.order_evidence, Known) and chain.order_evidence.evidence is Evidence.DISPUTED
    return failed(
        subject,
        found=f"no grant reaches the board: {_empty(chain, gap, holes)}"
        + (f"; cut off as well: {', '.join(others)}" if others else ""),
        limit=f"every position as far as {last.place} must pass the grants",
        cause="the registers answer, but no interrupt and no DMA come through; the processor may end in a bad state",
        fix=act_at(holes, "fit a grant card in"),
        next_measurement=probe(
            "with power off and boards in place, measure from the processor's grant output (AN2) to the grant input "
            f"of {subject.place} (AM2)",
            "an open line",
            "the positions are taken in another order than the backplane entry says",
        ),
        also=(*(f"{hop.place}: {hop.why}" for hop in holes), *others),
        disputed=("D6",) if disputed else (),
    )


def _empty(chain: GrantChain, gap: CutOff, holes: tuple[Hop, ...]) -> str:
    """`A, B before it are empty, and so is C further on`: the first board stands behind some of the holes only."""
    here = number_of(chain, gap.boards[0])
    before = [hole for hole in holes if hole.number < here and not hole.joint]
    further = [hole for hole in holes if hole.number > here and not hole.joint]
    if not before:
        return joint_text(holes).removeprefix("; ")
    text = f"{places(before)} before it {'is' if len(before) == 1 else 'are'} empty"
    text += f", and so {'is' if len(further) == 1 else 'are'} {places(further)} further on" if further else ""
    return text + joint_text(holes)
