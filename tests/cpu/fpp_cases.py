"""Cases of the floating point processor, biased to what is hard, and a bench that runs one on a core and on the oracle.

A case is an instruction, the FPS, six accumulators, and an operand of 64 bits that is laid wherever the addressing mode
leads: into an accumulator, a register, memory or behind the instruction.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random
from typing import Any

import fpp_oracle as oracle
from core_bench import AT, prepared

from minisim.cpu._core import ffi, lib

PROFILE = "late-ttl-commercial"
PARALLEL = ("fast-ttl-three-mode", "fast-ttl-cache")
CFCC = 0o170000
OPERAND, POINTER, SIZE = 0o2100, 0o2200, 0o4000
LANDING = 0o340  # where the trap leads
FRACTION = (1 << 55) - 1
KINDS = ("status", "one", "mul", "mod", "add", "ld", "sub", "cmp", "st", "div", "stexp", "stci", "stcf", "ldexp",
         "ldci", "ldcf")  # fmt: skip


@dataclass(frozen=True)
class Case:
    """One instruction with all it works on."""

    word: int
    fps: int
    ac: tuple[int, ...]
    operand: int
    index: int = 0
    ps: int = 0

    @property
    def act(self) -> int:
        """Bits 11:8 of the instruction."""
        return self.word >> 8 & 0o17

    def __str__(self) -> str:
        acs = " ".join(f"{each:022o}" for each in self.ac)
        return f"{self.word:06o} fps {self.fps:06o} operand {octal(self.operand)} index {self.index:06o} ac {acs}"


def octal(bits: int) -> str:
    """64 bits as four words."""
    return " ".join(f"{bits >> shift & 0o177777:06o}" for shift in (48, 32, 16, 0))


def size_of(word: int, fps: int) -> int:
    """Bytes of the operand, as section 4.6 gives them."""
    act, double, long = word >> 8 & 0o17, fps >> 7 & 1, fps >> 6 & 1
    if act == 0:
        return 4 if word >> 6 & 3 == 3 else 2
    if act in (10, 13):
        return 2
    if act in (11, 14):
        return 4 if long else 2
    return 4 << (double ^ (act in (12, 15)))


# --- numbers ----------------------------------------------------------------------------------------------------------

ENDS = (0, 0, 1, 2, 0o57, 0o100, 0o177, 0o200, 0o201, 0o277, 0o300, 0o376, 0o377)
LOW_HALVES = (0, 1 << 31, (1 << 31) - 1, (1 << 31) + 1, (1 << 32) - 1)


def fraction(source: Random) -> int:
    """55 bits: few, many, all but the last ones, or near half of F's last place."""
    bits, choice = source.getrandbits(55), source.randrange(6)
    if choice == 0:
        return bits & FRACTION << source.randrange(56) & FRACTION
    if choice == 1:
        return FRACTION ^ bits >> source.randrange(30, 56)
    if choice == 2:
        return bits >> source.randrange(56)
    if choice == 3:
        return bits >> 32 << 32 | source.choice(LOW_HALVES)
    return bits


def number(source: Random, near: int | None = None) -> int:
    """A number of 64 bits; its exponent at an end, anywhere, or near the one given."""
    choice = source.randrange(8)
    if choice == 0:
        exponent = source.choice(ENDS)
    elif near is None or choice < 3:
        exponent = source.randrange(256)
    else:
        exponent = min(255, max(0, near))
    return source.getrandbits(1) << 63 | exponent << 55 | fraction(source)


def partner(source: Random, act: int, other: int) -> int:
    """An operand that makes it hard for the instruction: cancellation, results at the ends of the range."""
    size = other >> 55 & 0o377
    if act in (4, 6, 7):
        if source.randrange(4) == 0:
            return (other + source.randrange(-3, 4) & (1 << 63) - 1) | source.getrandbits(1) << 63
        return number(source, size + source.randrange(-60, 61))
    if act == 2:
        return number(source, source.choice((128, 128, 384)) - size + source.randrange(-2, 4))
    if act == 3:
        return number(source, 256 - size + source.randrange(-3, 62))
    if act == 9:
        return number(source, size + source.choice((128, -128, 0)) + source.randrange(-3, 4))
    return number(source)


