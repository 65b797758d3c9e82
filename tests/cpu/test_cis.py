"""The commercial instructions by the tables of their rules: strings, decimal strings, codes, registers, in-line forms.

Values without a source key are worked out by hand from processor facts 5; the rules of 5.3 and 5.4 are unconfirmed.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from cis_bench import (
    FIRST,
    LEADING_OVER,
    LEADING_SEP,
    LIST,
    PACKED,
    PROFILE,
    RESULT,
    SECOND,
    TABLE,
    TRAILING_OVER,
    TRAILING_SEP,
    TYPES,
    UNSIGNED,
    UNSIGNED_PACKED,
    ZONED,
    Bench,
    descriptor,
)
from core_bench import AT, STACK, prepared, run_to_halt

from minisim.cpu._core import lib
from minisim.cpu.handle import Core

DATA = Path(__file__).parents[1] / "data" / "worked-examples.yaml"
EXAMPLES: list[dict[str, Any]] = [
    each
    for each in yaml.load(DATA.read_text(encoding="utf-8"), yaml.CBaseLoader)["examples"]
    if each.get("needs") == ["cis"]
]
KEEP = [0o111111, 0o22222, 0o133333, 0o44444, 0o155555, 0o66666]  # what Bench puts into registers not given
BLANK = 0o40


@pytest.fixture
def bench() -> Bench:
    return Bench()


# --- the worked examples ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("row", [e for e in EXAMPLES if e["kind"] == "instruction"], ids=lambda row: str(row["id"]))
def test_a_worked_example_comes_out_as_it_is_printed(row: dict[str, Any], bench: Bench) -> None:
    core, expect, mask = bench.core, row["expect"], row.get("mask", [])
    for address, byte in row["setup"].get("bytes", {}).items():
        bench.put(int(address, 8), bytes([int(byte, 8)]))
    for name, value in row["setup"]["registers"].items():
        core[int(name[1])] = int(value, 8)
    core.put(0o5000, *(int(word, 8) for word in row["program"]["words"]))
    core.pc = 0o5000
    core.run(1)
    found = {name: f"{core[int(name[1])]:06o}" for name in expect["registers"] if name not in mask}
    assert found == {name: value for name, value in expect["registers"].items() if name not in mask}
    codes = f"{core.ps & 0o17:04b}"
    assert all(want in ("x", got) for want, got in zip(expect["nzvc"], codes, strict=True)), codes
    assert {at: f"{bench.get(int(at, 8), 1)[0]:03o}" for at in expect.get("bytes", {})} == expect.get("bytes", {})


@pytest.mark.parametrize("row", [e for e in EXAMPLES if e["kind"] == "decimal-format"], ids=lambda row: str(row["id"]))
def test_a_printed_format_is_read_and_written(row: dict[str, Any], bench: Bench) -> None:
    kind, digits, value = TYPES.index(row["type"]), int(row["digits"]), int(row["value"])
    expected = bytes(int(byte, 8) for byte in row["expect"]["bytes"])
    first = RESULT + (kind == LEADING_SEP)
    bench.do("CVTLP" if kind >= PACKED else "CVTLN", registers=[descriptor(kind, digits), first, *words_of(value)])
    assert bench.get(RESULT, len(expected)) == expected
    assert integer_of(bench, kind, digits, first) == value


def words_of(number: int) -> list[int]:
    """A long integer as the registers hold it: high, low."""
    return [number >> 16 & 0o177777, number & 0o177777]


def integer_of(bench: Bench, kind: int, digits: int, address: int) -> int:
    """A decimal string as the conversion to a long integer reads it."""
    bench.do("CVTPL" if kind >= PACKED else "CVTNL", registers=[descriptor(kind, digits), address])
    high, low = bench.core[2], bench.core[3]
    return (high << 16 | low) - (high >> 15 << 32)


# --- 5.1, 5.2: data types and codes of digits -------------------------------------------------------------------------

# octal codes of 0 to 9 [overpunch-cobol] [overpunch-encyclopaedia]; zoned minus: processor facts 5.2
PLUS = [0o173, 0o101, 0o102, 0o103, 0o104, 0o105, 0o106, 0o107, 0o110, 0o111]
MINUS = [0o175, 0o112, 0o113, 0o114, 0o115, 0o116, 0o117, 0o120, 0o121, 0o122]
ACCEPTED = {0o133: 0, 0o77: 0, 0o135: -0, 0o41: -0, 0o72: -0, **{0o60 + digit: digit for digit in range(10)}}


@pytest.mark.parametrize("digit", range(10))
def test_a_sign_digit_is_written_with_its_preferred_code(digit: int, bench: Bench) -> None:
    for sign in (1, -1) if digit else (1,):
        value = sign * (500 + digit) if digit else 500
        plain = 0o60 + digit if sign > 0 else 0o160 + digit
        punched = (PLUS if sign > 0 else MINUS)[digit]
        expected = {
            ZONED: bytes([0o65, 0o60, plain]),
            UNSIGNED: bytes([0o65, 0o60, 0o60 + digit]),
            TRAILING_OVER: bytes([0o65, 0o60, punched]),
            LEADING_OVER: bytes([0o105 if sign > 0 else 0o116, 0o60, 0o60 + digit]),
            TRAILING_SEP: bytes([0o65, 0o60, 0o60 + digit, 0o53 if sign > 0 else 0o55]),
            LEADING_SEP: bytes([0o53 if sign > 0 else 0o55, 0o65, 0o60, 0o60 + digit]),
            PACKED: bytes([0x50, digit << 4 | (0o14 if sign > 0 else 0o15)]),
            UNSIGNED_PACKED: bytes([0x50, digit << 4 | 0o17]),
        }
        for kind, data in expected.items():
            bench.put(RESULT, b"\xee" * 8)
            name = "CVTLP" if kind >= PACKED else "CVTLN"
            first = RESULT + 1 + (kind == LEADING_SEP)
            codes = bench.do(name, registers=[descriptor(kind, 3), first, *words_of(value)])
            assert bench.get(RESULT, 6) == b"\xee" + data + b"\xee" * (5 - len(data)), TYPES[kind]
            assert codes == ("1000" if sign < 0 and kind not in (UNSIGNED, UNSIGNED_PACKED) else "0000")


@pytest.mark.parametrize("kind", [TRAILING_OVER, LEADING_OVER])
def test_every_accepted_overpunch_is_read(kind: int, bench: Bench) -> None:
    codes = {**ACCEPTED, **{code: digit for digit, code in enumerate(PLUS)}}
    signed = {**codes, **{code: -digit for digit, code in enumerate(MINUS)}}
    negative = {*MINUS, 0o135, 0o41, 0o72}
    for code, digit in signed.items():
        data = bytes([code, 0o62]) if kind == LEADING_OVER else bytes([0o62, code])
        bench.put(FIRST, data)
        size = abs(digit) * 10 + 2 if kind == LEADING_OVER else 20 + abs(digit)
        assert integer_of(bench, kind, 2, FIRST) == (-size if code in negative else size), f"{code:03o}"


@pytest.mark.parametrize(("kind", "data", "value"), [
    (ZONED, b"12\x73", -123), (ZONED, b"123", 123), (ZONED, b"\x01\xf2\x33", 123), (UNSIGNED, b"12\x73", 123),
    (TRAILING_SEP, b"12+", 12), (TRAILING_SEP, b"12 ", 12), (TRAILING_SEP, b"12-", -12),
    (LEADING_SEP, b"+12", 12), (LEADING_SEP, b" 12", 12), (LEADING_SEP, b"-12", -12),
    *((PACKED, bytes([0x12, 0x30 | sign]), 123) for sign in (0o12, 0o14, 0o16, 0o17)),
    *((PACKED, bytes([0x12, 0x30 | sign]), -123) for sign in (0o13, 0o15)),
    (UNSIGNED_PACKED, b"\x12\x3f", 123), (PACKED, b"\x01\x2d", -12),
])  # fmt: skip
def test_every_accepted_sign_is_read(kind: int, data: bytes, value: int, bench: Bench) -> None:
    bench.put(FIRST, data)
    digits = 2 if kind in (TRAILING_SEP, LEADING_SEP) or data == b"\x01\x2d" else 3
    assert integer_of(bench, kind, digits, FIRST + (kind == LEADING_SEP)) == value


def test_a_string_without_digits_is_zero_and_takes_nothing(bench: Bench) -> None:
    for kind in range(8):
        bench.put(RESULT, b"\xee" * 4)
        name = "CVTLP" if kind >= PACKED else "CVTLN"
        assert bench.do(name, registers=[descriptor(kind, 0), RESULT + 1, 0, 5]) == "0110"
        sign = {PACKED: b"\x0c", UNSIGNED_PACKED: b"\x0f"}.get(kind, b"\xee")
        assert bench.get(RESULT, 4) == b"\xee" + sign + b"\xee\xee"
        assert bench.do(name, registers=[descriptor(kind, 0), RESULT + 1, 0, 0]) == "0100"
        bench.put(FIRST, b"\xff\x9d")
        assert integer_of(bench, kind, 0, FIRST + 1) == 0


# --- 5.3: strings -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "source", "length", "left", "codes", "result"), [
    ("MOVC", b"ABCDE", 3, 2, "0000", b"ABC"), ("MOVC", b"ABC", 3, 0, "0100", b"ABC"),
    ("MOVC", b"AB", 5, 0, "1001", b"AB***"), ("MOVC", b"", 2, 0, "1001", b"**"), ("MOVC", b"AB", 0, 2, "0000", b""),
    ("MOVRC", b"ABCDE", 3, 2, "0000", b"CDE"), ("MOVRC", b"ABC", 3, 0, "0100", b"ABC"),
    ("MOVRC", b"AB", 5, 0, "1001", b"***AB"), ("MOVTC", b"ABCDE", 3, 2, "0000", b"abc"),
    ("MOVTC", b"AB", 4, 0, "1001", b"ab**"),
])  # fmt: skip
def test_a_move_fills_or_leaves_bytes_behind(
    name: str, source: bytes, length: int, left: int, codes: str, result: bytes, bench: Bench
) -> None:
    bench.put(TABLE, bytes(range(256)).lower())
    bench.put(FIRST, source)
    bench.put(RESULT, b"\xee" * 8)
    fill = 0o177400 | ord("*")
    assert bench.do(name, registers=[len(source), FIRST, length, RESULT, fill, TABLE]) == codes
    assert bench.registers() == [left, 0, 0, 0, fill, TABLE]
    assert bench.get(RESULT, 8) == result.ljust(8, b"\xee")
    bench.put(RESULT, b"\xee" * 8)
    table = [TABLE] if name == "MOVTC" else []
    assert bench.do(f"{name}I", *bench.lists((len(source), FIRST), (length, RESULT)), fill, *table) == codes
    assert bench.registers() == KEEP
    assert bench.get(RESULT, 8) == result.ljust(8, b"\xee")


def test_the_codes_of_a_move_compare_the_lengths_as_words(bench: Bench) -> None:
    # lengths that reach over registers of the processor are not moved here: source 100000 or 0, destination 0 or 1
    assert bench.do("MOVC", registers=[0o100000, FIRST, 0, RESULT, 0]) == "1000"
    assert bench.core[0] == 0o100000
    assert bench.do("MOVC", registers=[0o100000, FIRST, 1, RESULT, 0]) == "0010"
    assert bench.do("MOVC", registers=[0, FIRST, 0, RESULT, 0]) == "0100"


@pytest.mark.parametrize("name", ["MOVC", "MOVRC"])
@pytest.mark.parametrize("distance", [-9, -3, -1, 0, 1, 3, 9])
@pytest.mark.parametrize("length", [5, 10, 14])
def test_a_move_over_itself_acts_as_if_the_source_were_copied_first(
    name: str, distance: int, length: int, bench: Bench
) -> None:
    source = b"0123456789"
    bench.put(FIRST - 20, b"." * 60)
    bench.put(FIRST, source)
    moved = source[:length].ljust(length, b"*") if name == "MOVC" else source[-length:].rjust(length, b"*")
    area = bytearray(b"." * 20 + source + b"." * 30)
    area[20 + distance : 20 + distance + length] = moved
    bench.do(name, registers=[10, FIRST, length, FIRST + distance, ord("*")])
    assert bench.get(FIRST - 20, 60) == bytes(area)


def test_a_translating_move_over_itself_goes_forwards_byte_by_byte(bench: Bench) -> None:
    bench.put(TABLE, bytes(range(1, 256)) + b"\0")
    bench.put(FIRST, b"A....")
    bench.do("MOVTC", registers=[4, FIRST, 4, FIRST + 1, 0, TABLE])
    assert bench.get(FIRST, 5) == b"ABCDE"


def test_a_move_whose_ends_both_reach_into_each_other_reads_all_first(bench: Bench) -> None:
    """That takes all 64 KB, so memory management lays memory where the I/O page is."""
    core = bench.core = Core(PROFILE, memory=0o760000, address_bits=22)
    for page in range(8):
        core.raw.par[0][0][page], core.raw.pdr[0][0][page] = 0o200 * page, 0o77406
    core.raw.mmr[0] = 1
    lib.ms_mapping_changed(core.raw)
    area = bytearray(n * 7 % 251 for n in range(0o200000))
    bench.put(0, bytes(area))
    bench.load("MOVC", registers=[40000, 2000, 40000, 32000, 0])
    area[:] = bench.get(0, 0o200000)
    source = bytes(area[(2000 + i) % 0o200000] for i in range(40000))
    for i, byte in enumerate(source):
        area[(32000 + i) % 0o200000] = byte
    core.run(1)
    assert bench.get(0, 0o200000) == bytes(area)


SEARCHES = [
    ("LOCC", b"ABCDE", ord("C"), 3), ("LOCC", b"ABCDE", ord("A"), 5), ("LOCC", b"ABCDE", ord("E"), 1),
    ("LOCC", b"ABCDE", ord("Z"), 0), ("LOCC", b"", ord("Z"), 0), ("SKPC", b"  AB", BLANK, 2),
    ("SKPC", b"    ", BLANK, 0), ("SKPC", b"AB", BLANK, 2), ("SKPC", b"", BLANK, 0),
]  # fmt: skip


@pytest.mark.parametrize(("name", "source", "character", "left"), SEARCHES)
def test_a_search_leaves_what_is_left_and_where(
    name: str, source: bytes, character: int, left: int, bench: Bench
) -> None:
    bench.put(FIRST, source + b"Z ")
    codes = "0000" if left else "0100"
    found = [left, FIRST + len(source) - left]
    assert bench.do(name, registers=[len(source), FIRST, 1, 2, 0o5400 | character, 3]) == codes
    assert bench.registers() == [*found, 1, 2, 0o5400 | character, 3]
    assert bench.do(f"{name}I", *bench.lists((len(source), FIRST)), 0o5400 | character) == codes
    assert bench.registers() == [*found, *KEEP[2:]]


@pytest.mark.parametrize(("name", "source", "mask", "left"), [
    ("SCANC", b"ab1c", 2, 2), ("SCANC", b"abc", 2, 0), ("SCANC", b"a1", 3, 2), ("SPANC", b"ab1c", 1, 2),
    ("SPANC", b"abc", 1, 0), ("SPANC", b"1", 1, 1), ("SCANC", b"", 3, 0), ("SCANC", b"a1", 4, 0),
    ("SPANC", b"a1", 4, 2),
])  # fmt: skip
def test_a_search_by_a_set_looks_at_the_mask_of_each_byte(
    name: str, source: bytes, mask: int, left: int, bench: Bench
) -> None:
    bench.put(TABLE, bytes(1 if chr(n).isalpha() else 2 if chr(n).isdigit() else 0 for n in range(256)))
    bench.put(FIRST, source)
    codes, found = "0000" if left else "0100", [left, FIRST + len(source) - left]
    word = 0o7400 | mask  # only the low byte counts
    assert bench.do(name, registers=[len(source), FIRST, 1, 2, word, TABLE]) == codes
    assert bench.registers() == [*found, 1, 2, word, TABLE]
    assert bench.do(f"{name}I", *bench.lists((len(source), FIRST), (word, TABLE))) == codes
    assert bench.registers() == [*found, *KEEP[2:]]


@pytest.mark.parametrize(("first", "second", "left", "codes"), [
    (b"ABC", b"ABC", (0, 0), "0100"), (b"ABD", b"ABC", (1, 1), "0000"), (b"ABB", b"ABC", (1, 1), "1001"),
    (b"AB", b"AB  ", (0, 0), "0100"), (b"AB", b"AB !", (0, 1), "1001"), (b"ABZ", b"AB", (1, 0), "0000"),
    (b"", b"", (0, 0), "0100"), (b"\xc8A", b"\x01", (2, 1), "1000"), (b"\x7f", b"\x80", (1, 1), "1011"),
    (b"\x80", b"\x7f", (1, 1), "0010"), (b"", b"x", (0, 1), "1001"),
])  # fmt: skip
def test_a_comparison_ends_at_the_first_difference(
    first: bytes, second: bytes, left: tuple[int, int], codes: str, bench: Bench
) -> None:
    bench.put(FIRST, first)
    bench.put(SECOND, second)
    assert bench.do("CMPC", registers=[len(first), FIRST, len(second), SECOND, BLANK, 7]) == codes
    ends = [left[0], FIRST + len(first) - left[0], left[1], SECOND + len(second) - left[1]]
    assert bench.registers() == [*ends, BLANK, 7]
    assert bench.do("CMPCI", *bench.lists((len(first), FIRST), (len(second), SECOND)), BLANK) == codes
    assert bench.registers() == KEEP


@pytest.mark.parametrize(("source", "wanted", "left"), [
    (b"ABCDE", b"CD", 3), (b"ABCDE", b"ABCDE", 5), (b"ABCDE", b"DEF", 0), (b"AAAB", b"AAB", 3), (b"ABCDE", b"", 5),
    (b"", b"", 0), (b"", b"A", 0), (b"AB", b"ABC", 0), (b"ABABAC", b"ABAC", 4), (b"ABCDE", b"E", 1),
])  # fmt: skip
def test_a_match_leaves_the_first_place(source: bytes, wanted: bytes, left: int, bench: Bench) -> None:
    bench.put(FIRST, source + b"F")
    bench.put(SECOND, wanted)
    codes, found = "0000" if left else "0100", [left, FIRST + len(source) - left]
    assert bench.do("MATC", registers=[len(source), FIRST, len(wanted), SECOND, 5, 6]) == codes
    assert bench.registers() == [*found, len(wanted), SECOND, 5, 6]
    assert bench.do("MATCI", *bench.lists((len(source), FIRST), (len(wanted), SECOND))) == codes
    assert bench.registers() == [*found, *KEEP[2:]]


# --- 5.4: decimals ----------------------------------------------------------------------------------------------------


def packed(value: int, digits: int) -> bytes:
    """Signed packed, by the rule of 5.1."""
    text = f"{abs(value):0{digits // 2 * 2 + 1}d}" + ("d" if value < 0 else "c")
    return bytes.fromhex(text)


def trailing(value: int, digits: int) -> bytes:
    """Trailing separate."""
    return f"{abs(value):0{digits}d}{'-' if value < 0 else '+'}".encode()


NINES = 10**31 - 1
SUMS = [
    ("ADD", 999, 3, 1, 1, 4, 1000, "0000"), ("ADD", 999, 3, 1, 1, 3, 0, "0110"), ("ADD", -5, 1, 3, 1, 1, -2, "1000"),
    ("ADD", -5, 1, 5, 1, 1, 0, "0100"), ("ADD", NINES, 31, NINES, 31, 31, NINES - 1, "0010"),
    ("ADD", -NINES, 31, -NINES, 31, 31, 1 - NINES, "1010"), ("ADD", NINES, 31, -NINES, 31, 31, 0, "0100"),
    ("ADD", 12, 2, 990, 3, 2, 2, "0010"), ("SUB", 5, 1, 3, 1, 1, -2, "1000"), ("SUB", 3, 1, 5, 1, 2, 2, "0000"),
    ("SUB", -3, 1, 5, 1, 2, 8, "0000"), ("SUB", 0, 1, 0, 1, 31, 0, "0100"),
    ("SUB", 1, 1, 10**30, 31, 31, 10**30 - 1, "0000"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "one", "size1", "two", "size2", "size", "result", "codes"), SUMS)
def test_sums_are_exact_and_cut_at_the_top(
    name: str, one: int, size1: int, two: int, size2: int, size: int, result: int, codes: str, bench: Bench
) -> None:
    for letter, kind, form in (("P", PACKED, packed), ("N", TRAILING_SEP, trailing)):
        bench.put(FIRST, form(one, size1))
        bench.put(SECOND, form(two, size2))
        words = [(descriptor(kind, size1), FIRST), (descriptor(kind, size2), SECOND), (descriptor(kind, size), RESULT)]
        assert bench.do(name + letter, registers=[each for pair in words for each in pair]) == codes
        assert bench.get(RESULT, len(form(result, size))) == form(result, size)
        assert bench.registers() == [0, 0, 0, 0, *words[2]]
        bench.put(RESULT, b"\0" * 32)
        assert bench.do(f"{name}{letter}I", *bench.lists(*words)) == codes
        assert bench.get(RESULT, len(form(result, size))) == form(result, size)
        assert bench.registers() == KEEP


PRODUCTS = [
    ("MULP", 7, 1, -8, 1, 2, -56, "1000"), ("MULP", 0, 1, -8, 1, 2, 0, "0100"), ("MULP", 99, 2, 99, 2, 3, 801, "0010"),
    ("MULP", NINES, 31, NINES, 31, 31, 1, "0010"), ("MULP", -NINES, 31, 1, 1, 31, -NINES, "1000"),
    ("MULP", 10**15, 16, 10**15, 16, 31, 10**30, "0000"),
    ("DIVP", 7, 1, 100, 3, 2, 14, "0000"), ("DIVP", 7, 1, -100, 3, 2, -14, "1000"),
    ("DIVP", -7, 1, 100, 3, 2, -14, "1000"),
    ("DIVP", 7, 1, 6, 1, 2, 0, "0100"), ("DIVP", -7, 1, 6, 1, 2, 0, "0100"),
    ("DIVP", 1, 1, NINES, 31, 31, NINES, "0000"),
    ("DIVP", NINES, 31, NINES, 31, 1, 1, "0000"), ("DIVP", 3, 1, 3000, 4, 3, 0, "0110"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "one", "size1", "two", "size2", "size", "result", "codes"), PRODUCTS)
def test_products_and_quotients_are_exact(
    name: str, one: int, size1: int, two: int, size2: int, size: int, result: int, codes: str, bench: Bench
) -> None:
    bench.put(FIRST, packed(one, size1))
    bench.put(SECOND, packed(two, size2))
    places = ((size1, FIRST), (size2, SECOND), (size, RESULT))
    words = [(descriptor(PACKED, length), place) for length, place in places]
    assert bench.do(name, registers=[each for pair in words for each in pair]) == codes
    assert bench.get(RESULT, size // 2 + 1) == packed(result, size)
    assert bench.registers() == [0, 0, 0, 0, *words[2]]
    assert bench.do(f"{name}I", *bench.lists(*words)) == codes
    assert bench.registers() == KEEP


def test_a_division_by_zero_leaves_the_destination_alone(bench: Bench) -> None:
    for zero in (b"\x0c", b"\x0d"):
        bench.put(FIRST, zero)
        bench.put(SECOND, packed(5, 1))
        bench.put(RESULT, b"\xee")
        words = [descriptor(PACKED, 1), FIRST, descriptor(PACKED, 1), SECOND, descriptor(PACKED, 1), RESULT]
        assert bench.do("DIVP", registers=words)[2:] == "11"
        assert bench.get(RESULT, 1) == b"\xee"


@pytest.mark.parametrize(("one", "two", "codes"), [
    (5, 3, "0000"), (3, 5, "1000"), (-3, 3, "1000"), (3, -3, "0000"), (-5, -3, "1000"), (-3, -5, "0000"),
    (7, 7, "0100"),
    (0, 0, "0100"), (NINES, NINES - 1, "0000"),
])  # fmt: skip
def test_a_decimal_comparison_is_first_less_second(one: int, two: int, codes: str, bench: Bench) -> None:
    for name, kind, form in (("CMPP", PACKED, packed), ("CMPN", TRAILING_SEP, trailing)):
        bench.put(FIRST, form(one, 31))
        bench.put(SECOND, form(two, 31))
        words = [(descriptor(kind, 31), FIRST), (descriptor(kind, 31), SECOND)]
        assert bench.do(name, registers=[*words[0], *words[1]]) == codes
        assert bench.registers() == [0, 0, 0, 0, *KEEP[4:]]
        assert bench.do(f"{name}I", *bench.lists(*words)) == codes
        assert bench.registers() == KEEP


def test_a_minus_zero_counts_as_zero(bench: Bench) -> None:
    bench.put(FIRST, b"\x0d\x00\x0c")
    assert bench.do("CMPP", registers=[descriptor(PACKED, 1), FIRST, descriptor(PACKED, 3), FIRST + 1]) == "0100"
    assert bench.do("CVTPN", registers=[descriptor(PACKED, 1), FIRST, descriptor(TRAILING_OVER, 2), RESULT]) == "0100"
    assert bench.get(RESULT, 2) == b"0{"


SHIFTS = [
    (123, 2, 0, 5, 12300, "0000"), (123, 0, 9, 3, 123, "0000"), (-123, 1, 0, 3, -230, "1010"),
    (129, -1, 5, 3, 13, "0000"),
    (124, -1, 5, 3, 12, "0000"), (-995, -1, 5, 3, -100, "1000"), (5, -1, 5, 1, 1, "0000"), (4, -1, 5, 1, 0, "0100"),
    (-4, -1, 5, 1, 0, "0100"), (-4, -1, 0, 1, 0, "0100"), (999, -3, 1, 1, 1, "0000"), (999, -4, 9, 1, 0, "0100"),
    (1, 127, 0, 31, 0, "0110"), (0, 127, 0, 31, 0, "0100"), (NINES, -128, 9, 31, 0, "0100"),
    (1, 30, 0, 31, 10**30, "0000"),
    (999, -1, 0, 3, 99, "0000"),
]  # fmt: skip


@pytest.mark.parametrize(("value", "places", "rounding", "size", "result", "codes"), SHIFTS)
def test_a_shift_appends_zeros_or_drops_digits_and_rounds(
    value: int, places: int, rounding: int, size: int, result: int, codes: str, bench: Bench
) -> None:
    word = 0o170000 | rounding << 8 | places & 0o377
    for name, kind, form in (("ASHP", PACKED, packed), ("ASHN", TRAILING_SEP, trailing)):
        digits = max(len(str(abs(value))), 1)
        bench.put(FIRST, form(value, digits))
        words = [(descriptor(kind, digits), FIRST), (descriptor(kind, size), RESULT)]
        assert bench.do(name, registers=[*words[0], *words[1], word, 5]) == codes
        assert bench.get(RESULT, len(form(result, size))) == form(result, size)
        assert bench.registers() == [0, 0, *words[1], 0, 5]
        bench.put(RESULT, b"\0" * 32)
        assert bench.do(f"{name}I", *bench.lists(*words), word) == codes
        assert bench.get(RESULT, len(form(result, size))) == form(result, size)
        assert bench.registers() == KEEP


def test_an_overflow_that_drops_every_digit_keeps_the_sign(bench: Bench) -> None:
    # unconfirmed, processor facts 5.4
    bench.put(FIRST, packed(-100, 3))
    assert bench.do("CVTPN", registers=[descriptor(PACKED, 3), FIRST, descriptor(TRAILING_OVER, 2), RESULT]) == "0110"
    assert bench.get(RESULT, 2) == b"0}"


@pytest.mark.parametrize("value", [0, 7, -7, 12345, -12345])
def test_a_conversion_between_strings_keeps_the_number(value: int, bench: Bench) -> None:
    bench.put(FIRST, packed(value, 7))
    words = [(descriptor(PACKED, 7), FIRST), (descriptor(LEADING_SEP, 6), SECOND + 1)]
    codes = f"{int(value < 0)}{int(value == 0)}00"
    assert bench.do("CVTPN", registers=[*words[0], *words[1]]) == codes
    assert bench.get(SECOND, 7) == f"{value:+07d}".encode()
    assert bench.registers() == [0, 0, *words[1], *KEEP[4:]]
    back = [words[1], (descriptor(PACKED, 9), RESULT)]
    assert bench.do("CVTNPI", *bench.lists(*back)) == codes
    assert bench.get(RESULT, 5) == packed(value, 9)
    assert bench.registers() == KEEP
    assert bench.do("CVTNP", registers=[*back[0], descriptor(UNSIGNED_PACKED, 5), RESULT]) == f"0{int(value == 0)}00"
    assert bench.get(RESULT, 3) == bytes.fromhex(f"{abs(value):05d}f")


LONGS = [
    (0, 0, "0100"), (1, 1, "0000"), (-1, -1, "1001"), (2147483647, 2147483647, "0000"),
    (-2147483648, -2147483648, "1001"),
    (123456789, 123456789, "0000"), (-65536, -65536, "1001"),
]  # fmt: skip


@pytest.mark.parametrize(("value", "number", "codes"), LONGS)
def test_a_long_integer_is_read_from_digits_and_written_as_digits(
    value: int, number: int, codes: str, bench: Bench
) -> None:
    for letter, kind, form in (("P", PACKED, packed), ("N", TRAILING_SEP, trailing)):
        bench.put(FIRST, form(value, 11))
        source = (descriptor(kind, 11), FIRST)
        assert bench.do(f"CVT{letter}L", registers=source) == codes
        assert bench.registers() == [0, 0, *words_of(number), *KEEP[4:]]
        assert bench.do(f"CVT{letter}LI", *bench.lists(source), RESULT) == codes
        assert [bench.core.word(RESULT + 2), bench.core.word(RESULT)] == words_of(number)
        assert bench.registers() == KEEP
        target = (descriptor(kind, 11), SECOND)
        for name, following in ((f"CVTL{letter}", []), (f"CVTL{letter}I", [*bench.lists(target), RESULT])):
            bench.put(SECOND, b"\0" * 16)
            given = () if following else (*target, *words_of(number))
            assert bench.do(name, *following, registers=given) == f"{int(value < 0)}{int(value == 0)}00"
            assert bench.get(SECOND, len(form(value, 11))) == form(value, 11)
            assert bench.registers() == (KEEP if following else [*target, 0, 0, *KEEP[4:]])


@pytest.mark.parametrize("value", [2147483648, -2147483649, 4294967296, NINES, -NINES])
def test_a_number_that_is_no_long_integer_sets_v(value: int, bench: Bench) -> None:
    bench.put(FIRST, packed(value, 31))
    assert bench.do("CVTPL", registers=[descriptor(PACKED, 31), FIRST])[2] == "1"
    assert bench.registers()[2:4] == words_of(value)


def test_an_operand_may_be_the_result_too(bench: Bench) -> None:
    bench.put(FIRST, packed(55, 3))
    word = descriptor(PACKED, 3)
    assert bench.do("MULP", registers=[word, FIRST, word, FIRST, descriptor(PACKED, 5), FIRST]) == "0000"
    assert bench.get(FIRST, 3) == packed(3025, 5)


# --- descriptors, forms, what is not fitted, what fails ---------------------------------------------------------------


@pytest.mark.parametrize(("name", "count"), [("L2DR", 2), ("L3DR", 3)])
def test_descriptors_are_loaded_through_a_list_of_their_addresses(name: str, count: int, bench: Bench) -> None:
    core = bench.core
    places = bench.lists((1, 2), (3, 4), (5, 6))
    core.put(SECOND, *places)
    for register in range(7):
        bench.load(name, ps=0o12)
        core.put(AT, core.word(AT) | register)
        core[register] = SECOND
        core.run(1)
        expected = [*range(1, 2 * count + 1), *KEEP[2 * count :], STACK]
        if register >= 2 * count:
            expected[register] = SECOND + 2 * count
        assert [core[number] for number in range(7)] == expected
        assert (core.pc, core.ps & 0o17) == (AT + 2, 0o12)
    bench.load(name)
    core.put(AT, core.word(AT) | 7, *places[:count])
    core.run(1)
    assert (core.pc, bench.registers()[:4]) == (AT + 2 + 2 * count, [1, 2, 3, 4])


def test_without_the_option_every_word_of_the_range_traps() -> None:
    for word in (0o76020, 0o76030, 0o76060, 0o76130, 0o76177, 0o76600):
        core = prepared("late-ttl-commercial", word, options=["fpp"])
        assert run_to_halt(core) == 0o10
        core = prepared("chipset-four-level", 0o76046)
        assert run_to_halt(core) == 0o10


def test_nobody_at_the_destination_leaves_the_registers_alone(bench: Bench) -> None:
    given = [4, FIRST, 4, 0o17776, 0, 0]
    bench.put(FIRST, b"ABCD")
    bench.load("MOVC", registers=given, ps=0o5)
    bench.core.run(1)
    assert run_to_halt(bench.core) == 0o4
    assert bench.registers() == given
    assert (bench.core.word(STACK - 4), bench.core.word(STACK - 2) & 0o17) == (AT + 2, 0o5)
    assert bench.get(0o17776, 2) == b"AB"


def test_a_descriptor_at_an_odd_address_traps_where_words_must_be_even(bench: Bench) -> None:
    bench.load("LOCCI", LIST + 1, 0)
    bench.core.run(1)
    assert run_to_halt(bench.core) == 0o4
    assert bench.registers() == KEEP
