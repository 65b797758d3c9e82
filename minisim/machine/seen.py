"""What can be seen of a machine without disturbing it: interrupts, devices, who answers at an address.

No cycle runs on the bus: a register that changes when a program reads it stays as it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from minisim.cpu._core import ffi, lib
from minisim.cpu.disassembler import MOST_WORDS, disassemble
from minisim.devices._device import Field, Placement, model_of

if TYPE_CHECKING:
    from minisim.devices._controller import Drive
    from minisim.machine.layout import DeviceLayout
    from minisim.machine.machine import Machine

MEMORY, NOBODY = "memory", "nobody"
_IO_BASE = 0o760000  # of the I/O page in 18 bits, as addresses of registers are written
_IO_BYTES = 0o20000
_PROCESSOR = {
    0o17776: "PS",
    0o17774: "stack limit",
    0o17772: "program interrupt request",
    0o17766: "error register",
}
_GENERAL = range(0o17700, 0o17720)
_FRAMES = {"tape": "frames of tape in the reader", "reader": "frames of tape in the terminal's reader"}


# --- interrupts -------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Interrupt:
    """One request line: who asks through which vector, and what becomes of it.

    `waiting`: a request stands; `enabled`: the program lets the device ask; `reachable`: a grant arrives at the board;
    `masked`: the processor's priority keeps such requests back now; `first`: it is the one that goes next.  `behind`
    names the waiting one in front of it on the way of the grant, where both could go.
    """

    place: str
    device: str
    name: str
    vector: int
    level: int
    order: int
    waiting: bool
    enabled: bool
    reachable: bool
    masked: bool
    first: bool
    behind: str
    taken: int
    refused: int

    @property
    def words(self) -> str:
        """The line as it is called: `serial-line, receiver`."""
        return f"{self.device}, {self.name}"


def interrupts(machine: Machine) -> tuple[Interrupt, ...]:
    """Every request line of the machine, in the order of the grant."""
    raw = machine._raw
    best = int(raw.request_line)
    names = {n: (device, name) for device in machine.layout.devices for name, n in device.lines.items()}
    in_front = f"{names[best][0].place} {names[best][1]}" if best in names else ""
    found = [_interrupt(machine, names[number], number, best, in_front) for number in names]
    return tuple(sorted(found, key=lambda one: one.order))


def _interrupt(machine: Machine, of: tuple[DeviceLayout, str], number: int, best: int, in_front: str) -> Interrupt:
    raw, (device, name) = machine._raw, of
    line = raw.lines[number]
    masked = is_masked(machine, int(line.level))
    waits = bool(line.pending)
    return Interrupt(
        place=device.place,
        device=device.id,
        name=name,
        vector=int(line.vector),
        level=int(line.level),
        order=int(line.order),
        waiting=waits,
        enabled=not line.enable_mask or bool(raw.registers[line.enable_register].value & line.enable_mask),
        reachable=bool(line.granted),
        masked=masked,
        first=waits and number == best and not masked,
        behind=in_front if waits and line.granted and not masked and number != best else "",
        taken=int(line.taken),
        refused=int(line.refused),
    )


def is_masked(machine: Machine, level: int) -> bool:
    """Does the priority in the PS keep requests of this level back?"""
    ps = machine.cpu.ps
    return bool(ps & 0o200) if machine._raw.one_level else level <= (ps >> 5 & 7)


# --- devices ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class SeenRegister:
    """A register: its address in 18 bits, what a read would give (of one that can only be written, what was written
    last), and the names of the bits that are set.
    """

    name: str
    address: int
    value: int
    fields: tuple[str, ...]
    readable: bool
    reads: int
    writes: int


@dataclass(frozen=True, slots=True)
class SeenDrive:
    """A drive, what is in it (empty: nothing), and its switches."""

    place: str
    kind: str
    medium: str
    protected: bool
    off_line: str


@dataclass(frozen=True, slots=True)
class SeenDevice:
    """A device as it stands.  `holds`: bytes that lie in it, by what they are."""

    place: str
    device: str
    registers: tuple[SeenRegister, ...]
    drives: tuple[SeenDrive, ...]
    holds: Mapping[str, int]


def devices(machine: Machine) -> tuple[SeenDevice, ...]:
    """Every device with its registers, drives and tape."""
    return tuple(_device(machine, number, device) for number, device in enumerate(machine.layout.devices))


def _device(machine: Machine, number: int, device: DeviceLayout) -> SeenDevice:
    controller = machine._controllers.by_device.get(number)
    return SeenDevice(
        place=device.place,
        device=device.id,
        registers=tuple(_register(machine, device, name) for name, (_, at) in device.registers.items() if at >= 0),
        drives=() if controller is None else tuple(map(_drive, controller.drives.values())),
        holds={
            _FRAMES[ring]: int(machine._raw.rings[index].count)
            for ring, index in device.rings.items()
            if ring in _FRAMES and machine._raw.rings[index].count
        },
    )


def _register(machine: Machine, device: DeviceLayout, name: str) -> SeenRegister:
    number, offset = device.registers[name]
    raw = machine._raw.registers[number]
    readable = bool(raw.answers & 1 and raw.readable)
    value = int(raw.value & (raw.readable if readable else raw.writable))
    fields = tuple(_set_fields(fields_of(device.id).get(name, ()), value))
    return SeenRegister(name, _IO_BASE + offset, value, fields, readable, int(raw.reads), int(raw.writes))


def _set_fields(fields: tuple[Field, ...], value: int) -> Iterator[str]:
    for field in fields:
        bits = value & field.mask
        if bits and field.mask & field.mask - 1:
            yield f"{field.name} {bits // (field.mask & -field.mask):o}"
        elif bits:
            yield field.name


@lru_cache(maxsize=64)
def fields_of(device: str) -> Mapping[str, tuple[Field, ...]]:
    """The fields of a device's registers by name, as its model has them."""
    model = model_of(device)
    made = () if model is None else model.build(Placement(device))
    return {register.name: register.fields for one in made for register in one.registers}


