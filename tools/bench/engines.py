"""What does a piece of work: our two cores, C for this computer, the `unicorn` library; all have the same handles."""

from __future__ import annotations

import ctypes
import os
import shutil
import subprocess
import tempfile
from importlib import import_module
from pathlib import Path
from typing import Any, Protocol

import minisim
from bench import layout
from bench.workloads import LOOP, Workload

FAST, REFERENCE, NATIVE, LIBRARY, LIBRARY_APART = (
    "fast core", "reference core", "native C", "unicorn", "unicorn, code apart",
)  # fmt: skip
CORES = {FAST: "fast", REFERENCE: "reference"}
PROFILE = "late-ttl-commercial"  # one without printed times of instructions: those cost something of their own
FOR_EVER = 1 << 40
NATIVE_REPEATS = 8  # it is so much faster that one run is too short to time


class BenchError(Exception):
    """An engine did not do the work; the message says which and what."""


class Engine(Protocol):
    """One way of doing one workload."""

    @property
    def name(self) -> str:
        """How the report calls it."""

    @property
    def repeats(self) -> int:
        """How often the work is done in one round."""

    def prepare(self, amount: int) -> None:
        """Put everything as it is before so many passes (of the mix: so many instructions)."""

    def run(self) -> None:
        """Do them.  This is what is timed."""

    def result(self) -> bytes:
        """What came out: the same for all engines."""


# --- our cores --------------------------------------------------------------------------------------------------------


def set_core(machine: minisim.Machine, name: str) -> None:
    """Choose the core that runs this machine: "fast" or "reference"."""
    machine.core = name


def put(machine: minisim.Machine, text: str) -> None:
    """A program of our assembler into memory."""
    for block in minisim.assemble(text).blocks:
        machine.memory[block.address : block.address + len(block.data)] = block.data


def begin(machine: minisim.Machine, at: int = layout.CODE) -> None:
    """PC and stack pointer at the start of a program, PS 0."""
    machine.cpu.ps, machine.cpu.pc, machine.cpu.sp = 0, at, layout.CODE


class Guest:
    """A loop on one of our cores; it ends with HALT."""

    repeats = 1

    def __init__(self, name: str, workload: Workload) -> None:
        self.name = name
        self.machine = minisim.bare(profile=PROFILE)
        set_core(self.machine, CORES[name])
        put(self.machine, workload.text)
        self._before = 0

    def prepare(self, amount: int) -> None:
        """Registers 0, memory fresh."""
        self.machine.memory[layout.PASSES : layout.END] = layout.fresh(amount)
        for number in range(6):
            self.machine.cpu.r[number] = 0
        begin(self.machine)
        self._before = self.machine.instructions

    def run(self) -> None:
        """To the HALT."""
        stop = self.machine.run(limit=FOR_EVER)
        if stop.reason is not minisim.Reason.HALTED:
            raise BenchError(f"the {self.name} did not come to the end: {stop}")

    def result(self) -> bytes:
        """The compared memory."""
        return self.machine.memory[layout.PASSES : layout.END]

    def instructions(self) -> int:
        """How many the last run took."""
        return self.machine.instructions - self._before

    def inside(self) -> bytes:
        """All that our two cores must have in common: instructions, time, PS, registers, memory."""
        machine = self.machine
        numbers = (machine.instructions, machine.time_ns, machine.cpu.ps, *machine.cpu.r)
        return repr(numbers).encode() + machine.memory[0 : len(machine.memory)]


class MixGuest(Guest):
    """The mix on one of our cores; it has no end, so its amount counts instructions."""

    def __init__(self, name: str, text: str) -> None:
        super().__init__(name, Workload("mix", "", ""))
        self._program = minisim.assemble(text)
        self._amount = 0

    def prepare(self, amount: int) -> None:
        """Registers 0, program and data fresh."""
        super().prepare(1)
        for block in self._program.blocks:
            self.machine.memory[block.address : block.address + len(block.data)] = block.data
        self._amount = amount

    def run(self) -> None:
        """So many instructions."""
        stop = self.machine.run(limit=self._amount)
        if stop.reason is not minisim.Reason.LIMIT:
            raise BenchError(f"the mix left its way on the {self.name}: {stop}")

    def result(self) -> bytes:
        """Everything: only our own cores run it."""
        return self.inside()


# --- native C ---------------------------------------------------------------------------------------------------------


def compiler() -> list[str] | None:
    """The C compiler as a command: CC, else the first of the usual names; None where there is none."""
    for name in (os.environ.get("CC", ""), "cc", "gcc", "clang"):
        words = name.split()
        if words and shutil.which(words[0]):
            return words
    return None


