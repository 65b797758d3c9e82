"""Numbers told in words."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest

from minisim.machine.explain import floating
from minisim.trials.formats import float_words


# 1.0 = 040200 [math-library-source]; the others follow from the format.
@pytest.mark.parametrize(
    ("octal", "told"),
    [
        ("040200 000000", "1"),
        ("140300 000000", "-1.5"),
        ("040200", "1"),
        ("037314 146315", "0.1"),
        ("037314 146314 146314 146315", "0.1"),
        ("041710 000000", "100"),
        ("000000 000000", "0"),
        ("000123 000456", "0"),
        ("100000 000000", "the undefined variable"),
        ("077777 177777", "1.7014117 x 10^38"),
        ("000200 000000", "2.938736 x 10^-39"),
        ("040511 007732 121041 064302", "3.1415926535897932"),
    ],
)
def test_a_number_is_told_with_its_words(octal: str, told: str) -> None:
    assert floating([int(word, 8) for word in octal.split()]) == f"{told} ({octal})"


@pytest.mark.parametrize("words", [[], [0] * 5])
def test_other_lengths_are_refused(words: list[int]) -> None:
    with pytest.raises(ValueError, match="one, two or four words"):
        floating(words)


def test_what_is_told_leads_back_to_the_same_words() -> None:
    source = Random(1)
    for double in (False, True):
        for _ in range(500):
            words = [source.getrandbits(16) for _ in range(4 if double else 2)]
            words[0] |= 0o200 if not words[0] & 0o77600 else 0
            text = floating(words).split(" (")[0]
            digits, _, power = text.partition(" x 10^")
            number = Fraction(digits) * Fraction(10) ** int(power or "0")
            assert float_words(f"{number.numerator}/{number.denominator}", double=double) == tuple(words)
