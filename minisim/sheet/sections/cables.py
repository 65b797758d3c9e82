"""What hangs on the boards: each chain from board to drive or terminal, speed, medium; and what joins the boxes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.known import Known
from minisim.sheet.blocks import BLANK, Block, Page, Table, Words
from minisim.sheet.messages import say
from minisim.sheet.numbers import figure_text

if TYPE_CHECKING:
    from minisim.wiring.model import Wired, WiredCable, WiredUnit


def cables_page(wired: Wired) -> Page:
    """One row a cable, one row a joint between backplanes."""
    blocks: list[Block] = []
    if wired.cables:
        head = tuple(say(f"cables-{name}") for name in ("from", "through", "to", "line", "medium", "in"))
        blocks.append(Table("cable-list", say("cables-caption"), head, tuple(map(_row, wired.cables))))
    joints = tuple(_joint(unit) for unit in wired.units if unit.index)
    if joints:
        head = tuple(say(f"joints-{name}") for name in ("unit", "cable", "length", "in"))
        blocks.append(Table("joints", say("joints-caption"), head, joints))
    return Page("cables", say("cables-title"), tuple(blocks or [Words(say("cables-none"))]), starts_sheet=False)


def _row(cable: WiredCable) -> tuple[str, ...]:
    end = cable.end
    port = say("cables-line-number", number=str(end.line)) if end.line is not None else ""
    port = say("cables-unit-number", number=str(end.unit)) if end.unit is not None else port
    kinds = ([cable.cable.kind] if cable.cable else []) + [one.kind for one in cable.through]
    words = [
        say("cables-baud", baud=str(end.baud)) if end.baud else "",
        say("cables-frame", bits=end.bits or "?", parity=end.parity or "?") if end.bits or end.parity else "",
        say(f"cables-{end.wiring}") if end.wiring else "",
        say("cables-protected") if end.write_protect else "",
    ]
    return (
        f"{end.board} {port}".strip(),
        "; ".join(kinds) or say("figure-unknown"),
        say("cables-terminal") if cable.drive.id == "terminal" else cable.drive.kind,
        ", ".join(word for word in words if word),
        end.media_text,
        BLANK,
    )


def _joint(unit: WiredUnit) -> tuple[str, ...]:
    length = f"{figure_text(unit.cable_m)} m" if isinstance(unit.cable_m, Known) else figure_text(unit.cable_m)
    return f"{unit.box}/{unit.id}", unit.cable or say("joints-direct"), length, BLANK
