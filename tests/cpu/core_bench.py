"""What the tests of the core share: a processor with a program, a small device, rows of the table of differences."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest

from minisim.catalogue.model import FlagValue
from minisim.catalogue.reader import Catalogue
from minisim.cpu._core import ffi, lib
from minisim.cpu.handle import Core, Stop
from minisim.cpu.profile import named
from minisim.known import Known

AT, STACK = 0o1000, 0o700
T = 0o20
HALT = 0
PROFILES = Catalogue().ids("profiles")

# Service routines: vector v leads to 2000 + v with priority 7, where a HALT stands.
SERVICE = 0o2000


def prepared(
    profile: str,
    *words: int,
    ps: int = 0,
    sp: int = STACK,
    options: Iterable[str] | None = None,
    memory: int = 0o20000,
    registers: dict[int, int] | None = None,
) -> Core:
    """A processor with a program at 1000 and, for each vector, a HALT of its own to land on."""
    core = Core(profile, options, memory=memory)
    for vector in range(0, 0o400, 4):
        core.put(vector, SERVICE + vector, 0o340)
    core.put(AT, *words)
    core.sp = sp
    core.ps = ps
    core.pc, core.sp = AT, sp
    for number, value in (registers or {}).items():
        core[number] = value
    return core


def trapped(core: Core) -> int | None:
    """The vector whose service routine the processor has reached, if it has."""
    vector = (core.pc - SERVICE) & ~1
    return vector & ~3 if 0 <= core.pc - SERVICE < 0o400 else None


def pushed(core: Core) -> tuple[int, int]:
    """PC and PS that a trap pushed last."""
    return core.word(core.sp), core.word(core.sp + 2)


def run_to_halt(core: Core, limit: int = 100) -> int | None:
    """Run until the processor halts; the vector whose HALT it was, or None for a HALT of the program."""
    assert core.run(limit) is Stop.HALTED
    core.pc -= 2
    return trapped(core)


def rows(flag: str) -> list[Any]:
    """Every profile with the word that its row has, as parameters of a test; the evidence stands in the test's name."""
    values = ((profile, named(profile).flags[flag]) for profile in PROFILES)
    return [
        pytest.param(profile, value.model, id=f"{value.row}-{profile}-{shown(value)}")
        for profile, value in values
        if value.model != "not_applicable"
    ]


def shown(value: FlagValue) -> str:
    """The word and how well it is known."""
    figures = value.value.values() if isinstance(value.value, dict) else [value.value]
    known = [figure.evidence.value for figure in figures if isinstance(figure, Known)]  # type: ignore[union-attr]
    evidence = known[0] if value.documented and known else "model"
    return evidence if not isinstance(value.model, str) else f"{value.model}-{evidence}"


def one_each(flag: str) -> dict[str, str]:
    """For each word of a row a profile that has it."""
    return {str(named(profile).model(flag)): profile for profile in reversed(PROFILES)}


class Bell:
    """A device of one register and some request lines: bit n of the register at 760000 asks on line n.

    A timer of the same number sets the bit after `delay` ns; the bit falls when the interrupt is taken.
    """

    def __init__(self, core: Core, *lines: tuple[int, int], delay: int = 0) -> None:
        self.core, count = core, len(lines)
        effects, timers, wires = (ffi.new(f"ms_{name}[]", 2 * count) for name in ("effect", "timer", "line"))
        register, device = ffi.new("ms_register[]", 1), ffi.new("ms_device[]", 1)
        register[0].readable = register[0].writable = 0o177777
        register[0].answers, register[0].keep = 3, 0o177777
        register[0].on_read = register[0].on_write = -1
        for number, (vector, level) in enumerate(lines):
            effects[2 * number].op, effects[2 * number + 1].op = lib.MS_DO_SET, lib.MS_DO_CLEAR
            effects[2 * number].mask = effects[2 * number + 1].mask = 1 << number
            timers[number].due, timers[number].delay = lib.MS_NEVER, max(delay, 100)
            timers[number].first, timers[number].count = 2 * number, 1
            timers[number].survives_init = 1
            wires[number].flag_mask, wires[number].vector, wires[number].level = 1 << number, vector, level
            wires[number].order, wires[number].granted = number, 1
            wires[number].on_acknowledge, wires[number].on_acknowledge_count = 2 * number + 1, 1
        tables = ffi.new("ms_tables *")
        tables.registers, tables.register_count = register, 1
        tables.effects, tables.effect_count = effects, 2 * count
        tables.timers, tables.timer_count = timers, count
        tables.lines, tables.line_count = wires, count
        tables.devices, tables.device_count = device, 1
        wrong = lib.ms_load(core.raw, tables)
        assert wrong == ffi.NULL, ffi.string(wrong)
        assert lib.ms_place(core.raw, 0, lib.MS_IO_REGISTER, 0) == 0

    def ring(self, bits: int) -> None:
        """Ask at once."""
        data = ffi.new("uint16_t *", bits)
        assert lib.ms_bus_cycle(self.core.raw, lib.ms_io_base(self.core.raw), lib.MS_CYCLE_WRITE, data) == 0

    def arm(self, line: int, due: int) -> None:
        """Ask at a guest time, in ns."""
        lib.ms_arm_at(self.core.raw, line, due)


def io_read(core: Core, address: int) -> int | None:
    """A read cycle of the host at a 16-bit address; None: nobody answers."""
    data = ffi.new("uint16_t *")
    physical = lib.ms_io_base(core.raw) + (address & 0o17777)
    return None if lib.ms_bus_cycle(core.raw, physical, lib.MS_CYCLE_READ, data) else int(data[0])


def io_write(core: Core, address: int, value: int) -> bool:
    """A write cycle of the host at a 16-bit address; False: nobody answers."""
    data = ffi.new("uint16_t *", value)
    physical = lib.ms_io_base(core.raw) + (address & 0o17777)
    return not lib.ms_bus_cycle(core.raw, physical, lib.MS_CYCLE_WRITE, data)
