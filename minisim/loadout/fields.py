"""Field types: what one scalar of a loadout means is decided by its field, never by YAML's guess.

A field reads text into a value, writes a value back as canonical text, and describes itself as a piece of JSON Schema.
Octal fields: register address, memory address, vector, word.  Decimal fields: counts, amperes, metres, watts.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, Generic, TypeVar

from minisim.problems import nearest

T = TypeVar("T")

IO_PAGE_TOP = 0o17777
"""Largest offset in the I/O page (8 KB)."""

_IO_PAGE_FORMS = (0o160000, 0o760000, 0o17760000)  # where the page begins with 16, 18 and 22 address bits
_WIDEST = 0o17777777  # 22 bits
_LONGEST_NUMBER = 40  # characters; longer text is no number anybody writes
_DECIMAL = re.compile(r"\d{1,9}(\.\d{1,6})?\Z", re.ASCII)
_HEXADECIMAL = re.compile(r"(0[xX]|\$)[0-9A-Fa-f]+|(?=.*[0-9])[0-9A-Fa-f]+[hH]?")


class FieldError(Exception):
    """The text does not suit the field; the message completes `key "text": ...`."""


@dataclass(frozen=True, slots=True)
class Field(Generic[T]):
    """One kind of scalar: its name for messages, how it is read and written, and its JSON Schema."""

    name: str
    read: Callable[[str], T]
    show: Callable[[T], str]
    schema: Mapping[str, Any] = field(default_factory=dict)


# ---- octal


def _octal(text: str, example: str) -> int:
    """The value of octal text, with or without leading zeros or 0o; says what is wrong with anything else."""
    advice = f"write octal digits, such as {example}"
    if not text:
        raise FieldError(f"empty; {advice}")
    if len(text) > _LONGEST_NUMBER:
        raise FieldError(f"{len(text)} characters are no octal number; {advice}")
    if text[0] in "+-":
        raise FieldError(f"an octal number has no sign; {advice}")
    digits = text[2:] if text[:2] in ("0o", "0O") else text
    if digits and set(digits) <= set("01234567"):
        return int(digits, 8)
    raise FieldError(f"{_why_not_octal(text, digits)}; {advice}")


def _why_not_octal(text: str, digits: str) -> str:
    if digits.isascii() and digits.isdigit():
        wrong = next(digit for digit in digits if digit in "89")
        return f"{wrong} is not an octal digit (0 to 7)"
    if re.fullmatch(r"[0-9]+\.[0-9]*", digits, re.ASCII):
        return "a point makes it decimal, and this field is octal"
    if _HEXADECIMAL.fullmatch(text):
        return "hexadecimal is not used here"
    return "not an octal number"


def _decimal_hint(text: str) -> str:
    """Where a refused register address read as decimal would lie in the I/O page, say which octal that is."""
    value = int(text) if re.fullmatch(r"[1-9]\d{4,6}", text, re.ASCII) else 0
    if any(base <= value <= base + IO_PAGE_TOP for base in _IO_PAGE_FORMS):
        return f" (decimal {value} would be {value:o})"
    return ""


def _read_register_address(text: str) -> int:
    try:
        value = _octal(text, "177560")
    except FieldError as error:
        raise FieldError(f"{error}{_decimal_hint(text)}") from None
    if value > _WIDEST:
        raise FieldError(f"too wide: a bus has 22 address bits at most ({_WIDEST:o})")
    offset = next((value - base for base in _IO_PAGE_FORMS if base <= value <= base + IO_PAGE_TOP), None)
    if offset is None:
        raise FieldError(
            "outside the I/O page: registers lie in 160000 to 177776, written with 18 bits 760000 to 777776, "
            f"with 22 bits 17760000 to 17777776{_decimal_hint(text)}"
        )
    if offset % 2:
        raise FieldError(f"odd: registers are words at even addresses; {value - 1:o} or {value + 1:o}?")
    return offset


def show_register_address(offset: int) -> str:
    """An I/O-page offset in the 18-bit form people write: 777560."""
    return f"{0o760000 + offset:o}"


def _octal_up_to(top: int, example: str, too_wide: str) -> Callable[[str], int]:
    def read(text: str) -> int:
        value = _octal(text, example)
        if value > top:
            raise FieldError(f"too wide: {too_wide}")
        return value

    return read


def _read_word(text: str) -> int:
    value = _octal(text, "173000")
    if value <= 0o177777:
        return value
    hint = f"; {0o160000 + value % 0o20000:o} is its 16-bit form" if 0o760000 <= value <= 0o777777 else ""
    raise FieldError(f"too wide: a word has 16 bits (0 to 177777){hint}")


def _octal_schema(what: str, most_digits: int) -> dict[str, Any]:
    """Text of octal digits, or the integer an editor makes of unquoted digits."""
    pattern = f"^(0[oO])?0*[0-7]{{1,{most_digits}}}$"
    return {"description": f"{what}; octal", "anyOf": [{"type": "string", "pattern": pattern}, _WHOLE]}


_WHOLE: dict[str, Any] = {"type": "integer", "minimum": 0}

REGISTER_ADDRESS = Field(
    "a register address",
    _read_register_address,
    show_register_address,
    _octal_schema("address of a register in the I/O page, 16-, 18- or 22-bit form, such as 777560", 8),
)
MEMORY_ADDRESS = Field(
    "a memory address",
    _octal_up_to(_WIDEST, "100000", f"a memory address has 22 bits at most ({_WIDEST:o})"),
    lambda value: f"{value:o}",
    _octal_schema("memory address in bytes, at most 22 bits", 8),
)
VECTOR = Field(
    "a vector",
    _octal_up_to(0o777, "60", "vectors lie in 0 to 777, usable ones are multiples of 4 up to 774"),
    lambda value: f"{value:o}",
    _octal_schema("interrupt vector, a multiple of 4 up to 774", 3),
)
WORD = Field("a word", _read_word, lambda value: f"{value:06o}", _octal_schema("a word of 16 bits", 6))


# ---- decimal


def _why_not_decimal(text: str, whole: bool) -> str:
    wanted = "a whole decimal number is wanted" if whole else "a decimal number is wanted, such as 1.5"
    if not text:
        return f"empty; {wanted}"
    if len(text) > _LONGEST_NUMBER:
        return f"{len(text)} characters are no number"
    if text[0] in "+-":
        return "has a sign; leave it away"
    if re.fullmatch(r"\d+,\d+", text):
        return "has a comma; write the digits alone" if whole else f"a decimal comma; write {text.replace(',', '.')}"
    if re.fullmatch(r"0[oOxX][0-9A-Fa-f]+", text):
        return f"this field is decimal; {wanted}"
    measure = re.fullmatch(r"([\d.]+) *([A-Za-z]+)", text)
    if measure:
        return f'write the number alone, without "{measure[2]}"'
    return f"not a whole number; {wanted}" if whole and re.fullmatch(r"[\d.]+", text) else f"not a number; {wanted}"


def _read_count(least: int, most: int) -> Callable[[str], int]:
    def read(text: str) -> int:
        digits = text.removesuffix(".")  # a trailing point is how the trade marks a decimal number
        if not re.fullmatch(r"\d{1,9}", digits, re.ASCII):
            raise FieldError(_why_not_decimal(text, whole=True))
        if digits != str(int(digits)):
            raise FieldError(f"a leading zero, as in octal; this field is decimal: write {int(digits)}")
        if not least <= int(digits) <= most:
            raise FieldError(f"out of range: {least} to {most} (decimal)")
        return int(digits)

    return read


def count(what: str, least: int, most: int) -> Field[int]:
    """A whole decimal number from `least` to `most`."""
    number = {"type": "integer", "minimum": least, "maximum": most}
    written = {"type": "string", "pattern": r"^(0|[1-9][0-9]{0,8})\.?$"}
    schema = {"description": f"{what}; decimal", "anyOf": [number, written]}
    return Field(what, _read_count(least, most), str, schema)


def _read_decimal(text: str) -> Decimal:
    if not _DECIMAL.match(text):
        raise FieldError(_why_not_decimal(text, whole=False))
    return Decimal(text)


def measure(what: str, unit: str) -> Field[Decimal]:
    """A decimal number of zero or more with a fixed unit that is not written."""
    written = {"type": "string", "pattern": r"^[0-9]{1,9}(\.[0-9]{1,6})?$"}
    schema = {"description": f"{what} in {unit}; decimal", "anyOf": [{"type": "number", "minimum": 0}, written]}
    return Field(what, _read_decimal, lambda value: f"{value:f}", schema)


AMPERES = measure("a current", "amperes")
WATTS = measure("a power", "watts")
METRES = measure("a length", "metres")
LOADS = measure("a bus load", "unit loads")


# ---- words

_TWO_WAYS = {
    "yes": "yes on in true y 1 enabled closed",
    "no": "no off out false n 0 disabled open",
}


def _same_meaning(text: str, allowed: Sequence[str]) -> str:
    """Of two-way words such as on/off, the one that says what `text` says: "True" is "on"."""
    low = text.lower()
    for words in _TWO_WAYS.values():
        if low in words.split():
            return next((word for word in allowed if word in words.split()), "")
    return ""


def listed(words: Sequence[str]) -> str:
    """`a, b or c`."""
    return f"{', '.join(words[:-1])} or {words[-1]}" if len(words) > 1 else "".join(words)


def _read_choice(allowed: Sequence[str]) -> Callable[[str], str]:
    def read(text: str) -> str:
        if text in allowed:
            return text
        same = _same_meaning(text, allowed) or next((word for word in allowed if word == text.lower()), "")
        hint = f'; did you mean "{same}"?' if same else nearest(text, allowed)
        raise FieldError(f"{'not one of' if text else 'empty;'} {listed(allowed)}{hint}")

    return read


def choice(what: str, allowed: Sequence[str]) -> Field[str]:
    """One of the words `allowed`."""
    return Field(what, _read_choice(allowed), str, {"description": what, "enum": _as_editors_see(allowed)})


def _as_editors_see(allowed: Sequence[str]) -> list[Any]:
    """The words, and what common YAML readers make of them unquoted: yes is true, 16 is a number, 844.8 too."""
    seen: list[Any] = list(allowed)
    for word in allowed:
        if word in ("yes", "on", "no", "off"):
            seen.append(word in ("yes", "on"))
        elif re.fullmatch(r"\d+(\.\d+)?", word):
            seen.append(float(word) if "." in word else int(word))
    return seen


def two_way(what: str, on: str, off: str) -> Field[bool]:
    """A yes/no, on/off or in/out field; True is the first word."""
    word = choice(what, (on, off))
    return Field(what, lambda text: word.read(text) == on, lambda value: on if value else off, word.schema)


YES_NO = two_way("yes or no", "yes", "no")
ON_OFF = two_way("on or off", "on", "off")
IN_OUT = two_way("in or out", "in", "out")


# ---- text


def _read_text(text: str) -> str:
    if not text.strip():
        raise FieldError("empty; some text is wanted")
    return text.strip()


def _read_reason(text: str) -> str:
    if not text.strip():
        raise FieldError("empty; write why the finding is taken on, for it is printed with the finding")
    return text.strip()


def _read_name(text: str) -> str:
    if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,39}", text, re.ASCII):
        raise FieldError("a name in places such as main/a/3 has letters, digits, '-', '_' and '.' only, at most 40")
    return text


def _read_sha256(text: str) -> str:
    if not re.fullmatch(r"[0-9a-fA-F]{64}", text, re.ASCII):
        raise FieldError("a SHA-256 sum has 64 digits 0-9 and a-f")
    return text.lower()


_LOOSE = {"type": ["string", "number", "boolean"], "pattern": r"\S"}

TEXT = Field("some text", _read_text, str, {"type": "string", "pattern": r"\S"})
REASON = Field("a reason", _read_reason, str, {"type": "string", "pattern": r"\S"})
LOOSE_TEXT = Field("a word", _read_text, str, _LOOSE)
RAW_TEXT = Field("a word", str, str, _LOOSE)
"""A word that another field reads later, when more is known."""

NAME = Field(
    "a short name",
    _read_name,
    str,
    {"anyOf": [{"type": "string", "pattern": "^[A-Za-z0-9][A-Za-z0-9_.-]{0,39}$"}, {"type": ["number", "boolean"]}]},
)
SHA256 = Field("a SHA-256 sum", _read_sha256, str, {"type": "string", "pattern": "^[0-9a-fA-F]{64}$"})
