"""A board that does DMA stands in a slot whose wire CA1-CB1 is in.

What is checked
    On the separate-line bus: whether the wire CA1-CB1 is out at every small-peripheral place where a board does DMA;
    for a set of several boards, at one of its slots at least.

Why it matters
    The grant passes beside the board as well.  The board never gets the bus, or it and a later one take the same grant
    and two masters drive the lines at once.

Example
    machine.yaml:17:7: fault GRANT-005 dma-grant-wire-beside-dma-board [main/a/5]: the wire CA1-CB1 is in, as the
    backplane is shipped, beside a board that does DMA; it must be out there (small-peripheral-wiki,
    grant-chain-practice).

Putting it right
    Take the wire CA1-CB1 out at the slot, and put it back when the board leaves it.

Known limits
    A wire that the loadout does not state is taken as the backplane was shipped, partly unconfirmed.  Which slot of a
    set takes the grant is not known here: one slot without the wire is enough for it to pass.

Sources
    small-peripheral-wiki: the wire is out where a board does DMA.
    grant-chain-practice: the same, and what happens if it is forgotten.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Mark, Severity
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import at_mark, board_subject, known, short
from minisim.rules._grants import uses_grant
from minisim.wiring.model import GrantKind, Hop, Wired, WiredBoard


@rule(
    id="GRANT-005",
    slug="dma-grant-wire-beside-dma-board",
    severity=Severity.FAULT,
    needs=("SLOT-008", "SLOT-009", "SLOT-010"),
    sources=("small-peripheral-wiki", "grant-chain-practice"),
)
def dma_grant_wire_beside_dma_board(wired: Wired) -> Iterator[Result]:
    """Look at the wires of the slots in which boards do DMA."""
    for board in wired.boards:
        subject = board_subject(board)
        hops = _wired_hops(wired, board)
        dma = uses_grant(board, GrantKind.DMA) if hops else False
        if dma is False:
            yield does_not_apply(subject)
            continue
        closed = [hop for hop in hops if hop.wire]
        if len(closed) < len(hops):
            yield passed(subject)
        elif dma is None:
            yield not_checked(subject, f"DMA of {short(board)}")
        else:
            yield _finding(wired, board, closed)


def _wired_hops(wired: Wired, board: WiredBoard) -> list[Hop]:
    """The positions of a board that have a wire CA1-CB1."""
    if wired.bus != "sep" or board.entry.processor is not None:
        return []
    return [hop for hop in wired.chain(GrantKind.DMA).hops if hop.board == board.index and hop.wire is not None]


def _finding(wired: Wired, board: WiredBoard, closed: list[Hop]) -> Result:
    slots = ", ".join(str(hop.place) for hop in closed)
    mark = _stated(wired, closed[0])
    unit = wired.units[board.unit]
    if mark is None:
        known(unit.entry.dma_grant_wires_evidence, f"wires of backplane {unit.box}/{unit.id} as shipped")
    return failed(
        at_mark(board, mark or board.mark),
        found=f"the wire CA1-CB1 is in{'' if mark else ', as the backplane is shipped,'} beside a board that does DMA",
        limit="it must be out there",
        cause="the board never gets the bus, or two masters have it at once",
        fix=f"take the wire CA1-CB1 out at {slots}" + (" (one of them for a set)" if len(closed) > 1 else "")
        + ("" if mark else ", and write it under wires"),
        next_measurement=probe(
            f"with power off and the board out, measure from CA1 to CB1 at {closed[0].place}, seen from the pin side",
            "a closed line",
            "the wire is out: write it under wires in the loadout",
        ),
    )  # fmt: skip


def _stated(wired: Wired, hop: Hop) -> Mark | None:
    for box in wired.loadout.boxes:
        for unit in box.units:
            if (box.id, unit.id) == (hop.place.box, hop.place.unit):
                return unit.wires_marks.get(hop.place.slots[0])
    return None
