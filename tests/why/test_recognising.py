"""From the owner's words to a symptom: many ways to say it, numbers in their places, nothing that raises."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from minisim.problems import InputError
from minisim.why.diagnosis import UnknownSymptomError, recognised
from minisim.why.numbers import KINDS, Bad, vector_of, window_address
from minisim.why.reader import heads
from minisim.why.words import nearest_heads, recognise, stem, tokens

SAID = [
    ("halted 104", "stop-in-vectors"),
    ("The processor stops at PC = 000104.", "stop-in-vectors"),
    ("it has halted at address 000014!", "stop-in-vectors"),
    ("stopped at 000002", "stop-at-zero"),
    ("halts at 773024", "stop-in-rom"),
    ("halted 17765432", "stop-in-rom"),
    ("halted 001234", "stop-in-program"),
    ("pc stays in the rom", "loops-in-rom"),
    ("run lamp is off", "run-lamp-off"),
    ("the RUN light never comes on", "run-lamp-off"),
    ("there is nothing on the screen", "console-silent"),
    ("terminal stays silent", "console-silent"),
    ("the teleprinter prints, but no keys are accepted", "console-no-keys"),
    ("runs without the terminator, fails with it", "only-without-terminator"),
    ("works without terminator", "only-without-terminator"),
    ("machine freezes when it reads the disk for the first time", "hangs-first-read"),
    ("fuse blown", "supply-shuts-down"),
    ("the clock does not tick", "clock-stands-still"),
    ("no clock interrupt", "clock-stands-still"),
    ("ROM word 42131", "rom-word"),
    ("mem 012344 exp 052525 found 052524", ""),
    ("memory at 012344: expected 052525, found 052524", "memory-word"),
    ("memory 012344 found 052524 expected 052525", "memory-word"),
    ("address 012344 should be 052525 was 052524", "memory-word"),
    ("memmory 012344 expectd 052525 found 052524", "memory-word"),
    ("the consle is ded", ""),
    ("garbge on the consol", "console-garbage"),
    ("I took the board out of slot 6", "after-board-removed"),
    ("there is smoke", "smoke"),
    ("5 volts is too high", "volts-high"),
    ("the voltage is high", "volts-high"),
    ("5 V sags to 4.4", "volts-low"),
    ("line printer does not print", "printer-silent"),
    ("tape reads garbage", "reader-stands-still"),
    ("rom at 173000 reads 042130", "rom-word"),
    ("illegal instruction trap", "stop-in-vectors"),
    ("bad memory at 020000", "memory-word"),
    ("memory test fails", "memory-errors"),
    ("load address does nothing", "panel-keys-dead"),
    ("lights frozen", "panel-keys-dead"),
    ("fans run but no lamps", "no-lamps"),
    ("the board gets hot", "smoke"),
]


@pytest.mark.parametrize(("said", "name"), SAID)
def test_many_ways_to_say_it_are_understood(said: str, name: str) -> None:
    found = recognise(said, heads())
    assert [one.head.id for one in found] == ([name] if name else [])


def test_everything_that_the_guide_says_one_can_say_is_understood() -> None:
    guide = (Path(__file__).parents[2] / "docs" / "how-to" / "start-from-a-symptom.md").read_text("utf-8")
    table = guide.partition("| you see | say |")[2].partition("\n\n")[0]
    said = re.findall("`(.*?)`", table)
    assert len(said) > 20
    assert [text for text in said if len(recognise(text, heads())) != 1] == []


def test_numbers_go_to_their_words_whatever_the_order() -> None:
    one = recognise("memory 012344 expected 052525 found 052524", heads())[0]
    other = recognise("memory 012344 found 052524 expected 052525", heads())[0]
    assert dict(one.values) == {"address": 0o12344, "expected": 0o52525, "found": 0o52524}
    assert other.values == one.values


def test_leading_zeros_and_a_zero_with_o_do_not_matter() -> None:
    values = [dict(recognise(f"halted {text}", heads())[0].values) for text in ("104", "000104", "0o104", "00000104")]
    assert values == [{"stop": 0o104}] * 4


@pytest.mark.parametrize(
    ("said", "column", "message"),
    [
        ("halted 000189", 8, "000189 is not octal: octal numbers have digits 0 to 7 only"),
        ("the cpu halted at 9", 19, "9 is not octal: octal numbers have digits 0 to 7 only"),
        ("halted 000105", 8, "000105 is odd: a program counter is always even"),
        ("halted 77777777777", 8, "77777777777 is too large: at most 17777777"),
        ("rom 777777", 5, "777777 is too large: at most 177777"),
        ("memory 012344 expected 052585 found 0", 24, "052585 is not octal: octal numbers have digits 0 to 7 only"),
        ("traps through 101", 15, "101 is no vector: a vector is a multiple of 4"),
    ],
)
def test_a_number_that_cannot_be_is_told_with_its_place(said: str, column: int, message: str) -> None:
    with pytest.raises(InputError) as caught:
        recognised(said)
    assert [str(one) for one in caught.value.problems] == [f"symptom:1:{column}: {message}"]


def test_unknown_words_name_the_nearest_symptoms() -> None:
    with pytest.raises(UnknownSymptomError) as caught:
        recognised("the console smiles")
    assert any(head.id.startswith("console") for head in caught.value.near)


def test_words_that_share_nothing_have_no_nearest_symptom() -> None:
    assert nearest_heads("purple elephants", heads()) == ()


@given(st.text(max_size=200))
def test_no_text_raises_anything_but_an_input_error(text: str) -> None:
    try:
        found = recognised(text)
    except InputError as error:
        assert error.problems
    else:
        assert all(one.head in heads() for one in found)


WORDS = sorted({word for head in heads() for example in head.examples for word in example.split()})


@given(st.lists(st.sampled_from(WORDS), max_size=12))
def test_no_mix_of_known_words_raises_anything_but_an_input_error(words: list[str]) -> None:
    try:
        assert recognised(" ".join(words))
    except InputError as error:
        assert error.problems


@given(st.text(max_size=60), st.sampled_from(sorted(KINDS)))
def test_every_kind_of_number_reads_any_text(text: str, kind: str) -> None:
    value = KINDS[kind].read(text.lower())
    assert value is None or isinstance(value, int | str | Bad)


@given(st.integers(0, 0o776).map(lambda n: n & ~3))
def test_a_stop_names_its_vector_from_both_words_of_the_catcher(vector: int) -> None:
    assert vector_of(vector + 4) == vector
    assert vector_of(vector + 2) == vector


@given(st.integers(0, 0o777).map(lambda n: n & ~1), st.sampled_from([0o173000, 0o165000]))
def test_a_rom_address_is_the_same_in_all_three_widths(offset: int, start: int) -> None:
    address = start + offset
    assert window_address(address) == address
    assert window_address(address | 0o700000) == address
    assert window_address(address | 0o17700000) == address


def test_endings_are_cut_alike() -> None:
    assert {stem(word) for word in ("halt", "halts", "halted", "halting")} == {"halt"}
    assert {stem(word) for word in ("stop", "stops", "stopped", "stopping")} == {"stop"}
    assert stem("address") == "address"


def test_a_token_knows_where_it_stands() -> None:
    assert [(one.text, one.column) for one in tokens("The run lamp, off.")] == [("run", 5), ("lamp", 9), ("off", 15)]
