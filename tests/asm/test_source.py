"""Directives, labels, symbols and expressions."""

from __future__ import annotations

import operator
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from minisim.cpu.assembler import Program, assemble, words_of
from minisim.problems import InputError


def data(source: str) -> bytes:
    """The bytes of a program of one block."""
    (block,) = assemble(source).blocks
    return block.data


def value(expression: str) -> int:
    """The value of an expression that needs no symbol."""
    return assemble(f"x = {expression}\n").symbols["x"]


def test_words_lie_with_their_low_byte_first() -> None:
    assert data(".word 401, -1, 'A\n") == bytes([1, 1, 0o377, 0o377, 0o101, 0])


def test_bytes_and_texts_and_even() -> None:
    assert data(".byte 1, 377, -1\n.even\n.ascii /a;b/<15>\n.asciz 'x y'\n.even\n") == b"\1\xff\xff\0a;b\rx y\0"


def test_even_at_an_even_address_places_nothing() -> None:
    assert data(".byte 1,2\n.even\n.byte 3\n") == b"\1\2\3"


def test_going_on_elsewhere_begins_a_new_block() -> None:
    program = assemble(". = 1000\n.word 1\n. = . + 4\n.word 2\n. = 100\n.word 3\n")
    assert [(block.address, words_of(block)) for block in program.blocks] == [
        (0o100, [3]),
        (0o1000, [1]),
        (0o1006, [2]),
    ]


def test_blocks_that_touch_become_one() -> None:
    (block,) = assemble(". = 1002\n.word 2\n. = 1000\n.word 1\n").blocks
    assert (block.address, words_of(block)) == (0o1000, [1, 2])


def test_a_local_label_counts_between_two_ordinary_ones() -> None:
    source = "a: BR 1$\n1$: NOP\nb: BR 1$\nNOP\n1$: NOP\n"
    assert words_of(assemble(source).blocks[0]) == [0o000400, 0o240, 0o000401, 0o240, 0o240]


def test_local_labels_end_with_their_file() -> None:
    with pytest.raises(InputError, match=r"two:1:4: there is no local label 1\$"):
        assemble([("one", "1$: NOP\n"), ("two", "BR 1$\n")])


def test_symbols_reach_from_file_to_file_and_ahead() -> None:
    program = assemble([("one", "MOV #size,R0\n"), ("two", "size = end - table\ntable: .word 1,2\nend:\n")])
    assert words_of(program.blocks[0]) == [0o012700, 4, 1, 2]


def test_case_makes_no_difference_in_names() -> None:
    assert words_of(assemble("Here: mov #HERE,r0\n").blocks[0]) == [0o012700, 0]


def test_the_point_is_the_address_of_the_statement() -> None:
    assert words_of(assemble(". = 1000\n.word 0, .\nBR .\n").blocks[0]) == [0, 0o1000, 0o777]


def test_a_symbol_keeps_the_point_of_its_own_line() -> None:
    assert assemble("a = b\n.word 0\nb = .\n.word 0\n").symbols == {"a": 2, "b": 2}


def test_the_label_start_says_where_a_program_begins() -> None:
    assert assemble(". = 1000\nNOP\nSTART: NOP\n").start == 0o1002
    assert assemble("NOP\n").start is None


def test_a_source_of_nothing_is_a_program_of_nothing() -> None:
    assert assemble("; nothing\n\n") == Program((), None, {}, assemble("; nothing\n\n").listing)


@pytest.mark.parametrize(
    ("expression", "expected"),
    [
        ("17", 0o17),
        ("19.", 19),
        ("'0+1", 0o61),
        ("2*3+4", 10),
        ("10-2-1", 5),
        ("2+<3*4>", 14),
        ("-<2+3>", -5),
        ("-2*3", -6),
        ("7/2", 3),
        ("-7/2", -3),
        ("177&70", 0o70),
        ("100!7", 0o107),
        ("6&3!10", 0o12),
        ("2+1!4", 7),
    ],
)
def test_an_expression_has_its_value(expression: str, expected: int) -> None:
    assert value(expression) == expected


@pytest.mark.parametrize("expression", ["1+2*3", "1!2&3", "1&2+3", "1!2*3", "4-6/2"])
def test_an_order_that_could_be_misread_is_refused(expression: str) -> None:
    with pytest.raises(InputError, match="put < > around what belongs together"):
        value(expression)


OPERATIONS: dict[str, Callable[[int, int], int]] = {
    "+": operator.add,
    "-": operator.sub,
    "*": operator.mul,
    "&": operator.and_,
    "!": operator.or_,
}
TERMS = st.integers(0, 0o177777).flatmap(
    lambda number: st.sampled_from([(f"{number:o}", number), (f"{number}.", number), (f"-{number:o}", -number)])
)


def grouped(left: tuple[str, int], sign: str, right: tuple[str, int]) -> tuple[str, int]:
    """Two terms in < >, and their value by Python."""
    return f"<{left[0]} {sign} {right[0]}>", OPERATIONS[sign](left[1], right[1])


@given(
    st.recursive(
        TERMS, lambda terms: st.builds(grouped, terms, st.sampled_from(sorted(OPERATIONS)), terms), max_leaves=8
    )
)
def test_grouped_expressions_agree_with_python(pair: tuple[str, int]) -> None:
    if len(pair[0]) < 250:
        assert value(pair[0]) == pair[1]


@given(st.lists(TERMS, min_size=1, max_size=8))
def test_a_sum_is_taken_from_left_to_right(terms: list[tuple[str, int]]) -> None:
    assert value(" - ".join(text for text, _ in terms)) == terms[0][1] - sum(number for _, number in terms[1:])
