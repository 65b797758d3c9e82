"""Machines on the bench, for the tests."""

from __future__ import annotations

from pathlib import Path

from program_rig import placement, rig

import minisim
from minisim.bench.answer import Answer
from minisim.bench.bench import Bench
from minisim.machine.machine import Machine

KITTIWAKE = Path(__file__).parents[2] / "loadouts" / "kittiwake"
COUNT = (0o012700, 0o000005, 0o005200, 0o000000)
"""MOV #5,R0; INC R0; HALT."""
TAPE = placement("paper-tape", 0o17550, (0o70, 4), (0o74, 4))
PRINTER = placement("line-printer", 0o17514, (0o200, 4), (0o200, 4), attached=("line-printer",))
CLOCK = placement("line-clock", 0o17546, (0o100, 6))


def bare(*words: int, at: int = 0o1000) -> Bench:
    """A bare machine with these words, before the first of them."""
    machine = minisim.bare()
    machine.memory.put(at, *words)
    machine.cpu.pc = at
    return Bench(machine)


def planned(name: str, **more: bool) -> Bench:
    """A demo machine."""
    loadout = minisim.read_loadout(KITTIWAKE / f"{name}.yaml")
    return Bench(minisim.build(loadout), loadout=loadout, **more)


def with_console(*words: int, profile: str = "chipset-four-level") -> Bench:
    """A machine with a console line, a tape reader, a clock, and a program at 1000."""
    return Bench(loaded(rig(profile, None, TAPE, CLOCK, switches=True), *words))


def loaded(machine: Machine, *words: int) -> Machine:
    """With a program at 1000 and a stack below it."""
    machine.memory.put(0o1000, *words)
    machine.cpu.pc, machine.cpu.sp = 0o1000, 0o700
    return machine


def done(bench: Bench, line: str) -> tuple[str, ...]:
    """The answer to a line that can be done."""
    answer = bench.do(line)
    assert answer.done, answer.lines
    return answer.lines


def refused(bench: Bench, line: str) -> str:
    """The answer to a line that can't be done."""
    answer: Answer = bench.do(line)
    assert not answer.done and answer.lines, (line, answer)
    return "\n".join(answer.lines)
