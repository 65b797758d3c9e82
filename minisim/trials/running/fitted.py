"""Can a program run on this machine?  What it lacks, in a plain sentence; where its device sits; its scratch media."""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.catalogue.reader import Catalogue
from minisim.media.geometry import geometry_of
from minisim.media.held import HeldMedium
from minisim.trials.places import where_of
from minisim.trials.runner import LATER, fitted_modules
from minisim.trials.running.bench import kilobytes
from minisim.trials.scope import LATER_BASE

if TYPE_CHECKING:
    from minisim.machine.machine import Machine
    from minisim.media.geometry import Geometry
    from minisim.trials.programs import TestProgram

LOOP_BACK = "loop-back on"


def lacking(machine: Machine, test: TestProgram) -> str:
    """Why a program can't run here; empty if it can."""
    if missing := [name for name in test.needs if not _has(machine, name)]:
        return f"the processor has no {' and no '.join(missing)}"
    if (there := kilobytes(machine)) < test.memory_kb:
        return f"it needs {test.memory_kb} KB of memory from address 0 on; there are {there}"
    if not test.device:
        return ""
    if where_of(machine, test.device) is None:
        return f"there is no {test.device} in this machine"
    if test.scratch and not drives_of(machine, test.device):
        return f"no drive that is modelled hangs on its {test.device}"
    return ""


def _has(machine: Machine, name: str) -> bool:
    """Is the module (or option) fitted, and modelled?"""
    fitted = fitted_modules(int(machine._raw.modules)) | set(machine.layout.options)
    return set(LATER if name == LATER_BASE else (name,)) <= fitted


def _tested(machine: Machine, device: str) -> list[int]:
    """The numbers of the devices that a program for this one may test, in the order of `places_of`."""
    named = [number for number, one in enumerate(machine.layout.devices) if device in (one.id, one.controller)]
    controlled = [number for number in named if machine.layout.devices[number].controller in ("", device)]
    return sorted(controlled, key=lambda number: number == machine.layout.console)


def drives_of(machine: Machine, device: str) -> list[str]:
    """The places of the drives on the first device of this kind."""
    controllers = machine._controllers.by_device
    for number in _tested(machine, device)[:1]:
        if number in controllers:
            return [drive.place for drive in controllers[number].drives.values()]
    return []


def put_in_scratch(machine: Machine, device: str) -> None:
    """A fresh blank medium, in memory, into each drive of the device; then the power comes on."""
    drives = drives_of(machine, device)
    for place in drives:
        geometry = _smallest(machine.drives[place].takes)
        if geometry is not None:
            machine.drives.put(place, HeldMedium(geometry, bytes(geometry.size)))
            machine.drives[place].protected = False
    if drives:
        machine.power_up()


def _smallest(kinds: tuple[str, ...]) -> Geometry | None:
    """The smallest medium of fixed size that a drive takes."""
    catalogue = Catalogue()
    found = [one for kind in kinds if (one := geometry_of(catalogue.medium(kind))) is not None]
    return min(found, key=lambda one: one.size, default=None)


def put_on_plugs(machine: Machine, device: str) -> None:
    """What a person would plug in for the program, as far as the model has it: the loop-back cable."""
    for number in _tested(machine, device)[:1]:
        layout = machine.layout.devices[number]
        if LOOP_BACK in layout.acts:
            machine._inputs.act(layout, LOOP_BACK)
