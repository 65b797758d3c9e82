"""One instruction as it happened, as values; `told.py` puts it into words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from minisim.cpu._core import lib
from minisim.machine.explain import decimal_size, decimal_string, floating
from minisim.machine.records import Reason

KINDS = {lib.MS_ACCESS_FETCH: "fetch", lib.MS_ACCESS_READ: "read", lib.MS_ACCESS_WRITE: "write"}
_OPERANDS = {
    lib.MS_NOTE_FLOATING: "floating",
    lib.MS_NOTE_INTEGER: "integer",
    lib.MS_NOTE_DECIMAL: "decimal",
    lib.MS_NOTE_STRING: "string",
}
_SHOWN_BYTES = 40


@dataclass(frozen=True, slots=True)
class Registers:
    """The registers of the current set and mode at one moment."""

    r: tuple[int, ...]
    ps: int


@dataclass(frozen=True, slots=True)
class StepAccess:
    """One access of an instruction: `kind` is fetch, read or write; the address is the program's."""

    kind: str
    address: int
    data: int
    byte: bool


@dataclass(frozen=True, slots=True)
class StepOperand:
    """An operand that is more than a word: `kind` is floating, integer, decimal (a string of digits) or string.

    `where` is the address in octal, or the register's name.  `words` hold a number, highest first; `high_half`: the one
    word there is stands above a low word of 0 that is held nowhere.  `data` holds the bytes that were touched of a
    string, in rising addresses; `length` counts words, digits or bytes; `decimal_type` is the number in the descriptor.
    """

    kind: str
    where: str
    written: bool
    length: int
    words: tuple[int, ...] = ()
    data: bytes = b""
    decimal_type: int = 0
    high_half: bool = False

    @property
    def told(self) -> str:
        """What it stands for: `-1.5 (140300 000000)`, `+12345, signed packed`, `12 bytes "HARBOUR DUES"`."""
        if self.kind == "floating":
            return floating(self.words)
        if self.kind == "integer":
            return _integer((*self.words, 0), shown=1) if self.high_half else _integer(self.words)
        if self.kind == "decimal":
            return self._decimal()
        return f"{self.length} bytes {quoted(self.data)}" if self.data else f"{self.length} bytes"

    def _decimal(self) -> str:
        if len(self.data) != decimal_size(self.decimal_type, self.length):
            return f"a decimal string of {self.length} digits"
        return decimal_string(self.data, self.decimal_type, self.length)


def _integer(words: Sequence[int], shown: int | None = None) -> str:
    """With sign, decimal, and the words in octal; `shown`: so many of them are held anywhere."""
    bits = 16 * len(words)
    value = sum(word << bits - 16 - 16 * place for place, word in enumerate(words))
    value -= (value >> bits - 1) << bits
    half = ", the high half of a long integer" if shown else ""
    return f"{value}. ({' '.join(f'{word:06o}' for word in words[:shown])}{half})"


def quoted(data: bytes) -> str:
    """Bytes as a text between quotes, what can't be printed as backslash and octal; a long one is cut."""
    shown = "".join(chr(byte) if 0o40 <= byte < 0o177 else f"\\{byte:03o}" for byte in data[:_SHOWN_BYTES])
    return f'"{shown}"{" ..." if len(data) > _SHOWN_BYTES else ""}'


@dataclass(frozen=True, slots=True)
class Floats:
    """Accumulators (64 bits, sign and exponent at the top) and status of a floating point processor at one moment.

    `exception` is the code (FEC) of an exception of this very instruction, else 0.
    """

    ac: tuple[int, ...]
    fps: int
    exception: int = 0