def _drive(drive: Drive) -> SeenDrive:
    medium = drive.medium
    shown = "" if medium is None else str(getattr(medium, "path", "")) or "a copy in memory"
    return SeenDrive(drive.place, drive.kind, shown, bool(drive.protected), drive.off_line)


# --- who answers ------------------------------------------------------------------------------------------------------


def leads_to(machine: Machine, address: int) -> int | None:
    """Where a data reference of the program leads; None where memory management lets it lead nowhere."""
    return machine._leads_to(address & 0o177776, is_instruction=False)


def peek(machine: Machine, physical: int) -> int | None:
    """The word at a physical address as a read would give it, without a read; None: nobody answers, or none can."""
    data = ffi.new("uint16_t *")
    if not 0 <= physical < 1 << machine.address_bits or physical & 1:
        return None
    return None if lib.ms_peek(machine._raw, physical, data) else int(data[0])


def instruction_words(machine: Machine, at: int) -> tuple[int, ...]:
    """The words from an address of the program on, as many as an instruction may have; fewer where none can be read."""
    words: list[int] = []
    while len(words) < MOST_WORDS and not at & 1:
        physical = machine._leads_to((at + 2 * len(words)) & 0o177777, is_instruction=True)
        word = None if physical is None else peek(machine, physical)
        if word is None:
            break
        words.append(word)
    return tuple(words)


def coming_instructions(machine: Machine) -> Iterator[tuple[int, str, bool]]:
    """The instructions from PC on as they lie there, as far as they can be read: address, text, is it a halt?"""
    at = machine.cpu.pc
    while lines := disassemble(instruction_words(machine, at), at & 0o177776):
        yield at, lines[0].text, not any(lines[0].words)
        at = (at + 2 * len(lines[0].words)) & 0o177777


def who_answers(machine: Machine, physical: int) -> str:
    """`memory`, a device with its place and register, `ROM` with its place, `processor, PS`, or `nobody`."""
    physical &= ~1
    base = (1 << machine.address_bits) - _IO_BYTES
    if physical < base:
        return NOBODY if peek(machine, physical) is None else MEMORY
    io = machine._raw.io[(physical - base) // 2]
    if io.kind == lib.MS_IO_REGISTER:
        return _register_at(machine, int(io.index))
    if io.kind == lib.MS_IO_ROM:
        return _rom_at(machine, int(io.index))
    return NOBODY if peek(machine, physical) is None else f"processor, {_of_processor(physical - base)}"


def who_answers_program(machine: Machine, address: int) -> str:
    """The same for an address of the running program."""
    physical = leads_to(machine, address)
    return "nobody: memory management gives no access" if physical is None else who_answers(machine, physical)


def _of_processor(offset: int) -> str:
    if offset in _PROCESSOR:
        return _PROCESSOR[offset]
    return "general register" if offset in _GENERAL else "memory management"


def _register_at(machine: Machine, index: int) -> str:
    for device in machine.layout.devices:
        for name, (number, _) in device.registers.items():
            if number == index:
                return f"{device.place} {device.id}, {name}"
    return NOBODY


def _rom_at(machine: Machine, index: int) -> str:
    """A window of ROM has no place of its own: it is told by the board where one alone can have it."""
    first = _IO_BASE + 2 * int(machine._raw.windows[index].first)
    boards = {device.place for device in machine.layout.devices if device.id in ("boot-rom", "boot-registers")}
    place = f" of {boards.pop()}" if len(boards) == 1 else ""
    return f"ROM{place}, from {first:06o}"
