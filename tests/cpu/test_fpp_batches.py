"""The floating point processor against exact fractions: seeded batches of every instruction, and hypothesis."""

from __future__ import annotations

import os
import random
from concurrent.futures import ProcessPoolExecutor
from functools import cache
from multiprocessing import get_context

import pytest
from core_bench import prepared
from fpp_cases import ENDS, KINDS, PARALLEL, Case, FloatBench, case_of, runs
from hypothesis import given, settings
from hypothesis import strategies as st
from tallies import counted, tally

SAMPLE, BATCH, MILLIONS = 300, 12_500, 2_000_000
BATCHES = MILLIONS // (BATCH * len(KINDS))  # of each instruction


@pytest.mark.parametrize("act", range(16), ids=KINDS)
def test_a_sample(act: int) -> None:
    source, bench = random.Random(act), FloatBench()
    with counted("fpp") as run:
        for _ in range(SAMPLE):
            bench.check(case_of(source, act))
            run.cases += 1


@pytest.mark.parametrize("profile", PARALLEL)
def test_a_sample_on_a_parallel_unit(profile: str) -> None:
    """An exception is told at once and traps at the next floating instruction."""
    source, bench = random.Random(profile), FloatBench(profile)
    with counted("fpp") as run:
        for number in range(1_000):
            bench.check(case_of(source, number % 16))
            run.cases += 1


def batch(job: tuple[int, int]) -> tuple[int, list[str]]:
    """How many ran and the differences of one seeded batch."""
    act, seed = job
    source, bench, wrong = random.Random(f"fpp {act} {seed}"), FloatBench(), []
    for _ in range(BATCH):
        try:
            bench.check(case_of(source, act))
        except AssertionError as difference:
            wrong.append(str(difference))
    return BATCH, wrong


@pytest.mark.slow
def test_two_million_cases() -> None:
    jobs = [(act, seed) for seed in range(BATCHES) for act in range(16)]
    with ProcessPoolExecutor(min(4, os.cpu_count() or 1), get_context("spawn")) as pool:
        outcomes = list(pool.map(batch, jobs))
    wrong = [difference for _, differences in outcomes for difference in differences]
    tally("fpp", sum(count for count, _ in outcomes), len(wrong))
    assert sum(count for count, _ in outcomes) >= MILLIONS
    assert wrong[:5] == []


# --- hypothesis: the same check, made smaller where it fails ---------------------------------------------------------

FRACTIONS = st.one_of(
    st.integers(0, (1 << 55) - 1),
    st.integers(0, 55).map(lambda place: 1 << place >> 1),
    st.integers(0, 31).map(lambda rest: (1 << 55) - 1 - rest),
    st.integers(0, (1 << 23) - 1).map(lambda high: high << 32 | 1 << 31),
)
NUMBERS = st.builds(
    lambda sign, exponent, fraction: sign << 63 | exponent << 55 | fraction,
    st.integers(0, 1),
    st.one_of(st.sampled_from(sorted(set(ENDS))), st.integers(0, 255)),
    FRACTIONS,
)
CASES = st.builds(
    lambda word, fps, ac, operand, index, ps: Case(word, fps, tuple(ac), operand, index << 1, ps),
    st.integers(0o170000, 0o177777).filter(runs),
    st.integers(0, 0o177777).map(lambda fps: fps & 0o147757),
    st.lists(NUMBERS, min_size=6, max_size=6),
    NUMBERS,
    st.integers(0, 0o77777),
    st.integers(0, 0o17),
)


@cache
def bench() -> FloatBench:
    """One for all examples."""
    return FloatBench()


@settings(max_examples=400, deadline=None)
@given(CASES)
def test_any_instruction_with_any_numbers(case: Case) -> None:
    with counted("fpp") as run:
        run.cases += 1
        bench().check(case)


def test_without_the_option_the_words_are_reserved() -> None:
    core = prepared("late-ttl-commercial", 0o170001, options=())
    core.run(1)
    assert core.pc == 0o2010


# LDD (R1)+, ADDD (R1), STD (R1), MODD (R1): the second half of the operand lies where no memory is.
@pytest.mark.parametrize("word", [0o172421, 0o172011, 0o174011, 0o171411])
def test_an_operand_that_is_not_there_leaves_the_accumulators_as_they_were(word: int) -> None:
    core = prepared("late-ttl-commercial", word, options=["fpp"], registers={1: 0o17774})
    core.raw.fps, core.raw.ac[0], core.raw.ac[1] = 0o207, 0o40200 << 48, 0o40300 << 48
    core.run(1)
    assert core.pc == 0o2004
    assert (core.raw.ac[0], core.raw.ac[1]) == (0o40200 << 48, 0o40300 << 48)
    assert (core.raw.fps, core.raw.fec) == (0o207, 0)
