"""The kinds of numbers and names that a phrase may hold: a closed set, each read from the owner's word."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from minisim.why.model import Value

_DIGITS = re.compile(r"(?:0o)?([0-9]+)", re.ASCII)
_PLACE = re.compile(r"([1-9][0-9]?)([a-f]{0,6})", re.ASCII)
_CASE = re.compile(r"[a-z0-9-]+/[a-z0-9-]+", re.ASCII)
_LETTERS = re.compile(r"[a-z]{2}", re.ASCII)
WORD, WIDEST = 0o177777, 0o17777777
VECTORS_END = 0o1000  # the last vector starts at 774: a stop behind it is at 1000
WINDOWS = {"high": 0o173000, "low": 0o165000}
_WINDOW_BYTES = 0o1000


@dataclass(frozen=True, slots=True)
class Bad:
    """A number that stands where one is expected and can't be used; `why` is said to the owner."""

    why: str


@dataclass(frozen=True, slots=True)
class NumberKind:
    """One kind: `read` gives the value, None where the word is of another kind, Bad where it is wrong."""

    name: str
    what: str
    weight: int  # the more special kind wins where two fit
    read: Callable[[str], Value | Bad | None]


def octal(text: str, most: int = WIDEST) -> int | Bad | None:
    """An octal number; None where the word is no number."""
    match = _DIGITS.fullmatch(text)
    if match is None:
        return None
    if any(digit in "89" for digit in match[1]):
        return Bad(f"{text} is not octal: octal numbers have digits 0 to 7 only")
    value = int(match[1], 8)
    return value if value <= most else Bad(f"{text} is too large: at most {most:o}")


def _even(text: str, most: int = WIDEST) -> int | Bad | None:
    value = octal(text, most)
    return Bad(f"{text} is odd: a program counter is always even") if isinstance(value, int) and value & 1 else value


def _vector_stop(text: str) -> Value | Bad | None:
    value = _even(text)
    return value if not isinstance(value, int) or 4 <= value <= VECTORS_END else None


def vector_of(stop: int) -> int:
    """The vector of a stop: it is 4 behind it, or 2 where a panel shows the HALT itself."""
    return stop - 4 if stop % 4 == 0 else stop - 2


def _vector(text: str) -> Value | Bad | None:
    value = octal(text)
    if not isinstance(value, int):
        return value
    if value >= VECTORS_END:
        return None
    return value if value % 4 == 0 else Bad(f"{text} is no vector: a vector is a multiple of 4")


def _zero_stop(text: str) -> Value | Bad | None:
    value = _even(text)
    return value if not isinstance(value, int) or value in (0, 2) else None


def window_address(value: int) -> int | None:
    """The 16-bit form of an address in a boot ROM window; None outside the windows."""
    low = value & 0o17777 | 0o160000
    if value not in (low, low | 0o760000, low | 0o17760000):
        return None
    inside = any(start <= low < start + _WINDOW_BYTES or low == start + _WINDOW_BYTES for start in WINDOWS.values())
    return low if inside else None


def _rom_address(text: str) -> Value | Bad | None:
    value = _even(text)
    return window_address(value) if isinstance(value, int) else value


def _memory_address(text: str) -> Value | Bad | None:
    return octal(text)


def _word(text: str) -> Value | Bad | None:
    return octal(text, WORD)


def _slot(text: str) -> Value | Bad | None:
    """`6` or `2cd`, as the owner counts slots: decimal."""
    return text.upper() if _PLACE.fullmatch(text) else None


def _case(text: str) -> Value | Bad | None:
    return text if _CASE.fullmatch(text) else None


def _letters(text: str) -> Value | Bad | None:
    return text.upper() if _LETTERS.fullmatch(text) else None


TRAP_NAMES = {
    "timeout": 0o4, "time-out": 0o4, "odd": 0o4, "illegal": 0o10, "reserved": 0o10, "trace": 0o14, "bpt": 0o14,
    "iot": 0o20, "powerfail": 0o24, "power-fail": 0o24, "emt": 0o30, "parity": 0o114, "floating": 0o244,
    "mmu": 0o250, "management": 0o250,
}  # fmt: skip
"""What people call the traps of the processor."""


def _trap_name(text: str) -> Value | Bad | None:
    return TRAP_NAMES.get(text)


_KINDS = (
    NumberKind("vector-stop", "the address of a stop in the vector area (000004 to 001000)", 3, _vector_stop),
    NumberKind("vector", "a trap or interrupt vector", 3, _vector),
    NumberKind("trap-name", f"what a trap is called: {', '.join(TRAP_NAMES)}", 3, _trap_name),
    NumberKind("zero-stop", "a stop at 000000 or 000002", 3, _zero_stop),
    NumberKind("rom-address", "an address in a boot ROM window", 3, _rom_address),
    NumberKind("address", "an address where the processor stands", 2, _even),
    NumberKind("memory-address", "a memory address of up to 22 bits", 2, _memory_address),
    NumberKind("word", "a word of 16 bits", 2, _word),
    NumberKind("slot", "a slot, decimal, with rows if wanted: 6 or 2CD", 2, _slot),
    NumberKind("case", "a trial case: table/row", 3, _case),
    NumberKind("letters", "two letters", 2, _letters),
)
KINDS = {kind.name: kind for kind in _KINDS}


def number(name: str) -> NumberKind:
    """A kind by its name."""
    return KINDS[name]
