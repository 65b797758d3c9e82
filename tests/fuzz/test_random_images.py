"""Random memory images on bare machines of every profile."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

import minisim
from minisim.cpu.profile import configuration
from minisim.machine.assemble import put_together

from .images import KINDS, Ending, image, spend

CATALOGUE = Path(__file__).parents[2] / "minisim" / "catalogue"
PROFILES = sorted(path.stem for path in (CATALOGUE / "profiles").glob("*.yaml"))
BANK = 0o4000  # the grain of fitted memory, in bytes
SIZES = (BANK, 0o20000, 0o100000, 0o160000)


def run_image(profile: str, seed: str, instructions: int, slices: int) -> Ending:
    """One image from a seed, run to its end."""
    rng = Random(seed)
    size = rng.choice(SIZES)
    machine = minisim.bare(profile=profile, memory=size)
    machine.memory[0:size] = image(rng, size, rng.choice(KINDS))
    machine.cpu.pc, machine.cpu.sp = rng.randrange(0, size, 2), rng.randrange(0o200000)
    return spend(machine, rng, instructions, slices)


@pytest.mark.parametrize("profile", PROFILES)
def test_random_images_stay_inside_their_machine_and_run_twice_alike(profile: str) -> None:
    for number in range(3):
        seed = f"{profile} {number}"
        assert run_image(profile, seed, 100_000, 40) == run_image(profile, seed, 100_000, 40), seed


@pytest.mark.slow
@pytest.mark.parametrize("profile", PROFILES)
def test_many_random_images_stay_inside_their_machine(profile: str) -> None:
    for number in range(200):
        seed = f"{profile} slow {number}"
        ending = run_image(profile, seed, 400_000, 200)
        if number % 10 == 0:
            assert ending == run_image(profile, seed, 400_000, 200), seed


def run_with_a_hole(profile: str, seed: str, instructions: int) -> bytes:
    """Memory in two parts; gives what lies between them afterwards, where nothing is fitted."""
    rng = Random(seed)
    chosen = configuration(profile, None)
    machine = put_together(chosen, [(0, 2 * BANK), (4 * BANK, 2 * BANK)], address_bits=16)
    machine.memory[0 : 2 * BANK] = image(rng, 2 * BANK, rng.choice(KINDS))
    machine.memory[4 * BANK : 6 * BANK] = image(rng, 2 * BANK, "noise")
    for register in range(6):
        machine.cpu.r[register] = rng.randrange(2 * BANK, 4 * BANK)
    machine.cpu.pc, machine.cpu.sp = rng.randrange(0, 2 * BANK, 2), rng.randrange(2 * BANK, 4 * BANK + 0o10, 2)
    spend(machine, rng, instructions, 20)
    return machine.memory.view()[2 * BANK : 4 * BANK].tobytes()


@pytest.mark.parametrize("profile", PROFILES)
def test_memory_that_is_not_fitted_never_changes(profile: str) -> None:
    for number in range(4):
        assert run_with_a_hole(profile, f"{profile} hole {number}", 20_000) == bytes(2 * BANK)


@pytest.mark.parametrize("profile", PROFILES)
@pytest.mark.parametrize("limit", [0, 1, 2, 999])
def test_a_limit_is_exact_while_the_program_runs_on(profile: str, limit: int) -> None:
    machine = minisim.bare(profile=profile, memory=BANK)
    machine.memory.put(0o1000, 0o005201, 0o000776)  # INC R1; BR back
    machine.cpu.pc = 0o1000
    stop = machine.run(limit=limit)
    assert (stop.instructions, stop.reason) == (limit, minisim.Reason.LIMIT)
    assert machine.cpu.r[1] == (limit + 1) // 2
