"""Seeded comparison of specification and core over many random programs.

The fast sample runs on every profile in `make test`; the large one in `make slow`.  A failure names the seed; to see it
alone, run the test with `-k PROFILE`.
"""

from __future__ import annotations

from random import Random

import pytest

from .compare import Pair, Tally
from .generate import machine_state
from .profiles import profile_ids

SIZE = 0o20000
LONGEST = 50  # instructions of a program, decimal
FAST_PROGRAMS, SLOW_PROGRAMS = 60, 6000  # for each profile, decimal


def compare_programs(profile_id: str, seed: int, programs: int, size: int = SIZE) -> Tally:
    """Run random programs on both machines; AssertionError names the first difference and its seed."""
    pair = Pair(profile_id, size)
    for number in range(programs):
        rng = Random(f"{profile_id} {seed} {number}")
        start = machine_state(rng, pair.spec.profile, size)
        try:
            pair.run(start, LONGEST, quick=True)
        except AssertionError as error:
            raise AssertionError(f"program {number} of seed {seed}\n{error}") from None
    return pair.tally


@pytest.mark.parametrize("profile_id", profile_ids())
def test_random_programs_run_alike_in_a_quick_sample(profile_id: str) -> None:
    tally = compare_programs(profile_id, 1, FAST_PROGRAMS)
    assert tally.steps > 10 * FAST_PROGRAMS, "too few steps to mean anything"
    assert tally.undefined < FAST_PROGRAMS, "the facts left nearly every program open"


@pytest.mark.slow
@pytest.mark.parametrize("size", [0o20000, 0o160000])
@pytest.mark.parametrize("profile_id", profile_ids())
def test_random_programs_run_alike_over_millions_of_steps(profile_id: str, size: int) -> None:
    tally = compare_programs(profile_id, 2, SLOW_PROGRAMS, size)
    assert tally.steps > 15 * SLOW_PROGRAMS
