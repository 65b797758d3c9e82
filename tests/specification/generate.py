"""Random machines and random programs, from a `random.Random` (seeded, or drawn by hypothesis so that it can shrink).

The choice leans to where mistakes hide: owned instruction words, the program's own words, odd addresses, the end of
memory, the I/O page and the PS in it, vectors, a stack near its limit, the extreme numbers.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from random import Random

from .adapter import MODES, State
from .codes import FIELD_LETTERS, TABLE, Row
from .processor import T_BIT
from .profiles import Profile

CODE, CODE_END = 0o1000, 0o1400
DATA, DATA_END = 0o2000, 0o2200
EXTREMES = (0, 1, 2, 0o177777, 0o177776, 0o077777, 0o100000, 0o100001, 0o000377, 0o177400, 0o000200, 0o000177)


def address(rng: Random, size: int) -> int:
    """An address worth pointing at."""
    kind = rng.randrange(16)
    if kind < 5:
        at = rng.randrange(DATA, DATA_END, 2)
    elif kind < 8:
        at = rng.randrange(CODE, CODE_END, 2)
    elif kind < 9:
        at = rng.randrange(0, 0o420, 2)
    elif kind < 11:
        at = size + rng.randrange(-6, 6, 2)
    elif kind < 12:
        at = rng.choice((0o177776, 0o177776, 0o177774, 0o160000, 0o177560, 0o177570, 0o177700, 0o157776))
    elif kind < 15:
        at = rng.randrange(0o400, size, 2)
    else:
        at = rng.randrange(0, 0o200000, 2)
    return (at | (rng.randrange(8) == 0)) & 0o177777


def number(rng: Random, size: int) -> int:
    """A value: an extreme one, an address, anything."""
    kind = rng.randrange(4)
    if kind == 0:
        return rng.choice(EXTREMES)
    return address(rng, size) if kind < 3 else rng.randrange(0o200000)


def stack(rng: Random, size: int) -> int:
    """A stack pointer: mostly ordinary, sometimes at the limit, odd, or nowhere."""
    kind = rng.randrange(12)
    if kind < 8:
        return rng.randrange(0o600, 0o1000, 2)
    if kind < 10:
        return rng.randrange(0o330, 0o412, 2)
    return number(rng, size)


def status(rng: Random, profile: Profile) -> int:
    """A PS with defined modes, now and then with T."""
    modes = MODES[profile.modes]
    ps = rng.randrange(16) | rng.randrange(8) << 5
    if rng.randrange(12) == 0:
        ps |= T_BIT
    if profile.modes > 1:
        mode = 0 if rng.randrange(3) else rng.choice(modes)
        ps |= mode << 14 | rng.choice(modes) << 12
    if profile.register_sets == 2:
        ps |= rng.randrange(2) << 11
    return ps


@cache
def rows_of(modules: frozenset[str]) -> tuple[Row, ...]:
    """The rows that a profile executes."""
    return tuple(row for row in TABLE if row.module in modules)


DIGITS: dict[str, Callable[[Random], int]] = {letter: lambda rng: rng.randrange(8) for letter in FIELD_LETTERS}
DIGITS["*"] = lambda rng: rng.randrange(2)


def fill(rng: Random, pattern: str) -> int:
    """A first word of a pattern."""
    if "-" in pattern:
        first, last = (int(end, 8) for end in pattern.split("-"))
        return rng.randint(first, last)
    if pattern.endswith("+XX"):
        return int(pattern[:-3], 8) + rng.choice((rng.randrange(0o400), rng.randrange(8), 0o370 + rng.randrange(8)))
    word = 0
    for digit in pattern:
        word = word << 3 | (DIGITS[digit](rng) if digit in DIGITS else int(digit))
    return word


def instruction(rng: Random, profile: Profile) -> int:
    """A first word: mostly an owned one, every instruction alike; else any of the 65,536."""
    if rng.randrange(8) == 0:
        return rng.randrange(0o200000)
    return fill(rng, rng.choice(rows_of(profile.modules())).pattern)


@cache
def background(seed: int, size: int) -> bytes:
    """Words behind everything else."""
    return Random(seed).randbytes(size)


def memory_image(rng: Random, profile: Profile, size: int) -> bytearray:
    """Vectors that lead into the code, a code zone, a zone of pointers, noise elsewhere."""
    memory = bytearray(background(rng.randrange(4), size))

    def put(at: int, word: int) -> None:
        memory[at : at + 2] = word.to_bytes(2, "little")

    for vector in range(0, 0o40, 4):
        put(vector, CODE + 0o20 * (vector // 4))
        put(vector + 2, status(rng, profile))
    for at in range(DATA, DATA + 0o40, 2):
        put(at, number(rng, size))
    at = CODE
    for _ in range(20):
        put(at, instruction(rng, profile))
        put(at + 2, number(rng, size))
        at += rng.choice((2, 2, 4))
    return memory


def machine_state(rng: Random, profile: Profile, size: int) -> State:
    """A whole machine about to execute at the start of its code zone (rarely somewhere else)."""
    sets = [[number(rng, size) for _ in range(6)], [0] * 6]
    if profile.register_sets == 2:
        sets[1] = [number(rng, size) for _ in range(6)]
    stacks = [0] * 4
    for mode in MODES[profile.modes]:
        stacks[mode] = stack(rng, size)
    pc = CODE if rng.randrange(12) else address(rng, size)
    return State(sets, stacks, pc, status(rng, profile), bytes(memory_image(rng, profile, size)))
