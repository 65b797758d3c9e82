"""How values compare, and what a failed comparison says.  Expected bits and octal digits are worked out by hand."""

from __future__ import annotations

import copy
import pickle
import random
from collections.abc import Sequence

import pytest
from plugin_rig import lines_of, outcome_of

import minisim
from minisim.testing.machines import MachineUnderTest
from minisim.testing.shown import explanation, last_printed
from minisim.testing.values import ACCUMULATOR, Codes, ConsoleText, MemoryBytes, Word, Words


def machine_of(**registers: int) -> MachineUnderTest:
    machine = MachineUnderTest(minisim.bare(), 1000)
    for name, value in registers.items():
        machine.cpu.r[int(name[1])] = value
    return machine


# ---- words


def test_a_word_is_an_int_that_shows_itself_in_octal() -> None:
    word = Word(0o14, "R0")
    assert word == 12 and word + 1 == 13 and isinstance(word, int)
    assert repr(word) == str(word) == f"{word}" == "0o000014"
    assert eval(repr(word)) == word
    assert f"{word:d} {word:06o}" == "12 000014"
    assert copy.copy(word) == pickle.loads(pickle.dumps(word)) == word


def test_a_word_that_differs_names_its_bits() -> None:
    """000014 is 1100, 000012 is 1010: bits 2 and 1 differ."""
    assert explanation("==", Word(0o14, "R0"), 0o12) == [
        "R0 == 000012",
        "R0 is 000014 (12.), expected 000012 (10.): differs in bits 2, 1 (XOR 000006)",
    ]
    assert explanation("==", 0o12, Word(0o14, "R0")) == explanation("==", Word(0o14, "R0"), 0o12)


def test_the_bits_are_those_of_xor() -> None:
    numbers = random.Random(7)
    for _ in range(200):
        one, two = numbers.randrange(1 << 16), numbers.randrange(1 << 16)
        line = (explanation("==", Word(one, "R3"), two) or [])[1]
        told = line.split("differs in bit")[1].removeprefix("s").split("(")[0]
        assert sum(1 << int(bit) for bit in told.split(",")) == one ^ two


def test_bits_of_the_ps_are_named() -> None:
    told = explanation("==", Word(0o340, "PS"), 0o4) or []
    assert "bits 7 priority, 6 priority, 5 priority, 2 Z" in told[1]


@pytest.mark.parametrize(
    ("wanted", "said"),
    [
        (-1, "expected -1., which it can't hold (as a word: 177777)"),
        (0o200000, "expected 65536., which it can't hold"),
    ],
)
def test_a_number_that_no_word_holds_is_said_to_be_one(wanted: int, said: str) -> None:
    assert (explanation("==", Word(0o177777, "R0"), wanted) or [])[1].endswith(said)


def test_other_comparisons_show_both_sides() -> None:
    assert explanation("<", Word(0o20, "R0"), 0o10) == ["R0 000020 (16.) < 000010 (8.)"]


def test_an_accumulator_shows_the_number_it_stands_for() -> None:
    """1.0 is a fraction of 0.5 with exponent 1: sign 0, exponent 201 octal, hidden bit [handbook-1969's format]."""
    one, half = 0o040200 << 48, 0o040000 << 48
    told = explanation("==", Word(one, "AC0", ACCUMULATOR), half) or []
    assert told[1] == (
        "AC0 is 1 (040200 000000 000000 000000), expected 0.5 (040000 000000 000000 000000)"
    )  # fmt: skip


# ---- registers


def test_registers_compare_with_lists_and_with_what_is_named() -> None:
    machine = machine_of(r0=1, r1=2, r6=0o1000)
    assert machine.cpu.r == [1, 2, 0, 0, 0, 0, 0o1000, 0]
    assert machine.cpu.r[:2] == [1, 2] and machine.cpu.r[:2] == [1, 2]
    assert machine.cpu.r == {"R0": 1, "sp": 0o1000} == machine.cpu.r
    assert machine.cpu.r == {"r6": 0o1000} and machine.cpu.r != {"R0": 2}
    assert machine.cpu.r != [1, 2] and machine.cpu.r != "R0"
    assert machine.cpu.sp == machine.cpu.r[6] == 0o1000 and repr(machine.cpu.sp) == "0o001000"
    with pytest.raises(ValueError, match="no 'r9' here; there are R0, R1"):
        assert machine.cpu.r == {"r9": 1}


