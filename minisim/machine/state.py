"""The state of a machine as one hash: registers, memory, devices, media.

It does not depend on the core that ran, on what the host has taken out of the machine, nor on where the images lie: two
machines with the same hash go on alike.
"""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING, Any

import cbor2

from minisim.cpu._core import ffi, lib

if TYPE_CHECKING:
    from minisim.devices._controller import SectorMedium
    from minisim.machine.layout import DeviceLayout
    from minisim.machine.machine import Machine

# Of the core's struct: what a program can see of its processor, now or later.
_PROCESSOR = (
    *("r", "set", "stack", "n", "z", "v", "c", "stack_limit", "error_register", "program_request", "mmr", "par", "pdr"),
    *("bus_map", "ac", "fps", "fec", "fea", "float_due", "waiting", "halted", "halt_switch", "trace_due", "yellow_due"),
    *("time_ns", "instructions", "naps"),
)
_TABLES = ("keyboard", "arrival")  # numbers of rows; they follow from the loadout


def state_hash(machine: Machine) -> str:
    """SHA-256 of the state, 64 hexadecimal digits."""
    raw = machine._raw
    state = {
        "profile": machine.layout.profile,
        "options": list(machine.layout.options),
        "processor": [_plain(getattr(raw, name)) for name in _PROCESSOR],
        "ps": int(lib.ms_get_ps(raw)),
        "memory": hashlib.sha256(ffi.buffer(raw.memory, raw.memory_bytes)).digest(),
        "devices": [_device(raw, device) for device in machine.layout.devices],
        "controllers": [_controller(machine, number) for number in sorted(machine._controllers.by_device)],
    }
    if raw.octal.on:
        octal = raw.octal
        names = (name for name, _ in ffi.typeof(octal).fields if name not in _TABLES)
        state["octal console"] = [_plain(getattr(octal, name)) for name in names]
    return hashlib.sha256(cbor2.dumps(state, canonical=True)).hexdigest()


def _plain(value: Any) -> Any:
    return int(value) if isinstance(value, int) else [_plain(each) for each in value]


def _device(raw: Any, device: DeviceLayout) -> list[Any]:
    lines = [raw.lines[number] for number in device.lines.values()]
    return [
        device.id,
        device.place,
        {name: int(raw.registers[number].value) for name, (number, _) in device.registers.items()},
        {name: int(raw.timers[number].due) for name, number in device.timers.items()},
        {name: _ring(raw, number) for name, number in device.rings.items()},
        [[int(line.pending), int(line.condition)] for line in lines],
    ]


def _ring(raw: Any, number: int) -> Any:
    """Contents of what the guest reads; of what it prints, how much it was."""
    ring = raw.rings[number]
    if ring.is_output:
        return int(ring.total)
    room = ffi.new("uint8_t[]", max(int(ring.count), 1))
    lib.ms_ring_copy(raw, number, room, ring.count)
    return bytes(ffi.buffer(room, ring.count))


def _controller(machine: Machine, number: int) -> list[Any]:
    controller = machine._controllers.by_device[number]
    drives = [
        [
            drive.place,
            bool(drive.protected),
            bool(drive.off_line),
            dict(sorted(drive.state.items())),
            "" if drive.medium is None else sum_of(drive.medium),
        ]
        for drive in controller.drives.values()
    ]
    return [number, controller.state(), drives]


def sum_of(medium: SectorMedium) -> str:
    """SHA-256 of all sectors as a program reads them."""
    total, at, most = hashlib.sha256(), 0, 1024
    while at < medium.geometry.sectors:
        count = min(most, medium.geometry.sectors - at)
        total.update(medium.read(at, count))
        at += count
    return total.hexdigest()
