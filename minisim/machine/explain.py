"""What words stand for, told in words: the number behind a floating operand."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal, localcontext
from fractions import Fraction

_EXCESS = 128
_MOST_DIGITS = 18  # tell any two numbers of 56 bits apart
_PLAIN = range(-5, 17)  # powers of ten written out


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
