"""assemble(disassemble(w)) == w, for every first word, and for any words that follow each other."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from minisim.catalogue.reader import Catalogue
from minisim.cpu.assembler import assemble, words_of
from minisim.cpu.disassembler import Line, disassemble
from minisim.cpu.instructions import owner_of
from minisim.cpu.table import Decoder

SECOND_NOP = 0o000260  # owned like 000240, but no book gives it a name of its own [processor facts 1.1]
EXTRA = [0o123456, 0o001234]


def reassembled(lines: list[Line]) -> list[int]:
    """The words of all lines, each assembled at its address."""
    source = "".join(f". = {line.address:o}\n{line.text}\n" for line in lines)
    (block,) = assemble(source).blocks
    return words_of(block)


def test_every_first_word_comes_back() -> None:
    lines: list[Line] = []
    at = 0o1000
    for first in range(0o200000):
        line = disassemble([first, *EXTRA], at)[0]
        assert line.words[0] == first and line.address == at
        lines.append(line)
        at += 2 * len(line.words)
        if at > 0o170000 or first == 0o177777:
            assert reassembled(lines) == [word for each in lines for word in each.words]
            lines, at = [], 0o1000


def test_words_are_shown_by_name_exactly_if_some_profile_owns_them() -> None:
    owned = set()
    for profile in Catalogue().ids("profiles"):
        decoder = Decoder(profile)
        owned |= {word for word in range(0o200000) if decoder.owner(word) is not None}
    named = {word for word in range(0o200000) if owner_of(word) is not None}
    assert named == owned
    shown = {word for word in range(0o200000) if not disassemble([word, *EXTRA])[0].text.startswith(".word")}
    assert shown == owned - {SECOND_NOP}


@settings(max_examples=200)
@given(st.lists(st.integers(0, 0o177777), min_size=1, max_size=30), st.integers(0, 0o77777))
def test_any_words_come_back(words: list[int], half: int) -> None:
    at = min(2 * half, 0o200000 - 2 * len(words))
    lines = disassemble(words, at)
    assert [word for line in lines for word in line.words] == words
    assert reassembled(lines) == words


def test_an_instruction_without_its_last_word_is_shown_as_a_word() -> None:
    assert [line.text for line in disassemble([0o012700])] == [".word 012700"]
    assert [line.text for line in disassemble([0o016767, 0])] == [".word 016767", "HALT"]


def test_targets_are_shown_as_addresses() -> None:
    texts = [line.text for line in disassemble([0o000776, 0o077101, 0o016700, 0o000010, 0o005077, 0], 0o1000)]
    assert texts == ["BR 000776", "SOB R1,001002", "MOV 001020,R0", "CLR @001014"]


def test_a_word_of_more_than_sixteen_bits_is_refused() -> None:
    for word in (-1, 0o200000):
        try:
            disassemble([word])
        except ValueError as error:
            assert "16 bits" in str(error)
        else:
            raise AssertionError("not refused")