def test_registers_that_differ_are_told_one_a_line() -> None:
    machine = machine_of(r0=1, r1=2)
    assert explanation("==", machine.cpu.r, {"R0": 1, "R1": 3, "SP": 4}) == [
        "R0 to PC == 3 words",
        "R1 is 000002 (2.), expected 000003 (3.): differs in bit 0 (XOR 000001)",
        "SP is 000000 (0.), expected 000004 (4.): differs in bit 2 (XOR 000004)",
    ]


def test_many_that_differ_are_cut_unless_all_are_asked_for() -> None:
    found = Words([0] * 8, [f"00100{place}" for place in range(8)])
    wanted = [1] * 8
    told, all_told = explanation("==", found, wanted) or [], explanation("==", found, wanted, whole=True) or []
    assert len(told) == 7 and told[-1] == "... 3 more differ (-vv shows them)"
    assert len(all_told) == 9


def test_words_of_another_number_are_counted() -> None:
    told = explanation("==", Words([1, 2], ["R0", "R1"]), [1, 2, 3]) or []
    assert told == ["R0 to R1 == 3 words", "there are 2 words, expected are 3"]


def test_sets_modes_and_accumulators_are_words_with_names() -> None:
    machine = machine_of(r3=5, r6=0o700)
    assert (machine.cpu.register(0, 3).name, machine.cpu.register(0, 3)) == ("R3 of set 0", 5)
    assert (machine.cpu.stack_pointer(0).name, machine.cpu.stack_pointer(0)) == ("SP of mode 0", 0o700)
    machine.cpu.ac = [1, 2, 3, 4, 5, 6]
    machine.cpu.ac[2] = 9
    assert machine.cpu.ac == [1, 2, 9, 4, 5, 6] and machine.cpu.ac[:2] == [1, 2]
    machine.cpu.ps = 0o340
    assert (machine.cpu.ps.name, machine.cpu.fps.name) == ("PS", "FPS")


# ---- codes


@pytest.mark.parametrize("ps", range(16))
def test_codes_equal_the_letters_of_their_bits(ps: int) -> None:
    """N Z V C are bits 3 to 0 of the PS [processor-handbooks-1972-81]."""
    letters = "".join(one if ps >> 3 - place & 1 else one.lower() for place, one in enumerate("NZVC"))
    codes = Codes(0o340 | ps)
    assert codes == letters and codes == letters[::-1] and all(codes == one for one in letters)
    assert not any(codes == one.swapcase() for one in letters)
    assert str(codes) == letters and (codes.n, codes.z, codes.v, codes.c) == tuple(one.isupper() for one in letters)


def test_codes_that_differ_are_told() -> None:
    assert explanation("==", Codes(0o4), "NzC") == [
        "codes nZvc == NzC",
        "N should be set, Z should be clear, C should be set",
    ]


@pytest.mark.parametrize("letters", ["", "Q", "NN", "nN", "N Z"])
def test_letters_that_are_no_codes_are_refused(letters: str) -> None:
    with pytest.raises(ValueError, match="codes are the letters N Z V C"):
        assert Codes(0) == letters


# ---- memory


def test_memory_compares_with_bytes_and_words() -> None:
    machine = machine_of()
    machine.memory.put(0o1000, 0o12700, 5)
    assert machine.memory[0o1000:0o1004] == b"\xc0\x15\x05\x00"
    assert machine.memory[0o1000] == 0o300 and repr(machine.memory[0o1000]) == "0o300"
    assert machine.memory.words(0o1000, 2) == [0o12700, 5] == machine.memory.words(0o1000, 2)
    assert machine.memory.words(0o1000, 2) == {0o1002: 5}
    assert machine.memory.word(0o1002) == 5 == machine.read(0o1002)


def test_memory_that_differs_is_a_table_of_words() -> None:
    found = MemoryBytes(bytes([1, 0, 2, 0, 3, 0, 4, 0]), 0o1000)
    assert explanation("==", found, bytes([1, 0, 2, 0, 7, 0, 4, 0])) == [
        "memory from 001000 == 4 words",
        "1 of 4 words differ, the first at 001004",
        "address  found   expected  XOR",
        "001002   000002  000002    alike",
        "001004   000003  000007    000004",
    ]


def test_odd_memory_is_a_table_of_bytes() -> None:
    told = explanation("==", MemoryBytes(b"abc", 0o1001), b"abd") or []
    assert told[1:] == [
        "1 of 3 bytes differ, the first at 001003",
        "address  found   expected  XOR",
        "001002   142     142       alike",
        "001003   143     144       007",
    ]


