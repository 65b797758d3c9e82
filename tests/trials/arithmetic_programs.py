"""What the tests of the programs eis, fis, fpp and cis share: who has the module, and runs right and wrong."""

from __future__ import annotations

from dataclasses import replace

from program_rig import rig

from minisim.catalogue.reader import Catalogue
from minisim.cpu.profile import available, named
from minisim.machine.machine import Machine
from minisim.trials.own import Ran, run_program
from minisim.trials.programs import TestProgram, program

START = 0o1000
LOOP = 2
"""The switch that repeats a case that failed."""


def owners(module: str) -> list[str]:
    """The profiles that can have a module."""
    return [profile for profile in Catalogue().ids("profiles") if module in available(named(profile))]


def ran(name: str, profile: str, *, core: str = "fast", options: list[str] | None = None, kb: int = 56) -> Ran:
    """Two passes of a program on a profile with all its options, or those named."""
    machine = rig(profile, options, kb=kb)
    machine.core = core
    return run_program(machine, program(name), passes=2, switches=0)


def started_over(name: str, profile: str) -> tuple[Ran, str]:
    """One pass, and what is printed when the processor is then started at 001000 once more."""
    machine = rig(profile)
    run = run_program(machine, program(name), passes=1, switches=0)
    machine.cpu.pc = START
    machine.run(limit=40_000_000)
    return run, bytes(machine.console.take()).decode("ascii")


def spoiled(name: str, profile: str, *words: tuple[str, int, int], switches: int = 0, limit: int = 20_000_000) -> Ran:
    """One pass of a program in which words were changed: label, distance from it, value."""
    return spoiled_machine(name, profile, *words, switches=switches, limit=limit)[1]


def spoiled_machine(
    name: str, profile: str, *words: tuple[str, int, int], switches: int = 0, limit: int = 20_000_000
) -> tuple[Machine, Ran]:
    """The same, with the machine."""
    machine = rig(profile)
    test = program(name)
    changed = _changed(test, {test.at(label) + distance: value for label, distance, value in words})
    return machine, run_program(machine, changed, passes=1, switches=switches, limit=limit)


def _changed(test: TestProgram, words: dict[int, int]) -> TestProgram:
    """A program with other words at some addresses."""
    blocks = []
    for block in test.program.blocks:
        data = bytearray(block.data)
        for address, value in words.items():
            if block.address <= address < block.address + len(data):
                data[address - block.address : address - block.address + 2] = value.to_bytes(2, "little")
        blocks.append(replace(block, data=bytes(data)))
    return replace(test, program=replace(test.program, blocks=tuple(blocks)))
