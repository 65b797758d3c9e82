"""MUL, DIV, ASH and ASHC in exact integers: section 2.1 of the facts, read apart from the oracle in tests/cpu."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from .arithmetic import WORD, Codes
from .outcomes import Undefined

LONG_MASK, LONG_SIGN = 0o37777777777, 0o20000000000


class Extended(NamedTuple):
    """What R and R|1 become (where R is odd: R alone, in `low`), the codes, and which codes the books leave open."""

    high: int
    low: int
    codes: Codes
    open_codes: int = 0


def long_number(bits: int) -> int:
    """32 bits as a number with a sign."""
    return bits - (LONG_SIGN << 1) if bits & LONG_SIGN else bits


def multiply(high: int, _low: int, operand: int, odd: bool) -> Extended:
    """C tells that the product needs more than 16 bits (10.2)."""
    product = WORD.signed(high) * WORD.signed(operand)
    codes = Codes(int(product < 0), int(product == 0), 0, int(product not in range(-0o100000, 0o100000)))
    return Extended(product >> 16 & WORD.mask, product & WORD.mask, codes)


def divide(high: int, low: int, operand: int, odd: bool) -> Extended:
    """Chopped; the remainder has the sign of the dividend.  N and Z are undefined where V is set."""
    if odd:
        raise Undefined("DIV with an odd register")
    dividend, divisor = long_number(high << 16 | low), WORD.signed(operand)
    if divisor == 0:
        return Extended(high, low, Codes(0, 0, 1, 1), 0o14)
    if abs(dividend) >= LONG_SIGN - 0o200000:
        raise Undefined("a dividend next to the most negative one: some find the overflow late")
    quotient, remainder = divmod(abs(dividend), abs(divisor))
    quotient = -quotient if (dividend < 0) != (divisor < 0) else quotient
    if quotient not in range(-0o100000, 0o100000):
        return Extended(high, low, Codes(0, 0, 1, 0), 0o14)
    remainder = -remainder if dividend < 0 else remainder
    codes = Codes(int(quotient < 0), int(quotient == 0), 0, 0)
    return Extended(quotient & WORD.mask, remainder & WORD.mask, codes)


def shifted(bits: int, width: int, operand: int) -> tuple[int, Codes]:
    """By the low six bits, -32 to +31: the bits, N Z V C.  V: the sign changed on the way; C: the last bit out."""
    count = (operand & 0o77) - (0o100 if operand & 0o40 else 0)
    top, changed, out = 1 << (width - 1), 0, 0
    for _ in range(abs(count)):
        before = bits
        if count < 0:
            out, bits = bits & 1, bits >> 1 | bits & top
        else:
            out, bits = bits >> (width - 1), bits << 1 & 2 * top - 1
        changed |= (before ^ bits) & top
    return bits, Codes(int(bool(bits & top)), int(bits == 0), int(bool(changed)), out)


def shift(high: int, low: int, operand: int, odd: bool) -> Extended:
    """ASH: one register."""
    bits, codes = shifted(high, 16, operand)
    return Extended(bits, bits if odd else low, codes)


def shift_pair(high: int, low: int, operand: int, odd: bool) -> Extended:
    """ASHC: both as 32 bits.  Odd: both halves are one register, a right shift up to 16 places rotates it."""
    if odd and not 0o60 <= operand & 0o77 <= 0o77:
        raise Undefined("ASHC of an odd register, to the left or by more than 16 places")
    bits, codes = shifted(high << 16 | low, 32, operand)
    return Extended(bits >> 16, bits & WORD.mask, codes)


EXTENDED: dict[str, Callable[[int, int, int, bool], Extended]] = {
    "MUL": multiply,
    "DIV": divide,
    "ASH": shift,
    "ASHC": shift_pair,
}
