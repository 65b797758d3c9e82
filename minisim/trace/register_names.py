"""What the registers of a machine are called, by their address on its bus."""

from __future__ import annotations

from minisim.catalogue import Catalogue
from minisim.machine.build import machine_of
from minisim.machine.errors import MachineError
from minisim.problems import InputError
from minisim.wiring.addresses import page_start
from minisim.wiring.model import Wired


def register_names(wired: Wired, catalogue: Catalogue, bits: int) -> dict[int, str]:
    """As the models call them; none where no machine can be made of the loadout."""
    try:
        machine = machine_of(wired, catalogue)
    except (MachineError, InputError):
        return {}
    with machine:
        return {
            page_start(bits) + offset: name
            for device in machine.layout.devices
            for name, (_, offset) in device.registers.items()
            if offset >= 0
        }