def whole(source: Random) -> int:
    """32 bits of an integer, at the left of 64."""
    bits, choice = source.getrandbits(32), source.randrange(5)
    if choice == 0:
        bits = source.choice((0, 1, 0x7FFFFFFF, 0x80000000, 0x80000001, 0xFFFFFFFF, 0xFFFF0000, 0x7FFF0000))
    elif choice == 1:
        bits >>= source.randrange(32)
    elif choice == 2:
        bits = ~(bits >> source.randrange(32)) & 0xFFFFFFFF
    elif choice == 3:  # near ties of 24 bits
        bits = bits & ~0o777 | source.choice((0o100, 0o177, 0o200, 0o201, 0o277, 0o377, 0o400, 0o600))
    return bits << 32 | source.getrandbits(32)


def exponent_word(source: Random) -> int:
    """A source of LDEXP, at the left of 64 bits."""
    ends = (0, 0o177, 0o200, 0o377, 0o400, 0o77777, 0o100000, -0o177, -0o200, -0o201, -0o400, 1, -1)
    any_word = source.getrandbits(16)
    return source.choice((source.choice(ends) & 0o177777, any_word, source.randrange(-300, 300) & 0o177777)) << 48


def convertible(source: Random) -> int:
    """A number near the ends of the integers, or with a fraction."""
    if source.randrange(3):
        return number(source, 128 + source.choice((0, 1, 15, 16, 17, 31, 32, 33, source.randrange(34))))
    limit = source.choice((1 << 15, 1 << 31))
    exponent = limit.bit_length()
    bits = (limit << 56 - exponent) + source.randrange(-2, 3) * (1 << source.choice((0, 32, 40, 54 - exponent + 2)))
    if bits >> 55 == 0:
        bits, exponent = bits << 1, exponent - 1
    return source.getrandbits(1) << 63 | exponent + 128 << 55 | bits & FRACTION


# --- cases ------------------------------------------------------------------------------------------------------------

MODES = (0, 0, 0, 1, 1, 1, 2, 3, 4, 5, 6, 7)


def operand_code(source: Random) -> int:
    """Six bits of mode and register; see `runs`."""
    mode, register = source.choice(MODES), source.randrange(8)
    return mode << 3 | register if (mode, register) != (5, 7) else 0o27


def runs(word: int) -> bool:
    """Not @-(PC), which leads anywhere, and no conversion into SP, which has a stack to trap on no longer."""
    return word & 0o77 != 0o57 and word & 0o7477 != 0o5406


def status(source: Random) -> int:
    """An FPS: precision, length and rounding evenly, enables often."""
    return source.getrandbits(16) & (0o147757 if source.randrange(4) == 0 else 0o7757)


def case_of(source: Random, act: int) -> Case:
    """One at random of this act (bits 11:8)."""
    ac = [number(source) for _ in range(6)]
    chosen, code = source.randrange(4), operand_code(source)
    if act == 11:
        ac[chosen] = convertible(source)
    if act in (4, 6, 12) and source.randrange(4) == 0:
        ac[chosen] |= source.choice((0o377, 0o376)) << 55
    elif source.randrange(8) == 0:
        ac[chosen] &= ~(0o374 << 55)
    own = ac[chosen]
    if act == 14 or act == 0:
        operand = whole(source)
    elif act == 13:
        operand = exponent_word(source)
    else:
        operand = partner(source, act, own)
        if source.randrange(12) == 0:
            operand = 1 << 63 | operand & FRACTION  # the undefined variable
        if code < 6 and act not in (8, 10, 11, 12):
            ac[code] = operand
    word = 0o170000 | act << 8 | chosen << 6 | code
    word += not runs(word)
    return Case(word, status(source), tuple(ac), operand, source.getrandbits(15) << 1, source.getrandbits(4))


# --- the bench --------------------------------------------------------------------------------------------------------


@dataclass
class Laid:
    """A case in memory and registers."""

    memory: bytearray
    r: list[int] = field(default_factory=list)


def words_at(memory: bytearray, at: int, *values: int) -> None:
    """Store words."""
    for place, value in enumerate(values):
        memory[at + 2 * place : at + 2 * place + 2] = value.to_bytes(2, "little")


