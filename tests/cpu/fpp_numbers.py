"""Floating formats in exact fractions, from section 4.1 of the facts alone.

A number of either format lies left-justified in 64 bits, as in an accumulator: sign, eight bits of exponent, fraction.
"""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

BITS = {False: 24, True: 56}  # of the fraction with its hidden bit, by `double`
EXCESS = 0o200
SIGN = 1 << 63
HIGH_HALF = 0xFFFFFFFF << 32  # what F takes of 64 bits
FIELD, FRACTION = 0o377 << 55, (1 << 55) - 1


class Rounded(NamedTuple):
    """A number cut to a format, before its exponent is judged."""

    sign: int
    field: int  # of the exponent, as many bits as it needs
    fraction: int  # with the hidden bit


def field_of(bits: int) -> int:
    """The exponent field."""
    return bits >> 55 & 0o377


def is_undefined(bits: int) -> bool:
    """Exponent 0 with sign 1."""
    return bits >> 55 == 0o400


def value(bits: int, double: bool) -> Fraction:
    """The number that an accumulator stands for; exponent 0 is zero; F does not see the low half."""
    if not double:
        bits &= HIGH_HALF
    field = bits >> 55 & 0o377
    if not field:
        return Fraction(0)
    fraction = bits & FRACTION | 1 << 55
    if bits & SIGN:
        fraction = -fraction
    power = field - EXCESS - 56
    return Fraction(fraction << power) if power >= 0 else Fraction(fraction, 1 << -power)


def rounded(number: Fraction, double: bool, chop: bool) -> Rounded:
    """Half a unit of the last place is added to the magnitude, or the rest is cut off.  The number is not 0."""
    top, bottom, width = abs(number.numerator), number.denominator, BITS[double]
    exponent = top.bit_length() - bottom.bit_length()  # 1/2 < size < 2
    if (exponent >= 0 and top >= bottom << exponent) or (exponent < 0 and top << -exponent >= bottom):
        exponent += 1
    shift = width - exponent
    if shift >= 0:
        top <<= shift
    else:
        bottom <<= -shift
    fraction = top // bottom if chop else (2 * top + bottom) // (2 * bottom)
    if fraction >> width:
        fraction, exponent = fraction >> 1, exponent + 1
    return Rounded(int(number < 0), exponent + EXCESS, fraction)


def packed(parts: Rounded, double: bool) -> int:
    """The 64 bits; of the exponent field only its low eight bits."""
    width = BITS[double]
    kept = parts.fraction & (1 << width - 1) - 1
    return parts.sign << 63 | (parts.field & 0o377) << 55 | kept << 56 - width


def words(bits: int, count: int = 4) -> tuple[int, ...]:
    """The first words, highest first."""
    return tuple(bits >> shift & 0o177777 for shift in (48, 32, 16, 0)[:count])


def joined(parts: tuple[int, ...] | list[int]) -> int:
    """64 bits from their words; those that are missing are 0."""
    bits = 0
    for number in range(4):
        bits = bits << 16 | (parts[number] if number < len(parts) else 0)
    return bits
