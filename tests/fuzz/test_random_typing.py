"""Random programs on the demo machines with their devices, while somebody types at random."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

import minisim

from .images import KINDS, Ending, image, spend

LOADOUTS = sorted((Path(__file__).parents[2] / "loadouts" / "kittiwake").glob("*.yaml"))
each_loadout = pytest.mark.parametrize("path", LOADOUTS, ids=lambda path: path.stem)


def run_typed(loadout: minisim.Loadout, seed: str, instructions: int, slices: int) -> Ending:
    """A random image over the memory of a machine from a loadout."""
    rng = Random(seed)
    machine = minisim.build(loadout)
    size = min(len(machine.memory), 0o160000)
    machine.memory[0:size] = image(rng, size, rng.choice(KINDS))
    for number in range(6):  # registers that point at devices as often as at memory
        machine.cpu.r[number] = rng.choice((rng.randrange(0o177500, 0o177600, 2), rng.randrange(size)))
    machine.cpu.pc, machine.cpu.sp, machine.cpu.ps = rng.randrange(0, size, 2), 0o1000, 0
    return spend(machine, rng, instructions, slices, typed=True)


@each_loadout
def test_random_programs_with_random_typing_run_twice_alike(path: Path) -> None:
    loadout = minisim.read_loadout(path)
    for number in range(4):
        seed = f"{path.stem} {number}"
        assert run_typed(loadout, seed, 100_000, 40) == run_typed(loadout, seed, 100_000, 40), seed


@each_loadout
def test_random_typing_at_the_boot_rom_never_crashes_the_machine(path: Path) -> None:
    loadout, endings = minisim.read_loadout(path), []
    for _ in range(2):
        endings.append(spend(minisim.build(loadout), Random(f"{path.stem} boot"), 200_000, 20, typed=True))
    assert endings[0] == endings[1]


@pytest.mark.slow
@each_loadout
def test_many_random_programs_with_random_typing(path: Path) -> None:
    loadout = minisim.read_loadout(path)
    for number in range(150):
        seed = f"{path.stem} slow {number}"
        ending = run_typed(loadout, seed, 400_000, 100)
        if number % 10 == 0:
            assert ending == run_typed(loadout, seed, 400_000, 100), seed