@dataclass(frozen=True, slots=True)
class Step:
    """One instruction as it happened; what a trap or an interrupt pushed behind it is among the accesses.

    `before` is taken before an interrupt that was waiting, `pc` is where the instruction lies.  Of a long string
    instruction only the first accesses are kept (`cut`).  `operands` are numbers and strings in the order they were
    touched; `floats` are the accumulators before and after an instruction of the floating point processor.
    """

    pc: int
    words: tuple[int, ...]
    accesses: tuple[StepAccess, ...]
    before: Registers
    after: Registers
    reason: Reason
    operands: tuple[StepOperand, ...] = ()
    floats: tuple[Floats, Floats] | None = None

    @property
    def text(self) -> str:
        """The instruction as the assembler writes it; empty if none was fetched."""
        return text_of(self.words, self.pc)

    @property
    def cut(self) -> bool:
        """Were there perhaps more accesses than are kept?"""
        return len(self.accesses) >= int(lib.MS_ACCESSES)

    @property
    def explanation(self) -> tuple[str, ...]:
        """What it did, in words, a line each."""
        from minisim.machine.told import told

        return told(self)

    @property
    def sentence(self) -> str:
        """What it did, in one sentence with the numbers that it used."""
        from minisim.machine.sentences import sentence

        return sentence(self)


def text_of(words: Sequence[int], pc: int) -> str:
    """The first instruction of some words as text."""
    from minisim.cpu.disassembler import disassemble

    lines = disassemble(words, pc & 0o177776)
    return lines[0].text if lines else ""


# --- from the core ----------------------------------------------------------------------------------------------------


def accesses_of(raw: Any) -> tuple[StepAccess, ...]:
    """What the core recorded of the last step."""
    return tuple(
        StepAccess(KINDS[each.kind], each.address, each.data, bool(each.is_byte))
        for each in raw.access[0 : raw.access_count]
    )


def operands_of(raw: Any, accesses: Sequence[StepAccess]) -> tuple[StepOperand, ...]:
    """The numbers and strings that the core noted in the last step."""
    return tuple(_operand(note, accesses) for note in raw.note[0 : raw.note_count])


def _operand(note: Any, accesses: Sequence[StepAccess]) -> StepOperand:
    kind, written, length = _OPERANDS[note.kind], bool(note.is_write), int(note.length)
    where = _register(kind, note, length) if note.in_register else f"{note.at:06o}"
    if kind == "floating":
        return StepOperand(kind, where, written, length, split(int(note.value), length))
    if kind == "integer":
        words = tuple(int(note.value) >> 16 * (length - 1 - place) & 0o177777 for place in range(length))
        return StepOperand(kind, where, written, length, words, high_half=bool(note.type))
    size = decimal_size(note.type, length) if kind == "decimal" else length
    data = _bytes(accesses, note.at, size, "write" if written else "read")
    return StepOperand(kind, where, written, length, data=data, decimal_type=int(note.type))


def split(number: int, count: int) -> tuple[int, ...]:
    """The first words of a number of 64 bits, highest first."""
    return tuple(number >> 48 - 16 * place & 0o177777 for place in range(count))


def _register(kind: str, note: Any, length: int) -> str:
    if kind == "floating":
        return f"AC{note.at}"
    return ",".join(f"R{note.at + place}" for place in range(length))


def _bytes(accesses: Sequence[StepAccess], at: int, size: int, kind: str) -> bytes:
    """The bytes from `at` on as far as they were touched without a gap."""
    found = {access.address: access.data for access in accesses if access.byte and access.kind == kind}
    data = bytearray()
    for place in range(size):
        byte = found.get((at + place) & 0o177777)
        if byte is None:
            break
        data.append(byte & 0o377)
    return bytes(data)


def floats_of(raw: Any) -> tuple[Floats, Floats] | None:
    """Accumulators and status before and after the last step, if it was one of the floating point processor."""
    if not raw.floats_noted:
        return None
    exception = int(raw.fec) if raw.floats_noted & lib.MS_NOTED_EXCEPTION else 0
    return Floats(tuple(raw.ac_before), int(raw.fps_before)), Floats(tuple(raw.ac), int(raw.fps), exception)
