"""Devices with names, made into the numbered tables that the core executes.

`Tables` knows how many of each thing there are and what their names became; `load` copies them into a machine.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from minisim.cpu import _core
from minisim.devices._device import Device, Effect, Guard, Register, RequestLine, Ring, TimedAction, Window
from minisim.machine.errors import MachineError

ffi, lib = _core.ffi, _core.lib

IO_WORDS = 0o10000
Row = dict[str, Any]

_RING_OPS = ("PUT",)
_TIMER_OPS = ("ARM", "ARM_IDLE", "DISARM")
_LINE_OPS = ("REQUEST", "CANCEL")


@dataclass(slots=True)
class Names:
    """Numbers of the named things of one device."""

    registers: dict[str, int] = field(default_factory=dict)
    rings: dict[str, int] = field(default_factory=dict)
    timers: dict[str, int] = field(default_factory=dict)
    lines: dict[str, int] = field(default_factory=dict)
    acts: dict[str, tuple[int, int]] = field(default_factory=dict)  # first effect and count


@dataclass(slots=True)
class Tables:
    """All tables of one machine as rows, and the places of the I/O page."""

    registers: list[Row] = field(default_factory=list)
    effects: list[Row] = field(default_factory=list)
    timers: list[Row] = field(default_factory=list)
    lines: list[Row] = field(default_factory=list)
    rings: list[Row] = field(default_factory=list)
    devices: list[Row] = field(default_factory=list)
    windows: list[Row] = field(default_factory=list)
    rom: list[int] = field(default_factory=list)
    io: dict[int, tuple[int, int]] = field(default_factory=dict)  # word of the I/O page -> kind, index
    contents: dict[int, bytes] = field(default_factory=dict)  # what lies in the input rings at first
    names: list[Names] = field(default_factory=list)

    def add(self, device: Device) -> Names:
        """One more device; where two would answer at one place, the first keeps it."""
        number, names = len(self.devices), Names()
        self.names.append(names)
        self._number(device, names)
        for register in device.registers:
            self.registers.append(self._register(register, number, names))
            if register.offset is not None:
                word = (device.base + register.offset) // 2 % IO_WORDS
                self.io.setdefault(word, (lib.MS_IO_REGISTER, len(self.registers) - 1))
        self.timers += [self._timer(timer, number, names) for timer in device.timers]
        self.lines += [self._line(line, number, names) for line in device.lines]
        self.rings += [self._ring(ring, number, names) for ring in device.rings]
        for window in device.windows:
            self._window(window, names)
        names.acts = {name: self._list(effects, names) for name, effects in device.acts.items()}
        init, power = self._list(device.on_init, names), self._list(device.on_power, names)
        self.devices.append(
            {"on_init": init[0], "on_init_count": init[1], "on_power": power[0], "on_power_count": power[1]}
        )
        return names

    def _number(self, device: Device, names: Names) -> None:
        """Give numbers to all names first, since effects may name what comes later."""
        names.registers = {r.name: index for index, r in enumerate(device.registers, len(self.registers))}
        names.rings = {r.name: index for index, r in enumerate(device.rings, len(self.rings))}
        names.timers = {t.name: index for index, t in enumerate(device.timers, len(self.timers))}
        names.lines = {line.name: index for index, line in enumerate(device.lines, len(self.lines))}

    def _list(self, effects: Sequence[Effect], names: Names) -> tuple[int, int]:
        """Append a list of effects; gives its first number and length."""
        first = len(self.effects)
        self.effects += [self._effect(effect, names) for effect in effects]
        return (first, len(effects)) if effects else (-1, 0)

    def _effect(self, effect: Effect, names: Names) -> Row:
        table = names.registers
        if effect.op in _RING_OPS:
            table = names.rings
        elif effect.op in _TIMER_OPS:
            table = names.timers
        elif effect.op in _LINE_OPS:
            table = names.lines
        origin = names.rings if effect.op == "TAKE" else names.registers
        return {
            "op": getattr(lib, f"MS_DO_{effect.op}"),
            "guards": len(effect.guards),
            "index": table[effect.name] if effect.name else 0,
            "from": origin[effect.source] if effect.source else 0,
            "mask": effect.mask,
            "guard": [self._guard(guard, names) for guard in effect.guards],
        }

    def _guard(self, guard: Guard, names: Names) -> Row:
        table = names.rings if guard.kind.startswith("RING") else names.registers
        return {
            "kind": getattr(lib, f"MS_IF_{guard.kind}"),
            "index": table[guard.name] if guard.name else 0,
            "mask": guard.mask,
            "value": guard.value,
        }

    def _register(self, register: Register, device: int, names: Names) -> Row:
        read, write = self._list(register.on_read, names), self._list(register.on_write, names)
        look = self._list(register.on_look, names)
        power = register.reset if register.power is None else register.power
        return {
            "value": power,
            "power": power,
            "reset": register.reset & ~register.kept,
            "keep": register.kept,
            "readable": register.mask("R", "RW"),
            "writable": register.mask("W", "RW"),
            "answers": ("R" in register.answers) + 2 * ("W" in register.answers),
            "device": device,
            "on_read": read[0],
            "on_read_count": read[1],
            "on_look": look[0],
            "on_look_count": look[1],
            "on_write": write[0],
            "on_write_count": write[1],
        }

    def _timer(self, timer: TimedAction, device: int, names: Names) -> Row:
        first, count = self._list(timer.effects, names)
        return {
            "due": lib.MS_NEVER,
            "delay": timer.delay,
            "period": timer.period,
            "first": first,
            "count": count,
            "device": device,
            "survives_init": timer.survives_init,
            "runs_at_power_up": timer.at_power_up,
        }

    def _line(self, line: RequestLine, device: int, names: Names) -> Row:
        first, count = self._list(line.on_acknowledge, names)
        enable = line.enable or (line.flag[0], 0)
        return {
            "flag_register": names.registers[line.flag[0]],
            "flag_mask": line.flag[1],
            "enable_register": names.registers[enable[0]],
            "enable_mask": enable[1],
            "vector": line.vector,
            "device": device,
            "order": line.order,
            "level": line.level,
            "granted": line.granted,
            "edge_only_request": line.by_request,
            "on_acknowledge": first,
            "on_acknowledge_count": count,
        }

    def _ring(self, ring: Ring, device: int, names: Names) -> Row:
        first, count = self._list(ring.on_fill, names)
        if ring.contents:
            self.contents[names.rings[ring.name]] = ring.contents
        return {"device": device, "is_output": ring.output, "on_fill": first, "on_fill_count": count}

    def _window(self, window: Window, names: Names) -> None:
        first = window.offset // 2
        row = {
            "first": first,
            "words": window.shown,
            "rom_first": len(self.rom),
            "rom_words": len(window.words),
            "page_register": names.registers[window.page_register] if window.page_register else -1,
            "page_words": window.page_words,
            "page_shift": window.page_shift,
        }
        for word in range(first, first + window.shown):
            self.io.setdefault(word, (lib.MS_IO_ROM, len(self.windows)))
        self.rom += window.words
        self.windows.append(row)


STRUCTS = {
    "registers": ("ms_register", "register_count"),
    "effects": ("ms_effect", "effect_count"),
    "timers": ("ms_timer", "timer_count"),
    "lines": ("ms_line", "line_count"),
    "rings": ("ms_ring", "ring_count"),
    "devices": ("ms_device", "device_count"),
    "windows": ("ms_window", "window_count"),
}


def load(core: Any, tables: Tables) -> None:
    """Copy tables into a machine of the core, which checks them; MachineError says what is wrong."""
    raw, kept = ffi.new("ms_tables *"), []
    for name, (struct, count) in STRUCTS.items():
        rows = ffi.new(f"{struct}[]", getattr(tables, name))
        kept.append(rows)
        setattr(raw, name, rows)
        setattr(raw, count, len(rows))
    rom = ffi.new("uint16_t[]", tables.rom)
    raw.rom, raw.rom_words = rom, len(rom)
    wrong = lib.ms_load(core, raw)
    if wrong != ffi.NULL:
        raise MachineError(f"the tables of the devices are wrong: {ffi.string(wrong).decode()}")
    for word, (kind, index) in tables.io.items():
        if lib.ms_place(core, 2 * word, kind, index):
            raise MachineError(f"nothing can be put at {0o760000 + 2 * word:06o}")
    for ring, contents in tables.contents.items():
        lib.ms_ring_restore(core, ring, contents, len(contents))
