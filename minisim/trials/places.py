"""Where a device under test answers in a machine: what a test program is told as `at`, `by` and `unit`."""

from __future__ import annotations

from collections.abc import Iterator

from minisim.machine.layout import DeviceLayout
from minisim.machine.machine import Machine
from minisim.trials.own import Where

IO_PAGE = 0o160000  # in 16-bit addresses


def where_of(machine: Machine, device: str) -> Where | None:
    """The first device of this id that a program should test, or None where the machine has none of them.

    The console line comes last: a program that prints over it can't test it freely.
    """
    found = places_of(machine, device)
    return found[0] if found else None


def places_of(machine: Machine, device: str) -> tuple[Where, ...]:
    """All devices of this id, the console line last.  A drive at the end of a serial line is found by its own id."""
    return tuple(_where(machine, number) for number in _numbers(machine, device))


def _numbers(machine: Machine, device: str) -> list[int]:
    console, devices = machine.layout.console, machine.layout.devices
    found = [number for number, layout in enumerate(devices) if _tested_as(layout) == device]
    return sorted(found, key=lambda number: number == console)


def _tested_as(layout: DeviceLayout) -> str:
    """A line with a controller at its far end is that controller's: the line is not free for a test of its own."""
    return layout.controller or layout.id


def _where(machine: Machine, number: int) -> Where:
    layout = machine.layout.devices[number]
    offsets = [offset for _, offset in layout.registers.values() if offset >= 0]
    lines = sorted(layout.lines.values())
    return Where(
        address=IO_PAGE | min(offsets) if offsets else None,
        vector=int(machine._raw.lines[lines[0]].vector) if lines else None,
        unit=min(_loaded(machine, number), default=0),
    )


def _loaded(machine: Machine, number: int) -> Iterator[int]:
    """Units of the drives with a medium in them."""
    controller = machine._controllers.by_device.get(number)
    drives = {} if controller is None else controller.drives
    return (unit for unit, drive in drives.items() if drive.is_loaded)
