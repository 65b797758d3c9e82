"""Random memory images, and a run that goes on after each halt until it has used up its instructions."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

import minisim

# Leading words of instructions that keep a program going; the rest of the word is random.
FAMILIES = (0o010000, 0o020000, 0o040000, 0o050000, 0o060000, 0o110000, 0o160000, 0o005000, 0o006000, 0o105000)
KINDS = ("noise", "programs", "zeros", "branches")


def image(rng: Random, size: int, kind: str) -> bytes:
    """An image of one kind; its vectors lead somewhere into it."""
    if kind == "noise":
        memory = bytearray(rng.randbytes(size))
    elif kind == "zeros":
        memory = bytearray(size)
        for _ in range(size // 32):
            at = rng.randrange(0, size, 2)
            memory[at : at + 2] = rng.randrange(0o200000).to_bytes(2, "little")
    else:
        families = FAMILIES if kind == "programs" else (0o000400, 0o001000, 0o077000, 0o005200, 0o004000, 0o000100)
        words = (rng.choice(families) | rng.randrange(0o2000) for _ in range(size // 2))
        memory = bytearray(b"".join(word.to_bytes(2, "little") for word in words))
    for vector in range(0, min(0o400, size), 4):
        if rng.randrange(4):
            pair = (rng.randrange(0, size, 2), rng.choice((0, 0o340, rng.randrange(0o200000))))
            memory[vector : vector + 4] = b"".join(word.to_bytes(2, "little") for word in pair)
    return bytes(memory)


@dataclass(frozen=True)
class Ending:
    """All that two equal runs have in common."""

    registers: tuple[int, ...]
    ps: int
    memory: bytes
    instructions: int
    time_ns: int
    reasons: tuple[str, ...]
    printed: bytes
    frozen: bytes


def spend(machine: minisim.Machine, rng: Random, instructions: int, slices: int, typed: bool = False) -> Ending:
    """Run so many instructions in slices; after a halt or an endless wait go on somewhere else."""
    reasons, printed, used = [], b"", 0
    part = instructions // slices
    for _ in range(slices):
        if typed:
            machine.console.feed(rng.randbytes(rng.randrange(20)), steady=bool(rng.randrange(2)))
        stop = machine.run(limit=part)
        assert 0 <= stop.instructions <= part, "the limit was exceeded"
        used += stop.instructions
        reasons.append(stop.reason.name)
        check_words(machine)
        if typed:
            printed += machine.console.take()
        if stop.reason is not minisim.Reason.LIMIT:
            machine.power_up(pc=rng.randrange(0, len(machine.memory), 2) & 0o177776, ps=rng.randrange(8) << 5)
    assert machine.instructions == used
    cpu = machine.cpu
    return Ending(
        registers=tuple(cpu.r),
        ps=cpu.ps,
        memory=machine.memory.view().tobytes(),
        instructions=used,
        time_ns=machine.time_ns,
        reasons=tuple(reasons),
        printed=printed,
        frozen=machine.freeze(),
    )


def check_words(machine: minisim.Machine) -> None:
    """Registers, PC and PS are words."""
    assert all(0 <= value <= 0o177777 for value in [*machine.cpu.r, machine.cpu.pc, machine.cpu.ps])