def test_memory_of_another_length_is_said_to_be() -> None:
    told = explanation("==", MemoryBytes(b"abcd", 0o1000), b"ab") or []
    assert told == ["memory from 001000 == 1 words", "0 of 1 words differ; 2 words are there, 1 are expected"]


def test_a_long_table_says_how_many_more_there_are() -> None:
    told = explanation("==", MemoryBytes(bytes(40), 0o1000), b"\1\0" * 20) or []
    assert len(told) == 8 and told[2].endswith("15 more differ: -vv")
    assert len(explanation("==", MemoryBytes(bytes(40), 0o1000), b"\1\0" * 20, whole=True) or []) == 23


# ---- text


def test_text_tells_where_it_parts_and_shows_what_cannot_be_seen() -> None:
    assert explanation("==", ConsoleText("one\r\ntwo\a\r\n"), "one\r\ntwo\r\n") == [
        "console text == 10 characters",
        "differs from line 2, column 4 on",
        r"printed:  'two\x07\r\n'",
        r"expected: 'two\r\n'",
    ]


def test_text_that_ends_too_soon_is_told() -> None:
    told = explanation("==", ConsoleText("one\r\n"), "one\r\ntwo") or []
    assert told[1:] == ["differs from line 2, column 1 on", "printed:  nothing more", "expected: 'two'"]


def test_a_long_line_is_shown_around_the_difference() -> None:
    told = explanation("==", ConsoleText("x" * 200 + "A" + "x" * 200), "x" * 200 + "B" + "x" * 200) or []
    assert told[2].startswith("printed:  ... '") and "A" in told[2] and "B" in told[3]
    assert max(map(len, told)) < 90


def test_text_that_is_missing_shows_what_was_printed_last() -> None:
    text = ConsoleText("".join(f"line {number}\r\n" for number in range(10)))
    assert explanation("in", "tide:", text) == [
        "'tide:' in console text",
        "printed last:",
        *[rf"    'line {number}\r\n'" for number in range(5, 10)],
    ]
    assert explanation("not in", "line 3", text) == [
        "'line 3' not in console text",
        "it was printed at line 4, column 1",
    ]
    assert last_printed("") == ["    nothing was printed"]
    assert text.lines[:2] == ["line 0", "line 1"]


# ---- in a test


@pytest.mark.parametrize(("left", "right"), [(1, 2), ("a", "b"), ([1], [2]), (b"a", b"b"), (Word(1), "a")])
def test_what_is_not_ours_is_left_to_pytest(left: object, right: object) -> None:
    assert explanation("==", left, right) is None


def told_by(pytester: pytest.Pytester, body: str) -> Sequence[str]:
    source = f"""
        import pytest
        @pytest.mark.bare()
        def test_it(machine, load, call):
            {body}
    """
    result = outcome_of(pytester, source)
    result.assert_outcomes(failed=1)
    return lines_of(result)


@pytest.mark.parametrize(
    ("body", "line"),
    [
        ("assert machine.cpu.r[0] == 0o14",
         "R0 is 000000 (0.), expected 000014 (12.): differs in bits 3, 2 (XOR 000014)"),
        ("assert machine.cpu.codes == 'Z'", "Z should be set"),
        ("assert machine.memory[0:2] == b'ab'", "000000   000000  061141    061141"),
        ("assert machine.memory.word(0) == 1",
         "the word at 000000 is 000000 (0.), expected 000001 (1.): differs in bit 0 (XOR 000001)"),
        ("assert machine.cpu.ac[0] == 0o040200 << 48",
         "AC0 is 0 (000000 000000 000000 000000), expected 1 (040200 000000 000000 000000)"),
        ("assert machine.read(0o1000) == 0o1",
         "the word read at 001000 is 000000 (0.), expected 000001 (1.): differs in bit 0 (XOR 000001)"),
    ],
)  # fmt: skip
def test_a_failed_assertion_says_it_in_octal(pytester: pytest.Pytester, body: str, line: str) -> None:
    assert line in told_by(pytester, body)


def test_nothing_of_it_is_cut_by_pytest(pytester: pytest.Pytester, monkeypatch: pytest.MonkeyPatch) -> None:
    """pytest cuts explanations after eight lines; where it is known to run in CI it does not."""
    for name in ("CI", "BUILD_NUMBER"):
        monkeypatch.delenv(name, raising=False)
    for body in ("assert machine.memory[0:100] == b'ab' * 50", "assert machine.cpu.r == [9] * 8"):
        assert not any("truncated" in line for line in told_by(pytester, body))
