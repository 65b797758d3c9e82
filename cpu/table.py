"""The instruction table as the core holds it: records, second names, decoding.

Everything comes from the compiled core, where each record stands beside its body; there is no second list.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from minisim.catalogue.model import Profile
from minisim.cpu._core import ffi, lib
from minisim.cpu.profile import configuration

WORDS = 0o200000


class TableError(Exception):
    """The records of the core contradict each other: two of them match one word, say."""


@dataclass(frozen=True, slots=True)
class Form:
    """An operand form.

    `operands` are letters in the order they are written: S and D operands of six bits, R a register, B a branch target
    (eight bits, signed), L a loop target (six bits, backwards), N and X numbers, C a choice of condition codes, F an
    operand of six bits whose mode 0 is an accumulator, A an accumulator.
    `source` and `destination` say what is done with an operand in memory: none, address, read, write, change.
    """

    name: str
    operands: str
    source: str
    destination: str


@dataclass(frozen=True, slots=True)
class Record:
    """One instruction, as the decoder, the assembler and the reference page see it.

    `pattern` has six octal places, the first of one bit; letters are fields (S D F operands, R register, N number; a A
    an accumulator); "+XX" is a field of the eight low bits, "+C" of the four low bits.  `codes` tells the effect on
    N Z V C: `*` by the result, `-` none, 0, 1.  `of` names the owner where the record is only a second name.
    `does` says what it does, as a text with fields (record.h describes them).
    """

    mnemonic: str
    pattern: str
    form: Form
    codes: str
    module: str
    traps: tuple[int, ...]
    source: str
    value: int
    mask: int
    is_byte: bool
    does: str
    of: str = ""

    @property
    def operands(self) -> str:
        """The operands as written, see `Form`."""
        return self.form.operands

    def owns(self, word: int) -> bool:
        """Whether a first word is this instruction."""
        return word & self.mask == self.value

    def words(self) -> Iterator[int]:
        """Every first word of the instruction, in rising order."""
        return (word for word in range(self.value, (self.value | ~self.mask & 0o177777) + 1) if self.owns(word))


_USES = ("none", "address", "read", "write", "change")


@cache
def forms() -> tuple[Form, ...]:
    """All operand forms."""
    found: list[Form] = []
    while (form := lib.ms_form_at(len(found))) != ffi.NULL:
        found.append(Form(_text(form.name), _text(form.operands), _USES[form.source], _USES[form.destination]))
    return tuple(found)


@cache
def modules() -> tuple[str, ...]:
    """The word for each module number: base, later-base, eis ..."""
    found: list[str] = []
    while (word := lib.ms_module_word(len(found))) != ffi.NULL:
        found.append(_text(word))
    return tuple(found)


@cache
def records() -> tuple[Record, ...]:
    """Every instruction of every module that is built, each with words of its own."""
    _refuse_contradictions()
    return tuple(_record(lib.ms_records()[index]) for index in range(1, lib.ms_record_count()))


@cache
def aliases() -> tuple[Record, ...]:
    """Second names of words that a record owns: single condition code operators, NOP, the unsigned branches."""
    _refuse_contradictions()
    return tuple(_record(lib.ms_aliases()[index]) for index in range(lib.ms_alias_count()))


class Decoder:
    """Who owns a first word, on one processor with its options.

    `options`: None takes every option the profile can have; else the names of those fitted beside the standard ones.
    """

    def __init__(self, profile: Profile | str, options: Iterable[str] | None = None) -> None:
        self._table: Any = _decode_table(configuration(profile, options).modules)
        self._records = records()

    def owner(self, word: int) -> Record | None:
        """The record that owns the word; None: reserved, trap 10."""
        index = self._table[_checked(word)].record
        return self._records[index - 1] if index else None

    def cycles(self, word: int) -> int:
        """Memory cycles of the instruction beyond the fetch of its first word, for the time table."""
        return int(self._table[_checked(word)].cycles)

    @property
    def owned(self) -> int:
        """How many of the 65,536 first words (decimal) have an owner."""
        return sum(1 for word in range(WORDS) if self._table[word].record)

    @property
    def reserved(self) -> int:
        """How many trap to 10."""
        return WORDS - self.owned


def collision(pattern: str, other: str) -> int | None:
    """A first word that both patterns match, or None.  ValueError: one of them is no pattern."""
    word = int(lib.ms_collision(pattern.encode(), other.encode()))
    if word == -2:
        raise ValueError(f"not a pattern: {pattern!r} or {other!r}")
    return None if word < 0 else word


def _checked(word: int) -> int:
    if not 0 <= word < WORDS:
        raise ValueError(f"a first word has 16 bits, not {word:o}")
    return word


def _decode_table(fitted: int) -> Any:
    table = lib.ms_decode_table(fitted)
    if table == ffi.NULL:
        raise TableError(_text(lib.ms_table_error()) if lib.ms_table_error() != ffi.NULL else "no memory")
    return table


def _refuse_contradictions() -> None:
    if lib.ms_table_error() != ffi.NULL:
        raise TableError(_text(lib.ms_table_error()))


def _text(chars: Any) -> str:
    return str(ffi.string(chars).decode("ascii"))


def _record(raw: Any) -> Record:
    return Record(
        mnemonic=_text(raw.mnemonic),
        pattern=_text(raw.pattern),
        form=forms()[raw.form],
        codes=_text(raw.codes),
        module=modules()[raw.module],
        traps=tuple(int(vector, 8) for vector in _text(raw.traps).split()),
        source=_text(raw.source),
        value=raw.value,
        mask=raw.mask,
        is_byte=bool(raw.is_byte),
        does=_text(raw.does),
        of=_text(raw.of),
    )
