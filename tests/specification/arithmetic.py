"""Results and condition codes of the base instructions (facts on the processor, section 2), in exact integers.

Every function takes a `Width` (word or byte) and operands as numbers without sign, and gives a `Result`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple


class Width(NamedTuple):
    """Word or byte: `mask` has every bit, `sign` is the top bit and also the most negative number."""

    bits: int
    mask: int
    sign: int
    most_positive: int

    def signed(self, value: int) -> int:
        """The number that the bits stand for in two's complement."""
        return value - self.mask - 1 if value & self.sign else value


WORD = Width(16, 0o177777, 0o100000, 0o077777)
BYTE = Width(8, 0o377, 0o200, 0o177)


class Codes(NamedTuple):
    """The four condition codes, each 0 or 1."""

    n: int
    z: int
    v: int
    c: int

    @classmethod
    def of(cls, word: int) -> Codes:
        """From the low four bits of a PS."""
        return cls(word >> 3 & 1, word >> 2 & 1, word >> 1 & 1, word & 1)

    def bits(self) -> int:
        """As the low four bits of a PS."""
        return self.n << 3 | self.z << 2 | self.v << 1 | self.c


class Result(NamedTuple):
    """What an instruction stores (None: nothing) and the codes it leaves."""

    value: int | None
    codes: Codes


def _usual(w: Width, value: int, v: int, c: int, *, store: bool = True) -> Result:
    """N is the top bit, Z is set for zero: the usual rule."""
    value &= w.mask
    return Result(value if store else None, Codes(int(bool(value & w.sign)), int(value == 0), v, c))


# --- one operand ------------------------------------------------------------------------------------------------


def clear(w: Width, _old: int, _codes: Codes) -> Result:
    return _usual(w, 0, 0, 0)


def complement(w: Width, old: int, _codes: Codes) -> Result:
    return _usual(w, ~old, 0, 1)


def increment(w: Width, old: int, codes: Codes) -> Result:
    return _usual(w, old + 1, int(old == w.most_positive), codes.c)


def decrement(w: Width, old: int, codes: Codes) -> Result:
    return _usual(w, old - 1, int(old == w.sign), codes.c)


def negate(w: Width, old: int, _codes: Codes) -> Result:
    value = -old & w.mask
    return _usual(w, value, int(value == w.sign), int(value != 0))


def add_carry(w: Width, old: int, codes: Codes) -> Result:
    carry = codes.c
    return _usual(w, old + carry, carry & int(old == w.most_positive), carry & int(old == w.mask))


def subtract_carry(w: Width, old: int, codes: Codes) -> Result:
    """V as the facts say to implement it (10.4): the operand was the most negative number, whatever C was."""
    return _usual(w, old - codes.c, int(old == w.sign), codes.c & int(old == 0))


def test(w: Width, old: int, _codes: Codes) -> Result:
    return _usual(w, old, 0, 0, store=False)


def _shifted(w: Width, value: int, out: int) -> Result:
    """A shift by one place: C is the bit shifted out, V is N exclusive-or C after the shift."""
    value &= w.mask
    negative = int(bool(value & w.sign))
    return _usual(w, value, negative ^ out, out)


def rotate_right(w: Width, old: int, codes: Codes) -> Result:
    return _shifted(w, old >> 1 | codes.c << (w.bits - 1), old & 1)


def rotate_left(w: Width, old: int, codes: Codes) -> Result:
    return _shifted(w, old << 1 | codes.c, old >> (w.bits - 1))


def shift_right(w: Width, old: int, _codes: Codes) -> Result:
    return _shifted(w, w.signed(old) >> 1, old & 1)


def shift_left(w: Width, old: int, _codes: Codes) -> Result:
    return _shifted(w, old << 1, old >> (w.bits - 1))


def sign_extend(w: Width, _old: int, codes: Codes) -> Result:
    """N and C stay.  V becomes 0; one early text leaves it alone (unconfirmed)."""
    return Result(w.mask if codes.n else 0, Codes(codes.n, 1 - codes.n, 0, codes.c))


ONE: dict[str, Callable[[Width, int, Codes], Result]] = {
    "CLR": clear,
    "COM": complement,
    "INC": increment,
    "DEC": decrement,
    "NEG": negate,
    "ADC": add_carry,
    "SBC": subtract_carry,
    "TST": test,
    "ROR": rotate_right,
    "ROL": rotate_left,
    "ASR": shift_right,
    "ASL": shift_left,
    "SXT": sign_extend,
}


def swap_bytes(old: int, *, v: int) -> Result:
    """SWAB: N and Z look at the low byte of the result; V is a matter of the profile (D06)."""
    value = (old << 8 | old >> 8) & WORD.mask
    low = value & BYTE.mask
    return Result(value, Codes(int(bool(low & BYTE.sign)), int(low == 0), v, 0))


# --- two operands -----------------------------------------------------------------------------------------------


def move(w: Width, source: int, _old: int, codes: Codes) -> Result:
    return _usual(w, source, 0, codes.c)


def compare(w: Width, source: int, old: int, _codes: Codes) -> Result:
    value = (source - old) & w.mask
    overflow = (source ^ old) & w.sign and not (old ^ value) & w.sign
    return _usual(w, value, int(bool(overflow)), int(source < old), store=False)


def bit_test(w: Width, source: int, old: int, codes: Codes) -> Result:
    return _usual(w, source & old, 0, codes.c, store=False)


def bit_clear(w: Width, source: int, old: int, codes: Codes) -> Result:
    return _usual(w, old & ~source, 0, codes.c)


def bit_set(w: Width, source: int, old: int, codes: Codes) -> Result:
    return _usual(w, old | source, 0, codes.c)


def add(w: Width, source: int, old: int, _codes: Codes) -> Result:
    value = (source + old) & w.mask
    overflow = not (source ^ old) & w.sign and (old ^ value) & w.sign
    return _usual(w, value, int(bool(overflow)), int(source + old > w.mask))


def subtract(w: Width, source: int, old: int, _codes: Codes) -> Result:
    value = (old - source) & w.mask
    overflow = (source ^ old) & w.sign and not (source ^ value) & w.sign
    return _usual(w, value, int(bool(overflow)), int(old < source))


def exclusive_or(w: Width, source: int, old: int, codes: Codes) -> Result:
    return _usual(w, source ^ old, 0, codes.c)


TWO: dict[str, Callable[[Width, int, int, Codes], Result]] = {
    "MOV": move,
    "CMP": compare,
    "BIT": bit_test,
    "BIC": bit_clear,
    "BIS": bit_set,
    "ADD": add,
    "SUB": subtract,
    "XOR": exclusive_or,
}

# --- branches ---------------------------------------------------------------------------------------------------

# When a branch is taken.  The signed ones compare N with V, the unsigned ones look at C and Z.
BRANCHES: dict[str, Callable[[Codes], bool]] = {
    "BR": lambda k: True,
    "BNE": lambda k: k.z == 0,
    "BEQ": lambda k: k.z == 1,
    "BGE": lambda k: k.n == k.v,
    "BLT": lambda k: k.n != k.v,
    "BGT": lambda k: k.z == 0 and k.n == k.v,
    "BLE": lambda k: k.z == 1 or k.n != k.v,
    "BPL": lambda k: k.n == 0,
    "BMI": lambda k: k.n == 1,
    "BHI": lambda k: k.c == 0 and k.z == 0,
    "BLOS": lambda k: k.c == 1 or k.z == 1,
    "BVC": lambda k: k.v == 0,
    "BVS": lambda k: k.v == 1,
    "BCC": lambda k: k.c == 0,
    "BCS": lambda k: k.c == 1,
}
