"""Memory for extended slots stands elsewhere, or other memory stands in an extended slot.

What is checked
    On the separate-line bus: whether the rows A-B of a memory board stand in an extended slot exactly if the board is
    made for one.

Why it matters
    Extended slots carry four more address lines on pins that hold grounds, parity lines or volts in other slots.  The
    wrong pins are driven: no memory at best, damage at worst.

Example
    machine.yaml:9:7: damage SLOT-004 memory-slot-kind-mismatch [main/a/4]: memory for modified slots stands in an
    extended slot; memory and slot must be of one kind (extended-slot-wiki).

Putting it right
    Move the board to a slot of its kind, or use the memory made for the slot.

Known limits
    Which slots of the processor backplanes are extended is partly unconfirmed; the finding says so.

Sources
    extended-slot-wiki: what extended slots carry and which boards they take.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import board_subject, kinds_are_known
from minisim.rules._free import slot_hint
from minisim.wiring.model import Wired

EXTENDED = "extended"
UNIT_OF_ITS_OWN = "dedicated"


@rule(
    id="SLOT-004",
    slug="memory-slot-kind-mismatch",
    severity=Severity.DAMAGE,
    needs=("SLOT-008", "SLOT-003"),
    sources=("extended-slot-wiki",),
)
def memory_slot_kind_mismatch(wired: Wired) -> Iterator[Result]:
    """Compare the slot kind under A-B with the kind each memory board is made for."""
    for board in wired.boards:
        subject, entry = board_subject(board), board.entry
        at_home = UNIT_OF_ITS_OWN in entry.slots and EXTENDED not in board.kinds
        if wired.bus != "sep" or entry.memory is None or at_home or not entry.slots:
            yield does_not_apply(subject)
            continue
        kinds_are_known(wired, board)
        stands, made_for = board.kinds, " or ".join(entry.slots)
        if not stands:
            yield not_checked(subject, f"slot kinds of backplane {board.place.box}/{board.place.unit}")
            continue
        if EXTENDED not in (*stands, *entry.slots) or set(stands) & set(entry.slots):
            yield passed(subject)
            continue
        yield failed(
            subject,
            found=f"memory made for {made_for} slots stands in a slot of kind {' or '.join(stands)}",
            limit="memory and slot must be of one kind",
            cause="the wrong pins are driven: no memory, possible damage",
            fix=f"move the board to one of the {made_for} slots before power comes on"
            + slot_hint(wired, board, entry.slots),
            next_measurement=probe(
                "with power off, read the number on the handle and of the slot in the print set of the backplane",
                "the kinds printed here",
                "correct the loadout",
            ),
        )