def lay(case: Case, background: bytes) -> Laid:
    """Instruction, operand and pointer where the mode will look for them."""
    laid = Laid(bytearray(background), [0o2300, 0o2302, 0o2304, 0o2306, 0o2310, 0o2312, 0o700, AT])
    mode, register = case.word >> 3 & 7, case.word & 7
    parts = [case.operand >> shift & 0o177777 for shift in (48, 32, 16, 0)]
    words_at(laid.memory, OPERAND, *parts)
    words_at(laid.memory, POINTER, OPERAND)
    words_at(laid.memory, AT, case.word)
    target = POINTER if mode in (3, 5, 7) else OPERAND
    if register == 7:
        behind = {1: parts, 2: parts[:1], 3: [OPERAND], 6: [OPERAND - AT - 4], 7: [POINTER - AT - 4]}
        words_at(laid.memory, AT + 2, *behind.get(mode, []))
        return laid
    if mode == 0:
        laid.r[register] = parts[0] if register < 6 else laid.r[6]
        return laid
    index = case.index if register < 6 else 0o20  # SP stays above its limit
    step = {4: size_of(case.word, case.fps), 5: 2, 6: -index, 7: -index}.get(mode, 0)
    laid.r[register] = target + step & 0o177777
    if mode >= 6:
        words_at(laid.memory, AT + 2, index)
    return laid


class FloatBench:
    """One core that runs case after case beside the oracle."""

    def __init__(self, profile: str = PROFILE) -> None:
        self.core = prepared(profile, options=["fpp"])
        self.raw: Any = self.core.raw
        self.parallel = profile in PARALLEL
        noise = Random(profile)
        background = bytearray(noise.getrandbits(8) for _ in range(SIZE))
        words_at(background, oracle.VECTOR, LANDING, 0)
        self.background = bytes(background)
        self.memory = ffi.buffer(self.raw.memory, SIZE)
        self.fec = self.fea = 0

    def run(self, case: Case) -> tuple[oracle.State, oracle.State]:
        """What was expected and what came."""
        laid, raw = lay(case, self.background), self.raw
        expected = oracle.State(
            list(case.ac), list(laid.r), bytearray(laid.memory), case.fps, self.fec, self.fea, case.ps
        )
        oracle.execute(expected, self.parallel)
        lib.ms_put_memory(raw, 0, bytes(laid.memory), SIZE)
        lib.ms_set_ps(raw, case.ps)
        raw.r, raw.ac, raw.fps = laid.r, case.ac, case.fps
        raw.fec, raw.fea = self.fec, self.fea
        return expected, self.after(expected.trap)

    def after(self, trap: bool) -> oracle.State:
        """One step, and the state behind it."""
        raw = self.raw
        lib.ms_run(raw, 1)
        memory, ps = bytearray(self.memory), lib.ms_get_ps(raw)
        self.fec, self.fea = raw.fec, raw.fea
        return oracle.State(list(raw.ac), list(raw.r), memory, raw.fps, raw.fec, raw.fea, ps, trap)

    def check(self, case: Case) -> None:
        """Run it; where it differs, say in what.  An exception that waits traps at a floating instruction put at PC."""
        expected, found = self.run(case)
        if expected == found and expected.trap and self.parallel:
            words_at(expected.memory, expected.r[7], CFCC)
            self.core.put(expected.r[7], CFCC)
            oracle.take_trap(expected)
            found = self.after(expected.trap)
        if expected != found:
            raise AssertionError(f"{case}\n" + "\n".join(told(expected, found)))


def told(expected: oracle.State, found: oracle.State) -> list[str]:
    """The differences, one a line."""
    lines = [f"ac{n}: expected {octal(a)}, found {octal(b)}"
             for n, (a, b) in enumerate(zip(expected.ac, found.ac, strict=True)) if a != b]  # fmt: skip
    for name in ("fps", "fec", "fea", "ps"):
        a, b = getattr(expected, name), getattr(found, name)
        lines += [f"{name}: expected {a:06o}, found {b:06o}"] * (a != b)
    lines += [f"r{n}: expected {a:06o}, found {b:06o}"
              for n, (a, b) in enumerate(zip(expected.r, found.r, strict=True)) if a != b]  # fmt: skip
    for at in range(0, SIZE, 2):
        a, b = expected.memory[at : at + 2], found.memory[at : at + 2]
        if a != b:
            lines.append(f"word {at:06o}: expected {int.from_bytes(a, 'little'):06o}, "
                         f"found {int.from_bytes(b, 'little'):06o}")  # fmt: skip
    return lines
