"""Specification against core with hypothesis: single instructions from random states, and short random programs.

Everything is compared after every step: registers of both sets, stack pointers of all modes, PC, PS, all memory, and
the traps by vector.  Bits that the facts leave open are named by the specification and left out.
"""

from __future__ import annotations

from functools import cache
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from .adapter import CoreDriver, State
from .compare import Pair
from .generate import CODE, instruction, machine_state, number
from .outcomes import Undefined
from .profiles import profile, profile_ids

SIZE = 0o20000
WORDS = st.integers(0, 0o177777)
quick = settings(max_examples=16, deadline=None, suppress_health_check=list(HealthCheck))
PROFILES = pytest.mark.parametrize("profile_id", profile_ids())


@cache
def pair_of(profile_id: str) -> Pair:
    """One pair a profile; `put` sets every state anew."""
    return Pair(profile_id, SIZE)


def with_words(state: State, at: int, *words: int) -> State:
    """The state with these words at an even address."""
    memory = bytearray(state.memory)
    for place, word in enumerate(words):
        memory[at + 2 * place : at + 2 * place + 2] = word.to_bytes(2, "little")
    state.memory = bytes(memory)
    return state


@PROFILES
@quick
@given(rng=st.randoms(use_true_random=False))
def test_an_owned_instruction_from_a_random_state(profile_id: str, rng: Random) -> None:
    pair = pair_of(profile_id)
    pair.run(machine_state(rng, pair.spec.profile, SIZE), 1)


@PROFILES
@quick
@given(word=WORDS, following=st.tuples(WORDS, WORDS), rng=st.randoms(use_true_random=False))
def test_any_of_the_65536_words(profile_id: str, word: int, following: tuple[int, int], rng: Random) -> None:
    state = machine_state(rng, profile(profile_id), SIZE)
    state.pc = CODE
    pair_of(profile_id).run(with_words(state, CODE, word, *following), 1)


@PROFILES
@quick
@given(
    mode=st.integers(0, 7), other=st.integers(0, 0o77), form=st.integers(0, 3), rng=st.randoms(use_true_random=False)
)
def test_pc_and_sp_as_operands_of_words_and_bytes(
    profile_id: str, mode: int, other: int, form: int, rng: Random
) -> None:
    """Two-operand instructions with R6 or R7 on one side: source or destination, word or byte."""
    state = machine_state(rng, profile(profile_id), SIZE)
    state.pc = CODE
    special = mode << 3 | rng.choice((6, 7))
    operands = special << 6 | other if form & 1 else other << 6 | special
    word = (form >> 1) << 15 | rng.randint(1, 6) << 12 | operands
    pair_of(profile_id).run(with_words(state, CODE, word, number(rng, SIZE), number(rng, SIZE)), 1)


@PROFILES
@quick
@given(length=st.integers(2, 50), rng=st.randoms(use_true_random=False))
def test_a_short_random_program(profile_id: str, length: int, rng: Random) -> None:
    pair = pair_of(profile_id)
    pair.run(machine_state(rng, pair.spec.profile, SIZE), length)


@PROFILES
@quick
@given(rng=st.randoms(use_true_random=False))
def test_a_program_that_rewrites_its_next_words(profile_id: str, rng: Random) -> None:
    """MOV #word,@#next and its kin: the word stored is executed next; registers point into the code as well."""
    state = machine_state(rng, profile(profile_id), SIZE)
    state.pc = CODE
    for register in range(6):
        state.sets[state.ps >> 11 & 1][register] = CODE + rng.randrange(0, 0o40, 2)
    words: list[int] = []
    while len(words) < 12:
        following = CODE + 2 * len(words) + 6
        words += [0o012737, instruction(rng, profile(profile_id)), following, 0o240]
        words.append(rng.choice((0o010122, 0o005212, 0o050413, 0o112122, 0o160502, 0o005345)))
    pair_of(profile_id).run(with_words(state, CODE, *words), 12)


@PROFILES
@quick
@given(rng=st.randoms(use_true_random=False))
def test_an_instruction_makes_the_bus_cycles_that_its_modes_call_for(profile_id: str, rng: Random) -> None:
    """Reads and writes in their order, of instructions that don't trap; D30 and D35 say how MOV, CLR and SXT end."""
    compare_cycles(profile_id, rng, 2)


@pytest.mark.slow
@PROFILES
@settings(max_examples=50, deadline=None, suppress_health_check=list(HealthCheck))
@given(rng=st.randoms(use_true_random=False))
def test_thousands_of_instructions_make_the_bus_cycles_that_their_modes_call_for(profile_id: str, rng: Random) -> None:
    compare_cycles(profile_id, rng, 5)


def compare_cycles(profile_id: str, rng: Random, count: int) -> None:
    """So many instructions, each in a state of its own."""
    pair = pair_of(profile_id)
    driver = CoreDriver(profile_id, SIZE)
    for _ in range(count):
        state = machine_state(rng, pair.spec.profile, SIZE)
        pair.spec.put(state)
        driver.put(state)
        try:
            pair.spec.step()
        except Undefined:
            continue
        last = pair.spec.last
        if last.traps or last.stop:
            continue
        step = driver.machine.step()
        found = [
            ("write" if a.kind == "write" else "read", a.address if a.byte else a.address & ~1, a.byte)
            for a in step.accesses
        ]
        assert found == last.cycles, f"{last.name} {step.text} {[word_text(word) for word in step.words]}"


def word_text(word: int) -> str:
    """Six octal digits."""
    return f"{word:06o}"
