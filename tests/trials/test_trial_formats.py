"""Number formats against exact fractions and the published examples [tests/data/worked-examples.yaml]."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from minisim.trials.formats import decimal_bytes, float_words, number_of


def value_of(words: tuple[int, ...]) -> Fraction:
    """What floating words stand for, read back bit by bit."""
    whole = 0
    for word in words:
        whole = whole << 16 | word
    bits = 16 * len(words)
    fraction_bits = bits - 9
    exponent = whole >> fraction_bits & 0o377
    fraction = (whole & ((1 << fraction_bits) - 1)) | 1 << fraction_bits
    size = Fraction(fraction, 1 << (fraction_bits + 1)) * Fraction(2) ** (exponent - 128)
    return -size if whole >> (bits - 1) else size


@given(st.fractions(min_value=Fraction(1, 1000), max_value=10**9), st.booleans(), st.booleans())
def test_a_number_read_back_is_within_half_a_unit_or_below_a_whole_one(
    number: Fraction, double: bool, minus: bool
) -> None:
    text = f"{'-' if minus else ''}{number.numerator}/{number.denominator}"
    exact = -number if minus else number
    step = Fraction(2) ** (math.floor(math.log2(number)) - (54 if double else 22))
    rounded = value_of(float_words(text, double=double))
    chopped = value_of(float_words(text, double=double, chopped=True))
    assert abs(rounded - exact) <= step / 2
    assert abs(chopped) <= abs(exact) and abs(exact) - abs(chopped) < step


def test_constants_agree_with_the_library_as_far_as_it_goes() -> None:
    for text, value in (("pi", math.pi), ("e", math.e), ("sqrt 2", math.sqrt(2)), ("log10 2", math.log10(2))):
        assert abs(float(number_of(text)) - value) < 1e-15


def test_zero_is_all_zero_and_rounding_can_carry_into_the_exponent() -> None:
    assert float_words("0", double=False) == (0, 0)
    assert float_words("16777215.9", double=False) == float_words("16777216", double=False)


def test_a_number_beyond_the_exponent_is_refused() -> None:
    with pytest.raises(ValueError, match="does not fit"):
        float_words("1" + "0" * 39, double=False)


def test_a_string_longer_than_its_digits_is_refused_and_a_short_one_is_filled() -> None:
    with pytest.raises(ValueError, match="more than 2 digits"):
        decimal_bytes("+123", 2, "signed packed")
    assert decimal_bytes("-7", 3, "leading separate") == tuple(b"-007")
    assert decimal_bytes("+7", 3, "trailing separate") == tuple(b"007+")
    assert decimal_bytes("-7", 2, "leading overpunch") == tuple(b"}7")
    assert decimal_bytes("7", 2, "unsigned zoned") == tuple(b"07")
