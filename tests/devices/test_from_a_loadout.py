"""Devices that the loadout's boards and cables bring into a machine."""

from pathlib import Path

import minisim
from minisim.catalogue import Catalogue
from minisim.cpu._core import lib
from minisim.machine.build import machine_of
from minisim.wiring.resolve import resolve

VALID = Path(__file__).parents[1] / "rules" / "valid"


def station() -> minisim.Machine:
    """A machine with a printer on its cable, a programmable clock and a parallel interface set to vector 300."""
    catalogue = Catalogue()
    return machine_of(resolve(minisim.read_loadout(VALID / "gauge-with-core.yaml"), catalogue), catalogue)


def test_the_printer_at_the_end_of_its_cable_prints_what_the_host_can_take() -> None:
    machine = station()
    for character in b"high water\n":
        machine.write(0o177516, character)
        machine._raw.time_ns += 1_000_000
        lib.ms_run_due(machine._raw)
    assert machine.take_printed("main/a/6CF") == b"high water\n"


def test_the_vectors_are_those_of_the_board() -> None:
    machine = station()
    devices = (machine.device(name) for name in ("parallel", "programmable-clock", "line-printer"))
    numbers = [number for device in devices for number in device.lines.values()]
    vectors = [int(machine._raw.lines[number].vector) for number in numbers]
    assert vectors == [0o300, 0o304, 0o104, 0o200, 0o200]  # the setting; programmable-clock-manual; firm
    assert all(machine._raw.lines[number].granted for number in numbers)
