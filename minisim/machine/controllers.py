"""Between the core and the Python side of the devices: calls, registers, DMA, drives; and their state for a freeze."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from minisim.cpu._core import ffi, lib
from minisim.devices._controller import Controller, Drive, bytes_of, words_of
from minisim.devices._device import controller_of
from minisim.machine.errors import NotFittedError
from minisim.machine.layout import DeviceLayout
from minisim.machine.rings import drain, fill

MOST_TOLD = 100  # sentences kept; a guest must not fill the host's memory with them


class DevicePorts:
    """`Ports` of one device of one machine (minisim.devices._controller says what each does)."""

    def __init__(self, raw: Any, layout: DeviceLayout, tell: Callable[[str], None]) -> None:
        self._raw, self._layout, self._tell = raw, layout, tell

    @property
    def now_ns(self) -> int:
        return int(self._raw.time_ns if self._raw.event_ns == lib.MS_NEVER else self._raw.event_ns)

    @property
    def is_granted(self) -> bool:
        return self._layout.dma_granted

    @property
    def dma_bits(self) -> int:
        return self._layout.dma_bits

    def __getitem__(self, register: str) -> int:
        return int(self._raw.registers[self._layout.registers[register][0]].value)

    def __setitem__(self, register: str, word: int) -> None:
        self._raw.registers[self._layout.registers[register][0]].value = word

    def set(self, register: str, mask: int) -> None:
        self[register] |= mask

    def clear(self, register: str, mask: int) -> None:
        self[register] &= ~mask & 0o177777

    def arm(self, action: str, after_ns: int) -> None:
        lib.ms_arm_at(self._raw, self._layout.timers[action], self.now_ns + after_ns)

    def disarm(self, action: str) -> None:
        lib.ms_arm_at(self._raw, self._layout.timers[action], lib.MS_NEVER)

    def ask(self, line: str) -> None:
        lib.ms_ask(self._raw, self._layout.lines[line])

    def from_memory(self, address: int, words: int) -> list[int]:
        if not self.is_granted:
            return []
        room = ffi.new("uint16_t[]", max(words, 1))
        done = lib.ms_dma(self._raw, address, self.dma_bits, 0, room, words)
        return words_of(bytes(ffi.buffer(room, 2 * done)))

    def to_memory(self, address: int, words: Sequence[int]) -> int:
        if not self.is_granted:
            return 0
        room = ffi.new("uint16_t[]", max(len(words), 1))
        ffi.memmove(room, bytes_of(words), 2 * len(words))
        return int(lib.ms_dma(self._raw, address, self.dma_bits, 1, room, len(words)))

    def put(self, ring: str, data: bytes) -> None:
        fill(self._raw, self._layout.rings[ring], data)

    def take(self, ring: str) -> bytes:
        return drain(self._raw, self._layout.rings[ring])

    def tell(self, sentence: str) -> None:
        self._tell(f"{self._layout.place}: {sentence}")


class Controllers:
    """All controllers of one machine.  Keep it as long as the machine's core may run."""

    def __init__(self, raw: Any, devices: Sequence[DeviceLayout], drives: Mapping[int, Sequence[Drive]]) -> None:
        self._raw = raw
        self.pending: BaseException | None = None  # what a controller raised: whoever ran the machine gets it
        self.told: list[str] = []
        self.by_device: dict[int, Controller] = {}
        for number, layout in enumerate(devices):
            made = controller_of(layout.controller) if layout.controller else None
            if made is not None:
                ports = DevicePorts(raw, layout, self._tell)
                units = {drive.unit: drive for drive in drives.get(number, ())}
                self.by_device[number] = made(ports, units, layout.options)
        if self.by_device:
            self._handle = ffi.new_handle(self)
            raw.handle, raw.call = self._handle, lib.ms_controller_called

    def called(self, device: int, code: int, data: int) -> None:
        """From the core, in the middle of a cycle or of a timed action."""
        try:
            self.by_device[device].called(code, data)
        except BaseException as error:  # it must not get lost in C; a KeyboardInterrupt neither
            self.pending = self.pending or error
            lib.ms_request_stop(self._raw)

    def raise_pending(self) -> None:
        """Raise what a controller raised."""
        error, self.pending = self.pending, None
        if error is not None:
            self._raw.stop_request = 0  # it was for the run that has ended here, or for none
            raise error

    def drives(self) -> dict[str, tuple[Controller, Drive]]:
        """Every drive by its place."""
        return {
            drive.place: (controller, drive)
            for controller in self.by_device.values()
            for drive in controller.drives.values()
        }

    def drive(self, place: str) -> tuple[Controller, Drive]:
        """One drive by its place.  NotFittedError: there is none."""
        found = self.drives()
        if place not in found:
            there = f"; there are {', '.join(found)}" if found else ""
            raise NotFittedError(f"there is no drive at {place}{there}")
        return found[place]

    def close(self) -> None:
        """Let all media go."""
        for _, drive in self.drives().values():
            if drive.medium is not None:
                drive.medium.close()
                drive.medium = None

    def _tell(self, sentence: str) -> None:
        if len(self.told) < MOST_TOLD:
            self.told.append(sentence)


@ffi.def_extern()  # type: ignore[untyped-decorator]
def ms_controller_called(handle: Any, device: int, code: int, reg: int, data: int) -> None:
    """What the core calls (machine.h)."""
    ffi.from_handle(handle).called(device, code, data)


# --- freezing ---------------------------------------------------------------------------------------------------------


def frozen_controllers(controllers: Controllers) -> list[dict[str, Any]]:
    """State of every controller with its drives and their media."""
    return [
        {"device": number, "state": one.state(), "drives": [_frozen_drive(drive) for drive in one.drives.values()]}
        for number, one in controllers.by_device.items()
    ]


def _frozen_drive(drive: Drive) -> dict[str, Any]:
    from minisim.media.frozen import frozen_medium

    return {
        "unit": drive.unit,
        "kind": drive.kind,
        "place": drive.place,
        "takes": list(drive.takes),
        "protected": drive.protected,
        "off_line": drive.off_line,
        "state": dict(sorted(drive.state.items())),
        "cylinders": drive.cylinders,
        "medium": None if drive.medium is None else frozen_medium(drive.medium),
    }


def thawed_drives(data: list[dict[str, Any]]) -> dict[int, list[Drive]]:
    """The drives of `frozen_controllers`, by device.  ValueError and its like: foreign data."""
    return {int(one["device"]): [_thawed_drive(drive) for drive in one["drives"]] for one in data}


def _thawed_drive(data: dict[str, Any]) -> Drive:
    from minisim.media.frozen import thawed_medium

    return Drive(
        int(data["unit"]),
        str(data["kind"]),
        str(data["place"]),
        tuple(str(kind) for kind in data["takes"]),
        None if data["medium"] is None else thawed_medium(data["medium"]),
        bool(data["protected"]),
        str(data["off_line"]),
        {str(name): int(number) for name, number in data["state"].items()},
        int(data["cylinders"]),
    )


def restore(controllers: Controllers, data: list[dict[str, Any]]) -> None:
    """The states of `frozen_controllers`, after the machine's registers are back."""
    states = {int(one["device"]): one["state"] for one in data}
    if set(states) != set(controllers.by_device):
        raise ValueError("its controllers are others")
    for number, controller in controllers.by_device.items():
        controller.restore(states[number])
