"""Specification and core behind one interface, so that a test drives both alike.

A `State` is everything that is compared: both register sets, the stack pointer of each mode, PC, PS, memory.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, replace
from functools import cache
from typing import Protocol

import minisim
from minisim import Reason
from minisim.cpu import records

from .outcomes import Loose, Step
from .processor import IO_PAGE
from .profiles import Profile, profile
from .spec import SpecMachine

# What a run of one instruction ends with.  Stuck: it jumped to itself, as it was told.
STOPS = {Reason.LIMIT: "", Reason.STUCK: "", Reason.HALTED: "halted", Reason.WAITING: "waiting"}
POWER_UP = 0  # the address at which a machine without a boot path starts
MODES = {1: (0,), 2: (0, 3), 3: (0, 1, 3)}


@dataclass
class State:
    """All that a program can change.  `stacks` is by mode: kernel 0, supervisor 1, user 3."""

    sets: list[list[int]] = field(default_factory=lambda: [[0] * 6, [0] * 6])
    stacks: list[int] = field(default_factory=lambda: [0] * 4)
    pc: int = 0
    ps: int = 0
    memory: bytes = b""

    def copy(self) -> State:
        """A copy that shares nothing that can change."""
        return replace(self, sets=[list(s) for s in self.sets], stacks=list(self.stacks))


class Driver(Protocol):
    """What a test needs of a machine."""

    profile: Profile

    def put(self, state: State) -> None:
        """Take over a whole state."""

    def take(self, *, memory: bool = True) -> State:
        """Give the whole state; without memory it is quicker."""

    def peek(self, address: int) -> int:
        """The word at an even address of memory."""

    def step(self) -> str:
        """One instruction with its traps; "" or why it stopped: "halted", "waiting"."""

    def traps(self) -> Counter[int]:
        """Traps since the machine was made, by vector."""


@cache
def built_modules() -> frozenset[str]:
    """Modules of the core's table of instructions."""
    return frozenset(record.module for record in records())


class SpecDriver:
    """The specification.  Words of optional modules that the core has are beyond it."""

    def __init__(self, profile_id: str, memory: int = IO_PAGE) -> None:
        self.profile = profile(profile_id)
        beyond = self.profile.optional_modules() & built_modules()
        self.machine = SpecMachine(self.profile, memory, start=POWER_UP, beyond=beyond)
        self.last = Step(0)
        self.taken: Counter[int] = Counter()

    def put(self, state: State) -> None:
        """Take over a whole state."""
        self.machine.sets = [list(one) for one in state.sets]
        self.machine.stacks = list(state.stacks)
        self.machine.pc, self.machine.ps = state.pc, state.ps
        self.machine.memory[:] = state.memory

    def take(self, *, memory: bool = True) -> State:
        """Give the whole state."""
        m = self.machine
        return State([list(one) for one in m.sets], list(m.stacks), m.pc, m.ps, bytes(m.memory) if memory else b"")

    def peek(self, address: int) -> int:
        """The word at an even address of memory."""
        return int.from_bytes(self.machine.memory[address : address + 2], "little")

    def step(self) -> str:
        """One instruction; the details are in `last`.  Raises Undefined."""
        self.last = self.machine.step()
        self.taken.update(self.last.traps)
        return self.last.stop

    def last_step_wrote(self) -> bool:
        """Did the step that came to no end write to memory?"""
        return self.machine.step_now.wrote

    def traps(self) -> Counter[int]:
        """Traps since the machine was made, by vector."""
        return Counter(self.taken)

    def adopt(self, loose: Loose, other: Driver) -> None:
        """Take over from the other machine the bits that the facts leave open."""
        m, mask = self.machine, loose.mask
        found = other.take(memory=False)
        if loose.what == "ps":
            m.ps = m.ps & ~mask | found.ps & mask
        elif loose.what == "memory":
            at = loose.where & ~1
            m.memory[at : at + 2] = (self.peek(at) & ~mask | other.peek(at) & mask).to_bytes(2, "little")
        elif loose.what == "stack":
            m.stacks[loose.where] = found.stacks[loose.where]
        else:
            number, register = divmod(loose.where, 6)
            m.sets[number][register] = found.sets[number][register]


class CoreDriver:
    """The core, through the public interface only."""

    def __init__(self, profile_id: str, memory: int = IO_PAGE) -> None:
        self.profile = profile(profile_id)
        self.size = memory
        self.modes = MODES[self.profile.modes]
        self.stopped = False
        self.machine = self._new()

    def _new(self) -> minisim.Machine:
        return minisim.bare(profile=self.profile.id, memory=self.size)

    def put(self, state: State) -> None:
        """Take over a whole state: each stack pointer in its mode, each register set while it is chosen."""
        if self.stopped:  # WAIT and HALT leave more behind than registers
            self.machine, self.stopped = self._new(), False
        cpu = self.machine.cpu
        for mode in self.modes:
            cpu.ps = mode << 14
            cpu.sp = state.stacks[mode]
        for number in range(self.profile.register_sets):
            cpu.ps = number << 11
            for register, value in enumerate(state.sets[number]):
                cpu.r[register] = value
        cpu.ps = state.ps
        cpu.pc = state.pc
        self.machine.memory[0 : self.size] = state.memory

    def take(self, *, memory: bool = True) -> State:
        """Give the whole state."""
        cpu, current = self.machine.cpu, list(self.machine.cpu.r)
        sets, chosen = [[0] * 6, [0] * 6], cpu.ps >> 11 & 1
        for number in range(self.profile.register_sets):
            here = self.profile.register_sets == 1 or number == chosen
            sets[number] = current[:6] if here else [cpu.register(number, register) for register in range(6)]
        stacks = [0] * 4
        for mode in self.modes:
            stacks[mode] = cpu.stack_pointer(mode)
        return State(sets, stacks, cpu.pc, cpu.ps, self.machine.memory[0 : self.size] if memory else b"")

    def peek(self, address: int) -> int:
        """The word at an even address of memory."""
        return self.machine.memory.word(address)

    def step(self) -> str:
        """One instruction; "" or "halted", "waiting"."""
        stop = STOPS[self.machine.run(limit=1).reason]
        self.stopped = bool(stop)
        return stop

    def traps(self) -> Counter[int]:
        """Traps since the machine was made, by vector."""
        return Counter(self.machine.counters().traps)
