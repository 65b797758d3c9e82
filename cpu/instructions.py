"""Instructions in both directions: text to words and words to text, from the records of the core alone.

A record gives a pattern with field letters and the operands as written; a class here knows how one kind of field is
read, encoded and shown.  No mnemonic stands in this file.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Protocol

from minisim import cpu
from minisim.cpu.expressions import parse
from minisim.cpu.operands import (
    NAMES,
    Operand,
    accumulator_name,
    has_extra,
    parse_floating,
    parse_operand,
    show,
    want_accumulator,
    want_register,
    want_sign,
)
from minisim.cpu.scanner import LineError, PlaceError, Scanner, shown
from minisim.cpu.statements import Value, as_number, as_word, word_bytes
from minisim.problems import nearest

COMBINE = "!"  # joins condition code operators
CODES_WIDTH = 4


# --- fields ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Written:
    """An operand as it stands in the source, ready to be encoded: `words` follow the instruction."""

    words: int
    bits: Callable[[int, Value], int]  # address of the instruction -> value of the field
    extra: Callable[[int, Value], int] | None = None  # address of the word that follows -> that word


class Field(Protocol):
    """One kind of field."""

    def read(self, scanner: Scanner, scope: int, width: int) -> Written:
        """Read the operand from the source."""

    def show(self, bits: int, width: int, at: int, take: Callable[[], tuple[int, int]]) -> str:
        """The operand as text; `take` gives the next word of the instruction and the address just past it."""


class General:
    """An operand of six bits: mode and register."""

    def read(self, scanner: Scanner, scope: int, width: int) -> Written:
        """Any of the twelve forms."""
        return self._written(self._parse(scanner, scope))

    def _parse(self, scanner: Scanner, scope: int) -> Operand:
        return parse_operand(scanner, scope)

    def _written(self, operand: Operand) -> Written:

        def extra(address: int, value: Value) -> int:
            return operand.extra_word(address, lambda each: as_word(value(each), operand.column))

        return Written(operand.words, lambda at, value: operand.code, extra if operand.words else None)

    def show(self, bits: int, width: int, at: int, take: Callable[[], tuple[int, int]]) -> str:
        """With the word that follows, where there is one."""
        extra, after = take() if has_extra(bits) else (0, 0)
        return show(bits, extra, after)


class Floating(General):
    """An operand of six bits whose mode 0 is an accumulator."""

    def _parse(self, scanner: Scanner, scope: int) -> Operand:
        return parse_floating(scanner, scope)

    def show(self, bits: int, width: int, at: int, take: Callable[[], tuple[int, int]]) -> str:
        """LookupError: there is no such accumulator."""
        return accumulator_name(bits) if bits < 0o10 else super().show(bits, width, at, take)


class Accumulator:
    """One of the four accumulators that two bits name."""

    def read(self, scanner: Scanner, scope: int, width: int) -> Written:
        """By its name."""
        number = want_accumulator(scanner, 1 << width)
        return Written(0, lambda at, value: number)

    def show(self, bits: int, width: int, at: int, take: Callable[[], tuple[int, int]]) -> str:
        """Its name."""
        return accumulator_name(bits)


class Register:
    """A register of three bits."""

    def read(self, scanner: Scanner, scope: int, width: int) -> Written:
        """By its name."""
        register = want_register(scanner)
        return Written(0, lambda at, value: register)

    def show(self, bits: int, width: int, at: int, take: Callable[[], tuple[int, int]]) -> str:
        """Its name."""
        return NAMES[bits]


class Target:
    """A word distance from the updated PC, signed (branches) or backwards only (loops)."""

    def __init__(self, backwards: bool) -> None:
        self.backwards = backwards

    def read(self, scanner: Scanner, scope: int, width: int) -> Written:
        """The target's address."""
        column, target = scanner.column, parse(scanner, scope)
        return Written(0, lambda at, value: self._distance(at, as_word(value(target), column), width, column))

    def _distance(self, at: int, target: int, width: int, column: int) -> int:
        away = (target - at - 2) & 0o177777
        words = (away - 0o200000 if away & 0o100000 else away) // 2
        if away & 1:
            raise PlaceError(column, f"the target {target:06o} is odd")
        least, most = (1 - (1 << width), 0) if self.backwards else (-(1 << width - 1), (1 << width - 1) - 1)
        if not least <= words <= most:
            text = f"the target {target:06o} is {words}. words from the next instruction; reach is {least}. to {most}."
            raise PlaceError(column, text)
        return -words if self.backwards else words & ((1 << width) - 1)

    def show(self, bits: int, width: int, at: int, take: Callable[[], tuple[int, int]]) -> str:
        """The target's address."""
        words = -bits if self.backwards else bits - (1 << width) if bits >> (width - 1) else bits
        return f"{(at + 2 + 2 * words) & 0o177777:06o}"


