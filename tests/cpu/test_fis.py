"""FIS against exact fractions: extremes, random cases of all sizes, errors and their trap, the register that points."""

from __future__ import annotations

import random

import fis_oracle as oracle
import pytest
from core_bench import AT, PROFILES, STACK, prepared, pushed, rows, run_to_halt, trapped
from tallies import counted

from minisim.cpu.handle import Core
from minisim.cpu.profile import named

PROFILE = "chipset-one-level"
FADD, FSUB, FMUL, FDIV = NAMES = ("FADD", "FSUB", "FMUL", "FDIV")
OPERANDS = 0o2400
ONE, TWO, THREE = (0o40200, 0), (0o40400, 0), (0o40500, 0)
LARGEST, SMALLEST = (0o77777, 0o177777), (0o200, 0)
EXTREMES = (
    (0, 0), (0o123, 0o4567), (0o100000, 0), ONE, (0o140200, 0), TWO, (0o40200, 1), (0o40177, 0o177777),
    LARGEST, SMALLEST, (0o177777, 0o177777), (0o100200, 0), (0o34000, 1), (0o44177, 0o177777), (0o34200, 0),
    (0o34177, 0o177777), (0o44000, 0),
)  # fmt: skip


class Bench:
    """A processor that executes one FIS instruction after the other through R1."""

    def __init__(self) -> None:
        self.core = prepared(PROFILE, options=["eis", "fis"])

    def execute(self, act: int, b: tuple[int, int], a: tuple[int, int], register: int = 1) -> tuple[int, int] | int:
        """The words of the result, or the codes that the trap pushed."""
        core = self.core
        core.put(AT, 0o075000 | act << 3 | register)
        core.put(OPERANDS, *b, *a)
        core.ps = 0o17
        core[register], core.sp, core.pc = OPERANDS, STACK, AT
        core.run(1)
        if trapped(core) == 0o244:
            assert core[register] == OPERANDS
            assert (core.word(OPERANDS + 4), core.word(OPERANDS + 6)) == a
            assert pushed(core)[0] == AT + 2
            return pushed(core)[1] & 0o17
        assert core.pc == AT + 2
        assert core[register] == OPERANDS + 4
        high, low = core.word(OPERANDS + 4), core.word(OPERANDS + 6)
        assert core.ps & 0o17 == (high >> 15) << 3 | int(high == low == 0) << 2
        return high, low


def check(bench: Bench, act: int, b: tuple[int, int], a: tuple[int, int]) -> None:
    """One case."""
    what = f"{NAMES[act]} {a[0]:06o} {a[1]:06o} with {b[0]:06o} {b[1]:06o}"
    assert bench.execute(act, b, a) == oracle.outcome(act, b, a), what


@pytest.mark.parametrize("act", range(4), ids=NAMES)
def test_extremes_with_extremes(act: int) -> None:
    bench = Bench()
    for b in EXTREMES:
        for a in EXTREMES:
            check(bench, act, b, a)


def fraction(source: random.Random) -> int:
    """With few or with many bits, or all but the last few."""
    any_bits = source.getrandbits(23)
    return source.choice((any_bits, any_bits & 0o37600000, 0o37777777 ^ any_bits & 7))


def random_pair(source: random.Random) -> list[tuple[int, int]]:
    """Exponents near each other, far apart, and at the ends."""
    size = source.randrange(256)
    near = source.choice((size, 90 + size % 80, size % 8, 248 + size % 8))
    other = source.choice((source.randrange(256), min(255, max(0, near + source.randrange(-27, 28)))))
    bits = [source.getrandbits(1) << 31 | exponent << 23 | fraction(source) for exponent in (near, other)]
    return [(each >> 16, each & 0o177777) for each in bits]


def random_cases(act: int, count: int, seed: int) -> None:
    """So many of one operation."""
    source, bench = random.Random(seed), Bench()
    with counted("fis") as run:
        for _ in range(count):
            check(bench, act, *random_pair(source))
            run.cases += 1


@pytest.mark.parametrize("act", range(4), ids=NAMES)
def test_random_cases(act: int) -> None:
    random_cases(act, 1_500, seed=act)


@pytest.mark.slow
@pytest.mark.parametrize("act", range(4), ids=NAMES)
def test_half_a_million_random_cases(act: int) -> None:
    random_cases(act, 500_000, seed=100 + act)


# Derived from the format (1.0 = 040200, [math-library-source]): 1 + 2, 2 - 1 and so on.
@pytest.mark.parametrize(
    ("act", "b", "a", "result"),
    [(0, ONE, TWO, THREE), (1, ONE, TWO, ONE), (1, THREE, TWO, (0o140200, 0)), (2, TWO, ONE, TWO), (3, TWO, TWO, ONE)],
)
def test_worked_examples(act: int, b: tuple[int, int], a: tuple[int, int], result: tuple[int, int]) -> None:
    assert Bench().execute(act, b, a) == result


@pytest.mark.parametrize("register", [0, 2, 5])
def test_any_register_points(register: int) -> None:
    assert Bench().execute(0, ONE, TWO, register) == THREE


def test_the_stack_itself_can_be_the_operand() -> None:
    core = prepared(PROFILE, 0o075006, 0, options=["eis", "fis"], sp=OPERANDS)
    core.put(OPERANDS, *ONE, *TWO)
    assert run_to_halt(core) is None
    assert (core.sp, core.word(core.sp), core.word(core.sp + 2)) == (OPERANDS + 4, *THREE)


@pytest.mark.parametrize(("profile", "word"), rows("fis_uses_stack"))
def test_product_and_quotient_use_a_word_below_the_stack_where_the_row_says_so(profile: str, word: str) -> None:
    for act in range(4):
        core = ready(profile, act)
        core.put(STACK - 2, 0o123456)
        core.run(1)
        assert (core.word(STACK - 2) != 0o123456) == (word == "yes" and act >= 2)
        assert core.sp == STACK


def ready(profile: str, act: int) -> Core:
    core = prepared(profile, 0o075001 | act << 3, options=["eis", "fis"], registers={1: OPERANDS})
    core.put(OPERANDS, *ONE, *TWO)
    return core


def test_an_operand_that_is_not_there_gives_the_instruction_up() -> None:
    core = ready(PROFILE, 0)
    core[1] = core.raw.memory_bytes - 4
    core.run(1)
    assert trapped(core) == 4
    assert core[1] == core.raw.memory_bytes - 4


@pytest.mark.parametrize("profile", PROFILES)
def test_without_the_option_the_words_are_reserved(profile: str) -> None:
    core = prepared(profile, 0o075001, options=(), registers={1: OPERANDS})
    core.run(1)
    assert trapped(core) == 0o10
    assert named(profile).model("fis") in ("option", "none")
