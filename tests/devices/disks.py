"""What the tests of the cartridge disks share: a bench whose time goes from event to event, media of known content."""

from __future__ import annotations

import struct
from collections.abc import Sequence
from functools import lru_cache
from typing import Any, Self

import minisim
from minisim.catalogue import Catalogue
from minisim.cpu._core import lib
from minisim.cpu.profile import configuration
from minisim.devices._controller import Drive
from minisim.devices._device import Placement, model_of
from minisim.machine.assemble import put_together
from minisim.machine.machine import Machine
from minisim.media import geometry_of
from minisim.media.geometry import Geometry
from minisim.media.held import HeldMedium

from .workbench import Workbench

LONGEST = 3_000_000_000  # ns: longer than any function takes


@lru_cache(maxsize=8)
def geometry(kind: str) -> Geometry:
    """Of a kind of medium."""
    found = geometry_of(Catalogue().medium(kind))
    assert found is not None
    return found


@lru_cache(maxsize=8)
def numbered(kind: Geometry) -> bytes:
    """An image in which every word of a sector tells the sector and its own place."""
    long = kind.bytes_each // 2
    places = [(number * 31 + word) & 0o177777 for number in range(kind.sectors) for word in range(long)]
    return struct.pack(f"<{len(places)}H", *places)


def cartridge(kind: str, content: bytes | None = None, bad: Sequence[int] = ()) -> HeldMedium:
    """A medium, numbered unless it is given its content."""
    one = geometry(kind)
    return HeldMedium(one, numbered(one) if content is None else content, bad=bad)


class DiskBench(Workbench):
    """A controller with drives by unit; a drive without a medium is empty."""

    device = ""
    control = 0
    ready = 0o200

    def __init__(self, media: dict[int, HeldMedium | None], *, memory: int = 0o160000, **changes: Any) -> None:
        drives = tuple(Drive(unit, "", f"x:{unit}", (), medium) for unit, medium in media.items())
        model = model_of(self.device)
        assert model is not None
        devices = model.build(Placement(self.device, "x", drives=drives, order=16, **changes))
        bits = 22 if memory > 0o1000000 else 18
        made = put_together(configuration("two-board-ttl-mmu"), [(0, memory)], devices, address_bits=bits)
        self.take(made)

    def take(self, machine: Machine) -> None:
        """Around a machine."""
        self.machine, self.raw = machine, machine._raw
        self.read, self.write, self.write_byte = machine.read, machine.write, machine.write_byte

    def twin(self) -> Self:
        """The same machine frozen and thawed."""
        frozen = self.machine.freeze()
        other = object.__new__(type(self))
        other.take(minisim.thaw(frozen))
        assert other.machine.freeze() == frozen
        return other

    def drive(self, unit: int = 0) -> Drive:
        """One of the drives."""
        return self.machine.drives[f"x:{unit}"]

    def content(self, unit: int = 0) -> bytes:
        """All of the medium of a drive."""
        medium = self.drive(unit).medium
        assert medium is not None
        return medium.read(0, medium.geometry.sectors)

    def jump(self) -> bool:
        """To the next thing that is due; is there one?"""
        if self.raw.next_due == lib.MS_NEVER:
            return False
        self.wait(self.raw.next_due - self.raw.time_ns)
        return True

    def until_ready(self) -> int:
        """The controller has finished; gives how long it took."""
        began = self.raw.time_ns
        while not self.read(self.control) & self.ready:
            assert self.jump(), "nothing will ever happen"
            assert self.raw.time_ns - began <= LONGEST
        return int(self.raw.time_ns - began)

    def rest(self) -> None:
        """Everything that is due comes to its end."""
        for _ in range(200):
            if not self.jump():
                return
        raise AssertionError("it never comes to rest")
