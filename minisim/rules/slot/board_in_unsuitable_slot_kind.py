"""The kind of a slot is not among those its board may stand in.

What is checked
    Whether the kind of the slot under the rows of each board is one that its catalogue entry allows.  A hex board of
    the separate-line bus is judged by its rows A-B, its rows C-F must then be small-peripheral or of the same kind; a
    dual board of the multiplexed bus may use rows C-D of a twin-bus slot, never those of a private-link slot.

Why it matters
    The board finds no bus there, or other signals on its pins.  Where the catalogue entry knows that such a place does
    damage, so does this finding.

Example
    machine.yaml:12:7: fault SLOT-010 board-in-unsuitable-slot-kind [main/a/9AB]: the board stands in a slot of kind
    bus-end; it may stand in small-peripheral slots.

Putting it right
    Move the board to a slot of a kind it is made for.

Known limits
    Boards described in the loadout, and backplanes whose slots are not known, are not checked.

Sources
    slot-order-posts-1999: in a private-link slot a dual board goes to rows A-B and C-D stay empty.
    common-practice: the slot kinds of each board and backplane come from their catalogue entries, which name theirs.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import board_subject, kinds_are_known, short
from minisim.rules._free import slot_hint
from minisim.rules._places import forbids, odd_slots, off_the_bus, suits
from minisim.wiring.model import Wired, WiredBoard


@rule(
    id="SLOT-010",
    slug="board-in-unsuitable-slot-kind",
    severity=Severity.FAULT,
    needs=("SLOT-008", "SLOT-007", "SLOT-001", "SLOT-002", "SLOT-003", "SLOT-004", "SLOT-006"),
    sources=("slot-order-posts-1999", "common-practice"),
)
def board_in_unsuitable_slot_kind(wired: Wired) -> Iterator[Result]:
    """Compare the kinds under each board with those it may stand in."""
    for board in wired.boards:
        subject = board_subject(board)
        if board.assumed:
            yield does_not_apply(subject)
            continue
        kinds_are_known(wired, board)
        if not board.kinds:
            yield not_checked(subject, f"slot kinds of backplane {board.place.box}/{board.place.unit}")
        elif not board.entry.slots:
            yield not_checked(subject, f"slot kinds in which {short(board)} may stand")
        elif suits(board):
            odd = odd_slots(wired, board)
            yield _half(wired, board, odd) if odd else passed(subject)
        else:
            yield _finding(wired, board)


def _finding(wired: Wired, board: WiredBoard) -> Result:
    severity, why, sources = forbids(board)
    off = off_the_bus(board)
    allowed = f"it may stand in slots of kind {_kinds(board)}"
    return failed(
        board_subject(board),
        found=f"the board stands in rows {board.rows} of a slot of kind {' or '.join(board.kinds)}",
        limit="rows CD carry no bus in such a slot" if off else allowed,
        cause=why or "it finds no bus there, or other signals on its pins",
        fix=_act(board, severity) + ("" if off else slot_hint(wired, board, board.entry.slots)),
        next_measurement=probe(
            "with power off, count the slots from the processor's end and the rows from A",
            f"the place {board.place}",
            "correct the loadout",
        ),
        severity=severity,
        sources=sources or (("slot-order-posts-1999",) if off else ("common-practice",)),
    )


def _half(wired: Wired, board: WiredBoard, odd: tuple[int, ...]) -> Result:
    there = wired.units[board.unit].entry.slots[odd[0]].values()
    return failed(
        board_subject(board),
        found=f"slot {odd[0]} of the set is of kind {' or '.join(dict.fromkeys(there))}",
        limit=f"all its boards may stand in slots of kind {_kinds(board)} only",
        cause="the board there finds no bus, or other signals on its pins",
        fix=f"move the set to slots that are all of kind {_kinds(board)}",
        next_measurement=probe(
            "with power off, count the slots from the processor's end and the boards of the set",
            f"the places {board.place}",
            "correct the loadout",
        ),
        sources=("common-practice",),
    )


def _kinds(board: WiredBoard) -> str:
    return " or ".join(board.entry.slots)


def _act(board: WiredBoard, severity: Severity | None) -> str:
    """Where to put the board; before power comes on, where the place does damage."""
    hurry = " before power comes on" if severity is Severity.DAMAGE else ""
    if off_the_bus(board) and any(kind in board.entry.slots for kind in board.kinds):
        return f"move the board to rows AB of a slot{hurry}"
    return f"move the board to a slot of kind {_kinds(board)}{hurry}"
