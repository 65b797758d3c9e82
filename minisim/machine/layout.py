"""What the numbers of a machine's tables mean: names, places, and where the machine came from.  Plain data, frozen
with it.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any

from minisim.devices._device import Device
from minisim.machine.tables import Names


@dataclass(frozen=True, slots=True)
class DeviceLayout:
    """One device: the numbers behind its names.  `registers` maps a name to (number, I/O-page offset or -1 for a
    hidden one).
    """

    id: str
    place: str
    registers: dict[str, tuple[int, int]]
    rings: dict[str, int]
    lines: dict[str, int]
    acts: dict[str, tuple[int, int]]
    finishes: tuple[int, ...] = ()  # timed actions that go on when the processor has halted
    timers: dict[str, int] = field(default_factory=dict)
    controller: str = ""  # id of the model whose Python side answers
    options: dict[str, int | str] = field(default_factory=dict)
    dma_bits: int = 18
    dma_granted: bool = True


@dataclass(frozen=True, slots=True)
class Layout:
    """One machine: processor, devices, where it came from, how it starts."""

    profile: str
    options: tuple[str, ...]
    devices: tuple[DeviceLayout, ...] = ()
    console: int | None = None  # index of the device that is the console line
    place: str = ""  # of the processor
    name: str = ""
    sha256: str = ""  # of the loadout's file
    start: tuple[int, int] | None = None  # PC and PS of power-up
    start_how: str = ""
    first_pc: int | None = None  # PC of the first instruction that ran
    notes: tuple[str, ...] = field(default=())


def of_device(device: Device, names: Names) -> DeviceLayout:
    """The layout of one device after its names got numbers."""
    return DeviceLayout(
        id=device.id,
        place=device.place,
        registers={
            r.name: (names.registers[r.name], -1 if r.offset is None else (device.base + r.offset) & 0o17777)
            for r in device.registers
        },
        rings=dict(names.rings),
        lines=dict(names.lines),
        acts=dict(names.acts),
        finishes=tuple(names.timers[name] for name in device.finishes),
        timers=dict(names.timers),
        controller=device.controller,
        options=dict(device.options),
        dma_bits=device.dma_bits,
        dma_granted=device.dma_granted,
    )


def to_data(layout: Layout) -> dict[str, Any]:
    """As plain data."""
    return asdict(layout)


def from_data(data: dict[str, Any]) -> Layout:
    """From plain data; TypeError, KeyError or ValueError where it is none of ours."""
    devices = tuple(_device(each) for each in data["devices"])
    start = data["start"]
    return Layout(
        profile=_text(data["profile"]),
        options=tuple(_text(each) for each in data["options"]),
        devices=devices,
        console=None if data["console"] is None else _index(data["console"], len(devices)),
        place=_text(data["place"]),
        name=_text(data["name"]),
        sha256=_text(data["sha256"]),
        start=None if start is None else (_word(start[0]), _word(start[1])),
        start_how=_text(data["start_how"]),
        first_pc=None if data["first_pc"] is None else _word(data["first_pc"]),
        notes=tuple(_text(each) for each in data["notes"]),
    )


def _device(data: dict[str, Any]) -> DeviceLayout:
    def pair(value: list[int]) -> tuple[int, int]:
        return int(value[0]), int(value[1])

    return DeviceLayout(
        id=_text(data["id"]),
        place=_text(data["place"]),
        registers={_text(name): pair(value) for name, value in data["registers"].items()},
        rings={_text(name): int(value) for name, value in data["rings"].items()},
        lines={_text(name): int(value) for name, value in data["lines"].items()},
        acts={_text(name): pair(value) for name, value in data["acts"].items()},
        finishes=tuple(int(number) for number in data["finishes"]),
        timers={_text(name): int(value) for name, value in data["timers"].items()},
        controller=_text(data["controller"]),
        options={_text(name): _plain(value) for name, value in data["options"].items()},
        dma_bits=int(data["dma_bits"]),
        dma_granted=bool(data["dma_granted"]),
    )


def _plain(value: object) -> int | str:
    if not isinstance(value, int | str):
        raise TypeError("a number or a text is expected")
    return value


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise TypeError("a text is expected")
    return value


def _word(value: object) -> int:
    if not isinstance(value, int) or not 0 <= value <= 0o177777:
        raise ValueError("a word is expected")
    return value


def _index(value: object, size: int) -> int:
    if not isinstance(value, int) or not 0 <= value < size:
        raise ValueError("an index lies outside")
    return value
