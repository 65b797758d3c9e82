"""The first trap that hangs the processor: no memory holds the vectors."""

from __future__ import annotations

import minisim
from minisim.catalogue.reader import Catalogue
from minisim.consequence._bench import Bench, spans
from minisim.consequence._framework import shows
from minisim.consequence.model import NotShownError, Shown
from minisim.findings import Finding
from minisim.machine.records import Reason
from minisim.wiring.model import Wired

STEPS = 20


@shows("no-memory-at-zero")
def no_memory_at_zero(finding: Finding, wired: Wired, catalogue: Catalogue) -> Shown:
    """Let a program in the memory there is take a trap."""
    start = min((first for first, end in spans(wired) if first + 0o2000 <= min(end, 0o160000)), default=0)
    if not start:
        raise NotShownError("the machine has no memory in which a program could stand")
    bench = Bench(wired, catalogue)
    machine = bench.machine
    bench.source = f". = {start + 0o1000:o}\n        mov #{start + 0o1000:o}, sp\n        emt 0\n        halt"
    for block in minisim.assemble(bench.source + "\n").blocks:
        machine.memory[block.address : block.address + len(block.data)] = block.data
    machine.power_up(pc=start + 0o1000, ps=0)
    reason = Reason.LIMIT
    for _ in range(STEPS):
        step = machine.step()
        bench.say("; ".join(step.explanation))
        reason = step.reason
        if reason is not Reason.LIMIT:
            break
    halted = reason is Reason.HALTED
    return Shown(
        kind="the first trap that hangs the processor",
        does=f"A program in the memory from {start:06o} on takes one trap (an EMT, through 030).",
        expected="The processor fetches the new PC and PS at 030 and 032 and goes on in the handler.",
        happened=f"Nobody answers at 030. After {machine.instructions} instructions the processor "
        + ("has halted" if halted else "is still busy with traps of traps")
        + f", PC at {machine.cpu.pc:06o}.",
        trace=tuple(bench.trace),
        facts={
            "lowest_memory": f"{start:06o}",
            "halted": int(halted),
            "pc": f"{machine.cpu.pc:06o}",
            "instructions": machine.instructions,
        },
        really="Loaders and system software keep their place below 1000 too; none of them starts.",
        program=bench.source,
    )
