"""What words and bytes stand for, told in words: the number of a floating operand, the digits of a decimal string."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal, localcontext
from fractions import Fraction

_EXCESS = 128
_MOST_DIGITS = 18  # tell any two numbers of 56 bits apart
_PLAIN = range(-5, 17)  # powers of ten written out

DECIMAL_TYPES = ("signed zoned", "unsigned zoned", "trailing overpunch", "leading overpunch", "trailing separate",
                 "leading separate", "signed packed", "unsigned packed")  # fmt: skip
"""The types of decimal strings by the number in their descriptor."""
OVERPUNCH = {False: "{ABCDEFGHI", True: "}JKLMNOPQR"}
"""A digit with its sign as one character, plus and minus: what is written."""
_PUNCHED = {ord(character): (digit, minus) for minus, row in OVERPUNCH.items() for digit, character in enumerate(row)}
_PUNCHED |= {ord(character): (0, character in "]!:") for character in "[?]!:"}  # read besides (unconfirmed)
_PUNCHED |= {ord("0") + digit: (digit, False) for digit in range(10)}
_ZONED = {zone << 4 | digit: (digit, zone == 7) for zone in (3, 7) for digit in range(10)}
_SEPARATE = {ord("+"): False, ord(" "): False, ord("-"): True}
_NIBBLES = {0o12: False, 0o14: False, 0o16: False, 0o17: False, 0o13: True, 0o15: True}
_NO_DIGIT = "?"


def floating(words: Sequence[int]) -> str:
    """A number in floating format and its words: `-1.5 (140300 000000)`.

    One, two or four words, highest first; three are read as four with a 0 behind.  The decimal number has just as many
    digits as tell it from its neighbours.  ValueError: no words, or more than four.
    """
    if not 1 <= len(words) <= 4:
        raise ValueError(f"a floating number has one, two or four words, not {len(words)}")
    octal = " ".join(f"{word:06o}" for word in words)
    return f"{_told(words)} ({octal})"


def _told(words: Sequence[int]) -> str:
    """The number in decimal, or what stands in its place."""
    width = 24 if len(words) <= 2 else 56
    bits = 0
    for place in range(2 if width == 24 else 4):
        bits = bits << 16 | (words[place] if place < len(words) else 0)
    negative, field = bits >> (width + 7), bits >> (width - 1) & 0o377
    if not field:
        return "the undefined variable" if negative else "0"
    fraction = bits & (1 << (width - 1)) - 1 | 1 << (width - 1)
    unit = Fraction(2) ** (field - _EXCESS - width)
    return "-" * negative + _written(_shortest(fraction * unit, unit / 2))


def _shortest(number: Fraction, room: Fraction) -> Decimal:
    """The number in as few digits as stay nearer than `room`."""
    with localcontext() as context:
        for digits in range(1, _MOST_DIGITS + 1):
            context.prec = digits
            found = Decimal(number.numerator) / Decimal(number.denominator)
            if abs(Fraction(found) - number) < room:
                break
    return found


def _written(number: Decimal) -> str:
    """Plain, or with a power of ten where that would be long."""
    if number.adjusted() in _PLAIN:
        return f"{number.normalize():f}"
    digits = "".join(map(str, number.normalize().as_tuple().digits))
    rest = f".{digits[1:]}" if digits[1:] else ""
    return f"{digits[0]}{rest} x 10^{number.adjusted()}"


# --- decimal strings --------------------------------------------------------------------------------------------------


def decimal_size(kind: int, digits: int) -> int:
    """How many bytes a decimal string of a type fills, its sign with them."""
    if kind >= DECIMAL_TYPES.index("signed packed"):
        return digits // 2 + 1
    return digits + ("separate" in DECIMAL_TYPES[kind] and digits > 0)


def decimal_string(data: Sequence[int], kind: int, digits: int) -> str:
    """The digits of a decimal string and its type: `+12345, signed packed`.

    Bytes in rising addresses, with the sign where it has a byte of its own; the type by its number in a descriptor.  A
    question mark stands for a digit or sign that the type does not know.  ValueError: no such type, or other bytes than
    so many digits fill.
    """
    if not 0 <= kind < len(DECIMAL_TYPES) or not 0 <= digits <= 31:
        raise ValueError(f"a decimal string has a type from 0 to 7 and up to 31 digits, not {kind} and {digits}")
    size = decimal_size(kind, digits)
    if len(data) != size:
        raise ValueError(f"{digits} digits, {DECIMAL_TYPES[kind]}, fill {size} bytes, not {len(data)}")
    form = DECIMAL_TYPES[kind]
    sign, text = _packed(data) if form.endswith("packed") else _characters(data, form)
    told = ("" if form.startswith("unsigned") else sign) + (text[-digits:] if digits else " without digits")
    return f"{told.strip()}, {form}"


def _sign(minus: bool | None) -> str:
    return _NO_DIGIT if minus is None else "-" if minus else "+"


def _digit(value: int) -> str:
    return str(value) if value < 10 else _NO_DIGIT


def _packed(data: Sequence[int]) -> tuple[str, str]:
    """Sign and digits, two a byte; the sign comes last."""
    halves = [half for byte in data for half in (byte >> 4, byte & 0o17)]
    return _sign(_NIBBLES.get(halves[-1])), "".join(map(_digit, halves[:-1]))


def _characters(data: Sequence[int], form: str) -> tuple[str, str]:
    """Sign and digits, one a byte."""
    place = 0 if form.startswith("leading") else len(data) - 1
    digits = [_digit(byte & 0o17) for byte in data]
    if not data or form == "unsigned zoned":
        return "", "".join(digits)
    if form.endswith("separate"):
        return _sign(_SEPARATE.get(data[place])), "".join(digits[:place] + digits[place + 1 :])
    known = (_ZONED if form == "signed zoned" else _PUNCHED).get(data[place])
    digits[place] = _NO_DIGIT if known is None else str(known[0])
    return _sign(None if known is None else known[1]), "".join(digits)
