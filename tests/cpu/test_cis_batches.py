"""The commercial instructions against the oracle: seeded batches of every instruction, interrupts, hypothesis."""

from __future__ import annotations

import os
import random
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import cache
from itertools import count
from multiprocessing import get_context

import pytest
from cis_beside_oracle import CommercialBench
from cis_cases import LIST, NAMES, STRINGS, TABLE, Case, case_of, string_case
from hypothesis import given, settings
from hypothesis import strategies as st
from tallies import counted, tally

SAMPLE, BATCH, CASES = 100, 4_000, 1_000_000
BATCHES = -(-CASES // (BATCH * len(NAMES)))  # of each instruction
SHORT, LONGEST = 20, 60_000  # strings that are cut everywhere, ns that such an instruction takes at most


@pytest.mark.parametrize("fast", [False, True], ids=["reference", "fast"])
@pytest.mark.parametrize("name", NAMES)
def test_a_sample(name: str, fast: bool) -> None:
    source, bench = random.Random(f"{name} {fast}"), CommercialBench(fast)
    with counted("cis") as run:
        for _ in range(SAMPLE):
            run.cases += 1
            bench.check(case_of(source, name))


def batch(job: tuple[str, int]) -> tuple[int, list[str]]:
    """How many ran and the differences of one seeded batch."""
    name, seed = job
    source, bench, wrong = random.Random(f"cis {name} {seed}"), CommercialBench(seed % 2 > 0), []
    for _ in range(BATCH):
        try:
            bench.check(case_of(source, name))
        except AssertionError as difference:
            wrong.append(str(difference))
            bench = CommercialBench(seed % 2 > 0)  # the old one may stand anywhere
    return BATCH, wrong


@pytest.mark.slow
def test_a_million_cases() -> None:
    jobs = [(name, seed) for seed in range(BATCHES) for name in NAMES]
    with ProcessPoolExecutor(min(4, os.cpu_count() or 1), get_context("spawn")) as pool:
        outcomes = list(pool.map(batch, jobs))
    wrong = [difference for _, differences in outcomes for difference in differences]
    tally("cis", sum(ran for ran, _ in outcomes), len(wrong))
    assert sum(ran for ran, _ in outcomes) >= CASES
    assert wrong[:5] == []


# --- interrupts -------------------------------------------------------------------------------------------------------


def strings_in(case: Case) -> int:
    """Bytes of the strings."""
    return sum(len(data) for at, data in case.data if at not in (LIST, TABLE, TABLE + 1))


def interrupted_everywhere(name: str, follows: bool, seed: int) -> int:
    """Cases with one interrupt at every point where one can be taken, then a second one soon behind; gives how many
    interrupts fell into the instruction.
    """
    source, bench = random.Random(f"{name} {follows} {seed}"), CommercialBench(seed % 2 > 0)
    drawn = (string_case(source, name, follows, may_be_huge=False) for _ in count())
    case = next(case for case in drawn if 0 < strings_in(case) <= SHORT)
    step, cut = (bench.raw.base_ns + 2 * bench.raw.cycle_ns) // 16, 0  # half a byte
    with counted("cis") as run:
        for due in range(1, LONGEST, step):
            before = bench.interrupts
            for second in ((), (1,), (source.randrange(1, 4000),)):
                run.cases += 1
                bench.check(replace(case, dues=(due, *second)))
            cut += bench.interrupts - before
            if bench.interrupts == before:
                return cut
    raise AssertionError("it does not end")


@pytest.mark.parametrize("name", sorted(STRINGS))
def test_interrupts_at_every_point_leave_what_the_oracle_says(name: str) -> None:
    assert sum(interrupted_everywhere(name, follows, seed) for seed in range(3) for follows in (False, True)) > 20


@pytest.mark.slow
@pytest.mark.parametrize("name", sorted(STRINGS))
def test_interrupts_at_every_point_of_many_cases(name: str) -> None:
    assert sum(interrupted_everywhere(name, follows, seed) for seed in range(3, 40) for follows in (False, True)) > 500


# --- hypothesis: the same check, made smaller where it fails ----------------------------------------------------------


@cache
def bench() -> CommercialBench:
    """One for all examples."""
    return CommercialBench()


@settings(max_examples=200)
@given(st.sampled_from(NAMES), st.randoms(use_true_random=False))
def test_any_instruction_with_any_operands(name: str, source: random.Random) -> None:
    with counted("cis") as run:
        run.cases += 1
        case = case_of(source, name)
        try:
            bench().check(case)
        except AssertionError:
            bench.cache_clear()
            raise
