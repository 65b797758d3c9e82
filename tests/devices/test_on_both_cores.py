"""A program that uses counter, printer and loop-back together: the same machine on both cores, bit for bit."""

from __future__ import annotations

import pytest
from lockstep.pairs import Pair

import minisim
from minisim.cpu.assembler import assemble, words_of
from minisim.devices._device import Placement

from .workbench import Workbench

TEXT = b"Kittiwake Point\r\nhigh water\r\n"
PROGRAM = r"""
        .=104
        .WORD tick, 300
        .=200
        .WORD print, 200
        .=300
        .WORD looped, 240
        .=1000
start:  MOV #1000, SP
        MOV #text, R1
        MOV #7, @#172542        ; preset: 7 counts
        MOV #111, @#172540      ; interrupt, repeat, 100 kHz, run, down
again:  INC R0
        ADD @#172544, R3        ; the counter changes as it is looked at
        TSTB @R1
        BNE again
        HALT
tick:   TST @#172540            ; done is cleared
        INC R2
        MOV R2, @#167772
        MOV #100, @#167770
        MOV #101, @#167770      ; control bit 0 makes request A
        RTI
looped: MOV @#167774, R4
        MOV #100, @#177514      ; the printer asks as soon as it is ready
        RTI
print:  CLR @#177514
        MOVB (R1)+, @#177516
        RTI
text:   .ASCIZ "Kittiwake Point"<15><12>"high water"<15><12>
"""


RATES = {"100 kHz": "#111", "10 kHz": "#113"}  # status of the clock


def machine(rate: str) -> minisim.Machine:
    """A bare machine with the three devices and the program."""
    bench = Workbench(
        Placement("programmable-clock", "1", vectors=((0o104, 6),)),
        Placement("line-printer", "2", vectors=((0o200, 4),), attached=("line-printer",)),
        Placement("parallel", "3", vectors=((0o300, 5), (0o304, 5))),
    )
    made = assemble(PROGRAM.replace("#111", RATES[rate]))
    for block in made.blocks:
        bench.machine.memory.put(block.address, *words_of(block))
    bench.machine.put_on_loop_back()
    bench.machine.cpu.pc = 0o1000
    return bench.machine


@pytest.mark.parametrize(("rate", "least"), [("100 kHz", 0.0), ("10 kHz", 0.3)])  # the fast core steps aside for counts
def test_a_program_that_uses_all_three_runs_alike_on_both_cores(rate: str, least: float) -> None:
    pair = Pair(machine(rate), machine(rate))
    pair.run(5_000)  # compared after each instruction
    assert pair.report.instructions == 5_000
    assert pair.share > least
    stops = [one.run(1_000_000) for one in pair.machines]
    assert stops[0] == stops[1]
    assert str(stops[0].reason) == "HALTED"
    assert pair.machines[0].freeze() == pair.machines[1].freeze()
    assert [one.take_printed() for one in pair.machines] == [TEXT, TEXT]
    taken = pair.machines[0].counters().interrupts
    assert taken[0o200] == len(TEXT)
    assert taken[0o300] == taken[0o104] > len(TEXT)


@pytest.mark.parametrize("instructions", [0, 17, 1_000, 5_003])
@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize("core", ["fast", "reference"])
def test_a_machine_thawed_while_it_counts_and_prints_goes_on_alike(core: str, rate: str, instructions: int) -> None:
    first = machine(rate)
    first.core = core
    first.run(instructions)
    second = minisim.thaw(first.freeze())
    second.core = core
    assert first.run(1_000_000) == second.run(1_000_000)
    assert first.freeze() == second.freeze()
    assert first.take_printed() == second.take_printed() == TEXT
