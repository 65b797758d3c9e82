"""Fields decide what text means; what YAML itself would make of it does not matter."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
import yaml

from minisim.loadout import fields as f
from minisim.yamltext import Mapping, Scalar, compose_bytes

CONSOLE = 0o17560  # offset of the console's first register in the I/O page


def message(field: f.Field[Any], text: str) -> str:
    with pytest.raises(f.FieldError) as caught:
        field.read(text)
    return str(caught.value)


@pytest.mark.parametrize("text", ["177560", "0177560", "0o177560", "777560", "17777560", "0O777560", "00017777560"])
def test_all_forms_of_a_register_address_are_the_same_register(text: str) -> None:
    assert f.REGISTER_ADDRESS.read(text) == CONSOLE


@pytest.mark.parametrize(
    ("text", "guess"),
    [
        ("177560", 177560),  # a decimal number, 68 944 too many
        ("0177560", 0o177560),  # octal, as meant
        ("0o177560", "0o177560"),  # text: this spelling came with a later YAML
        ("777560", 777560),
        ("17777560", 17777560),
        ("888", 888),
        ("1:30", 90),  # sixty-based
        ("yes", True),
        ("0x30", 48),
    ],
)
def test_yaml_itself_guesses_and_the_composer_does_not(text: str, guess: object) -> None:
    assert yaml.safe_load(f"address: {text}") == {"address": guess}
    tree = compose_bytes(f"address: {text}".encode(), "machine.yaml")
    assert isinstance(tree, Mapping)
    node = tree.get("address")
    assert isinstance(node, Scalar)
    assert node.text == text


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("888", "8 is not an octal digit (0 to 7)"),
        ("177569", "9 is not an octal digit"),
        ("", "empty; write octal digits"),
        ("-177560", "has no sign"),
        ("+177560", "has no sign"),
        ("177560.", "a point makes it decimal"),
        ("177560.0", "a point makes it decimal"),
        ("0xFF70", "hexadecimal is not used here"),
        ("$FF70", "hexadecimal is not used here"),
        ("FF70h", "hexadecimal is not used here"),
        ("FF70", "hexadecimal is not used here"),
        ("console", "not an octal number"),
        ("177 560", "not an octal number"),
        ("177_560", "not an octal number"),
        ("0o", "not an octal number"),
        ("\u0661\u0667\u0667\u0665\u0666\u0660", "not an octal number"),  # digits, but not the ones meant
        ("177561", "odd: registers are words at even addresses; 177560 or 177562?"),
        ("777561", "777560 or 777562?"),
        ("157776", "outside the I/O page: registers lie in 160000 to 177776"),
        ("200000", "outside the I/O page"),
        ("757776", "outside the I/O page"),
        ("1000000", "outside the I/O page"),
        ("17757776", "outside the I/O page"),
        ("60", "outside the I/O page"),
        ("20000000", "too wide: a bus has 22 address bits at most (17777777)"),
        ("65392", "(decimal 65392 would be 177560)"),
        ("262000", "(decimal 262000 would be 777560)"),
        ("7" * 5000, "5000 characters are no octal number"),
    ],
)
def test_a_wrong_register_address_is_told_with_its_reason(text: str, part: str) -> None:
    assert part in message(f.REGISTER_ADDRESS, text)


def test_the_ends_of_the_io_page_are_inside_in_every_form() -> None:
    for first, last in (("160000", "177776"), ("760000", "777776"), ("17760000", "17777776")):
        assert (f.REGISTER_ADDRESS.read(first), f.REGISTER_ADDRESS.read(last)) == (0, f.IO_PAGE_TOP - 1)


def test_a_memory_address_is_never_normalised() -> None:
    assert f.MEMORY_ADDRESS.read("777560") == 0o777560
    assert f.MEMORY_ADDRESS.read("0177560") == 0o177560
    assert f.MEMORY_ADDRESS.read("17777777") == 0o17777777
    assert "22 bits" in message(f.MEMORY_ADDRESS, "20000000")


def test_a_vector_has_nine_bits_and_its_place_is_left_to_the_rule() -> None:
    assert [f.VECTOR.read(text) for text in ("60", "0060", "0o774", "777", "61")] == [0o60, 0o60, 0o774, 0o777, 0o61]
    assert "too wide: vectors lie in 0 to 777" in message(f.VECTOR, "1000")


def test_a_word_has_sixteen_bits() -> None:
    assert f.WORD.read("177777") == 0o177777
    assert "16 bits" in message(f.WORD, "200000")
    assert "173000 is its 16-bit form" in message(f.WORD, "773000")


def test_a_count_is_decimal_and_may_end_in_a_point() -> None:
    baud = f.count("speed", 110, 9600)
    assert (baud.read("110"), baud.read("9600.")) == (110, 9600)
    assert "write 9600" in message(baud, "09600")
    assert "out of range: 110 to 9600" in message(baud, "50")
    assert "this field is decimal" in message(baud, "0o300")
    assert "not a whole number" in message(baud, "300.5")
    assert 'without "baud"' in message(baud, "300 baud")


def test_amperes_are_decimals_with_a_point() -> None:
    assert f.AMPERES.read("1.5") == Decimal("1.5")
    assert "write 1.5" in message(f.AMPERES, "1,5")
    for text in ("nan", "inf", "1e3", "", "-1", "1.5 A", "1" * 30):
        assert message(f.AMPERES, text)


def test_yes_and_no_are_these_words_and_others_are_explained() -> None:
    assert (f.YES_NO.read("yes"), f.YES_NO.read("no")) == (True, False)
    for text in ("true", "True", "Yes", "YES", "on", "y", "1"):
        assert 'did you mean "yes"?' in message(f.YES_NO, text)
    assert 'did you mean "out"?' in message(f.IN_OUT, "false")
    assert message(f.ON_OFF, "") == "empty; on or off"


@pytest.mark.parametrize(
    ("field", "value", "text"),
    [
        (f.REGISTER_ADDRESS, CONSOLE, "777560"),
        (f.MEMORY_ADDRESS, 0o100000, "100000"),
        (f.VECTOR, 0o60, "60"),
        (f.WORD, 0o340, "000340"),
        (f.AMPERES, Decimal("1.50"), "1.50"),
        (f.YES_NO, True, "yes"),
        (f.ON_OFF, False, "off"),
        (f.IN_OUT, True, "in"),
    ],
)
def test_a_field_reads_back_what_it_shows(field: f.Field[Any], value: object, text: str) -> None:
    assert field.show(value) == text
    assert field.read(text) == value
