"""What hangs on the boards: each cable with its board, its line, its drive and its kind; and the length of a joint."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from minisim.known import Evidence, Figure, Known, NotApplicable, Unknown
from minisim.loadout.model import CableEnd, Joint, Loadout
from minisim.wiring.model import WiredBoard, WiredCable, WiredRegisters
from minisim.wiring.register_drafts import SERIAL
from minisim.wiring.source import Catalogue


def is_from(end: CableEnd, board: WiredBoard) -> bool:
    """Does a cable leave this board?  Its place may be written in either form, `3CF` or `3CDEF`."""
    return end.board in (str(board.place), f"{board.place.box}/{board.place.unit}/{board.placed.place}")


def wire_cables(
    loadout: Loadout, boards: Sequence[WiredBoard], registers: Sequence[WiredRegisters], catalogue: Catalogue
) -> tuple[WiredCable, ...]:
    """Every cable of the loadout, in its order."""
    return tuple(_cable(end, boards, registers, catalogue) for end in loadout.cables)


def _cable(
    end: CableEnd, boards: Sequence[WiredBoard], registers: Sequence[WiredRegisters], catalogue: Catalogue
) -> WiredCable:
    board = next((one for one in boards if is_from(end, one)), None)
    lines = [
        index
        for index, one in enumerate(registers)
        if board is not None and one.board == board.index and one.device == SERIAL and one.unit == (end.line or 0)
    ]
    return WiredCable(
        end=end,
        board=board.index if board else None,
        registers=next(iter(lines), None),
        drive=catalogue.drive(end.to),  # the word terminal is the id of an entry as well
        cable=catalogue.cable(end.cable) if end.cable else None,
        through=tuple(catalogue.cable(one) for one in end.through),
    )


def length_of(joint: Joint | None, name: str, catalogue: Catalogue) -> Figure[Decimal]:
    """Metres of the cable to a unit: as stated, else where its kind was made in one length only."""
    if joint is None:
        return NotApplicable()
    if joint.length_m is not None:
        return Known(joint.length_m, Evidence.OWNER)
    made = catalogue.cable(joint.cable).lengths_m
    if isinstance(made, Known) and len(made.peek) == 1:
        return Known(Decimal(made.peek[0]), made.evidence, made.sources, made.note)
    return Unknown(f"length of the cable to {name}")
