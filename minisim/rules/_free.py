"""What is still free, for the act a finding proposes: an address, a vector, a place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from minisim.known import Known
from minisim.rules._facts import CONSOLE, octal18, octal_vector
from minisim.wiring.floating_ranks import VECTOR_FIRST, VECTOR_LAST
from minisim.wiring.model import Wired, WiredBoard, WiredRegisters

VECTOR_STEP = 0o4


def free_address(wired: Wired, registers: WiredRegisters) -> int | None:
    """The computed address, else the first setting of the board, that nothing else answers at; None where none is."""
    words = registers.words.peek if isinstance(registers.words, Known) else 1
    taken = list(_taken(wired, registers.board))
    for base in _settings(wired, registers):
        end = base + 2 * words * registers.lines
        if all(end <= start or last <= base for start, last in taken):
            return base
    return None


def _settings(wired: Wired, registers: WiredRegisters) -> Iterator[int]:
    if isinstance(registers.computed, Known):
        yield registers.computed.peek
    for entry in wired.boards[registers.board].entry.registers:
        if entry.device == registers.device:
            yield from (choice for choice in entry.at.choices if choice != CONSOLE)


def _taken(wired: Wired, board: int) -> Iterator[tuple[int, int]]:
    """Ranges of all other boards, of ROM windows and of the processor."""
    for one in wired.registers:
        if one.board != board and isinstance(one.base, Known) and isinstance(one.words, Known):
            yield one.base.peek, one.base.peek + 2 * one.words.peek
    for rom in wired.roms:
        yield rom.base, rom.base + 2 * rom.words
    for own in wired.processor_registers:
        yield own.base, own.base + 2 * own.words


def free_vector(wired: Wired, registers: WiredRegisters) -> int | None:
    """The computed vector, else the first floating one, that no other board uses; None where none is free."""
    others = {vector.vector for one in wired.registers if one.board != registers.board for vector in one.vectors}
    count = max(1, len(registers.vectors))
    step = VECTOR_STEP if count == 1 else 2 * VECTOR_STEP
    computed = [registers.computed_vector.peek] if isinstance(registers.computed_vector, Known) else []
    for first in [*computed, *range(VECTOR_FIRST, VECTOR_LAST + 1, step)]:
        if not others & {first + VECTOR_STEP * number for number in range(count)}:
            return int(first)
    return None


def address_hint(wired: Wired, registers: WiredRegisters) -> str:
    """` (776510 is free)`, or nothing."""
    free = free_address(wired, registers)
    return f" ({octal18(free)} is free)" if free is not None else ""


def vector_hint(wired: Wired, registers: WiredRegisters) -> str:
    """` (310 is free)`, or nothing."""
    free = free_vector(wired, registers)
    return f" ({octal_vector(free)} is free)" if free is not None else ""


def both_hint(wired: Wired, registers: WiredRegisters) -> str:
    """` (776510 and 310 are free)`, or nothing."""
    address, vector = free_address(wired, registers), free_vector(wired, registers)
    return f" ({octal18(address)} and {octal_vector(vector)} are free)" if address and vector else ""


def free_slot(wired: Wired, board: WiredBoard, kinds: Iterable[str], rows: str = "") -> str:
    """`main/a/4AB`, the first place of such a kind with nothing but grant cards in it, nearest to where the board is.

    `rows` are those that must be free where they are not the board's own; a set needs as many slots side by side.
    """
    wanted, rows = set(kinds), rows or board.rows
    units = sorted(wired.units, key=lambda unit: (unit.index != board.unit, unit.index))
    count = len(board.place.slots)
    for unit in units:
        if unit.entry.bus != board.entry.bus:
            continue
        good = {slot for slot in unit.entry.slots if _is_free(wired, board, (unit.index, slot), wanted, rows)}
        for slot in sorted(good):
            if all(slot + step in good for step in range(count)):
                last = f"-{slot + count - 1}" if count > 1 else ""
                shown = "" if board.place.rows == "" else (rows if len(rows) <= 2 else rows[0] + rows[-1])
                return f"{unit.box}/{unit.id}/{slot}{last}{shown}"
    return ""


def _is_free(wired: Wired, board: WiredBoard, place: tuple[int, int], kinds: set[str], rows: str) -> bool:
    unit, slot = place
    there = {kind for own, kind in wired.units[unit].entry.slots[slot].items() if set(own) & set(rows)}
    standing = (
        one for one in wired.boards if one.unit == unit and slot in one.place.slots and set(one.rows) & set(rows)
    )
    return bool(there & kinds) and all(one.index == board.index or is_card(one) for one in standing)


def is_card(board: WiredBoard) -> bool:
    """A card that passes grants and does nothing else: it makes room for a board."""
    entry = board.entry
    ends = isinstance(entry.terminates, Known) and entry.terminates.peek == "no"
    works = entry.registers or entry.memory or entry.rom or entry.processor or entry.option_adds
    asks = any(isinstance(one, Known) and one.peek == "yes" for one in (entry.interrupts, entry.dma))
    return ends and not works and not asks and not board.assumed and bool(entry.slots)


def slot_hint(wired: Wired, board: WiredBoard, kinds: Iterable[str]) -> str:
    """` (main/a/4AB is free)`, or nothing."""
    place = free_slot(wired, board, kinds)
    return f" ({place} is free)" if place else ""
