"""Whole runs on both cores, cut into slices of random length: the same after each, whatever ended it."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest

from minisim.cpu._core import ffi, lib

from .pairs import BELLS_AT, FULL, PROFILES, STOPS, Pair, choices
from .programs import Writer
from .slices import compare, run_slices
from .trials import Maker

SAMPLE, MANY = 60, 4000  # slices
LONGEST = 5000  # instructions of a slice


@pytest.mark.parametrize("profile", PROFILES[::3])
def test_random_programs_are_the_same_behind_slices_of_random_length(profile: str) -> None:
    rng = Random(f"{profile} slices")
    pair = Pair.of(profile, rng.choice(choices(profile)))
    run_slices(pair, rng, SAMPLE, LONGEST, phrases=1500)


@pytest.mark.slow
@pytest.mark.parametrize("profile", PROFILES)
def test_thousands_of_slices_of_random_programs_are_the_same(profile: str) -> None:
    for number, options in enumerate(choices(profile)):
        pair = Pair.of(profile, options)
        seen = run_slices(pair, Random(f"{profile} slices slow {number}"), MANY, LONGEST)
        assert {"halted", "limit", "reached", "request", "stuck", "waiting"} <= set(seen), seen


@pytest.mark.slow
@pytest.mark.parametrize("profile", PROFILES)
def test_slices_are_the_same_where_memory_reaches_up_to_the_devices(profile: str) -> None:
    pair = Pair.of(profile, choices(profile)[-1], FULL)
    run_slices(pair, Random(f"{profile} slices full"), MANY // 4, LONGEST)


@pytest.mark.parametrize("odd_pc", [0, 1])
@pytest.mark.parametrize("between", range(0, 70, 3))
def test_a_standing_loop_that_a_service_comes_back_to_stops_both_cores_alike(between: int, odd_pc: int) -> None:
    """BR to itself until bell 0; its service at priority 7 takes a while and jumps back, or into nothing: for ever."""
    pair = Pair.of("late-ttl-commercial")
    for machine in pair.machines:
        machine.memory.put(0o1000, 0o000777)
        machine.memory.put(0o4, 0o1000 + odd_pc, 0o340)
        machine.memory.put(0o100, 0o2000, 0o340)
        machine.memory.put(0o2000, *[0o005201] * between, 0o000137, 0o1000 + odd_pc)
        machine.cpu.pc, machine.cpu.sp = 0o1000, 0o1000
        lib.ms_arm_at(machine._raw, 0, 150_000)
    stops = [STOPS[lib.ms_run(raw, 3000)] for raw in pair.raw]
    assert stops[0] == stops[1]
    compare(pair, f"{between} instructions")


LOOPS = {
    "a flag of a device": (0o005737, BELLS_AT, 0o001775),
    "a word of memory": (0o105737, 0o3000, 0o100375),
    "WAIT": (0o000001, 0o000776),
    "a count": (0o005201, 0o000776),
    "a register that reading changes": (0o105737, 0o177562, 0o100375),
}


@pytest.mark.parametrize("loop", LOOPS)
def test_loops_that_wait_are_the_same_behind_every_slice(loop: str) -> None:
    rng = Random(loop)
    pair = Pair.of("late-ttl-commercial")
    for machine in pair.machines:
        machine.memory.put(0o1000, *LOOPS[loop])
        for vector, _ in ((0o100, 6), (0o060, 4), (0o064, 5), (0o300, 7)):
            machine.memory.put(vector, 0o2000, 0o340)
        machine.memory.put(0o2000, 0o005202, 0o000002)  # INC R2; RTI
        machine.cpu.pc, machine.cpu.sp = 0o1000, 0o1000
    for number in range(150):
        bell, due, limit = rng.randrange(4), rng.randrange(1, 400_000), rng.choice((1, 7, 100, 3000))
        for raw in pair.raw:
            lib.ms_arm_at(raw, bell, raw.time_ns + due)
        stops = [lib.ms_run(raw, limit) for raw in pair.raw]
        assert stops[0] == stops[1]
        compare(pair, f"slice {number}")


def test_a_difference_between_slices_is_found() -> None:
    pair = Pair.of("late-ttl-commercial")
    compare(pair, "at first")
    for place in (pair.raw[1].memory, pair.raw[1].registers, pair.raw[1].lines, ffi.cast("uint8_t *", pair.raw[1])):
        flip(place)
        with pytest.raises(AssertionError, match="behind"):
            compare(pair, "behind")
        flip(place)
    compare(pair, "at last")


def flip(place: Any) -> None:
    """Another bit at this place."""
    ffi.cast("uint8_t *", place)[0] ^= 4


def test_programs_reach_every_kind_of_stop() -> None:
    """Else the slices above would prove little."""
    rng = Random("stops")
    pair = Pair.of("late-ttl-commercial")
    writer = Writer(Maker(rng, 16), pair.raw[0].modules, gentle=True, phrases=1500)
    assert any(len(phrase) == 3 for phrase in writer.phrases)
    seen = run_slices(pair, rng, 400, 300, phrases=1500)
    assert {"halted", "limit", "reached", "request"} <= set(seen), seen
