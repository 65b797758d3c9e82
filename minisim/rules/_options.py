"""Processor options in the words of the rules: boards by their handles, places that are free, processors by profile."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from minisim.catalogue.model import BoardEntry
from minisim.known import Known
from minisim.rules._facts import known, short
from minisim.wiring.model import Wired, WiredBoard, WiredProcessor

PROCESSOR_PLACE = "processor"


def option_boards(wired: Wired) -> Iterator[WiredBoard]:
    """Every board that adds a processor option."""
    return (board for board in wired.boards if board.entry.option_adds)


def adds(board: WiredBoard) -> str:
    """The options a board adds, read with the evidence that it does."""
    known(board.entry.option_figure, f"option of {short(board)}")
    return listed(board.entry.option_adds)


def processors_of(wired: Wired, board: WiredBoard) -> tuple[WiredProcessor, ...]:
    """The processors of a profile that an option board is made for."""
    return tuple(one for one in wired.processors if one.profile in board.entry.option_to)


def in_unit_of(wired: Wired, processor: WiredProcessor, board: WiredBoard) -> bool:
    """Do both stand in one unit?"""
    return wired.boards[processor.board].unit == board.unit


def handle(entry: BoardEntry) -> str:
    """Marking and id of a board of the catalogue: `M0000 (sep-some-board)`."""
    marks = entry.markings
    return f"{'/'.join(marks.peek)} ({entry.id})" if isinstance(marks, Known) and marks.peek else entry.id


def free_places(wired: Wired, processor: WiredProcessor) -> tuple[str, ...]:
    """Places wired for a processor board, in the unit of the processor, with nothing in them but a grant card."""
    unit = wired.units[wired.boards[processor.board].unit]
    taken = {
        slot
        for board in wired.boards
        if board.unit == unit.index and not _only_hands_on(board.entry)
        for slot in board.place.slots
    }
    there = {slot for slot in unit.entry.slots if is_processor_place(wired, unit.index, slot)} - taken
    return tuple(f"{unit.box}/{unit.id}/{slot}" for slot in sorted(there))


def _only_hands_on(entry: BoardEntry) -> bool:
    """A card that passes grants and does nothing else."""
    ends = isinstance(entry.terminates, Known) and entry.terminates.peek == "no"
    carries = entry.registers or entry.memory or entry.rom or entry.processor or entry.option_adds
    return ends and not carries and bool(entry.slots)


def places_in_words(free: tuple[str, ...]) -> str:
    """`main/a/3 is free`, or that none is."""
    if not free:
        return "none of them is free"
    return f"{listed(free)} {'is' if len(free) == 1 else 'are'} free"


def is_processor_place(wired: Wired, unit: int, slot: int) -> bool:
    """Is this slot wired for a board of the processor?"""
    return PROCESSOR_PLACE in wired.units[unit].entry.slots.get(slot, {}).values()


def listed(words: Iterable[str]) -> str:
    """`a`, `a and b`, `a, b and c`."""
    *first, last = words
    return f"{', '.join(first)} and {last}" if first else last
