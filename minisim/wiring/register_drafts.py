"""What one board alone says of its registers and vectors: settings, fixed places, usual places of a list.

What it can't say alone, the place by the order of kinds, is left open (None) for `register_kinds`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from minisim.catalogue.model import RegistersEntry
from minisim.findings import Mark
from minisim.known import Evidence, Figure, Known, NotApplicable, Unknown
from minisim.loadout.model import Setting
from minisim.wiring.model import WiredBoard

CONSOLE = 0o17560
"""I/O-page offset of the console line [handbook-1969]."""

LINE_STEP = 0o10
"""Bytes of registers, and of vectors, from one serial line to the next [serial-boards-wiki]."""

SERIAL = "serial-line"
_CLOCK_DEVICES = {"line-clock": "clock", "event-line": "event-line"}  # device -> the switch that takes it away


@dataclass(frozen=True, slots=True)
class Draft:
    """Registers on their way: what the board alone says, before units of a kind are counted."""

    board: WiredBoard
    entry: RegistersEntry
    number: int  # ordinal among the records of the same device on this board
    base: Figure[int] | None  # None: to be found by rank
    base_mark: Mark | None
    vector: Figure[int] | None
    vector_mark: Mark | None
    position: int  # along the bus

    @property
    def at_first(self) -> bool:
        """Does it stand at the fixed place of the first unit of its kind?"""
        first = CONSOLE if self.entry.device == SERIAL else self.entry.at.first
        return first is not None and isinstance(self.base, Known) and self.base.peek == first


def drafts_of(board: WiredBoard, position: int) -> Iterator[Draft]:
    """The registers of one board, in the order of its entry, without those that a switch takes away."""
    numbers: dict[str, int] = {}
    for entry in board.entry.registers:
        if _switched_off(board, entry):
            continue
        for line in range(records_of(entry)):
            number = numbers.get(entry.device, 0)
            numbers[entry.device] = number + 1
            base, base_mark = _base(board, entry, number, line)
            vector, vector_mark = _vector(board, entry, number, line, base)
            yield Draft(board, entry, number, base, base_mark, vector, vector_mark, position)


def records_of(entry: RegistersEntry) -> int:
    """Records an entry gives: one a line for plain serial lines, else one."""
    return max(1, entry.lines) if entry.device == SERIAL else 1


def _switched_off(board: WiredBoard, entry: RegistersEntry) -> bool:
    switch = _CLOCK_DEVICES.get(entry.device, "")
    return word(board.placed.settings.get(switch)) == "off"


def word(setting: Setting | None) -> str:
    """A setting as a word; nothing where it is not set."""
    if setting is None:
        return ""
    if isinstance(setting.value, bool):
        return "yes" if setting.value else "no"
    return str(setting.value)


def number_of(setting: Setting | None) -> int | None:
    """A setting as a number, or None."""
    value = setting.value if setting else None
    return value if isinstance(value, int) and not isinstance(value, bool) else None


def _owner(value: int) -> Known[int]:
    return Known(value, Evidence.OWNER)


def _base(board: WiredBoard, entry: RegistersEntry, number: int, line: int) -> tuple[Figure[int] | None, Mark | None]:
    """Place of the first register, and the mark of the setting that gives it; None: by rank."""
    settings = board.placed.settings
    console = _is_console(board, entry)
    if console is True:
        return _owner(CONSOLE), settings["console"].mark
    address = number_of(settings.get("address"))
    if address is not None and _is_movable(entry):
        return _owner(address + LINE_STEP * (number if _is_group(board) else line)), settings["address"].mark
    return _usual_base(board, entry, number, line, not_console=console is False), None


def _is_group(board: WiredBoard) -> bool:
    """Does one switch move all serial lines of the board together?"""
    entries = [entry for entry in board.entry.registers if entry.device == SERIAL]
    return len(entries) > 1 and all(entry.at.choices for entry in entries)


def _is_movable(entry: RegistersEntry) -> bool:
    return bool(entry.at.choices) or entry.at.rank is not None or entry.at.unknown


def _is_console(board: WiredBoard, entry: RegistersEntry) -> bool | None:
    """What the console switch says of a line that can be the console; None where it has no say.

    An address written beside it wins on a board with one line; on a group the switch speaks of the last line alone.
    """
    setting = board.placed.settings.get("console")
    if setting is None or entry.device != SERIAL or CONSOLE not in entry.at.choices:
        return None
    if not _is_group(board) and "address" in board.placed.settings:
        return None
    return word(setting) == "yes"


def _usual_base(
    board: WiredBoard, entry: RegistersEntry, number: int, line: int, *, not_console: bool
) -> Figure[int] | None:
    at = entry.at
    if at.fixed is not None:
        return like(entry.at_evidence, at.fixed + LINE_STEP * line)
    if at.choices:
        if _is_group(board):
            first = next(other for other in board.entry.registers if other.device == SERIAL)
            return like(first.at_evidence, first.at.choices[0] + LINE_STEP * number)
        choices = [choice for choice in at.choices if not (not_console and choice == CONSOLE)]
        return like(entry.at_evidence, choices[0] + LINE_STEP * line) if choices else Unknown("place of the line")
    if at.rank is not None:
        return None
    return NotApplicable() if at.none else Unknown(f"address of the registers ({entry.device})")


def like(evidence: Figure[str], value: int) -> Figure[int]:
    """A value with the evidence of another figure."""
    if isinstance(evidence, Known):
        return Known(value, evidence.evidence, evidence.sources, evidence.note)
    return Known(value, Evidence.UNCONFIRMED)


def _vector(
    board: WiredBoard, entry: RegistersEntry, number: int, line: int, base: Figure[int] | None
) -> tuple[Figure[int] | None, Mark | None]:
    """First vector, and the mark of the setting that gives it; None: by rank."""
    if entry.vector_at.none or (entry.vector_count == 0 and not entry.vector_at.unknown):
        return NotApplicable(), None
    setting = board.placed.settings.get("vector")
    value = number_of(setting)
    if setting is not None and value is not None and not _fixed_beside(board, entry):
        as_console = _is_group(board) and isinstance(base, Known) and base.peek == CONSOLE
        if not as_console:
            return _owner(value + LINE_STEP * (number if _is_group(board) else line)), setting.mark
    at = entry.vector_at
    if at.fixed is not None:
        return like(entry.vector_evidence, at.fixed), None
    if at.choices:
        return like(entry.vector_evidence, at.choices[0]), None
    return (None if at.rank is not None else Unknown(f"vector ({entry.device})")), None


def _fixed_beside(board: WiredBoard, entry: RegistersEntry) -> bool:
    """A vector that no switch moves, on a board whose switch belongs to another half (line beside a fixed clock)."""
    others = [one for one in board.entry.registers if one is not entry and one.vector_count]
    return entry.vector_at.fixed is not None and any(one.vector_at.fixed is None for one in others)


def usual_places(drafts: list[Draft]) -> list[Draft]:
    """Boards without a word on their switches: one at most can have the usual place, where no other of its kind is."""
    taken = {(draft.entry.device, _place(draft)) for draft in drafts if not _is_usual(draft)}
    done = []
    for draft in drafts:
        if _is_usual(draft):
            at = draft.entry.device, _place(draft)
            if at in taken:
                draft = replace(draft, base=Unknown(f"which of its places the {draft.entry.device} has"))
            taken.add(at)
        done.append(draft)
    return done


def _is_usual(draft: Draft) -> bool:
    return draft.base_mark is None and bool(draft.entry.at.choices) and isinstance(draft.base, Known)


def _place(draft: Draft) -> int | None:
    return draft.base.peek if isinstance(draft.base, Known) else None
