"""Every first word there is, started from random registers and memory, on both cores."""

from __future__ import annotations

from random import Random

import pytest

from minisim.cpu._core import ffi

from .pairs import FULL, PROFILES, WORDS, Pair, choices
from .programs import mnemonic_of, operands_of
from .trials import Maker, mixed, odd, plain

SPAN = 8192  # trials between two fresh memories
NASTY, TAME = 40, 4  # of 256 addresses so many lead to an odd corner
ENOUGH = 20  # times that each handler is seen at work
SEVERAL = ("first-hardwired", "fast-ttl-cache", "late-single-chip-sep", "chipset-four-level-sep")


def run_words(pair: Pair, rng: Random, words: list[int], odd_corners: int, bytewise: bool = False) -> None:
    """One instruction of each word, in random order.  `bytewise`: half of the addresses are odd."""
    top = pair.raw[0].plain_top
    maker = Maker(rng, odd_corners, top)
    if bytewise:
        maker.addresses = mixed(rng, (128, plain(top)), (128, odd(top)))
    indexes = mixed(rng, (0, range(0, 0o100, 2)), (20, range(1, 0o100, 2)), (60, maker.addresses))
    rng.shuffle(words)
    for first in range(0, len(words), SPAN):
        part = words[first : first + SPAN]
        pair.unmapped()
        pair.put(0, maker.memory())
        further = [maker.column(indexes, len(part)) for _ in range(2)]
        pair.trials(maker.trials(len(part), [part, *further]), 1)


def run_all_words(pair: Pair, rng: Random, rounds: int, enough: int = 1) -> None:
    """Every word so many times; then those that stayed odd, until a handler has done each, and each handler enough."""
    for _ in range(rounds):
        run_words(pair, rng, list(range(WORDS)), NASTY)
    for number in range(100):
        if not (words := unproved(pair, enough)):
            break
        run_words(pair, rng, 4 * words, TAME, bytewise=number % 2 > 0)


def unproved(pair: Pair, enough: int) -> list[int]:
    """First words that no handler has done yet although one could, or whose handler has not worked often enough."""
    modules, done = pair.raw[0].modules, ffi.unpack(pair.by_word, WORDS)
    found = []
    for words in pair.handlers.values():
        often = sum(done[word] for word in words) >= enough
        found += [word for word in words if not (done[word] and often) and can_be_plain(modules, word)]
    return found


def can_be_plain(modules: int, word: int) -> bool:
    """False where the word itself is its operand, so that little else can happen, and where a register can't be one."""
    fields, name = operands_of(modules, word), mnemonic_of(modules, word)
    if name in ("JMP", "JSR", "TSTSET", "WRTLCK") and word & 0o70 == 0:
        return False
    return not any(field in (0o47, 0o57) for field in fields)


@pytest.mark.parametrize("profile", SEVERAL)
def test_every_first_word_does_the_same_on_both_cores(profile: str) -> None:
    pair = Pair.of(profile, choices(profile)[-1])
    run_all_words(pair, Random(f"{profile} words"), 3)
    assert not unproved(pair, 1)


@pytest.mark.slow
@pytest.mark.parametrize("profile", PROFILES)
def test_every_first_word_does_the_same_many_times_and_no_handler_is_left_unproved(profile: str) -> None:
    for number, options in enumerate(choices(profile)):
        pair = Pair.of(profile, options)
        run_all_words(pair, Random(f"{profile} words slow {number}"), 10, ENOUGH)
        assert not unproved(pair, ENOUGH)


@pytest.mark.slow
@pytest.mark.parametrize("profile", PROFILES)
def test_every_first_word_does_the_same_where_memory_reaches_up_to_the_devices(profile: str) -> None:
    pair = Pair.of(profile, choices(profile)[-1], FULL)
    run_all_words(pair, Random(f"{profile} words full"), 3)
    assert not unproved(pair, 1)