class Small:
    """A number inside the instruction."""

    def read(self, scanner: Scanner, scope: int, width: int) -> Written:
        """Any expression that fits."""
        column, number = scanner.column, parse(scanner, scope)
        return Written(0, lambda at, value: as_number(value(number), (1 << width) - 1, column))

    def show(self, bits: int, width: int, at: int, take: Callable[[], tuple[int, int]]) -> str:
        """Octal."""
        return f"{bits:o}"


class Following:
    """A whole word behind the instruction: the address of a descriptor, a table or a number, or a constant."""

    def read(self, scanner: Scanner, scope: int, width: int) -> Written:
        """Any expression."""
        column, word = scanner.column, parse(scanner, scope)
        return Written(1, lambda at, value: 0, lambda address, value: as_word(value(word), column))

    def show(self, bits: int, width: int, at: int, take: Callable[[], tuple[int, int]]) -> str:
        """Octal, six digits."""
        return f"{take()[0]:06o}"


# letter in the operands of a record -> kind of field, letter of its place in the pattern
KINDS: dict[str, tuple[Field, str]] = {
    "S": (General(), "S"),
    "D": (General(), "D"),
    "R": (Register(), "R"),
    "B": (Target(backwards=False), "X"),
    "L": (Target(backwards=True), "N"),
    "N": (Small(), "N"),
    "X": (Small(), "X"),
    "F": (Floating(), "F"),
    "A": (Accumulator(), "A"),
    "W": (Following(), ""),
}
ACCUMULATOR_BITS = 2
LOW_BITS = {"XX": 8, "C": CODES_WIDTH}  # what stands behind the plus of a pattern


def place(pattern: str, letter: str) -> tuple[int, int]:
    """Lowest bit and width of a field of a pattern; no letter: no bits."""
    if not letter:
        return 0, 0
    fixed, _, low = pattern.partition("+")
    if low and letter in low:
        return 0, LOW_BITS[low]
    if letter == "A":  # a or A: the top bit of the place is fixed
        return 15 - 3 * fixed.upper().index(letter), ACCUMULATOR_BITS
    at = [index for index, each in enumerate(fixed) if each == letter]
    return 15 - 3 * at[-1], 3 * len(at)


# --- the table -------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Instruction:
    """A record as text needs it: its fields in the order they are written, as (kind, lowest bit, width)."""

    mnemonic: str
    value: int
    mask: int
    owner: str  # for a second name the mnemonic of the record that owns the word, else ""
    chooses_codes: bool
    fields: tuple[tuple[Field, int, int], ...]


def _instruction(record: cpu.Record) -> Instruction:
    letters = [] if record.operands in ("", "C") else record.operands.split(",")
    fields = tuple((KINDS[letter][0], *place(record.pattern, KINDS[letter][1])) for letter in letters)
    return Instruction(record.mnemonic, record.value, record.mask, record.of, record.operands == "C", fields)


@cache
def table() -> dict[str, Instruction]:
    """Every name of an instruction, second names too."""
    return {each.mnemonic: _instruction(each) for each in (*cpu.records(), *cpu.aliases())}


