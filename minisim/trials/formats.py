"""Number formats in plain Python, exact: what cases of `float` and `decimal` are held against.

Floating: sign, exponent in excess of 128, fraction with its first bit left out, highest word first.  Decimal: the bytes
of a string of digits in rising addresses.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from decimal import Decimal, localcontext
from fractions import Fraction

from minisim.machine.explain import OVERPUNCH

EXCESS = 128
F_BITS, D_BITS = 24, 56  # of the fraction, with the bit that is left out
LARGEST_EXPONENT = 127
_DIGITS = 60  # of the constants: more than 56 bits need


def number_of(text: str, bits: int = D_BITS) -> Fraction:
    """A number from its text; the largest and smallest are those of a fraction of `bits`.  ValueError: unknown."""
    if text == "largest":
        return (1 - Fraction(1, 1 << bits)) * (1 << LARGEST_EXPONENT)
    if text == "smallest":
        return Fraction(1, 1 << EXCESS)
    head, _, divisor = text.partition("/")
    if divisor and not re.fullmatch("[1-9][0-9]*", divisor):
        raise ValueError("a number, or a fraction such as 1/3 or pi/4, is expected")
    return _plain(head) / int(divisor or "1")


def _plain(text: str) -> Fraction:
    """A decimal number or a constant."""
    if re.fullmatch(r"[+-]?[0-9]+(\.[0-9]+)?", text):
        return Fraction(text)
    if text == "pi":
        return _pi()
    with localcontext() as context:
        context.prec = _DIGITS
        if text == "e":
            return Fraction(Decimal(1).exp())
        if found := re.fullmatch("(sqrt|log10) ([1-9][0-9]*)", text):
            whole = Decimal(int(found[2]))
            return Fraction(whole.sqrt() if found[1] == "sqrt" else whole.log10())
    raise ValueError("a number such as 0.5, 1/3, pi/4, e, sqrt 2, log10 2, largest or smallest is expected")


def _pi() -> Fraction:
    """Machin: pi = 16 arctan 1/5 - 4 arctan 1/239, in whole numbers of 10 to the -60."""
    unity = 10**_DIGITS

    def arctan(inverse: int) -> int:
        term, total, divisor = unity // inverse, 0, 1
        while term:
            total += term // divisor if divisor % 4 == 1 else -(term // divisor)
            term, divisor = term // (inverse * inverse), divisor + 2
        return total

    return Fraction(16 * arctan(5) - 4 * arctan(239), unity)


def float_words(text: str, *, double: bool, chopped: bool = False) -> tuple[int, ...]:
    """The words of a number in floating format, highest first.  ValueError: it does not fit."""
    bits = D_BITS if double else F_BITS
    number = number_of(text, bits)
    size, exponent = abs(number), 0
    if not size:
        return (0,) * (4 if double else 2)
    while size >= 1:
        size, exponent = size / 2, exponent + 1
    while size < Fraction(1, 2):
        size, exponent = size * 2, exponent - 1
    scaled = size * (1 << bits)
    fraction = int(scaled) if chopped else int(scaled + Fraction(1, 2))
    if fraction >> bits:
        fraction, exponent = fraction >> 1, exponent + 1
    if not 0 < exponent + EXCESS < 256:
        raise ValueError(f"{text} does not fit the exponent")
    whole = (number < 0) << (bits + 7) | (exponent + EXCESS) << (bits - 1) | fraction & ((1 << (bits - 1)) - 1)
    return tuple(whole >> shift & 0o177777 for shift in range(bits + 8 - 16, -1, -16))


# --- decimal strings --------------------------------------------------------------------------------------------------

_PLUS, _MINUS, _UNSIGNED = 0o14, 0o15, 0o17  # the sign nibbles of packed strings


def decimal_bytes(text: str, digits: int, kind: str) -> tuple[int, ...]:
    """The bytes of a decimal string.  ValueError: more digits than there is room for."""
    minus, number = text.startswith("-"), text.lstrip("+-")
    if len(number.lstrip("0")) > digits:
        raise ValueError(f"{text} has more than {digits} digits")
    number = number.lstrip("0").rjust(digits, "0")
    sign, _, form = kind.partition(" ")
    if form == "packed":
        return _packed(number, _UNSIGNED if sign == "unsigned" else _MINUS if minus else _PLUS)
    return tuple(_TEXT_FORMS[kind](number, minus))


def _packed(number: str, sign: int) -> tuple[int, ...]:
    """Two digits a byte, the sign in the last half byte, a zero before an even number of digits."""
    nibbles = [*([0] if len(number) % 2 == 0 else []), *map(int, number), sign]
    return tuple(high << 4 | low for high, low in zip(nibbles[::2], nibbles[1::2], strict=True))


def _zoned(number: str, minus: bool) -> bytes:
    """The sign is bit 6 of the last digit."""
    data = bytearray(number.encode("ascii"))
    data[-1] |= 0o100 * minus
    return bytes(data)


_TEXT_FORMS: Mapping[str, Callable[[str, bool], bytes]] = {
    "signed zoned": _zoned,
    "unsigned zoned": lambda number, minus: number.encode("ascii"),
    "trailing overpunch": lambda number, minus: (number[:-1] + OVERPUNCH[minus][int(number[-1])]).encode("ascii"),
    "leading overpunch": lambda number, minus: (OVERPUNCH[minus][int(number[0])] + number[1:]).encode("ascii"),
    "trailing separate": lambda number, minus: (number + "+-"[minus]).encode("ascii"),
    "leading separate": lambda number, minus: ("+-"[minus] + number).encode("ascii"),
}
