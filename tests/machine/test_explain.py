"""Numbers told in words."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest

from minisim.machine.explain import DECIMAL_TYPES, decimal_size, decimal_string, floating
from minisim.trials.formats import decimal_bytes, float_words


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


# --- decimal strings --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("data", "form", "digits", "told"),
    [
        ("022 064 134", "signed packed", 5, "+12345, signed packed"),
        ("001 043 115", "signed packed", 4, "-1234, signed packed"),
        ("022 073", "signed packed", 3, "-123, signed packed"),
        ("022 077", "unsigned packed", 3, "123, unsigned packed"),
        ("014", "signed packed", 0, "+ without digits, signed packed"),
        ("061 062 163", "signed zoned", 3, "-123, signed zoned"),
        ("061 062 063", "unsigned zoned", 3, "123, unsigned zoned"),
        ("061 060 175", "trailing overpunch", 3, "-100, trailing overpunch"),  # 10} [overpunch-encyclopaedia]
        ("064 065 101", "trailing overpunch", 3, "+451, trailing overpunch"),  # 45A [overpunch-encyclopaedia]
        ("061 060 062 112", "trailing overpunch", 4, "-1021, trailing overpunch"),  # 102J [overpunch-cobol]
        ("072 061", "leading overpunch", 2, "-01, leading overpunch"),
        ("061 062 053", "trailing separate", 2, "+12, trailing separate"),
        ("055 060 060", "leading separate", 2, "-00, leading separate"),
        ("", "leading separate", 0, "without digits, leading separate"),
        ("012 061", "leading separate", 1, "?1, leading separate"),
        ("240 074", "signed packed", 3, "+?03, signed packed"),
        ("061 172", "trailing overpunch", 2, "?1?, trailing overpunch"),
        ("000 021", "signed packed", 3, "?001, signed packed"),
    ],
)
def test_the_digits_of_a_decimal_string_are_told_with_its_type(data: str, form: str, digits: int, told: str) -> None:
    octal = [int(byte, 8) for byte in data.split()]
    assert decimal_string(octal, DECIMAL_TYPES.index(form), digits) == told


def test_every_decimal_string_is_read_as_it_is_written() -> None:
    source = Random(11)
    for kind, form in enumerate(DECIMAL_TYPES):
        for digits in (*range(1, 32), 31):
            value = source.randrange(1, 10**digits) * (-1 if source.randrange(2) and "unsigned" not in form else 1)
            data = decimal_bytes(f"{value:+}", digits, form)
            assert len(data) == decimal_size(kind, digits)
            sign = "" if "unsigned" in form else "+-"[value < 0]
            assert decimal_string(data, kind, digits) == f"{sign}{abs(value):0{digits}}, {form}"


@pytest.mark.parametrize(("data", "kind", "digits"), [([0o14], 6, 2), ([], 8, 0), ([0o60], 0, 32), ([0o60] * 2, 0, 1)])
def test_what_is_no_decimal_string_is_refused(data: list[int], kind: int, digits: int) -> None:
    with pytest.raises(ValueError, match="digits"):
        decimal_string(data, kind, digits)