def compiler_name(command: list[str]) -> str:
    """The first line of what the compiler says about itself."""
    said = subprocess.run([*command, "--version"], capture_output=True, text=True, check=False).stdout.splitlines()
    return said[0] if said else command[0]


def compiled(command: list[str]) -> ctypes.CDLL:
    """native.c as a shared object, compiled with -O2.  BenchError: the compiler refuses it."""
    names = ("PASSES", "FIRST_RESULT", "SECOND_RESULT", "LEFT", "RIGHT", "DATA", "SECOND_DATA")
    places = [f"-D{name}={getattr(layout, name)}" for name in names]
    source = Path(__file__).with_name("native.c")
    with tempfile.TemporaryDirectory() as folder:
        made = Path(folder) / "native.so"
        command = [*command, "-O2", "-shared", "-fPIC", *places, "-o", str(made), str(source)]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        if done.returncode:
            raise BenchError(f"the C compiler refuses native.c: {done.stderr.strip().splitlines()[:1]}")
        return ctypes.CDLL(str(made))


class Native:
    """A loop compiled for this computer."""

    name = NATIVE
    repeats = NATIVE_REPEATS

    def __init__(self, code: ctypes.CDLL, workload: Workload) -> None:
        self._memory = ctypes.create_string_buffer(layout.SIZE)
        self._call = getattr(code, workload.name)
        self._call.argtypes, self._call.restype = [ctypes.c_void_p], None
        self._address = ctypes.addressof(self._memory)

    def prepare(self, amount: int) -> None:
        """Memory fresh."""
        data = layout.fresh(amount)
        ctypes.memmove(self._address + layout.PASSES, data, len(data))

    def run(self) -> None:
        """All passes."""
        self._call(self._address)

    def result(self) -> bytes:
        """The compared memory."""
        return ctypes.string_at(self._address + layout.PASSES, layout.END - layout.PASSES)


# --- the library ------------------------------------------------------------------------------------------------------


def library() -> Any | None:
    """The module `unicorn` with the register names of x86, or None where it can't be imported."""
    try:
        import_module("unicorn.x86_const")
        return import_module("unicorn")
    except (ImportError, OSError):
        return None


class Library:
    """A loop as x86-16 code in the library.

    Its memory is as ours: a program may write and execute all of it.  With `apart` data can't be executed and code
    can't be written, which spares it the look at each store, and which no machine of ours could promise.
    """

    repeats = 1

    def __init__(self, unicorn: Any, workload: Workload, *, apart: bool = False) -> None:
        self.name = LIBRARY_APART if apart else LIBRARY
        self._end = layout.OTHER_CODE + len(workload.other_code)
        self._registers = unicorn.x86_const
        self.engine = unicorn.Uc(unicorn.UC_ARCH_X86, unicorn.UC_MODE_16)
        data, code = unicorn.UC_PROT_ALL, unicorn.UC_PROT_ALL
        if apart:
            data = unicorn.UC_PROT_READ | unicorn.UC_PROT_WRITE
            code = unicorn.UC_PROT_READ | unicorn.UC_PROT_EXEC
        self.engine.mem_map(0, layout.OTHER_CODE, data)
        self.engine.mem_map(layout.OTHER_CODE, layout.SIZE - layout.OTHER_CODE, code)
        self.engine.mem_write(layout.OTHER_CODE, workload.other_code)

    def prepare(self, amount: int) -> None:
        """Memory fresh, stack pointer in its place."""
        self.engine.mem_write(layout.PASSES, layout.fresh(amount))
        self.engine.reg_write(self._registers.UC_X86_REG_SP, layout.OTHER_STACK)

    def run(self) -> None:
        """To the end of the code."""
        self.engine.emu_start(layout.OTHER_CODE, self._end)

    def part(self, at: int, count: int) -> int:
        """So many instructions from `at` on; where it stands then."""
        self.engine.emu_start(at, self._end, count=count)
        return int(self.engine.reg_read(self._registers.UC_X86_REG_IP))

    def result(self) -> bytes:
        """The compared memory."""
        return bytes(self.engine.mem_read(layout.PASSES, layout.END - layout.PASSES))


def passes_for(name: str, instructions: int) -> tuple[int, int]:
    """Passes of a loop that take about so many instructions, and how many they take exactly."""
    guest = Guest(REFERENCE, LOOP[name])
    guest.prepare(1)
    guest.run()
    a_pass = guest.instructions() - 1  # without the HALT
    passes = max(1, min(layout.MOST_PASSES, instructions // a_pass))
    return passes, passes * a_pass + 1
