"""Statements that place bytes: the data directives, and the joint that instructions share with them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Protocol

from minisim.cpu.expressions import Expression, parse
from minisim.cpu.scanner import LineError, PlaceError, Scanner, shown

Value = Callable[[Expression], int]  # the value of an expression at the statement's own address, of any width


class Statement(Protocol):
    """What a line places in memory."""

    @property
    def size(self) -> int:
        """Bytes; known before any symbol is."""

    @property
    def in_words(self) -> bool:
        """Shown as words in the listing, and lies at an even address."""

    def data(self, at: int, value: Value) -> bytes:
        """The bytes for the address `at`; may raise LineError."""


@dataclass(frozen=True, slots=True)
class Words:
    """`.word`"""

    values: tuple[tuple[int, Expression], ...]  # column, value
    in_words: bool = True

    @property
    def size(self) -> int:
        """Two bytes a value."""
        return 2 * len(self.values)

    def data(self, at: int, value: Value) -> bytes:
        """Low byte first, as in memory."""
        return b"".join(word_bytes(as_word(value(each), column)) for column, each in self.values)


@dataclass(frozen=True, slots=True)
class Bytes:
    """`.byte`, `.ascii` and `.asciz`"""

    values: tuple[tuple[int, Expression | int], ...]
    in_words: bool = False

    @property
    def size(self) -> int:
        """One byte a value."""
        return len(self.values)

    def data(self, at: int, value: Value) -> bytes:
        """The values, each in a byte."""
        return bytes(each if isinstance(each, int) else as_byte(value(each), column) for column, each in self.values)


@dataclass(frozen=True, slots=True)
class Filler:
    """`.even` at an odd address: one byte of zeros."""

    size: int = 1
    in_words: bool = False

    def data(self, at: int, value: Value) -> bytes:
        """One zero."""
        return b"\0"


def word_bytes(word: int) -> bytes:
    """A word as it lies in memory."""
    return word.to_bytes(2, "little")


def as_word(value: int, column: int) -> int:
    """A value in 16 bits, -100000 to 177777 octal."""
    if not -0o100000 <= value <= 0o177777:
        raise LineError(column, f"the value {octal(value)} does not fit a word (-100000 to 177777)")
    return value & 0o177777


def as_byte(value: int, column: int) -> int:
    """A value in 8 bits, -200 to 377 octal."""
    if not -0o200 <= value <= 0o377:
        raise LineError(column, f"the value {octal(value)} does not fit a byte (-200 to 377)")
    return value & 0o377


def as_number(value: int, most: int, column: int) -> int:
    """A small number inside an instruction, 0 to `most`."""
    if not 0 <= value <= most:
        raise LineError(column, f"the value {octal(value)} is not in the range 0 to {most:o}")
    return value


def want_even(at: int, column: int) -> None:
    """Words lie at even addresses."""
    if at & 1:
        raise PlaceError(column, f"a word would lie at the odd address {at:06o}; put .even before it")


def octal(value: int) -> str:
    """A value for a message, octal with its sign."""
    return f"-{-value:o}" if value < 0 else f"{value:o}"


def _list(scanner: Scanner, scope: int) -> Iterable[tuple[int, Expression]]:
    while True:
        yield scanner.column, parse(scanner, scope)
        if not scanner.take_sign(","):
            return


def _word(scanner: Scanner, scope: int) -> Statement:
    return Words(tuple(_list(scanner, scope)))


def _byte(scanner: Scanner, scope: int) -> Statement:
    return Bytes(tuple(_list(scanner, scope)))


def _ascii(scanner: Scanner, scope: int) -> Statement:
    """`/text/` and `<value>` in any order; any character that isn't `<` may stand for the strokes."""
    values: list[tuple[int, Expression | int]] = []
    if scanner.at_end:
        raise LineError(scanner.column, "a text between two equal characters is wanted here, as /text/")
    while not scanner.at_end:
        column = scanner.column
        if scanner.peek_character() == "<":
            scanner.take()
            values.append((column, parse(scanner, scope)))
            if not scanner.take_sign(">"):
                raise LineError(scanner.column, f'">" is wanted here, not {shown(scanner.peek())}')
        else:
            values += [(column, code) for code in _codes(scanner.take_delimited(), column)]
    return Bytes(tuple(values))


def _codes(text: str, column: int) -> Iterable[int]:
    for offset, character in enumerate(text, column + 1):
        if ord(character) > 0o177:
            raise LineError(offset, f"{character} is not an ASCII character")
        yield ord(character)


def _asciz(scanner: Scanner, scope: int) -> Statement:
    text = _ascii(scanner, scope)
    assert isinstance(text, Bytes)
    return Bytes((*text.values, (0, 0)))


DATA: dict[str, Callable[[Scanner, int], Statement]] = {
    ".word": _word,
    ".byte": _byte,
    ".ascii": _ascii,
    ".asciz": _asciz,
}
EVEN = ".even"
DIRECTIVES = (*DATA, EVEN)
