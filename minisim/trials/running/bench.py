"""A machine for each test program: the loadout's, with empty drives, so that none can spoil the next or an image."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from minisim.cpu._core import lib

if TYPE_CHECKING:
    from collections.abc import Iterable

    from minisim.catalogue.reader import Catalogue
    from minisim.loadout.model import Loadout
    from minisim.machine.machine import Machine

SWITCHES = "switch-register"


@dataclass(slots=True)
class Bench:
    """Makes the machine of one loadout as often as it is wanted."""

    make: Callable[[], Machine]
    core: str = "fast"

    def machine(self) -> Machine:
        """A machine as after power-up, its switches down, its drives empty."""
        machine = self.make()
        machine.core = self.core
        machine._raw.halt_switch = 0
        set_switches(machine, 0)
        return machine


def bench_of(loadout: Loadout, *, allow: Iterable[str] = (), core: str = "fast") -> Bench:
    """The bench of a loadout.  NotBuildableError: findings forbid to build it."""
    from minisim.catalogue.reader import Catalogue
    from minisim.checking import check_wired
    from minisim.machine.build import Builder, in_spite_of, refuse
    from minisim.wiring.resolve import resolve

    catalogue: Catalogue = Catalogue().beside(loadout.path)
    wired = resolve(loadout, catalogue)
    report = check_wired(wired)
    refuse(report, allow)
    return Bench(lambda: Builder(wired, catalogue, in_spite_of(report), opens_media=False).machine(), core)


def set_switches(machine: Machine, word: int) -> None:
    """The console switches, where the processor has them."""
    if any(device.id == SWITCHES for device in machine.layout.devices):
        machine.set_switches(word)


def kilobytes(machine: Machine) -> int:
    """Memory from address 0 on without a gap, in KB."""
    raw = machine._raw
    banks = raw.memory_bytes // lib.MS_BANK_BYTES
    whole = next((bank for bank in range(banks) if not raw.present[bank]), banks)
    return int(whole * lib.MS_BANK_BYTES // 1024)
