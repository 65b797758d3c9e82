"""Checks: what a condition asks of a machine, and what it says was found instead."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest
from hypothesis import given
from hypothesis import strategies as st

import minisim
from minisim.findings import Report
from minisim.lessons.check_reader import CheckError, read_check
from minisim.machine.machine import Machine


@dataclass
class Standing:
    """A situation whose answers are given."""

    machine: Machine = field(default_factory=minisim.bare)
    halted: bool = False
    printed: str = ""
    done: tuple[object, ...] = ()
    boards: dict[str, str] = field(default_factory=dict)
    switched_on: bool = False

    def touched(self, address: int, write: bool) -> bool:
        return (address, write) in self.done

    def trapped(self, vector: int) -> bool:
        return vector in self.done

    def looked(self, what: str) -> bool:
        return what in self.done

    def said(self, words: str) -> bool:
        return words in self.done

    def report(self) -> Report:
        return Report("", "", (), ())

    def board_at(self, place: str) -> str:
        return self.boards.get(place, "")


def holds(text: str, at: Standing) -> bool:
    return read_check(text).holds(at)


def test_registers_and_condition_codes_are_asked_in_octal() -> None:
    at = Standing()
    at.machine.cpu.r[2] = 0o17
    at.machine.cpu.ps = 0o345  # priority 7, and Z and C: bits 2 and 0 [handbook-1969]
    assert holds("r2 000017 and ps 000345 and z on and c on and n off and v off", at)
    assert not holds("r2 17 and z off", at)
    assert read_check("r2 000020").found(at) == ("R2 holds 000017",)
    assert read_check("z off").found(at) == ("Z is on",)


def test_and_binds_closer_than_or() -> None:
    at = Standing()
    at.machine.cpu.r[0] = 1
    assert holds("r0 1 or r1 1 and r2 1", at)
    assert not holds("r1 1 and r2 1 or r0 2", at)


def test_what_is_found_is_told_of_the_way_that_wants_the_least() -> None:
    at = Standing()
    at.machine.cpu.r[0] = 1
    assert read_check("r1 5 and r2 5 or r0 1 and r3 7").found(at) == ("R3 holds 000000",)


def test_words_and_bytes_of_memory() -> None:
    at = Standing()
    at.machine.memory.put(0o1000, 0o012700)
    assert holds("word 001000 012700 and byte 001001 025 and byte 001000 300", at)  # 25 * 400 + 300 = 12700 octal
    assert read_check("byte 001001 026").found(at) == ("001001 holds 025",)
    assert read_check("word 170000 0").found(at) == ("there is no memory at 170000",)


def test_floating_accumulators_are_asked_in_decimal_and_in_the_length_of_the_status() -> None:
    at = Standing()
    at.machine.cpu.ac[0] = 0o040300 << 48  # 1.5 in one word: excess 128, hidden bit [fpp-handbook]
    assert holds("ac0 1.5", at)
    at.machine.cpu.ac[1] = 0o040300 << 48 | 1
    assert holds("ac1 1.5", at)  # the last bit lies beyond the short format
    at.machine.cpu.fps = 0o200
    assert not holds("ac1 1.5", at)
    assert read_check("ac0 2").found(at) == ("AC0 holds 1.5",)
    assert read_check("ac0 1").found(Standing(minisim.bare(options=()))) == ("no floating point processor is fitted",)


def test_the_undefined_variable_is_no_number() -> None:
    at = Standing()
    at.machine.cpu.ac[0] = 0o100000 << 48
    assert not holds("ac0 0", at)
    assert read_check("ac0 0").found(at) == ("AC0 holds the undefined variable",)


def test_what_was_printed_touched_taken_looked_at_and_said() -> None:
    at = Standing(printed="HIGH 03:37\nEnd", done=((0o177560, False), 0o34, "001000", "back"))
    assert holds('printed "and" or printed "HIGH 03"', at)
    assert holds("read 177560 and trap 34 and looked 001000 and said back", at)
    assert not holds("write 177560", at)
    assert read_check('printed "LOW"').found(at) == ('the console printed last "End"',)
    assert read_check("write 177560").found(at) == ("nothing has written 177560 in this step",)


def test_a_place_of_the_plan_is_fitted_or_empty() -> None:
    at = Standing(boards={"main/a/2CD": "grant-card"})
    assert holds("fitted main/a/2CD grant-card and empty main/a/3AB and consistent", at)
    assert read_check("empty main/a/2CD").found(at) == ("main/a/2CD holds grant-card",)
    assert read_check("finding GRANT-001 main/a/2CD").found(at) == ("the check finds nothing",)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "missing"),
        ("r0", "the form is r0 000012"),
        ("r0 000018", "no octal number"),
        ("r0 200000", "no octal number up to 177777"),
        ("wrod 1000 1", 'did you mean "word"'),
        ("word 001001 0", "even address"),
        ("byte 1000 400", "up to 377"),
        ("n yes", "neither on nor off"),
        ("ac0 one", "no decimal number"),
        ("printed End", "between double quotes"),
        ("trap 5", "no vector"),
        ("r0 1 and", "missing"),
        ("or r0 1", "missing"),
        ("no fnding X y", "no finding RULE PLACE"),
        ("looked", "where?"),
        ("said", "which word?"),
        ("fitted main/a/2CD", "fitted PLACE BOARD"),
        ("halted now", "the form is halted"),
    ],
)
def test_a_check_that_cant_be_read_says_why(text: str, why: str) -> None:
    with pytest.raises(CheckError, match=why.replace("?", r"\?")):
        read_check(text)


@given(st.text(alphabet='ranzword 01.78"EeINf-', max_size=30))
def test_reading_a_check_never_fails_in_another_way(text: str) -> None:
    try:
        read_check(text).holds(Standing())
    except CheckError as error:
        assert str(error)


def test_a_machine_is_switched_on_as_it_stands_or_not() -> None:
    assert holds("switched on", Standing(switched_on=True))
    assert not holds("switched on", Standing())
    assert read_check("switched on").found(Standing()) == ("the machine is not switched on as it stands now",)
