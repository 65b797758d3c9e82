"""The line clock: who makes the ticks, who takes them, and which switch keeps them away."""

from __future__ import annotations

from minisim.findings import Mark
from minisim.known import Known
from minisim.rules._facts import says
from minisim.wiring.model import Wired, WiredBoard

CLOCK, EVENT = "line-clock", "event-line"
SWITCHES = {CLOCK: "clock", EVENT: "event-line"}  # device -> the setting that takes it away
TICKS = "-hz"  # a clock setting with frequencies belongs to a board that makes the ticks itself


def off_switch(wired: Wired) -> tuple[WiredBoard, Mark] | None:
    """The first board whose switch takes its line clock or event line away."""
    for board in wired.boards:
        for entry in board.entry.registers:
            setting = board.placed.settings.get(SWITCHES.get(entry.device, ""))
            if setting is not None and setting.text == "off":
                return board, setting.mark
    return None


def taking_ticks(wired: Wired) -> bool | None:
    """Does anything interrupt through the clock's vector?  None where it is not known of the processor."""
    if any(one.device in (CLOCK, EVENT) and one.vectors for one in wired.registers):
        return True
    blocks = [wired.boards[one.board].entry.processor for one in wired.processors]
    return None if any(block is not None and block.line_clock == "unknown" for block in blocks) else False


def making_ticks(wired: Wired) -> tuple[WiredBoard, ...]:
    """Boards that make ticks by themselves, as set or as built."""
    return tuple(board for board in wired.boards if _makes(board) is True)


def perhaps_making_ticks(wired: Wired) -> tuple[WiredBoard, ...]:
    """Boards that can, where the loadout doesn't say whether they are switched on."""
    return tuple(board for board in wired.boards if _makes(board) is None)


def _makes(board: WiredBoard) -> bool | None:
    if not any(one.device == CLOCK for one in board.entry.registers):
        return False
    switch = board.entry.settings.get(SWITCHES[CLOCK])
    if switch is None or not any(value.endswith(TICKS) for value in switch.values):
        return False
    setting = board.placed.settings.get(SWITCHES[CLOCK])
    return None if setting is None else setting.text.endswith(TICKS)


def boxes_with_clock(wired: Wired) -> tuple[str, ...]:
    """Boxes whose supply gives the line-clock signal."""
    found = []
    for box in wired.boxes:
        figure = box.supply.line_clock if box.supply else None
        if isinstance(figure, Known) and says(figure, f"line-clock signal of box {box.id}"):
            found.append(box.id)
    return tuple(found)
