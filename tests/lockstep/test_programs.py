"""Random programs on both cores, compared after every instruction."""

from __future__ import annotations

from random import Random

import pytest

from .pairs import FULL, PROFILES, TALLY, Pair, choices
from .programs import run_programs

SAMPLE, MANY, FEWER = 60_000, 1_400_000, 400_000  # instructions, decimal


@pytest.mark.parametrize("profile", PROFILES)
def test_random_programs_run_alike_instruction_by_instruction(profile: str) -> None:
    rng = Random(f"{profile} sample")
    pair = Pair.of(profile, rng.choice(choices(profile)))
    run_programs(pair, rng, SAMPLE, phrases=1500)
    assert pair.share > 0.4, "too little was done by the fast core to mean anything"


@pytest.mark.slow
@pytest.mark.parametrize("profile", PROFILES)
def test_millions_of_instructions_of_random_programs_run_alike(profile: str) -> None:
    for number, options in enumerate(choices(profile)):
        pair = Pair.of(profile, options)
        run_programs(pair, Random(f"{profile} slow {number}"), MANY)
        assert pair.share > 0.5, "too little was done by the fast core to mean anything"


@pytest.mark.slow
@pytest.mark.parametrize("profile", PROFILES)
def test_random_programs_run_alike_where_memory_reaches_up_to_the_devices(profile: str) -> None:
    pair = Pair.of(profile, choices(profile)[-1], FULL)
    run_programs(pair, Random(f"{profile} full"), FEWER)
    assert pair.share > 0.4, "too little was done by the fast core to mean anything"


@pytest.mark.slow
def test_well_over_half_of_all_that_was_compared_was_done_by_the_fast_core() -> None:
    """Of what ran before it in this session."""
    if TALLY.instructions < MANY:
        pytest.skip("nothing ran before")
    assert TALLY.by_fast > 0.6 * TALLY.instructions
