"""Everything wrong with a source, with its file, line and column, all in one run."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from minisim.cpu.assembler import assemble
from minisim.problems import InputError


def problems(source: str) -> list[str]:
    """What is wrong, as the user sees it; empty for a sound source."""
    try:
        assemble([("a.s", source)])
    except InputError as error:
        return [str(problem) for problem in error.problems]
    return []


CASES = [
    ("MOX R0,R1", 'a.s:1:1: there is no instruction MOX; did you mean "MOV"?'),
    (".wrod 1", 'a.s:1:1: there is no directive .wrod; did you mean ".word"?'),
    ("ZZZZZZ", "a.s:1:1: there is no instruction ZZZZZZ"),
    ("5", 'a.s:1:1: a label, a mnemonic or a directive is wanted here, not "5"'),
    ("MOV 18,R0", "a.s:1:5: 18 is not octal; a decimal number ends with a point: 18."),
    (" .word 9", "a.s:1:8: 9 is not octal; a decimal number ends with a point: 9."),
    ("MOV R0", 'a.s:1:7: "," is wanted here, not the end of the line'),
    ("MOV R0,R1,R2", 'a.s:1:10: "," is more than the statement takes'),
    ("HALT 5", 'a.s:1:6: "5" is more than the statement takes'),
    ("RTS 5", 'a.s:1:5: a register (R0 to R5, SP, PC) is wanted here, not "5"'),
    ("CLR (5)", 'a.s:1:6: a register (R0 to R5, SP, PC) is wanted here, not "5"'),
    ("CLR 2(R1", 'a.s:1:9: ")" is wanted here, not the end of the line'),
    ("CLR", "a.s:1:4: a number or a symbol is wanted here, not the end of the line"),
    ("CLR R0+1", 'a.s:1:7: "+" is more than the statement takes'),
    ("CLR 1+R0", "a.s:1:7: R0 is a register and has no value"),
    ("CLR %1", 'a.s:1:5: "%" has no meaning here'),
    ("CLC!SEC", "a.s:1:5: SEC can't be combined with CLC"),
    ("CLC!BR", "a.s:1:5: BR can't be combined with CLC"),
    ("BR 2000", "a.s:1:4: the target 002000 is 511. words from the next instruction; reach is -128. to 127."),
    ("SOB R0,4", "a.s:1:8: the target 000004 is 1. words from the next instruction; reach is -63. to 0."),
    ("BR 3", "a.s:1:4: the target 000003 is odd"),
    (".byte 1\nNOP", "a.s:2:1: a word would lie at the odd address 000001; put .even before it"),
    (".byte 1\n.word 1", "a.s:2:1: a word would lie at the odd address 000001; put .even before it"),
    ("BR nowhere", "a.s:1:4: nowhere is not defined"),
    ("here: BR her", 'a.s:1:10: her is not defined; did you mean "here"?'),
    ("BR 1$", "a.s:1:4: there is no local label 1$ between the labels around this line"),
    ("x: NOP\nX: NOP", "a.s:2:1: X is defined already, at a.s:1:1"),
    ("x: NOP\nx = 5", "a.s:2:1: x is defined already, at a.s:1:1"),
    ("1$: NOP\n1$: NOP", "a.s:2:1: 1$ is defined already, at a.s:1:1"),
    ("sp: NOP", "a.s:1:1: sp is a register and can't be a symbol"),
    ("a = b\nb = a", "a.s:2:5: a is defined by itself"),
    ("a = a + 1", "a.s:1:5: a is defined by itself"),
    (".word 200000", "a.s:1:7: the value 200000 does not fit a word (-100000 to 177777)"),
    (".word -100001", "a.s:1:7: the value -100001 does not fit a word (-100000 to 177777)"),
    ("MOV #200000,R0", "a.s:1:5: the value 200000 does not fit a word (-100000 to 177777)"),
    (".byte 0, 400", "a.s:1:10: the value 400 does not fit a byte (-200 to 377)"),
    ("EMT 400", "a.s:1:5: the value 400 is not in the range 0 to 377"),
    ("MARK -1", "a.s:1:6: the value -1 is not in the range 0 to 77"),
    (".word 1/0", "a.s:1:8: division by zero"),
    (".word <1", "a.s:1:7: this < has no >; the end of the line stands where it is wanted"),
    (".ascii /abc", "a.s:1:8: the text has no closing /"),
    (".ascii", "a.s:1:7: a text between two equal characters is wanted here, as /text/"),
    (".ascii /a\u00e9/", "a.s:1:10: \u00e9 is not an ASCII character"),
    (". = later\nlater:", "a.s:1:5: later is not known yet: an address to go on at needs what stands above it"),
    (". = -2", "a.s:1:5: -2 is not an address (0 to 177777)"),
    (". = 200000", "a.s:1:5: 200000 is not an address (0 to 177777)"),
    (". 5", 'a.s:1:3: "=" is wanted after ".", not "5"'),
    (". = 177776\n.word 1\n.word 2", "a.s:3:1: the program runs past the last address, 177777"),
    (". = 100\n.word 1,2\n. = 102\n.word 3", "a.s:4:1: 000102 is filled already, by a.s:2"),
    (";" * 300, "a.s:1:256: the line has 300 characters; 255 are allowed"),
]


@pytest.mark.parametrize(("source", "expected"), CASES, ids=[case[0].replace("\n", " / ")[:30] for case in CASES])
def test_one_mistake_gives_one_message_at_its_place(source: str, expected: str) -> None:
    assert problems(source) == [expected]


def test_all_mistakes_of_all_files_are_told_in_one_run() -> None:
    with pytest.raises(InputError) as caught:
        assemble([("one.s", "MOX R0\nBR 9\nBR nowhere\n"), ("two.s", ".byte 400\n")])
    assert [(p.mark.file, p.mark.line, p.mark.column) for p in caught.value.problems] == [
        ("one.s", 1, 1),
        ("one.s", 2, 4),
        ("one.s", 3, 4),
        ("two.s", 1, 7),
    ]


def test_distances_are_not_complained_of_while_other_lines_are_wrong() -> None:
    assert problems("BR far\nMOX\n. = . + 2000\nfar: NOP\n") == [
        'a.s:2:1: there is no instruction MOX; did you mean "MOV"?'
    ]


def test_a_symbol_that_has_no_value_is_told_once() -> None:
    assert problems("a = b + 1\n.word a, a\n") == ["a.s:1:5: b is not defined"]


def test_a_line_full_of_brackets_is_answered_with_a_message() -> None:
    assert len(problems(".word " + "<" * 240)) == 1
    assert len(problems(".word " + "-" * 240)) == 1


@given(st.text(alphabet="MOVBR0123 .,()@#-+*<>='/;:$&!\"\tabcxyz\u00e9\n", max_size=60))
def test_whatever_is_typed_ends_in_a_program_or_in_messages(source: str) -> None:
    problems(source)


def test_a_file_of_another_kind_is_given_up_after_200_messages() -> None:
    found = problems("Dear owner,\n" * 5000)
    assert len(found) == 201
    assert found[-1] == "a.s:200:12: too much is wrong: the rest is not read"


def test_symbols_that_are_not_read_are_not_called_missing() -> None:
    found = problems("BR end\n" + "MOX\n" * 300 + "end: NOP\n")
    assert not [each for each in found if "not defined" in each]
