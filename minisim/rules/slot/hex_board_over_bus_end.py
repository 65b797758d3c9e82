"""A hex board stands where rows A-B are a bus-end slot.

What is checked
    On the separate-line bus: whether any board that covers rows A to F stands in a slot whose rows A-B are a bus-end
    slot, boards described in the loadout included.

Why it matters
    A bus-end slot is wired for cables and terminators; one of its pins is tied to a grant.  A hex board there shorts
    lines, or does not go in because a cable or terminator is in the way.

Example
    machine.yaml:16:7: damage SLOT-003 hex-board-over-bus-end [main/a/9]: a hex board covers a bus-end slot with its
    rows A-B; hex boards belong in modified slots (slot-kinds-post).

Putting it right
    Move the board to a modified slot.

Known limits
    Units whose slots are not known are not checked.

Sources
    slot-kinds-post: no hex board where a bus-end slot lies in line.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import board_subject, known
from minisim.rules._free import slot_hint
from minisim.wiring.model import Wired

BUS_END = "bus-end"
HEX = "ABCDEF"


@rule(
    id="SLOT-003",
    slug="hex-board-over-bus-end",
    severity=Severity.DAMAGE,
    needs=("SLOT-008",),
    sources=("slot-kinds-post",),
)
def hex_board_over_bus_end(wired: Wired) -> Iterator[Result]:
    """Look at the kind under rows A-B of every hex board."""
    for board in wired.boards:
        subject, unit = board_subject(board), wired.units[board.unit]
        if wired.bus != "sep" or board.rows != HEX:
            yield does_not_apply(subject)
            continue
        if not unit.entry.slots:
            made_for_it = board.placed.board in unit.entry.takes
            missing = f"slot kinds of backplane {unit.box}/{unit.id}"
            yield does_not_apply(subject) if made_for_it else not_checked(subject, missing)
            continue
        known(unit.entry.slots_evidence, f"slot kinds of backplane {unit.box}/{unit.id}")
        if BUS_END not in board.kinds:
            yield passed(subject)
            continue
        yield failed(
            subject,
            found="a hex board covers a bus-end slot with its rows A-B",
            limit="hex boards belong in modified slots",
            cause="lines are shorted, a grant among them, or the board does not go in",
            fix="move the board to a modified slot before power comes on"
            + slot_hint(wired, board, board.entry.slots or ("modified",)),
            next_measurement=probe(
                "with power off, look what stands in rows A-B of the first and the last slot",
                "cable, jumper or terminator there, and nothing else",
                "count the slots again from the processor's end and correct the loadout",
            ),
        )
