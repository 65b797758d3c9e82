"""How fast the core is, as ratios taken in one process: interleaved rounds, medians.  Gates nothing.

Workloads are our own loops in the base instruction set.  `times the original` uses the published average instruction
time of one profile [tradeoffs-1978]; the ratios between ways of running are against the longest run.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

import minisim

ROUNDS = 5
INSTRUCTIONS = 400_000
PROFILE = "two-board-ttl-mmu"
AVERAGE_US = 3.029  # [tradeoffs-1978]

WORKLOADS = {
    "sieve": """
. = 1000
again:  MOV #4000, R1
        MOV #8191., R2
1$:     MOVB #1, (R1)+
        DEC R2
        BNE 1$
        MOV #3, R0
2$:     MOV R0, R1
        ADD #4000, R1
3$:     CLRB (R1)
        ADD R0, R1
        CMP R1, #23777
        BLO 3$
        ADD #2, R0
        CMP R0, #91.
        BLO 2$
        BR again
""",
    "copy": """
. = 1000
again:  MOV #4000, R1
        MOV #24000, R2
        MOV #4000., R3
1$:     MOV (R1)+, (R2)+
        DEC R3
        BNE 1$
        BR again
""",
    "rmw": """
. = 1000
again:  MOV #4000, R1
        MOV #2000., R3
1$:     INC (R1)
        ADD (R1)+, @#2000
        MOV R1, R2
        ASL R2
        CMP #1234, R2
        BNE 2$
        NOP
2$:     DEC R3
        BNE 1$
        BR again
""",
    "reg": """
. = 1000
again:  MOV R0, R1
        ADD R1, R2
        INC R2
        ASL R3
        BIC R1, R4
        COM R5
        BR again
""",
}


def machine_with(source: str) -> minisim.Machine:
    """A bare machine with the program in memory and PC at its start."""
    machine = minisim.bare(profile=PROFILE)
    for block in minisim.assemble(source).blocks:
        machine.memory[block.address : block.address + len(block.data)] = block.data
    machine.cpu.pc, machine.cpu.sp = 0o1000, 0o1000
    return machine


def timed(work: Callable[[], object]) -> float:
    """Seconds one call takes."""
    begin = time.perf_counter()
    work()
    return time.perf_counter() - begin


def whole(machine: minisim.Machine) -> None:
    machine.run(limit=INSTRUCTIONS)


def slices(machine: minisim.Machine) -> None:
    for _ in range(INSTRUCTIONS // 10_000):
        machine.run(limit=10_000)


def single_steps(machine: minisim.Machine) -> None:
    for _ in range(INSTRUCTIONS // 100):
        machine.run(limit=1)


def main() -> None:
    """Print the table."""
    machines = {name: machine_with(source) for name, source in WORKLOADS.items()}
    ways: dict[str, tuple[Callable[[minisim.Machine], None], int]] = {
        "whole": (whole, INSTRUCTIONS),
        "slices of 10,000": (slices, INSTRUCTIONS),
        "single steps": (single_steps, INSTRUCTIONS // 100),
    }
    seconds: dict[tuple[str, str], list[float]] = {(w, k): [] for w in machines for k in ways}
    for _ in range(ROUNDS):
        for name, machine in machines.items():
            for way, (work, count) in ways.items():
                seconds[name, way].append(timed(lambda work=work, machine=machine: work(machine)) / count)
    print(f"reference core, profile {PROFILE}, medians of {ROUNDS} rounds of {INSTRUCTIONS} instructions")
    print(
        f"{'workload':10}{'ns an instruction':>20}{'times the original':>20}"
        + "".join(f"{way:>20}" for way in list(ways)[1:])
    )
    for name in machines:
        base = statistics.median(seconds[name, "whole"])
        others = [statistics.median(seconds[name, way]) / base for way in list(ways)[1:]]
        print(
            f"{name:10}{base * 1e9:20.2f}{AVERAGE_US * 1e-6 / base:20.0f}"
            + "".join(f"{ratio:19.1f}x" for ratio in others)
        )


if __name__ == "__main__":
    main()
