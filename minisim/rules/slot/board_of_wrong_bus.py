"""A board of one bus stands in a backplane of the other.

What is checked
    Whether the bus of each board, as its catalogue entry has it, is the bus of the backplane it stands in.

Why it matters
    The two buses put supplies and signals on different pins of the same connectors.  Supply volts meet signal pins the
    moment power comes on: drivers die on the board and on its neighbours.

Example
    A dual serial board of the multiplexed bus in C-D of a small-peripheral slot:
    machine.yaml:9:7: damage SLOT-008 board-of-wrong-bus [main/a/5CD]: the board is made for the multiplexed bus and
    stands in a backplane of the separate-line bus; board and backplane must be of one bus (common-practice).

Putting it right
    Take the board out before power comes on, and give it a place in a machine of its own bus.

Known limits
    A board described in the loadout has no bus of its own; it is taken to be made for the backplane it stands in.

Sources
    common-practice: no published list is needed to keep the two buses apart.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, passed, probe, rule
from minisim.rules._facts import BUS_NAMES, board_subject
from minisim.wiring.model import Wired


@rule(id="SLOT-008", slug="board-of-wrong-bus", severity=Severity.DAMAGE, sources=("common-practice",))
def board_of_wrong_bus(wired: Wired) -> Iterator[Result]:
    """Compare the bus of each board with that of its backplane."""
    for board in wired.boards:
        subject, bus = board_subject(board), wired.units[board.unit].entry.bus
        if board.assumed:
            yield does_not_apply(subject)
        elif board.entry.bus == bus:
            yield passed(subject)
        else:
            yield failed(
                subject,
                found=f"the board is made for the {BUS_NAMES[board.entry.bus]} and stands in a backplane of the "
                f"{BUS_NAMES[bus]}",
                limit="board and backplane must be of one bus",
                cause="supplies meet signal pins: the board and its neighbours are destroyed at power-up",
                fix="take the board out before power comes on and place it in a machine of its own bus",
                next_measurement=probe(
                    "with power off, read the number on the handle again",
                    "the number of a board of the other bus",
                    "correct the loadout",
                ),
            )
