"""The operands of an instruction found again: the eight modes gone through a second time, beside the accesses."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from minisim.cpu.instructions import place as place_of
from minisim.cpu.operands import IMMEDIATE, PC, SP
from minisim.cpu.table import Record
from minisim.machine.steps import Step, StepAccess
from minisim.machine.telling.course import Course

MASK = 0o177777
POPS_FIRST = "TO_MODE"  # the form whose word comes from the stack before the operand is found
FLOATING, COMMERCIAL = "fpp", "cis"  # modules


class GivenUpError(Exception):
    """The instruction did not come so far: what it wanted next."""

    def __init__(self, address: int | None, byte: bool) -> None:
        super().__init__()
        self.address, self.byte = address, byte


@dataclass(frozen=True, slots=True)
class Place:
    """An operand: its six bits, its address, and where that address was read; `late`: a register afterwards."""

    code: int
    address: int | None = None
    held_at: int | None = None
    value: int | None = None
    late: int | None = None

    @property
    def is_register(self) -> bool:
        """Mode 0."""
        return self.code < 0o10


@dataclass(slots=True)
class Found:
    """What was found: operands by their letters, values, words written, accesses that are left."""

    r: list[int | None]
    places: dict[str, Place] = field(default_factory=dict)
    written: list[StepAccess] = field(default_factory=list)
    further: list[StepAccess] = field(default_factory=list)
    steps: list[int] = field(default_factory=list)
    old: int | None = None


class Finder:
    """Goes through the operands of one step in the order the processor does."""

    def __init__(self, step: Step, course: Course, record: Record) -> None:
        self.step, self.course, self.record = step, course, record
        self.left = list(course.own[1:])
        self.found = Found(list(course.start.r))
        self.found.r[PC] = (step.pc + 2) & MASK
        self.byte = record.is_byte

    def find(self, further: int) -> Found:
        """All of it; `further` words must be on the stack besides.  GivenUpError: it did not come so far."""
        found, form = self.found, self.record.form
        if form.name == POPS_FIRST:
            found.further.append(self._take(found.r[SP], write=False))
            self._move(SP, 2)
        for letter, code, use in self._operands():
            found.places[letter] = self._operand(letter, code, use)
        self._settle()
        found.further += self.left
        if len(found.further) < further:
            raise GivenUpError(None, byte=False)
        return found

    def _operands(self) -> Iterator[tuple[str, int, str]]:
        """Letter, six bits and use of each operand, in the order they are settled."""
        record, word = self.record, self.step.words[0]
        general = [letter for letter in record.operands.split(",") if letter in ("S", "D", "F")]
        for letter in general:
            shift, _ = place_of(record.pattern, letter)
            yield letter, word >> shift & 0o77, record.form.source if shift else record.form.destination

    def _operand(self, letter: str, code: int, use: str) -> Place:
        found = self.found
        place = self._locate(code)
        if place.is_register:
            return Place(code, value=found.r[code])
        if use in ("read", "change"):
            words = self._words(place, write=False)
            place = Place(code, words[0].address, place.held_at, words[0].data)
        if use == "write":
            self._peek_before_write(place)
        if use in ("write", "change") and not self._is_refused(use):
            found.written = self._words(place, write=True)
        return place if use != "write" else Place(code, found.written[0].address, place.held_at)

    def _is_refused(self, use: str) -> bool:
        """A floating operand that was only read: its exception came first."""
        return self.record.module == FLOATING and use == "change" and not any(o.written for o in self.step.operands)

    def _settle(self) -> None:
        """Registers as they are after all steps: as a destination, and as a source that is taken late."""
        for letter, place in self.found.places.items():
            if place.is_register:
                late = self.found.r[place.code]
                value = place.value if letter == "S" else late
                self.found.places[letter] = Place(place.code, value=value, late=late)

    # --- modes ------------------------------------------------------------------------------------------------------

    def _locate(self, code: int) -> Place:
        mode, reg = code >> 3, code & 7
        if mode in (4, 5):
            self._move(reg, -self._size(mode, reg))
        index = self._next_word() if mode >= 6 else 0
        at = self.found.r[reg]
        at = None if at is None or index is None else (at + index) & MASK
        if mode in (2, 3):
            self._move(reg, self._size(mode, reg))
        if mode not in (3, 5, 7):
            return Place(code, at)
        held = self._take(at, write=False)
        return Place(code, held.data, held.address)

    def _size(self, mode: int, reg: int) -> int:
        """By how much a register is stepped."""
        if mode in (3, 5) or reg == PC:
            return 2
        if self.record.module == FLOATING:
            old, new = self.found.r[reg], self.course.end.r[reg]
            return 0 if old is None or new is None else min((old - new) & MASK, (new - old) & MASK)
        return 1 if self.byte and reg < SP else 2

    def _move(self, reg: int, by: int) -> None:
        old = self.found.r[reg]
        self.found.r[reg] = None if old is None else (old + by) & MASK
        if reg != PC:
            self.found.steps.append(reg)

    def _next_word(self) -> int:
        access = self._take(self.found.r[PC], write=False)
        self.found.r[PC] = (access.address + 2) & MASK
        return access.data

    # --- accesses ---------------------------------------------------------------------------------------------------

    def _words(self, place: Place, *, write: bool) -> list[StepAccess]:
        """The words or the byte of an operand; floating ones have up to four."""
        first = self._take(place.address, write=write)
        words = [first]
        while self.record.module == FLOATING and self.left and len(words) < 4:
            following = (first.address + 2 * len(words)) & MASK
            if self.left[0].address != following or (self.left[0].kind == "write") != write:
                break
            words.append(self.left.pop(0))
        return words

    def _peek_before_write(self, place: Place) -> None:
        """Some processors read what they are about to write."""
        if self.left and self.left[0].kind != "write" and self.left[0].address == place.address:
            self.left.pop(0)

    def _take(self, address: int | None, *, write: bool) -> StepAccess:
        if self.left and address in (None, self.left[0].address) and (self.left[0].kind == "write") == write:
            return self.left.pop(0)
        raise GivenUpError(address, self.byte)


# --- in words ---------------------------------------------------------------------------------------------------------


def told_place(place: Place, unit: str, name: str) -> str:
    """An operand that was found: `the word at 001234`."""
    if place.is_register:
        return f"the low byte of {name}" if unit == "byte" else name
    if place.code == IMMEDIATE and place.value is not None:
        return f"the {unit} {place.value:0{3 if unit == 'byte' else 6}o} in the instruction"
    at = f"the {unit}" if place.address is None else f"the {unit} at {place.address:06o}"
    deferred = place.code >> 3 in (5, 7) or (place.code >> 3 == 3 and place.code & 7 != PC)
    return f"{at} (its address is held at {place.held_at:06o})" if deferred and place.held_at is not None else at
