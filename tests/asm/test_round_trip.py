"""assemble(disassemble(w)) == w, for every first word, and for any words that follow each other."""

from __future__ import annotations

from functools import cache

import pytest
from few import few
from hypothesis import given, settings
from hypothesis import strategies as st

from minisim.catalogue.reader import Catalogue
from minisim.cpu.assembler import assemble, words_of
from minisim.cpu.disassembler import Line, disassemble
from minisim.cpu.instructions import owner_of
from minisim.cpu.profile import available, configuration, named
from minisim.cpu.table import Decoder, aliases, records

SECOND_NOP = 0o000260  # owned like 000240, but no book gives it a name of its own [processor facts 1.1]
EXTRA = [0o123456, 0o001234, 0o004321, 0o000777]  # as many words as can follow


def reassembled(lines: list[Line]) -> list[int]:
    """The words of all lines, each assembled at its address."""
    source = "".join(f". = {line.address:o}\n{line.text}\n" for line in lines)
    (block,) = assemble(source).blocks
    return words_of(block)


@pytest.mark.parametrize("every", [7, pytest.param(1, marks=pytest.mark.slow)])
def test_every_first_word_comes_back(every: int) -> None:
    """Every word in the slow suite; here every seventh, which meets each field of each pattern."""
    lines: list[Line] = []
    at = 0o1000
    last = range(0, 0o200000, every)[-1]
    for first in range(0, 0o200000, every):
        line = disassemble([first, *EXTRA], at)[0]
        assert line.words[0] == first and line.address == at
        lines.append(line)
        at += 2 * len(line.words)
        if at > 0o170000 or first == last:
            assert reassembled(lines) == [word for each in lines for word in each.words]
            lines, at = [], 0o1000


@cache
def shown() -> list[str]:
    """The text of every first word at 1000, with the same two words behind it."""
    return [disassemble([first, *EXTRA], 0o1000)[0].text for first in range(0o200000)]


@cache
def names_of() -> dict[str, set[str]]:
    """The mnemonics under which an owner's words can be shown: its own, and second names."""
    found = {record.mnemonic: {record.mnemonic} for record in records()}
    for alias in aliases():
        found[alias.of].add(alias.mnemonic)
    return found


def fittings(profile: str) -> list[tuple[str, ...]]:
    """No option, each alone, all, and all but memory management."""
    every = tuple(sorted(available(named(profile))))
    without = tuple(name for name in every if name != "mmu")
    return list(dict.fromkeys([(), *((name,) for name in every), every, without]))


@pytest.mark.parametrize("profile", few(Catalogue().ids("profiles"), 3))
def test_what_a_profile_owns_is_shown_by_its_owner_s_name_whatever_is_fitted(profile: str) -> None:
    """And comes back, since every first word does (above): the assembler is the same for all profiles."""
    for options in fittings(profile):
        assert misnamed(configuration(profile, options).modules, profile, options) == []


PROVED: dict[int, list[str]] = {}  # by the modules fitted: several profiles share them


def names_no_accumulator(word: int) -> bool:
    """A floating operand AC6 or AC7: the word belongs to its instruction, but there is no name for it."""
    owner = owner_of(word)
    return owner is not None and "FF" in pattern_of().get(owner.mnemonic, "") and word & 0o77 in (6, 7)


@cache
def pattern_of() -> dict[str, str]:
    """Mnemonic -> pattern."""
    return {record.mnemonic: record.pattern for record in records()}


def misnamed(modules: int, profile: str, options: tuple[str, ...]) -> list[str]:
    """Words that are not shown under a name of their owner."""
    if modules not in PROVED:
        decoder, names = Decoder(profile, options), names_of()
        owners = ((word, text, decoder.owner(word)) for word, text in enumerate(shown()) if word != SECOND_NOP)
        PROVED[modules] = [
            f"{word:06o} {text}"
            for word, text, owner in owners
            if owner and not names_no_accumulator(word) and text.split()[0].split("!")[0] not in names[owner.mnemonic]
        ]
    return PROVED[modules]


def test_words_are_shown_by_name_exactly_if_some_profile_owns_them() -> None:
    owned = set()
    for profile in Catalogue().ids("profiles"):
        decoder = Decoder(profile)
        owned |= {word for word in range(0o200000) if decoder.owner(word) is not None}
    named = {word for word in range(0o200000) if owner_of(word) is not None}
    assert named == owned
    shown = {word for word in range(0o200000) if not disassemble([word, *EXTRA])[0].text.startswith(".word")}
    assert shown == {word for word in owned - {SECOND_NOP} if not names_no_accumulator(word)}


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
