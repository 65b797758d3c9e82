"""Puts a machine together from a processor, memory and devices.  Where these come from, this file does not care."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from minisim.cpu._core import ffi, lib
from minisim.cpu.handle import configure
from minisim.cpu.profile import Configuration
from minisim.devices._device import Device
from minisim.machine.controllers import Controllers
from minisim.machine.errors import MachineError
from minisim.machine.layout import Layout, of_device
from minisim.machine.machine import Machine
from minisim.machine.records import Timing
from minisim.machine.tables import Tables, load

IO_BYTES = 0o20000


@dataclass(frozen=True, slots=True)
class Source:
    """Where a machine comes from: name, hash of the loadout, place of the processor, PC and PS of power-up."""

    name: str = ""
    sha256: str = ""
    place: str = ""
    start: tuple[int, int] | None = None
    start_how: str = ""
    starts_at_console: bool = False  # power-up enters the octal console
    notes: tuple[str, ...] = ()


def put_together(
    configuration: Configuration,
    memory: Iterable[tuple[int, int]],
    devices: Sequence[Device] = (),
    *,
    address_bits: int,
    console: int | None = None,
    source: Source | None = None,
) -> Machine:
    """A machine with memory at (start, bytes) and devices in their places, as after power-up."""
    source = source or Source()
    raw = new_raw(memory, address_bits)
    configure(raw, configuration)
    tables = Tables()
    names = [tables.add(device) for device in devices]
    load(raw, tables)
    layout = Layout(
        profile=configuration.profile,
        options=tuple(sorted(configuration.options)),
        devices=tuple(of_device(device, each) for device, each in zip(devices, names, strict=True)),
        console=console,
        place=source.place,
        name=source.name,
        sha256=source.sha256,
        start=source.start,
        start_how=source.start_how,
        notes=source.notes,
    )
    _wire_octal_console(raw, layout, source.starts_at_console)
    controllers = Controllers(raw, layout.devices, {number: one.drives for number, one in enumerate(devices)})
    lib.ms_power_up(raw, *(source.start or (0, 0)))
    controllers.raise_pending()
    return Machine(raw, layout, timing_of(configuration), controllers)


def _wire_octal_console(raw: Any, layout: Layout, at_power_up: bool) -> None:
    """The octal console speaks on the console line; it asks there whether a key may still come."""
    raw.octal.at_power_up = at_power_up
    if layout.console is not None:
        line = layout.devices[layout.console]
        raw.octal.keyboard, raw.octal.arrival = line.rings["keyboard"], line.timers["receive"]


def new_raw(memory: Iterable[tuple[int, int]], address_bits: int) -> Any:
    """A machine of the core with memory; what lies under the I/O page or above the bus is not there."""
    top = (1 << address_bits) - IO_BYTES
    banks = [(start, min(size, top - start)) for start, size in memory if start < top]
    raw = lib.ms_new(max((start + size for start, size in banks), default=0), address_bits)
    if raw == ffi.NULL:
        raise MemoryError("no memory for a machine")
    raw = ffi.gc(raw, lib.ms_free)
    for start, size in banks:
        if lib.ms_fit_memory(raw, start, size):
            raise MachineError(f"memory at {start:o} does not begin at a multiple of {lib.MS_BANK_BYTES:o}")
    return raw


def timing_of(configuration: Configuration) -> Timing:
    """How long an instruction takes, and where that is from."""
    timing = configuration.timing
    text = {
        "assumed": f"{timing.base_ns} ns an instruction, assumed: no time is documented for {configuration.profile}",
        "average": f"{timing.base_ns} ns an instruction, the average of one published mix",
        "cycle table": f"{timing.base_ns} ns an instruction and {timing.cycle_ns} ns a memory cycle",
        "model": f"{timing.base_ns} ns an instruction and {timing.cycle_ns} ns a memory cycle, by the measured ones",
    }[timing.rest]
    if timing.table is None:
        return Timing(timing.base_ns, timing.cycle_ns, timing.basis, text)
    strength = tuple(timing.table.strength().items())
    counts = ", ".join(f"{count} {word}" for word, count in strength)
    text = f"a table of instruction times ({counts}); the other instructions: {text}"
    return Timing(timing.base_ns, timing.cycle_ns, timing.basis, text, strength)