@cache
def _by_mask() -> tuple[tuple[int, dict[int, Instruction]], ...]:
    """Records by their fixed bits, most fixed bits first, so that a name of one word comes before its owner's."""
    found: dict[int, dict[int, Instruction]] = {}
    for instruction in table().values():
        own = not instruction.owner or instruction.mask == 0o177777
        if own:
            found.setdefault(instruction.mask, {}).setdefault(instruction.value, instruction)
    return tuple(sorted(found.items(), key=lambda item: -item[0].bit_count()))


def owner_of(word: int) -> Instruction | None:
    """The record whose words include this one, under its most special name; None for a reserved word."""
    for mask, by_value in _by_mask():
        found = by_value.get(word & mask)
        if found is not None:
            return found
    return None


# --- text to words ---------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Coded:
    """An instruction of a program."""

    value: int
    operands: tuple[tuple[Written, int], ...]  # each with the lowest bit of its field
    in_words: bool = True

    @property
    def size(self) -> int:
        """Bytes."""
        return 2 + 2 * sum(written.words for written, _ in self.operands)

    def data(self, at: int, value: Value) -> bytes:
        """The words for the address `at`."""
        first = self.value
        for written, shift in self.operands:
            first |= written.bits(at, value) << shift
        words = [first]
        for written, _ in self.operands:
            if written.extra is not None:
                words.append(written.extra((at + 2 * len(words)) & 0o177777, value))
        return b"".join(word_bytes(word) for word in words)


def parse_instruction(scanner: Scanner, scope: int) -> Coded:
    """Read a mnemonic and its operands."""
    instruction = _named(scanner)
    if instruction.owner and scanner.peek().text == COMBINE:
        return Coded(_combined(scanner, instruction), ())
    operands = []
    for index, (field, shift, width) in enumerate(instruction.fields):
        if index:
            want_sign(scanner, ",")
        operands.append((field.read(scanner, scope, width), shift))
    return Coded(instruction.value, tuple(operands))


def _named(scanner: Scanner) -> Instruction:
    token = scanner.take()
    if token.kind != "name":
        raise LineError(token.column, f"a mnemonic is wanted here, not {shown(token)}")
    name = token.text.upper()
    found = table().get(name)
    if found is None:
        raise LineError(token.column, f"there is no instruction {token.text}{nearest(name, table())}")
    return found


def _combined(scanner: Scanner, first: Instruction) -> int:
    """Condition code operators of one kind, joined by `!`."""
    word = first.value
    while scanner.take_sign(COMBINE):
        column = scanner.column
        further = _named(scanner)
        if further.owner != first.owner or not table()[first.owner].chooses_codes:
            raise LineError(column, f"{further.mnemonic} can't be combined with {first.mnemonic}")
        word |= further.value
    return word


# --- words to text ---------------------------------------------------------------------------------------------------


def text_of(words: Sequence[int], at: int) -> tuple[str, int]:
    """The first instruction of `words` as text, and how many words it has; ("", 0): reserved, or words are missing,
    or an accumulator that does not exist is named."""
    instruction = owner_of(words[0])
    if instruction is None:
        return "", 0
    if instruction.chooses_codes:
        text = _codes_text(words[0], instruction)
        return text, 1 if text else 0
    used = 1

    def take() -> tuple[int, int]:
        nonlocal used
        used += 1
        if used > len(words):
            raise IndexError
        return words[used - 1], (at + 2 * used) & 0o177777

    try:
        shown_operands = [
            field.show(words[0] >> shift & ((1 << width) - 1), width, at, take)
            for field, shift, width in instruction.fields
        ]
    except LookupError:
        return "", 0
    return f"{instruction.mnemonic} {','.join(shown_operands)}".rstrip(), used


def _codes_text(word: int, owner: Instruction) -> str:
    """The names of single codes that together make the word."""
    singles = [
        each
        for each in table().values()
        if each.owner == owner.mnemonic and (each.value & ~owner.value).bit_count() == 1 and each.value & ~word == 0
    ]
    return COMBINE.join(each.mnemonic for each in sorted(singles, key=lambda each: -each.value))
