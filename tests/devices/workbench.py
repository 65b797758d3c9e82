"""A machine with chosen devices, whose time is moved by hand: no program runs, the bus is used directly."""

from __future__ import annotations

from dataclasses import replace

from minisim.cpu._core import lib
from minisim.cpu.profile import configuration
from minisim.devices._device import Device, Placement, model_of
from minisim.machine.assemble import put_together
from minisim.machine.machine import Machine


class Workbench:
    """Devices on a bus.  Addresses are given as a program gives them (16 bits)."""

    def __init__(self, *placements: Placement, profile: str = "two-board-ttl-mmu", bits: int = 18) -> None:
        devices: list[Device] = []
        for order, placement in enumerate(placements):
            model = model_of(placement.device)
            assert model is not None, placement.device
            devices += model.build(placement if placement.order else replace(placement, order=16 * (order + 1)))
        console = next((n for n, d in enumerate(devices) if d.id == "serial-line"), None)
        self.machine: Machine = put_together(
            configuration(profile), [(0, 0o160000)], devices, address_bits=bits, console=console
        )
        self.raw = self.machine._raw
        self.read, self.write, self.write_byte = self.machine.read, self.machine.write, self.machine.write_byte

    def wait(self, ns: int) -> None:
        """Let guest time pass."""
        self.raw.time_ns += ns
        lib.ms_run_due(self.raw)
        self.machine._controllers.raise_pending()

    def initialise(self) -> None:
        """The bus initialise signal."""
        lib.ms_bus_initialise(self.raw)

    def grant(self, priority: int = 0) -> int | None:
        """Let the processor at this priority take the best request; gives its vector, or None."""
        if self.raw.request_level <= priority:
            return None
        return int(lib.ms_acknowledge(self.raw, self.raw.request_line))

    def grants(self, priority: int = 0) -> list[int]:
        """All requests one after the other."""
        found = []
        while (vector := self.grant(priority)) is not None:
            found.append(vector)
        return found
