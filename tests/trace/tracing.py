"""Machines to trace, and traces as data."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import minisim
from minisim.machine.machine import Machine
from minisim.trace.writer import write_trace

KITTIWAKE = Path(__file__).parents[2] / "loadouts" / "kittiwake"
# Three tides are added up and the sum goes out at the console: a loop, a byte, a device, a trap, a HALT.
TIDES = """
        . = 34
        .word 1100, 340
        . = 1000
start:  MOV #1200, SP
        MOV #tides, R1
        MOV #3, R0
        CLR R2
1$:     ADD (R1)+, R2
        SOB R0, 1$
        MOVB R2, sum
        MOV R2, @#177566
        TRAP 3
        HALT
        . = 1100
        RTI
        . = 1300
tides:  .word 4, 11, 6
sum:    .byte 0, 0
"""


def with_program(machine: Machine, source: str = TIDES, start: int = 0o1000) -> Machine:
    """The machine with a program in its memory, ready to run."""
    for block in minisim.assemble(source).blocks:
        machine.memory[block.address : block.address + len(block.data)] = block.data
    machine.cpu.pc = start
    return machine


def demo(name: str, typed: bytes = b"") -> Machine:
    """A machine of the tide station."""
    machine = minisim.build(minisim.read_loadout(KITTIWAKE / f"{name}.yaml"))
    if typed:
        machine.console.feed(typed)
    return machine


def trace_of(machine: Machine, **more: Any) -> tuple[list[dict[str, Any]], minisim.Stop]:
    """Its lines as data, and how the run ended."""
    stream = io.StringIO()
    stop = write_trace(machine, stream, **more)
    return [json.loads(line) for line in stream.getvalue().splitlines()], stop


def written(machine: Machine, path: Path, **more: Any) -> Path:
    """A trace in a file."""
    with path.open("w", encoding="ascii") as stream:
        write_trace(machine, stream, **more)
    return path
