"""A plain or turnaround terminator stands in rows A-B of a modified slot.

What is checked
    On the separate-line bus: whether a terminator that is not made for modified slots stands in one.

Why it matters
    Rows A-B of a modified slot carry supply voltages on pins that a terminator ties to ground or +5.  The supplies are
    shorted: parts of the terminator and tracks of the backplane burn.

Example
    machine.yaml:18:7: damage SLOT-002 terminator-in-modified-slot [main/a/8AB]: a terminator stands in a modified
    slot, whose rows A-B carry supply voltages; it belongs in a bus-end slot (modified-slot-post-2016,
    sep-termination-post-2006).

Putting it right
    Put it in a bus-end slot.  In a modified slot only the boot-terminator board may end the bus.

Known limits
    One reference page allows what a print-set note and two posts call a short (disputed D8); read as damage.  The test
    that decides (common practice): with power off and the slot empty, measure from each pin of its rows A-B to each
    supply.

Sources
    modified-slot-post-2016: the short, with the note in the print set.
    sep-termination-post-2006: the same, and the board that may stand there.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, passed, probe, rule
from minisim.rules._facts import board_subject, kinds_are_known
from minisim.rules._free import slot_hint
from minisim.rules._places import is_terminator_in_modified_slot
from minisim.wiring.model import Wired

MODIFIED = "modified"


@rule(
    id="SLOT-002",
    slug="terminator-in-modified-slot",
    severity=Severity.DAMAGE,
    needs=("SLOT-008",),
    sources=("modified-slot-post-2016", "sep-termination-post-2006"),
)
def terminator_in_modified_slot(wired: Wired) -> Iterator[Result]:
    """Look at terminators of the separate-line bus that a modified slot shorts."""
    for board in wired.boards:
        subject = board_subject(board)
        if board.entry.forbidden.get(MODIFIED, ("",))[0] != Severity.DAMAGE.value or board.entry.memory is not None:
            yield does_not_apply(subject)
            continue
        kinds_are_known(wired, board)
        if not is_terminator_in_modified_slot(board):
            yield passed(subject)
            continue
        yield failed(
            subject,
            found="a terminator stands in a modified slot, whose rows A-B carry supply voltages",
            limit="it belongs in a bus-end slot",
            cause="supplies are shorted through the terminator",
            fix="move the terminator to a bus-end slot before power comes on" + slot_hint(wired, board, ("bus-end",)),
            next_measurement=probe(
                "with power off and the slot empty, measure from each supply pin of its rows A-B to ground",
                "a supply where a bus-end slot has ground or a bus line",
                "the slot is a bus-end slot: correct the backplane in the loadout",
            ),
            disputed=("D8",),
        )
