"""A step parted: interrupts before the instruction, the instruction itself, traps and interrupts behind it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from minisim.cpu.operands import PC, SP
from minisim.machine.records import Reason
from minisim.machine.steps import Step, StepAccess

SET = 0o4000  # bit of the PS: which register set
_VECTORS = 0o1000
_PREVIOUS_MODE = 0o30000
_PS = 0o177776  # where the PS answers: pushed there it may bring another mode, with another stack


@dataclass(frozen=True, slots=True)
class Trap:
    """A trap or an interrupt: what it read at its vector, what it pushed.  None: its stack could not be used."""

    vector: int
    pc: int
    ps: int
    old_ps: int | None = None
    old_pc: int | None = None
    stack: int | None = None  # where the old PC lies

    @property
    def emergency(self) -> bool:
        """The red zone: the old PS and PC went to 2 and 0."""
        return self.stack == 0


@dataclass(frozen=True, slots=True)
class State:
    """Registers and PS at one moment; None: not to be known from the step."""

    r: tuple[int | None, ...]
    ps: int | None


@dataclass(frozen=True, slots=True)
class Course:
    """The parts of a step, and the state just before and just after the instruction itself."""

    first: tuple[Trap, ...]
    own: tuple[StepAccess, ...]
    behind: tuple[Trap, ...]
    start: State
    end: State


def course_of(step: Step) -> Course:
    """Part a step."""
    begin = _first_fetch(step)
    first = _traps(step.accesses[:begin]) or ()
    behind: tuple[Trap, ...] = ()
    end = len(step.accesses)
    for at in range(begin + 1, end - 1):
        found = _traps(step.accesses[at:], halted=step.reason is Reason.HALTED)
        if found and found[-1].pc == step.after.r[PC]:
            behind, end = found, at
            break
    return Course(first, step.accesses[begin:end], behind, _start(step, first), _end(step, behind))


def is_torn(step: Step) -> bool:
    """Was something behind a long instruction that is not among its first accesses?"""
    return step.cut and step.after.r[PC] != (step.pc + 2 * len(step.words)) & 0o177777


def _first_fetch(step: Step) -> int:
    """Where the instruction begins among the accesses."""
    if not step.words:
        return len(step.accesses)
    fetches = (at for at, access in enumerate(step.accesses) if access.kind == "fetch" and access.address == step.pc)
    return next(fetches)


def _traps(accesses: Sequence[StepAccess], *, halted: bool = False) -> tuple[Trap, ...] | None:
    """All of these accesses as traps one behind the other; None: they are something else."""
    found: list[Trap] = []
    while accesses:
        trap, used = _trap(accesses)
        if trap is None or (used < 4 and accesses[used:] and not _is_emergency(accesses[used:])):
            return None
        if used < 4 and not accesses[used:] and not halted:
            return None
        found.append(trap)
        accesses = accesses[used:]
    return tuple(found)


def _trap(accesses: Sequence[StepAccess]) -> tuple[Trap | None, int]:
    """The trap that these accesses begin with, and how many of them are its own."""
    shape = [(access.kind, access.byte) for access in accesses[:2]]
    if shape != [("read", False), ("read", False)]:
        return None, 0
    pc, ps = accesses[0], accesses[1]
    if pc.address % 4 or pc.address >= _VECTORS or ps.address != pc.address + 2:
        return None, 0
    pushed = [access for access in accesses[2:4] if access.kind == "write" and not access.byte]
    if len(pushed) == 2 and pushed[0].address in ((pushed[1].address + 2) & 0o177777, _PS):
        return Trap(pc.address, pc.data, ps.data, pushed[0].data, pushed[1].data, pushed[1].address), 4
    used = 3 if len(accesses) > 2 and accesses[2].kind == "write" else 2
    return Trap(pc.address, pc.data, ps.data), used


def _is_emergency(accesses: Sequence[StepAccess]) -> bool:
    trap, used = _trap(accesses)
    return trap is not None and trap.vector == 4 and (used < 4 or trap.emergency)


def _start(step: Step, first: Sequence[Trap]) -> State:
    r: list[int | None] = list(step.before.r)
    r[PC] = step.pc
    if not first:
        return State(tuple(r), step.before.ps)
    last, old = first[-1], first[-1].old_ps
    if any((each.ps ^ step.before.ps) & SET for each in first):
        r[:SP] = [None] * SP
    r[SP] = last.stack
    ps = None if old is None else (last.ps & ~_PREVIOUS_MODE) | (old >> 2 & _PREVIOUS_MODE)
    return State(tuple(r), ps)


def _end(step: Step, behind: Sequence[Trap]) -> State:
    r: list[int | None] = list(step.after.r)
    if not behind and is_torn(step):
        return State((None,) * len(r), None)
    if not behind:
        return State(tuple(r), step.after.ps)
    trap = next((each for each in behind if each.old_ps is not None), behind[0])
    r[PC], old = trap.old_pc, trap.old_ps
    if old is None or trap.stack is None:
        r[SP] = None
        return State(tuple(r), None)
    if (old ^ step.after.ps) & SET:
        r[:SP] = [None] * SP
    moved = any((each.ps ^ old) >> 14 or each.stack in (None, 0) for each in behind) or (old ^ step.after.ps) >> 14
    r[SP] = None if moved else (step.after.r[SP] + 4 * len(behind)) & 0o177777
    return State(tuple(r), old)
