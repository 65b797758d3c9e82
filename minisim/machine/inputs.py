"""Everything that comes into a machine from outside goes through here, so that it can be recorded."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Protocol

from minisim.cpu._core import lib
from minisim.machine.layout import DeviceLayout
from minisim.machine.rings import drain, fill

if TYPE_CHECKING:
    from minisim.machine.hold import Hold


class Recorder(Protocol):
    """Who is told of each input; `part` is a ring, an act, or the place of a drive."""

    def note(
        self, what: str, device: int, part: str, content: bytes = b"", *, on: bool = False, medium: Any = None
    ) -> None:
        """An input that comes now, before it takes effect.

        `what` "processor": what a person does at the processor; "memory": what the host writes into it.
        """


class Inputs:
    """Bytes for rings, acts of the host, and what is done to drives."""

    def __init__(self, raw: Any, devices: Sequence[DeviceLayout], hold: Hold) -> None:
        self.raw, self.hold, self._devices = raw, hold, devices
        self.recorder: Recorder | None = None

    def feed(self, device: DeviceLayout, ring: str, data: bytes) -> None:
        """Bytes into a ring.  MachineError: not all of them found room."""
        with self.hold:
            self._note("feed", device, ring, bytes(data))
            fill(self.raw, device.rings[ring], data)

    def take_back(self, device: DeviceLayout, ring: str) -> bytes:
        """What the guest has not read of an input ring."""
        with self.hold:
            self._note("take back", device, ring)
            return drain(self.raw, device.rings[ring])

    def act(self, device: DeviceLayout, name: str) -> None:
        """What the device says the host may do: "break", "tape out"."""
        with self.hold:
            self._note("act", device, name)
            lib.ms_do_effects(self.raw, *device.acts[name], self._devices.index(device))

    def of_drive(self, what: str, place: str, *, on: bool = False, medium: Any = None) -> None:
        """Something is done to a drive; the caller does it."""
        if self.recorder is not None:
            self.recorder.note(what, 0, place, on=on, medium=medium)

    def of_processor(self, part: str, number: int) -> None:
        """A switch or key of the processor itself, with its number; the caller does it."""
        if self.recorder is not None:
            self.recorder.note("processor", 0, part, b"%o" % number)

    def into_memory(self, first: int, content: bytes) -> None:
        """The host writes bytes into memory, past the bus; the caller does it."""
        if self.recorder is not None:
            self.recorder.note("memory", 0, f"{first:o}", content)

    def _note(self, what: str, device: DeviceLayout, part: str, content: bytes = b"") -> None:
        if self.recorder is not None:
            self.recorder.note(what, self._devices.index(device), part, content)
