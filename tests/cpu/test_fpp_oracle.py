"""The oracle of the floating point processor against worked examples and, for its formats, another exact library."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import fpp_numbers
import fpp_oracle as oracle
import mpmath
import pytest
from fpp_cases import number

ONE, TWO, THREE = 0o40200 << 48, 0o40400 << 48, 0o40500 << 48


def bits(text: str) -> int:
    """64 bits from up to four octal words."""
    return fpp_numbers.joined([int(word, 8) for word in text.split()])


def done(*words: int, fps: int = 0, ac: dict[int, str] | None = None, r: dict[int, int] | None = None) -> oracle.State:
    """The state after some instructions at 1000."""
    memory = bytearray(0o4000)
    for place, word in enumerate(words):
        memory[0o1000 + 2 * place : 0o1002 + 2 * place] = word.to_bytes(2, "little")
    registers = [(r or {}).get(n, 0) for n in range(6)] + [0o700, 0o1000]
    state = oracle.State([bits((ac or {}).get(n, "0")) for n in range(6)], registers, memory, fps)
    for _ in words:
        oracle.execute(state)
    return state


# Derived from the rules of the format; the same numbers stand among the trial cases.
@pytest.mark.parametrize(
    ("words", "fps", "before", "after", "status"),
    [
        ([0o171402], 0, {0: "040520", 2: "040440"}, {0: "037400", 1: "041000"}, 0),
        ([0o171402], 0, {0: "140750", 2: "040200"}, {0: "137600", 1: "140740"}, 0o10),
        ([0o174401, 0o171001], 0o40, {0: "040200", 1: "040500"}, {0: "040177 177777"}, 0o40),
        ([0o174401, 0o171001], 0, {0: "040200", 1: "040500"}, {0: "040200"}, 0),
        ([0o171001], 0o1000, {0: "077777 177777", 1: "040400"}, {0: "000177 177777"}, 0o101006),
    ],
)
def test_worked_examples(
    words: list[int], fps: int, before: dict[int, str], after: dict[int, str], status: int
) -> None:
    state = done(*words, fps=fps, ac=before)
    assert {n: state.ac[n] for n in after} == {n: bits(text) for n, text in after.items()}
    assert state.fps == status


def test_worked_examples_with_a_register() -> None:
    assert done(0o175000, ac={0: "037314 146315"}).r[0] == 0o177775  # STEXP of a tenth
    assert done(0o176400, ac={0: "040200"}, r={0: 5}).ac[0] == bits("041200")  # LDEXP: 1.0 becomes 16.0
    assert done(0o177000, fps=0o100, r={0: 1}).ac[0] == bits("044200")  # LDCLF: the register is the high half
    assert done(0o175400, ac={0: "140750"}).r[0] == 0o177771  # STCFI of -7.25


@pytest.mark.parametrize("double", [False, True], ids=["F", "D"])
def test_a_number_and_its_bits_are_the_same_both_ways(double: bool) -> None:
    source = Random(double)
    for _ in range(2_000):
        given = number(source) & (-1 if double else fpp_numbers.HIGH_HALF)
        if not fpp_numbers.field_of(given):
            assert fpp_numbers.value(given, double) == 0
            continue
        parts = fpp_numbers.rounded(fpp_numbers.value(given, double), double, chop=True)
        assert fpp_numbers.packed(parts, double) == given


@pytest.mark.parametrize("double", [False, True], ids=["F", "D"])
def test_formats_agree_with_another_library(double: bool) -> None:
    """Rounding to so many bits: mpmath chops as we do; where there is no tie it rounds to the nearest as we do."""
    source, width = Random(7), fpp_numbers.BITS[double]
    context = mpmath.mp.clone()
    context.prec = 300
    for _ in range(2_000):
        top, bottom = source.getrandbits(90) + 1, source.getrandbits(80) * 2 + 1
        exact = Fraction(top, bottom) * Fraction(2) ** source.randrange(-90, 90)
        for chop, way in ((True, "d"), (False, "n")):
            parts = fpp_numbers.rounded(exact, double, chop)
            theirs = mpmath.libmp.from_rational(exact.numerator, exact.denominator, width, way)
            ours = Fraction(parts.fraction) * Fraction(2) ** (parts.field - fpp_numbers.EXCESS - width)
            assert ours == Fraction(theirs[1]) * Fraction(2) ** theirs[2]


@pytest.mark.parametrize("double", [False, True], ids=["F", "D"])
def test_products_sums_and_quotients_agree_with_another_library(double: bool) -> None:
    """Chopped results of whole instructions, their exponents inside the range."""
    source, width = Random(8), fpp_numbers.BITS[double]
    for _ in range(500):
        left, right = (number(source, 128) & ~fpp_numbers.FIELD | source.randrange(100, 156) << 55 for _ in "ab")
        a, b = (_theirs(each, double) for each in (left, right))
        for word, exact in ((0o171001, mpmath.libmp.mpf_mul), (0o172001, mpmath.libmp.mpf_add),
                            (0o173001, mpmath.libmp.mpf_sub), (0o174401, mpmath.libmp.mpf_div)):  # fmt: skip
            state = done(word, fps=oracle.FT | oracle.FD * double, ac={0: _text(left), 1: _text(right)})
            assert _theirs(state.ac[0], double) == exact(a, b, width, "d")


def _theirs(given: int, double: bool) -> tuple[int, int, int, int]:
    """A number of ours as mpmath has it."""
    exact = fpp_numbers.value(given, double)
    found: tuple[int, int, int, int] = mpmath.libmp.from_rational(exact.numerator, exact.denominator, 60, "n")
    return found


def _text(given: int) -> str:
    return " ".join(f"{word:o}" for word in fpp_numbers.words(given))


def test_ties_go_away_from_zero() -> None:
    for sign in (0, 1):
        half = Fraction((1 << 24) + 1, 1 << 25) * (-1 if sign else 1)
        assert fpp_numbers.rounded(half, False, chop=False) == (sign, 0o200, (1 << 23) + 1)
        assert fpp_numbers.rounded(half, False, chop=True) == (sign, 0o200, 1 << 23)
