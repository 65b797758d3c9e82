"""FIS in exact fractions, from sections 2.2 and 4.1 of the facts alone."""

from __future__ import annotations

from fractions import Fraction

HALF = Fraction(1, 2)
OVERFLOW, UNDERFLOW, BY_ZERO = 0o02, 0o12, 0o13  # N Z V C of the errors (from memory, firm)


def value(high: int, low: int) -> Fraction:
    """The number that two words stand for; exponent 0 is zero."""
    exponent = high >> 7 & 0o377
    if exponent == 0:
        return Fraction(0)
    fraction = Fraction(1 << 23 | (high & 0o177) << 16 | low, 1 << 24)
    return (-1 if high >> 15 else 1) * fraction * Fraction(2) ** (exponent - 0o200)


def words(number: Fraction) -> tuple[int, int] | int:
    """Rounded to 24 bits, ties away from zero; or the codes of overflow or underflow."""
    if number == 0:
        return 0, 0
    size, exponent = abs(number), 0
    while size >= 1:
        size, exponent = size / 2, exponent + 1
    while size < HALF:
        size, exponent = size * 2, exponent - 1
    rounded = int(size * (1 << 24) + HALF)
    if rounded == 1 << 24:
        rounded, exponent = rounded // 2, exponent + 1
    if exponent > 0o177:
        return OVERFLOW
    if exponent < -0o177:
        return UNDERFLOW
    return int(number < 0) << 15 | (exponent + 0o200) << 7 | rounded >> 16 & 0o177, rounded & 0o177777


def outcome(act: int, b: tuple[int, int], a: tuple[int, int]) -> tuple[int, int] | int:
    """A op B for FADD FSUB FMUL FDIV (0 to 3): the words of the result, or the codes of an error."""
    left, right = value(*a), value(*b)
    if act == 3 and right == 0:
        return BY_ZERO
    return words([left + right, left - right, left * right, left / right if right else left][act])
