"""EIS in exact integers, bit by bit where the core takes a whole shift at once: from section 2.1 of the facts alone.

Each function takes the registers R and R|1 and the operand, as words, and gives what is in them afterwards and N Z V C;
a code that the books leave undefined is None.
"""

from __future__ import annotations

from typing import NamedTuple

WORD, SIGN = 0o177777, 0o100000
LONG, LONG_SIGN = (1 << 32) - 1, 1 << 31


class Outcome(NamedTuple):
    """Registers R and R|1 (the same one where R is odd), and the condition codes."""

    high: int
    low: int
    n: int | None
    z: int | None
    v: int
    c: int


def signed(value: int, sign: int) -> int:
    """Two's complement: the number behind the bits."""
    return value - 2 * sign if value & sign else value


def multiply(high: int, low: int, operand: int, odd: bool) -> Outcome:
    """Signed 16 by 16 bits; an odd R keeps the low half alone [course-processor]."""
    product = signed(high, SIGN) * signed(operand, SIGN)
    bits = product & LONG
    fits = -(1 << 15) <= product <= (1 << 15) - 1
    upper = bits & WORD if odd else bits >> 16
    return Outcome(upper, bits & WORD, int(product < 0), int(product == 0), 0, int(not fits))


def divide(high: int, low: int, operand: int) -> Outcome:
    """32 by 16 bits, R even; the remainder has the sign of the dividend [course-processor]."""
    dividend, divisor = signed(high << 16 | low, LONG_SIGN), signed(operand, SIGN)
    if divisor == 0:
        return Outcome(high, low, None, None, 1, 1)
    quotient = abs(dividend) // abs(divisor) * (1 if (dividend < 0) == (divisor < 0) else -1)
    if not -(1 << 15) <= quotient <= (1 << 15) - 1:
        return Outcome(high, low, None, None, 1, 0)
    remainder = dividend - quotient * divisor
    return Outcome(quotient & WORD, remainder & WORD, int(quotient < 0), int(quotient == 0), 0, 0)


def shift(value: int, operand: int, sign: int) -> tuple[int, int, int]:
    """Shifted by the six low bits of the operand, place by place: value, V, C (from memory, firm)."""
    mask, count = 2 * sign - 1, signed(operand & 0o77, 0o40)
    v = c = 0
    for _ in range(abs(count)):
        if count > 0:
            c, after = int(bool(value & sign)), value << 1 & mask
        else:
            c, after = value & 1, value >> 1 | value & sign
        v |= int((value ^ after) & sign != 0)
        value = after
    return value, v, c


def shift_word(high: int, low: int, operand: int, odd: bool) -> Outcome:
    """ASH: R alone."""
    value, v, c = shift(high, operand, SIGN)
    return Outcome(value, value if odd else low, value >> 15, int(value == 0), v, c)


def shift_long(high: int, low: int, operand: int, odd: bool) -> Outcome:
    """ASHC: R and R|1; where they are one register the low half stays in it."""
    value, v, c = shift(high << 16 | low, operand, LONG_SIGN)
    return Outcome(value & WORD if odd else value >> 16, value & WORD, value >> 31, int(value == 0), v, c)
