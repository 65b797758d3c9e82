"""The trial cases of the base set and of rows D01 to D42: enough of them, each code both ways, no row forgotten."""

from __future__ import annotations

from collections import defaultdict

import pytest

from minisim.cpu.unobservable import unobservable
from minisim.trials.model import Case
from minisim.trials.reader import read_set

BASE_CASES = 250
ROWS = [f"D{number:02}" for number in range(1, 43)]
SHOWN_BY_NONE = {"D13", "D27", "D28", "D31", "D32", "D33"}  # nothing documented, or nothing that a program could see

# What each instruction can leave in N Z V C: a code that the table of condition codes fixes has one value only.
FIXED = {
    "clr": ("0", "1", "0", "0"), "clrb": ("0", "1", "0", "0"), "com": ("01", "01", "0", "1"),
    "comb": ("01", "01", "0", "1"),
    "inc": ("01", "01", "01", ""), "dec": ("01", "01", "01", ""), "neg": ("01", "01", "01", "01"),
    "negb": ("01", "01", "01", "01"), "adc": ("01", "01", "01", "01"), "adcb": ("01", "01", "01", "01"),
    "sbc": ("01", "01", "01", "01"), "sbcb": ("01", "01", "01", "01"), "tst": ("01", "01", "0", "0"),
    "ror": ("01", "01", "01", "01"), "rol": ("01", "01", "01", "01"), "asr": ("01", "01", "01", "01"),
    "asl": ("01", "01", "01", "01"), "rorb": ("01", "01", "01", "01"), "aslb": ("01", "01", "01", "01"),
    "mov": ("01", "01", "0", ""), "cmp": ("01", "01", "01", "01"), "cmpb": ("01", "01", "01", "01"),
    "add": ("01", "01", "01", "01"), "sub": ("01", "01", "01", "01"), "bit": ("01", "01", "0", ""),
    "bic": ("01", "01", "0", ""), "bis": ("01", "01", "0", ""), "xor": ("01", "01", "0", ""),
    "sxt": ("", "01", "0", ""),
    "swab": ("01", "01", "", "0"),
}  # fmt: skip


def by_table() -> dict[str, list[Case]]:
    found: dict[str, list[Case]] = defaultdict(list)
    for case in read_set().cases:
        found[case.table].append(case)
    return found


def test_there_are_many_cases_of_the_base_set() -> None:
    assert sum(case.module == "base" for case in read_set().cases) >= BASE_CASES


@pytest.mark.parametrize("row", ROWS)
def test_each_row_has_a_case_or_a_reason_why_it_has_none(row: str) -> None:
    cases = [case for case in read_set().cases if case.row == row]
    assert bool(cases) is (row not in SHOWN_BY_NONE)
    if not cases:
        assert len(unobservable()[row]) > 40


@pytest.mark.parametrize("table", FIXED)
def test_each_condition_code_is_expected_both_ways_where_it_can_be(table: str) -> None:
    """`sxt` leaves N as it was; the other empty places are codes that are unchanged, or open (row D06)."""
    seen: list[set[str]] = [set(), set(), set(), set()]
    for case in by_table()[table]:
        for line in case.lines:
            for key, value in line.then:
                if key.kind.name == "nzvc" and isinstance(value, str):
                    for place, code in zip(seen, value, strict=True):
                        place.add(code)
    for place, wanted in zip(seen, FIXED[table], strict=True):
        assert set(wanted) <= place
        assert not wanted or place - {"x", "-"} == set(wanted)


@pytest.mark.parametrize("row", [row for row in ROWS if row not in SHOWN_BY_NONE])
def test_the_lines_of_a_row_speak_for_named_profiles_only(row: str) -> None:
    for case in read_set().cases:
        if case.row == row:
            assert all(line.profiles for line in case.lines), case.id
