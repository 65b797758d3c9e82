"""Every one of the 65,536 first words, for each profile: owned or reserved, by our reading of the table of codes.

The counts are checked by hand arithmetic first, then against the core's decoder word by word.
"""

from __future__ import annotations

from collections import Counter

import pytest

from minisim.cpu import Decoder

from .codes import TABLE, WORDS, Row, decoder, whole_table, words_of
from .profiles import profile, profile_ids

# Words of each module, counted by hand from section 1 of the facts (decimal; derived).
COUNTS = {
    "base": 10 * 4096 + 2 * 4096 + 15 * 256 + 2 * 256 + 512 + 2 * 64 + 2 * 12 * 64 + 6 + 8 + 32,
    "rtt": 1,
    "mfpt": 1,
    "spl": 8,
    "mark": 64,
    "sxt": 64,
    "xor": 512,
    "sob": 512,
    "ps": 2 * 64,
    "multiprocessor": 2 * 64,
    "mmu": 4 * 64,
    "csm": 64,
    "eis": 4 * 512,
    "fis": 4 * 8,
    "fpp": 4096,
    "cis": 2 * 8 + 2 * (3 + 6 + 8 + 8),
}
# Owned words with the modules that this specification executes, by profile (decimal; derived from COUNTS and the rows
# D08, D09, D12, D14, D22).
OWNED = {
    "first-hardwired": 55726,
    "two-board-ttl-basic": 55726,
    "one-board-ttl-basic": 55727,
    "microcoded-mid": 58927,
    "two-board-ttl-mmu": 59055,
    "fast-ttl-three-mode": 58935,
    "fast-ttl-cache": 58935,
    "cached-mid-writable-store": 58927,
    "late-ttl-commercial": 59064,
    "chipset-one-level": 59055,
    "chipset-four-level": 59056,
    "chipset-four-level-quad": 59056,
    "chipset-four-level-sep": 59056,
    "late-single-chip-22bit": 59192,
    "late-single-chip-quad": 59192,
    "late-single-chip-sep": 59192,
    "small-single-chip": 56944,
}
# Modules that a machine can have and that this specification doesn't execute.
NOT_EXECUTED = ("fis", "fpp", "cis", "mmu", "csm")
# Our name for a word, where the core calls the family by another
NAMES = {"CLEAR-CODES": "CLx", "SET-CODES": "SEx"}


def test_no_word_has_two_owners_and_the_modules_count_as_by_hand() -> None:
    assert Counter(row.module for row in whole_table() if row) == COUNTS
    assert sum(len(words_of(row.pattern)) for row in TABLE) == sum(COUNTS.values())


@pytest.mark.parametrize("profile_id", profile_ids())
def test_the_owned_words_of_the_specification_count_as_by_hand(profile_id: str) -> None:
    modules = profile(profile_id).modules()
    owned = sum(row is not None for row in decoder(modules))
    assert owned == OWNED[profile_id] == sum(COUNTS[module] for module in modules)


@pytest.mark.parametrize("profile_id", profile_ids())
def test_the_core_owns_the_same_words(profile_id: str) -> None:
    core, ours = Decoder(profile_id), decoder(profile(profile_id).modules())
    later = {module for module in profile(profile_id).optional_modules() if module in NOT_EXECUTED}
    wrong = []
    for word in range(WORDS):
        owner, row = core.owner(word), ours[word]
        if row is None and owner is not None and later_owner(word, later):
            continue  # compared by the tests of that module
        if (owner is None) != (row is None):
            wrong.append(f"{word:06o}: ours {row.name(word) if row else 'reserved'}, core {owner}")
    assert wrong == []


def later_owner(word: int, modules: set[str]) -> bool:
    """Does the word belong to a module that the profile can have and that this specification doesn't execute?"""
    row = whole_table()[word]
    return row is not None and row.module in modules


@pytest.mark.parametrize("profile_id", profile_ids())
def test_the_core_calls_the_words_by_the_same_names(profile_id: str) -> None:
    core, ours = Decoder(profile_id), decoder(profile(profile_id).modules())
    names: dict[tuple[str, str], int] = {}
    for word in range(WORDS):
        owner, row = core.owner(word), ours[word]
        if owner is not None and row is not None:
            names.setdefault((named(row, word), owner.mnemonic), word)
    assert {pair: f"{word:06o}" for pair, word in names.items() if pair[0] != pair[1]} == {}


def named(row: Row, word: int) -> str:
    """Our name of a word."""
    return NAMES.get(row.name(word), row.name(word))
