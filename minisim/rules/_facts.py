"""What several rules ask of Wired: subjects, figures read under a name, registers, spans of memory.

No rule follows a chain or adds up a total itself; what Wired doesn't answer directly is answered once, here or in
`_places`, `_grants` and `_loads`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TypeVar

from minisim.findings import Mark
from minisim.known import Figure, Known, Unknown
from minisim.rules._framework import Subject
from minisim.wiring.describe import DESCRIBED_DEVICE
from minisim.wiring.model import (
    Wired,
    WiredBoard,
    WiredBox,
    WiredMemory,
    WiredRail,
    WiredRegisters,
    WiredUnit,
)

T = TypeVar("T")

IO_PAGE = 0o760000  # first address of the I/O page in the 18-bit form
FLOATING, FLOATING_VECTORS = 0o10, 0o300  # where floating addresses (as offsets in it) and vectors begin
FLOATING_SPACE = 0o4000
CONSOLE = 0o17560  # offset of the console line in it
BUS_NAMES = {"mux": "multiplexed bus", "sep": "separate-line bus"}
MEMORY_16 = 0o200000  # bytes every backplane can address


# ---- subjects


def board_subject(board: WiredBoard) -> Subject:
    """A board in its place."""
    return Subject(str(board.place), board.name, board.mark)


def at_mark(board: WiredBoard, mark: Mark) -> Subject:
    """A board in its place, with the line of the setting that matters."""
    return Subject(str(board.place), board.name, mark)


def registers_subject(wired: Wired, registers: WiredRegisters) -> Subject:
    """The board that answers with these registers, at the line that fixed their address."""
    return at_mark(wired.boards[registers.board], registers.mark)


def vector_subject(wired: Wired, registers: WiredRegisters) -> Subject:
    """The same board, at the line that fixed its vector."""
    return at_mark(wired.boards[registers.board], registers.vector_mark or registers.mark)


def memory_subject(wired: Wired, memory: WiredMemory) -> Subject:
    """The board that holds this memory, at the line that fixed its start."""
    return at_mark(wired.boards[memory.board], memory.mark)


def rail_subject(box: WiredBox, rail: WiredRail) -> Subject:
    """One rail of one box."""
    return Subject(f"{box.id} {rail.rail}", supply_name(box), box.mark)


def box_subject(box: WiredBox) -> Subject:
    """One box."""
    return Subject(box.id, supply_name(box), box.mark)


def unit_subject(unit: WiredUnit) -> Subject:
    """One backplane."""
    marks = unit.entry.markings
    name = f"backplane {marks.peek[0]}" if isinstance(marks, Known) and marks.peek else ""
    return Subject(f"{unit.box}/{unit.id}", name, unit.mark)


def machine_subject(wired: Wired) -> Subject:
    """The machine as a whole: the first box, at the line of the processor where there is one."""
    mark = wired.boards[wired.processors[0].board].mark if wired.processors else wired.loadout.boxes[0].mark
    return Subject(wired.loadout.boxes[0].id, "", mark)


def supply_name(box: WiredBox) -> str:
    """What to call the supply of a box: by its marking where one is known."""
    marks = box.supply.markings if box.supply else None
    return f"supply {marks.peek[0]}" if isinstance(marks, Known) and marks.peek else "supply"


def short(board: WiredBoard) -> str:
    """Marking on the handle and place: `M0000 (main/a/2AB)`; the kind where no marking is known."""
    marks = board.entry.markings
    name = "/".join(marks.peek) if isinstance(marks, Known) and marks.peek else board.entry.kind
    return f"{name} ({board.place})"


def supply_need(box: WiredBox, what: str) -> str:
    """One missing figure of a supply; where nothing at all is stated of the supply, that is the one thing missing."""
    if box.supply is None and all(isinstance(rail.rating, Unknown) for rail in box.rails):
        return f"supply of box {box.id}"
    return f"{what} of {supply_name(box)} ({box.id})"


# ---- figures


def known(figure: Figure[T], name: str) -> T | None:
    """The value, read into the ledger under `name`; None where there is no figure."""
    return figure.named(name).value if isinstance(figure, Known) else None


def says(figure: Figure[str], name: str) -> bool | None:
    """A yes/no word: True, False, or None where it is unknown.  What does not exist says no."""
    if isinstance(figure, Unknown):
        return None
    return known(figure, name) == "yes"


def kinds_are_known(wired: Wired, board: WiredBoard) -> None:
    """Read the evidence that the verdict about a slot kind rests on: of the board and of the backplane."""
    known(board.entry.slots_evidence, f"slots in which {short(board)} may stand")
    known(wired.units[board.unit].entry.slots_evidence, f"slot kinds of backplane {board.place.box}/{board.place.unit}")


def need(what: str, names: Iterable[str]) -> str:
    """One missing thing about several parts: `current at +5 of A and B`, with a count where they are many."""
    parts = list(dict.fromkeys(names))
    if len(parts) > 3:
        kind = "boards and drives" if any(":" in part for part in parts) else "boards"  # main/a/3:0 is a drive
        return f"{what} of {len(parts)} {kind} ({', '.join(parts)})"
    return f"{what} of {' and '.join(parts)}"


def names(boards: Iterable[WiredBoard]) -> tuple[str, ...]:
    """For `also`: each board with its place and line."""
    return tuple(f"{short(board)} at line {board.mark.line}" for board in boards)


# ---- registers and vectors


def octal18(offset: int) -> str:
    """An I/O-page offset as the 18-bit address the handbooks print."""
    return f"{IO_PAGE + offset:06o}"


def octal_vector(vector: int) -> str:
    """A vector in three octal digits."""
    return f"{vector:03o}"


def device_name(registers: WiredRegisters) -> str:
    """The device in words: `serial line`, `paper tape`."""
    return words(registers.device) if registers.device != DESCRIBED_DEVICE else "described device"


def words(device: str) -> str:
    """The id of a device model as words: `cartridge disk 2mb`."""
    return device.replace("-", " ")


def pairs(things: tuple[T, ...]) -> Iterator[tuple[T, T]]:
    """Every two of them, the earlier one first."""
    for index, later in enumerate(things):
        for earlier in things[:index]:
            yield earlier, later


def only_by_order(wired: Wired, registers: WiredRegisters, switch: str) -> bool:
    """Is its floating "address" or "vector" only what the order of kinds asks for, and its switches are not told of?"""
    board = wired.boards[registers.board]
    if switch not in board.entry.settings or switch in board.placed.settings:
        return False
    figure, first = (registers.base, FLOATING) if switch == "address" else (registers.vector, FLOATING_VECTORS)
    wanted = registers.computed if switch == "address" else registers.computed_vector
    if not isinstance(figure, Known) or not isinstance(wanted, Known):
        return False
    return first <= figure.peek == wanted.peek < first + FLOATING_SPACE


def answers_console(registers: WiredRegisters) -> bool:
    """Does it answer at the address of the console line?  Only a yes is left in the ledger."""
    return isinstance(registers.base, Known) and registers.base.peek == CONSOLE and registers.base.value == CONSOLE


# ---- memory


@dataclass(frozen=True, slots=True)
class Span:
    """Memory whose place is known: byte addresses, end exclusive."""

    memory: WiredMemory
    start: int
    end: int


def span_of(wired: Wired, memory: WiredMemory) -> Span | None:
    """Where a memory lies; None where start or size are not known.  Reading it records its evidence."""
    board = short(wired.boards[memory.board])
    start, size = known(memory.start, f"start of the memory of {board}"), known(memory.size, f"size of {board}")
    return None if start is None or size is None else Span(memory, start, start + size)


def spans(wired: Wired) -> tuple[Span, ...]:
    """All memories whose place is known, by start."""
    found = [span for memory in wired.memories if (span := span_of(wired, memory))]
    return tuple(sorted(found, key=lambda span: (span.start, span.end)))


def unplaced_one(wired: Wired, memory: WiredMemory) -> tuple[str, ...]:
    """One need for each of start and size that is not known."""
    board, figures = short(wired.boards[memory.board]), (("start", memory.start), ("size", memory.size))
    return tuple(f"{word} of the memory of {board}" for word, figure in figures if not isinstance(figure, Known))


def unplaced(wired: Wired) -> tuple[str, ...]:
    """The same for all memories."""
    return tuple(one for memory in wired.memories for one in unplaced_one(wired, memory))


def span_text(span: Span) -> str:
    """`000000 to 077777`."""
    return f"{span.start:06o} to {span.end - 1:06o}"
