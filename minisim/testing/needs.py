"""The marker `needs`: a test is skipped where its machine lacks a module of the processor, or a device."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

import pytest

from minisim.devices._device import known_devices
from minisim.problems import nearest
from minisim.testing.loadouts import NoMachineError, machine_for
from minisim.trials.runner import LATER, fitted_modules
from minisim.trials.scope import LATER_BASE, modules

if TYPE_CHECKING:
    from minisim.testing.machines import MachineUnderTest

HOW = 'needs("fpp", "mmu", device="line-clock"): modules of the processor, and ids of devices'


def check(item: pytest.Item) -> None:
    """Skip the test where its machine lacks something; NoMachineError for a word that nobody knows."""
    markers = list(item.iter_markers("needs"))
    wanted = [word for marker in markers for word in _words(marker.args, modules(), "module")]
    devices = [word for marker in markers for word in _words(_devices(marker), known_devices(), "device")]
    with machine_for(item) as machine:
        lacking = _lacking(machine, wanted, devices)
        name = machine.name or machine.profile
    if lacking:
        pytest.skip(f"needs {', '.join(lacking)}: not fitted in {name}")


def _devices(marker: pytest.Mark) -> tuple[object, ...]:
    given = marker.kwargs.get("device", ())
    if set(marker.kwargs) - {"device"} or not (marker.args or given):
        raise NoMachineError(f"the marker is {HOW}")
    return (given,) if isinstance(given, str) else tuple(given)


def _words(words: Iterable[object], known: Iterable[str], what: str) -> list[str]:
    """The words, all of them known ones."""
    allowed = tuple(dict.fromkeys(known))
    for word in words:
        if word not in allowed:
            near = nearest(str(word), allowed)
            raise NoMachineError(f"needs: there is no {what} {word!r}{near} ({what}s: {', '.join(allowed)})")
    return [str(word) for word in words]


def _lacking(machine: MachineUnderTest, wanted: Iterable[str], devices: Iterable[str]) -> list[str]:
    there = {*fitted_modules(machine._raw.modules), *machine.layout.options}
    fitted = {device.id for device in machine.layout.devices}
    modules_lacking = [word for word in wanted if not set(LATER if word == LATER_BASE else (word,)) <= there]
    return list(dict.fromkeys([*modules_lacking, *(device for device in devices if device not in fitted)]))
