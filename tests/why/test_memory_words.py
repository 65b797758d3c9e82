"""A wrong memory word: XOR, bits, byte and bank, against plain arithmetic."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from why_machines import demo, ids

WORDS = st.integers(0, 0o177777)
ADDRESSES = st.integers(0, 0o77776).map(lambda n: n & ~1)  # inside the 32 KB of the desk


def ask(address: int, expected: int, found: int) -> tuple[str, list[str], tuple[str, ...]]:
    diagnosis = demo("desk", f"memory {address:06o} expected {expected:06o} found {found:06o}")
    return diagnosis.tells[0], ids(diagnosis), diagnosis.tells


@given(ADDRESSES, WORDS, WORDS)
def test_the_differing_bits_and_their_xor_are_those_of_the_words(address: int, expected: int, found: int) -> None:
    told, _, _ = ask(address, expected, found)
    if expected == found:
        assert "equal" in told
        return
    assert told.endswith(f"XOR {expected ^ found:06o}.")
    numbers = told.partition("differ in bit")[2].partition(":")[0].removeprefix("s")
    bits = [int(part) for part in numbers.replace(" and ", ", ").split(",")]
    assert sum(1 << bit for bit in bits) == expected ^ found
    assert bits == sorted(bits, reverse=True)


@given(ADDRESSES, WORDS, WORDS)
def test_the_order_of_the_two_words_does_not_change_the_bits(address: int, expected: int, found: int) -> None:
    assert (
        ask(address, expected, found)[0].partition("differ")[2]
        == ask(address, found, expected)[0].partition("differ")[2]
    )


@given(ADDRESSES, WORDS, st.integers(0, 15))
def test_one_bit_is_a_chip_first_then_a_line(address: int, expected: int, bit: int) -> None:
    _, causes, _ = ask(address, expected, expected ^ 1 << bit)
    assert causes[:2] == ["one-chip", "data-line"]


@given(ADDRESSES, WORDS, st.integers(1, 0o377), st.booleans())
def test_bits_of_one_byte_alone_point_to_the_byte(address: int, expected: int, change: int, high: bool) -> None:
    _, causes, _ = ask(address, expected, expected ^ (change << 8 if high else change))
    several = change.bit_count() > 1
    assert ("byte-lane" in causes) == several
    assert ("one-chip" in causes) == (not several)


@given(ADDRESSES)
def test_the_bank_holds_the_address(address: int) -> None:
    told = ask(address, 1, 0)[2][1]
    bank, start, end = told.partition("; bank ")[2].replace("(octal; ", "").split(", 4 K")[0].split(" ", 2)[0], "", ""
    start, _, end = told.partition("(octal; ")[2].partition(",")[0].partition(" to ")
    assert int(start, 8) <= address <= int(end, 8)
    assert int(end, 8) - int(start, 8) == 4096 * 2 - 1
    assert int(bank, 8) * 4096 * 2 == int(start, 8)


@given(st.integers(0o100000, 0o17757776).map(lambda n: n & ~1))
def test_an_address_outside_the_memory_says_so_first(address: int) -> None:
    diagnosis = demo("desk", f"memory {address:o} expected 1 found 3")
    assert diagnosis.causes[0].id == "not-there"
    assert any("No memory of this loadout answers" in told for told in diagnosis.tells)


def test_equal_words_are_no_fault() -> None:
    diagnosis = demo("desk", "memory 1000 expected 52525 found 52525")
    assert ids(diagnosis) == []
