"""Memory management on random states: the core beside the oracle, a sample each time and millions in the slow run."""

from __future__ import annotations

from array import array
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from mmu_cases import FULL, REFERENCES, WHOLE_INSTRUCTIONS, Bench, Case, Instructions, run_cases
from mmu_facts import MANAGED, Facts, facts_of
from mmu_oracle import GivenUp
from mmu_steps import Processor
from tallies import counted

SAMPLE, FEW, MANY = 400, 15_000, 85_000  # settled cases of one profile and kind, decimal; times 12 profiles and 2 kinds
KINDS = {"references": REFERENCES, "instructions": WHOLE_INSTRUCTIONS}
EVERY = pytest.mark.parametrize("profile", MANAGED)
EACH_KIND = pytest.mark.parametrize("kind", KINDS)

words = st.integers(0, 0o177777)
pages = st.one_of(st.sampled_from((0o77406, 0o77402, 0, 6, 0o16, 0o37416)), words.map(lambda bits: bits & 0o77717))
bases = st.one_of(st.integers(0, 0o1600), st.sampled_from((0o7600, 0, 0o1000, 0o7777)))
modes = st.sampled_from((0, 3, 0o14, 0o17))  # current and previous


@cache
def bench_of(profile: str) -> Bench:
    """One for all examples: no state is left over but memory, which both have."""
    return Bench(profile, memory=bytes(range(256)) * 256)


@st.composite
def cases(draw: st.DrawFn, instructions: Instructions) -> Case:
    """Small states are simple: an identity mapping, kernel mode, zeros."""
    word, mask = draw(st.sampled_from(instructions))
    case = Case(words=(word | draw(words) & mask, draw(words), draw(words)))
    case.ps = draw(modes) << 12 | draw(st.integers(0, 15))
    for number in draw(st.lists(st.integers(0, 7), max_size=4)):
        for owner in (0, 48):
            case.par[owner + number], case.pdr[owner + number] = draw(bases), draw(pages)
    registers = [draw(words) for _ in range(6)]
    case.sets = (registers, registers)
    case.stacks = [0o1000 | draw(words) & ~1, 0o1000, 0o1000, 0o1000 | draw(words) & ~1]
    case.mmr = (draw(st.sampled_from((1, 0, 0o40001))), 0, 0, 0)
    return case


@pytest.mark.parametrize("profile", ["two-board-ttl-mmu", "late-single-chip-sep", "fast-ttl-three-mode"])
@settings(max_examples=300)
@given(case=cases((*REFERENCES, *WHOLE_INSTRUCTIONS)), fast=st.booleans())
def test_any_instruction_under_any_mapping_does_what_the_oracle_says(profile: str, case: Case, fast: bool) -> None:
    with counted("mmu") as run:
        run.cases += bench_of(profile).check(case, fast, whole=True) is None


@EVERY
@EACH_KIND
def test_a_sample_of_random_cases(profile: str, kind: str) -> None:
    bench = run_cases(profile, SAMPLE, f"{profile} {kind} sample", KINDS[kind])
    assert sum(bench.open.values()) < 0.3 * bench.cases, bench.open


@pytest.mark.slow
@EVERY
def test_random_cases_with_as_much_memory_as_there_can_be(profile: str) -> None:
    size = FULL[facts_of(profile).address_bits]
    run_cases(profile, FEW, f"{profile} full", KINDS["references"], size)


@pytest.mark.slow
@EVERY
@EACH_KIND
def test_many_random_cases(profile: str, kind: str) -> None:
    bench = run_cases(profile, MANY, f"{profile} {kind} slow", KINDS[kind])
    traps = [int(bench.raw.traps_by_vector[vector // 4]) for vector in (0o4, 0o250)]
    assert sum(bench.open.values()) < 0.3 * bench.cases, bench.open
    assert all(0.02 * bench.cases < count < 0.5 * bench.cases for count in traps), traps
    assert bench.by_handlers > 0.04 * bench.cases, "too little was done by the fast core to mean anything"


# --- properties of the oracle itself, against the sentences of the facts --------------------------------------------


@settings(max_examples=300)
@given(
    par=words, block=st.integers(0, 0o177), byte=st.integers(0, 0o77), length=st.integers(0, 0o177), down=st.booleans()
)
def test_a_page_is_one_run_of_blocks(par: int, block: int, byte: int, length: int, down: bool) -> None:
    oracle = Processor(Facts(), bytearray(2))
    oracle.mmr = [1, 0, 0, 0o20]
    oracle.par = array("H", [par] * 64)
    oracle.pdr = array("H", [length << 8 | (0o16 if down else 6)] * 64)
    try:
        physical = oracle.translate(0o40000 | block << 6 | byte, 0, 0, False)
    except GivenUp:
        assert block < length if down else block > length
        return
    assert length <= block if down else block <= length
    assert physical == (par * 64 + block * 64 + byte) % (1 << 22)
