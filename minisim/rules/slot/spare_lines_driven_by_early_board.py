"""An early board that uses the spare lines for itself stands in a 22-bit backplane.

What is checked
    On the multiplexed bus: whether a board that drives BC1, BD1, BE1 or BF1 for itself stands in a backplane that
    wires them as address lines 18 to 21, beside a board that uses 22 address bits.

Why it matters
    The early board holds these lines: the upper address bits of every cycle are wrong, and memory answers at the wrong
    place or not at all.

Example
    machine.yaml:8:7: doubt SLOT-005 spare-lines-driven-by-early-board [main/a/1]: the board drives BC1, BD1, BE1, BF1
    for itself in a 22-bit backplane, beside M0000 (main/a/2); these are address lines 18 to 21 there
    (common-practice).

Putting it right
    Use a board with the factory change, or another board, or keep the machine to 18 bits.

Known limits
    Which boards use these lines is unconfirmed, and whether a certain piece has the factory change can't be read from
    its number.

Sources
    common-practice: early boards with test signals on the spare lines (recalled, unconfirmed).
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Known, Unknown
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import board_subject, known, names, says, short
from minisim.wiring.model import Wired, WiredBoard

WIDE = 22


@rule(
    id="SLOT-005",
    slug="spare-lines-driven-by-early-board",
    severity=Severity.DOUBT,
    needs=("SLOT-008",),
    sources=("common-practice",),
)
def spare_lines_driven_by_early_board(wired: Wired) -> Iterator[Result]:
    """Look for boards that drive the spare lines where these are address lines."""
    for board in wired.boards:
        subject, uses = board_subject(board), board.entry.uses_spare_lines
        if wired.bus != "mux" or board.assumed or (isinstance(uses, Known) and uses.peek == "no"):
            yield does_not_apply(subject)
            continue
        unit = wired.units[board.unit]
        where = f"address bits of backplane {unit.box}/{unit.id}"
        wide = _others_of_22_bits(wired, board)
        bits = known(unit.entry.address_bits, where) if wide else 0
        if not wide or (bits is not None and bits < WIDE):
            yield passed(subject)
        elif bits is None:
            yield not_checked(subject, where)
        elif isinstance(uses, Unknown):
            yield not_checked(subject, f"whether {short(board)} drives the spare lines BC1 to BF1 for itself")
        else:
            says(uses, f"use of BC1, BD1, BE1, BF1 by {short(board)}")
            yield _finding(board, wide[0])


def _others_of_22_bits(wired: Wired, board: WiredBoard) -> list[WiredBoard]:
    """Boards that drive or decode address lines 18 to 21."""
    return [
        one
        for one in wired.boards
        if one.index != board.index
        and any(
            isinstance(figure, Known) and figure.peek == WIDE for figure in (one.entry.address_bits, one.entry.dma_bits)
        )
    ]


def _finding(board: WiredBoard, other: WiredBoard) -> Result:
    return failed(
        board_subject(board),
        found=f"the board drives BC1, BD1, BE1, BF1 for itself in a 22-bit backplane, beside {short(other)}",
        limit="these are address lines 18 to 21 there",
        cause="the upper address lines are held: memory answers at the wrong place or not at all",
        fix=f"fit {short(board)} with the factory change, or another board",
        next_measurement=probe(
            "with power on and the processor halted, measure BC1, BD1, BE1 and BF1 of an empty slot",
            "one of them low although no address is driven",
            "this piece has the factory change: accept the finding and say so",
        ),
        also=names((other,)),
    )
