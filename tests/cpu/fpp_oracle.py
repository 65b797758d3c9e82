"""The floating point processor in exact fractions: from sections 1.3 and 4 of the facts and the written readings alone.

`execute` does one instruction on a State: addressing, immediate rule, result, FPS, FEC, FEA, trap.  Nothing here was
taken from the core, which works in integers of fixed width.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from fpp_numbers import (
    FIELD,
    HIGH_HALF,
    SIGN,
    Rounded,
    field_of,
    is_undefined,
    joined,
    packed,
    rounded,
    value,
    words,
)

FER, FID, FIUV, FIU, FIV, FIC = 0o100000, 0o40000, 0o4000, 0o2000, 0o1000, 0o400
FD, FL, FT, FMM = 0o200, 0o100, 0o40, 0o20
FPS_BITS = 0o147757  # all but the unused ones and FMM
ILLEGAL, BY_ZERO, CONVERSION, OVERFLOW, UNDERFLOW, UNDEFINED = 2, 4, 6, 0o10, 0o12, 0o14
VECTOR = 0o244
WORD = 0o177777


@dataclass(slots=True)
class State:
    """What an instruction can change.  `memory` is as long as the program may reach; `trap`: 244 was taken."""

    ac: list[int]
    r: list[int]
    memory: bytearray
    fps: int = 0
    fec: int = 0
    fea: int = 0
    ps: int = 0
    trap: bool = False


class GivenUp(Exception):  # noqa: N818  # an exception of the machine, not of the test
    """The instruction ends here; the code is its argument."""


class Instruction:
    """One instruction on its way."""

    def __init__(self, state: State, parallel: bool = False) -> None:
        self.state, self.parallel = state, parallel
        self.at = state.r[7]
        self.word = self.fetch()
        self.act, self.ac, self.operand = self.word >> 8 & 0o17, self.word >> 6 & 3, self.word & 0o77
        self.double, self.long = bool(state.fps & FD), bool(state.fps & FL)
        self.chop = bool(state.fps & FT)
        self.code = 0

    # --- memory and addresses -----------------------------------------------------------------------------------------

    def load(self, address: int) -> int:
        """A word of memory."""
        address &= WORD
        return self.state.memory[address] | self.state.memory[address + 1] << 8

    def store(self, address: int, word: int) -> None:
        """A word into memory."""
        address &= WORD
        self.state.memory[address : address + 2] = word.to_bytes(2, "little")

    def fetch(self) -> int:
        """The word at PC, and PC on."""
        r = self.state.r
        word = self.load(r[7])
        r[7] = r[7] + 2 & WORD
        return word

    def place(self, size: int) -> tuple[int, int]:
        """Address of the operand and how many words of it there are: one where it is immediate."""
        r, mode, register = self.state.r, self.operand >> 3, self.operand & 7
        count = size // 2
        if mode == 1:
            return r[register], count
        if mode == 2:
            at = r[register]
            step, count = (2, 1) if register == 7 else (size, count)
            r[register] = at + step & WORD
            return at, count
        if mode == 3:
            at = r[register]
            r[register] = at + 2 & WORD
            return self.load(at), count
        if mode == 4:
            r[register] = r[register] - (2 if register == 7 else size) & WORD
            return r[register], count
        if mode == 5:
            r[register] = r[register] - 2 & WORD
            return self.load(r[register]), count
        index = self.fetch()
        at = index + r[register] & WORD
        return (at if mode == 6 else self.load(at)), count

    # --- operands -----------------------------------------------------------------------------------------------------

    def accumulator(self) -> int:
        """The number of the accumulator that a mode 0 operand names."""
        if self.operand > 5:
            raise GivenUp(ILLEGAL)
        return self.operand

    def source(self, double: bool) -> int:
        """A float operand; the undefined variable of memory traps or is zero."""
        if self.operand < 0o10:
            return self.of_accumulator(self.accumulator(), double)
        at, count = self.place(8 if double else 4)
        return self.defined(joined([self.load(at + 2 * number) for number in range(count)]))

    def defined(self, bits: int) -> int:
        """The bits that came from memory, or 0 for the undefined variable."""
        if not is_undefined(bits):
            return bits
        if self.state.fps & FIUV:
            raise GivenUp(UNDEFINED)
        return 0

    def of_accumulator(self, number: int, double: bool) -> int:
        """What an accumulator holds, as far as the format sees it."""
        return self.state.ac[number] & (-1 if double else HIGH_HALF)

    def own(self) -> Fraction:
        """The number in the accumulator of the instruction."""
        return value(self.state.ac[self.ac], self.double)

    def put_float(self, bits: int, double: bool) -> None:
        """A float destination; F clears the low half of an accumulator."""
        if self.operand < 0o10:
            self.state.ac[self.accumulator()] = bits
            return
        at, count = self.place(8 if double else 4)
        for number, word in enumerate(words(bits, count)):
            self.store(at + 2 * number, word)

    def integer(self, long: bool) -> int:
        """An integer operand, signed; of a long one a register or an immediate word is the high half."""
        if self.operand < 0o10:
            parts = [self.state.r[self.operand]]
        else:
            at, count = self.place(4 if long else 2)
            parts = [self.load(at + 2 * number) for number in range(count)]
        if long:
            bits = parts[0] << 16 | (parts[1] if len(parts) > 1 else 0)
            return bits - (bits >> 31 << 32)
        return parts[0] - (parts[0] >> 15 << 16)

    def put_words(self, *parts: int) -> None:
        """An integer destination, highest word first; a register or an immediate word takes the first alone."""
        if self.operand < 0o10:
            self.state.r[self.operand] = parts[0]
            return
        at, count = self.place(2 * len(parts))
        for number, word in enumerate(parts[:count]):
            self.store(at + 2 * number, word)

    # --- results ------------------------------------------------------------------------------------------------------

    def codes(self, n: bool, z: bool, v: bool = False, c: bool = False) -> None:
        """FN FZ FV FC."""
        self.state.fps = self.state.fps & ~0o17 | n << 3 | z << 2 | v << 1 | c

    def codes_of(self, bits: int, v: bool = False) -> None:
        """FN is the sign and FZ the empty exponent field of what is stored."""
        self.codes(bool(bits & SIGN), not bits & FIELD, v)

    def fit(self, parts: Rounded, double: bool) -> tuple[int, bool]:
        """What is stored of a rounded number, and FV: an exponent outside wraps where its trap is enabled."""
        if parts.field > 0o377:
            if not self.state.fps & FIV:
                return 0, True
            self.code = OVERFLOW
            return packed(parts, double), True
        if parts.field <= 0:
            if not self.state.fps & FIU:
                return 0, False
            self.code = UNDERFLOW
        return packed(parts, double), False

    def formed(self, number: Fraction, double: bool) -> tuple[int, bool]:
        """A number in a format, rounded or chopped, and FV."""
        return self.fit(rounded(number, double, self.chop), double) if number else (0, False)

    def result(self, number: Fraction, double: bool) -> None:
        """A number into the accumulator of the instruction."""
        bits, overflow = self.formed(number, double)
        self.state.ac[self.ac] = bits
        self.codes_of(bits, overflow)

    def execute(self) -> None:
        """The instruction, and the trap after it."""
        try:
            ACTS[self.act](self)
        except GivenUp as given_up:
            self.code = given_up.args[0]
        if self.code:
            self.fail()

    def fail(self) -> None:
        """FER, FEC, FEA, and the trap unless FID."""
        state = self.state
        state.fps |= FER
        state.fec, state.fea = self.code, self.at
        if not state.fps & FID:
            state.trap = True
            if not self.parallel:
                take_trap(state)


def take_trap(state: State) -> None:
    """Through 244: PS and PC are pushed."""
    for word in (state.ps, state.r[7]):
        state.r[6] = state.r[6] - 2 & WORD
        state.memory[state.r[6] : state.r[6] + 2] = word.to_bytes(2, "little")
    at = state.memory[VECTOR : VECTOR + 4]
    state.r[7], state.ps = int.from_bytes(at[:2], "little"), int.from_bytes(at[2:], "little")


# --- the instructions -------------------------------------------------------------------------------------------------


def no_operand(run: Instruction) -> None:
    """170000-170377: CFCC, the four SETs, status registers."""
    if run.ac:
        STATUS_ACTS[run.ac](run)
    elif run.operand == 0:
        run.state.ps = run.state.ps & ~0o17 | run.state.fps & 0o17
    elif run.operand in SETS:
        clear, put = SETS[run.operand]
        run.state.fps = run.state.fps & ~clear | put
    elif not (run.parallel and 3 <= run.operand <= 7):
        raise GivenUp(ILLEGAL)


SETS = {1: (FD, 0), 2: (FL, 0), 0o11: (0, FD), 0o12: (0, FL)}


def load_status(run: Instruction) -> None:
    """LDFPS: the bits that there are.  (FMM: kernel mode of parallel units.)"""
    bits = run.integer(False) & WORD
    run.state.fps = bits & (FPS_BITS | (FMM if run.parallel else 0))


def store_status(run: Instruction) -> None:
    """STFPS."""
    run.put_words(run.state.fps)


def store_error(run: Instruction) -> None:
    """STST."""
    run.put_words(run.state.fec, run.state.fea)


STATUS_ACTS = {1: load_status, 2: store_status, 3: store_error}


def one_operand(run: Instruction) -> None:
    """170400-170777: CLRF TSTF ABSF NEGF."""
    (clear, test, absolute, negate)[run.ac](run)


def clear(run: Instruction) -> None:
    """CLRF."""
    run.put_float(0, run.double)
    run.codes(False, True)


def test(run: Instruction) -> None:
    """TSTF: the codes are set even where the undefined variable traps."""
    try:
        bits = run.source(run.double)
    except GivenUp as given_up:
        if given_up.args[0] == UNDEFINED:
            run.codes(True, True)
        raise
    run.codes(bool(bits & SIGN) and bool(bits & FIELD), not bits & FIELD)


def absolute(run: Instruction) -> None:
    """ABSF."""
    in_place(run, lambda bits: bits & ~SIGN)


def negate(run: Instruction) -> None:
    """NEGF."""
    in_place(run, lambda bits: bits ^ SIGN)


def in_place(run: Instruction, change: Callable[[int], int]) -> None:
    """Read, changed, written where it was; zero becomes exact zero.  The address is formed once."""
    if run.operand < 0o10:
        number = run.accumulator()
        bits = run.of_accumulator(number, run.double)
        run.state.ac[number] = bits = change(bits) if bits & FIELD else 0
    else:
        at, count = run.place(8 if run.double else 4)
        bits = run.defined(joined([run.load(at + 2 * number) for number in range(count)]))
        bits = change(bits) if bits & FIELD else 0
        for number, word in enumerate(words(bits, count)):
            run.store(at + 2 * number, word)
    run.codes_of(bits)


def multiply(run: Instruction) -> None:
    """MULF."""
    run.result(value(run.source(run.double), run.double) * run.own(), run.double)


def add(run: Instruction) -> None:
    """ADDF."""
    run.result(run.own() + value(run.source(run.double), run.double), run.double)


def subtract(run: Instruction) -> None:
    """SUBF."""
    run.result(run.own() - value(run.source(run.double), run.double), run.double)


def divide(run: Instruction) -> None:
    """DIVF."""
    divisor = value(run.source(run.double), run.double)
    if not divisor:
        raise GivenUp(BY_ZERO)
    run.result(run.own() / divisor, run.double)


def split(run: Instruction) -> None:
    """MODF: the whole part, chopped, to the odd accumulator; what is left to the accumulator named."""
    product = run.own() * value(run.source(run.double), run.double)
    whole, rest, overflow = split_parts(run, product)
    if not run.ac & 1:
        run.state.ac[run.ac | 1] = whole
    run.state.ac[run.ac] = rest
    run.codes_of(rest, overflow)


def split_parts(run: Instruction, product: Fraction) -> tuple[int, int, bool]:
    """Whole part and fraction as they are stored, and FV."""
    whole = int(abs(product)) * (1 if product > 0 else -1)
    bits = overflow = 0
    if whole:
        bits, overflow = run.fit(rounded(Fraction(whole), run.double, True), run.double)
    if overflow or abs(whole) >= 1 << (56 if run.double else 24):
        return bits, 0, bool(overflow)
    rest, _ = run.formed(product - whole, run.double)
    return bits, rest, False


def load(run: Instruction) -> None:
    """LDF: the bits as they are, but the undefined variable."""
    bits = run.source(run.double)
    run.state.ac[run.ac] = bits
    run.codes_of(bits)


def store(run: Instruction) -> None:
    """STF."""
    run.put_float(run.of_accumulator(run.ac, run.double), run.double)


def compare(run: Instruction) -> None:
    """CMPF: source - AC; two zeros leave exact 0."""
    left, right = value(run.source(run.double), run.double), run.own()
    if not left and not right:
        run.state.ac[run.ac] = 0
    run.codes(left < right, left == right)


def store_exponent(run: Instruction) -> None:
    """STEXP."""
    number = field_of(run.state.ac[run.ac]) - 0o200
    run.codes(number < 0, number == 0)
    copy_codes(run)
    run.put_words(number & WORD)


def copy_codes(run: Instruction) -> None:
    """The PS takes FN FZ FV FC."""
    run.state.ps = run.state.ps & ~0o17 | run.state.fps & 0o17


def load_exponent(run: Instruction) -> None:
    """LDEXP: sign and fraction stay."""
    number = run.integer(False)
    bits = run.of_accumulator(run.ac, run.double)
    overflow, underflow = number > 0o177, number < -0o177
    stored = bits & ~FIELD | (number + 0o200 & 0o377) << 55
    if overflow or underflow:
        if run.state.fps & (FIV if overflow else FIU):
            run.code = OVERFLOW if overflow else UNDERFLOW
        else:
            stored = 0
    run.state.ac[run.ac] = stored
    run.codes_of(stored, overflow)


def store_integer(run: Instruction) -> None:
    """STCFI and kin: chopped, then held against the range."""
    number = value(run.state.ac[run.ac], run.double)
    whole = int(abs(number)) * (-1 if number < 0 else 1)
    limit = 1 << (31 if run.long else 15)
    outside = not -limit <= whole < limit
    if outside:
        whole = 0
        if run.state.fps & FIC:
            run.code = CONVERSION
    run.codes(whole < 0, whole == 0, False, outside)
    copy_codes(run)
    run.put_words(*(whole >> shift & WORD for shift in ((16, 0) if run.long else (0,))))


def load_integer(run: Instruction) -> None:
    """LDCIF and kin."""
    run.result(Fraction(run.integer(run.long)), run.double)


def load_other(run: Instruction) -> None:
    """LDCDF, LDCFD: the source has the other precision."""
    run.result(value(run.source(not run.double), not run.double), run.double)


def store_other(run: Instruction) -> None:
    """STCFD, STCDF: the destination has the other precision."""
    bits, overflow = run.formed(run.own(), not run.double)
    run.put_float(bits, not run.double)
    run.codes_of(bits, overflow)


ACTS: tuple[Callable[[Instruction], None], ...] = (
    no_operand, one_operand, multiply, split, add, load, subtract, compare, store, divide,
    store_exponent, store_integer, store_other, load_exponent, load_integer, load_other,
)  # fmt: skip


def execute(state: State, parallel: bool = False) -> None:
    """One instruction at PC.  Of a parallel unit `trap` says that the next floating instruction will trap."""
    Instruction(state, parallel).execute()
