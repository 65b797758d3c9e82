"""A board that does not pass the grants is followed by one that uses the bus.

What is checked
    Whether any board that interrupts or does DMA stands behind one that does not hand the grants on, by its catalogue
    entry or the owner's description.  On the separate-line bus this is asked of the interrupt grants.

Why it matters
    All later boards are dead, as behind an empty position, although every place is filled.

Example
    machine.yaml:10:7: fault GRANT-002 bus-user-behind-board-without-through-grant [main/a/2]: the board does not pass
    the grants, and behind it stands a serial line; it must be the last one that uses them (slot-order-posts-1999).

Putting it right
    Make the board the last one of the chain.

Known limits
    Boards that pass the grants on rows C-D only by jumpers are GRANT-004's.

Sources
    slot-order-posts-1999: the board that must be the last one.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import board_subject, known, names, short
from minisim.rules._grants import passing_of, perhaps_behind, start_of, users_behind
from minisim.wiring.model import GrantKind, Passes, Wired, WiredBoard


@rule(
    id="GRANT-002",
    slug="bus-user-behind-board-without-through-grant",
    severity=Severity.FAULT,
    needs=("SLOT-008", "SLOT-009", "SLOT-010", "GRANT-004"),
    sources=("slot-order-posts-1999",),
)
def bus_user_behind_board_without_through_grant(wired: Wired) -> Iterator[Result]:
    """Ask of each board in the chain whether it hands the grants on, and who stands behind it."""
    chain = wired.chain(GrantKind.INTERRUPT)
    for board in wired.boards:
        subject, (passing, hop) = board_subject(board), passing_of(chain, board)
        if hop is None or hop.number < start_of(wired, chain):  # no grant comes to a board before the processor
            yield does_not_apply(subject)
            continue
        known(board.entry.passes_grant, f"whether {short(board)} passes the grants")
        if passing is Passes.YES:
            yield passed(subject)
            continue
        behind = users_behind(wired, chain, hop)
        if not behind:
            unsure = perhaps_behind(wired, chain, hop)
            yield not_checked(subject, *unsure) if unsure else passed(subject)
        elif passing is Passes.UNKNOWN:
            yield not_checked(subject, f"whether {short(board)} passes the grants")
        else:
            yield _finding(board, behind)


def _finding(board: WiredBoard, behind: tuple[WiredBoard, ...]) -> Result:
    last = behind[-1].place
    return failed(
        board_subject(board),
        found=f"the board does not pass the grants, and behind it {'stands' if len(behind) == 1 else 'stand'} "
        f"{', '.join(names(behind))}",
        limit="it must be the last board that uses them",
        cause="the boards behind it show their registers but get no interrupt and no DMA",
        fix=f"move the board behind {last}",
        next_measurement=probe(
            "with the board out and power off, measure on the board from grant input to grant output",
            "an open line",
            "the board passes the grants: describe it so in the loadout",
        ),
        also=names(behind),
    )
