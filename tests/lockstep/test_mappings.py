"""Both cores under memory management: random mappings, modes and spaces; status registers and all, after every step."""

from __future__ import annotations

from random import Random

import pytest

from minisim.cpu._core import ffi, lib

from .mappings import MEMORY, Mapper, is_managed, mapped_writer, run_mapped_programs
from .pairs import PROFILES, Pair, choices
from .slices import run_slices

SAMPLE, MANY = 15_000, 400_000  # instructions of one profile, decimal
SLICES, MANY_SLICES, LONGEST = 40, 1500, 2000


def managed_pair(profile: str) -> Pair:
    """With all options; skipped where memory management is none of them."""
    pair = Pair.of(profile, choices(profile)[-1], MEMORY)
    if not is_managed(pair):
        pytest.skip("this processor never has memory management")
    return pair


def programs(profile: str, instructions: int, phrases: int) -> None:
    """Random programs; enough of them meet the mapping."""
    pair = managed_pair(profile)
    run_mapped_programs(pair, Random(f"{profile} mapped {instructions}"), instructions, phrases)
    aborts = int(pair.raw[0].traps_by_vector[0o250 // 4])
    assert aborts > 0.005 * pair.report.instructions, aborts
    assert pair.share > 0.2, f"{pair.share:.0%} by the fast core is too little to mean anything"


def slices(profile: str, count: int, phrases: int) -> None:
    """Whole runs, with MMR1 and MMR2 compared behind each; a new mapping with each program."""
    pair = managed_pair(profile)
    rng = Random(f"{profile} mapped slices {count}")
    mapper = Mapper(pair, rng)
    writers = [mapped_writer(pair, rng, gentle=gentle, phrases=phrases) for gentle in (True, False)]
    seen = run_slices(pair, rng, count, LONGEST, writers=writers, begin=mapper.change)
    assert "limit" in seen


@pytest.mark.parametrize("profile", PROFILES)
def test_random_programs_run_alike_under_random_mappings(profile: str) -> None:
    programs(profile, SAMPLE, 1500)


@pytest.mark.parametrize("profile", PROFILES[::3])
def test_slices_of_random_programs_are_the_same_under_random_mappings(profile: str) -> None:
    slices(profile, SLICES, 1500)


@pytest.mark.slow
@pytest.mark.parametrize("profile", PROFILES)
def test_many_random_programs_run_alike_under_random_mappings(profile: str) -> None:
    programs(profile, MANY, 20_000)


@pytest.mark.slow
@pytest.mark.parametrize("profile", PROFILES)
def test_many_slices_are_the_same_under_random_mappings(profile: str) -> None:
    slices(profile, MANY_SLICES, 20_000)


@pytest.mark.parametrize("name", ["par", "pdr", "mmr", "bus_map"])
def test_a_difference_of_the_mapping_is_found(name: str) -> None:
    pair = managed_pair("late-single-chip-sep")
    for at, differs in ((0, 0), (5, 1)):
        ffi.cast("uint8_t *", getattr(pair.raw[1], name))[at] ^= differs
        pair.report = ffi.new("ms_comparison *")  # not among those of the session
        lib.ms_lockstep(*pair.raw, 0, pair.report)
        assert pair.report.differences == differs
    assert f" {name}: " in pair.difference()


def test_the_modules_of_a_profile_say_whether_it_is_managed() -> None:
    assert is_managed(Pair.of("two-board-ttl-mmu"))
    assert not is_managed(Pair.of("first-hardwired"))
    assert lib.ms_module_name(0) is not None
