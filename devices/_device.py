"""The words a device model is written in: fields, registers, effects, timed actions, request lines, rings, windows.

A model is a file beside this one, named for the device id of the catalogue with underscores (`serial-line` is
`serial_line.py`).  It has a docstring that says what the device is, `NOT_MODELLED` (sentences shown to users) and
`build(placement) -> Device`.  Names inside a device are local to it; numbers come in when a machine is put together.
Bits are masks; register offsets count in bytes from the base of the device; times are nanoseconds of guest time.
"""

from __future__ import annotations

import importlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from typing import Any, Protocol, cast

from minisim.devices._controller import Controller, Drive, Options

SECOND = 1_000_000_000


def bit(number: int) -> int:
    """The mask of one bit."""
    return 1 << number


def bits(high: int, low: int) -> int:
    """The mask of a run of bits."""
    return (1 << (high + 1)) - (1 << low)


# --- registers ----------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Field:
    """Some bits of a register.  access: R read only, W write only, RW both, R0 answers but always reads 0."""

    name: str
    mask: int
    access: str
    what: str
    source: str = "unconfirmed"
    reset: int = 0  # value of these bits after bus initialise, in place
    kept: bool = False  # bus initialise leaves them alone; then `reset` is the value at power-up


@dataclass(frozen=True, slots=True)
class Register:
    """A word of the I/O page at `offset` from the base of its device, or a hidden one (offset None) that only effects
    see.
    """

    name: str
    offset: int | None
    fields: tuple[Field, ...] = ()
    on_look: tuple[Effect, ...] = ()  # before a read takes the value
    on_read: tuple[Effect, ...] = ()  # after it
    on_write: tuple[Effect, ...] = ()
    answers: str = "RW"  # R: a write times out; W: a read times out
    source: str = "unconfirmed"
    power: int | None = None  # value at power-up where it differs from that after initialise (hidden registers)

    def mask(self, *accesses: str) -> int:
        """All bits whose access is one of `accesses`."""
        return sum(part.mask for part in self.fields if part.access in accesses)

    @property
    def reset(self) -> int:
        """The word after bus initialise, kept bits as at power-up."""
        return sum(part.reset for part in self.fields)

    @property
    def offset_or_0(self) -> int:
        """The offset, 0 for a hidden register."""
        return self.offset or 0

    @property
    def kept(self) -> int:
        """Bits that bus initialise leaves alone (all of a hidden register)."""
        return 0o177777 if self.offset is None else sum(part.mask for part in self.fields if part.kept)


def named(access: str, source: str = "unconfirmed", **masks: int) -> tuple[Field, ...]:
    """Bits whose name says it all: `no_memory=bit(13)`."""
    words = ((name.replace("_", " "), mask) for name, mask in masks.items())
    return tuple(Field(name, mask, access, name, source) for name, mask in words)


# --- guards and effects -------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Guard:
    """A condition; `name` is a register or a ring of the device."""

    kind: str
    name: str = ""
    mask: int = 0
    value: int = 0


def is_set(register: str, mask: int) -> Guard:
    """All bits of `mask` are 1."""
    return Guard("VALUE", register, mask, mask)


def is_clear(register: str, mask: int) -> Guard:
    """All bits of `mask` are 0."""
    return Guard("VALUE", register, mask, 0)


def is_value(register: str, mask: int, value: int) -> Guard:
    """The bits of `mask` are exactly `value`."""
    return Guard("VALUE", register, mask, value)


def is_not_value(register: str, mask: int, value: int) -> Guard:
    """The bits of `mask` are something else than `value`."""
    return Guard("NOT_VALUE", register, mask, value)


def some_set(register: str, mask: int) -> Guard:
    """At least one bit of `mask` is 1."""
    return Guard("NOT_VALUE", register, mask, 0)


def written(mask: int, value: int) -> Guard:
    """The write covers all bits of `mask` and puts `value` there."""
    return Guard("WRITTEN", "", mask, value)


def touched(mask: int) -> Guard:
    """The write covers some bit of `mask` (a byte write to the other byte does not)."""
    return Guard("TOUCHED", "", mask)


def rose(mask: int) -> Guard:
    """A bit of `mask` went from 0 to 1 in the register written."""
    return Guard("ROSE", "", mask)


def fell(mask: int) -> Guard:
    """A bit of `mask` went from 1 to 0 in the register written."""
    return Guard("FELL", "", mask)


def has(ring: str) -> Guard:
    """The ring holds at least one byte."""
    return Guard("RING_HAS", ring)


def empty(ring: str) -> Guard:
    """The ring holds nothing."""
    return Guard("RING_EMPTY", ring)


@dataclass(frozen=True, slots=True)
class Effect:
    """One act, done if all guards hold at its turn.  Effects of a list run in order and see what the earlier ones
    did.
    """

    op: str
    name: str = ""  # register, ring, timed action or request line
    source: str = ""  # register or ring it takes from
    mask: int = 0
    guards: tuple[Guard, ...] = ()

    def when(self, *guards: Guard) -> Effect:
        """The same act under further conditions (three at most)."""
        return replace(self, guards=self.guards + guards)


def set_bits(register: str, mask: int) -> Effect:
    """Bits become 1."""
    return Effect("SET", register, "", mask)


def clear_bits(register: str, mask: int) -> Effect:
    """Bits become 0."""
    return Effect("CLEAR", register, "", mask)


def copy_bits(register: str, source: str, mask: int) -> Effect:
    """Bits of `mask` from another register."""
    return Effect("COPY", register, source, mask)


def add(register: str, amount: int) -> Effect:
    """The whole register counts up by `amount`, modulo 2^16; a negative amount counts down."""
    return Effect("COUNT", register, "", amount & 0o177777)


def take(register: str, ring: str, mask: int = 0o377) -> Effect:
    """The next byte of a ring into the low bits of a register (0 if there is none)."""
    return Effect("TAKE", register, ring, mask)


def put(ring: str, register: str, mask: int = 0o377) -> Effect:
    """The low byte of a register to the end of a ring."""
    return Effect("PUT", ring, register, mask)


def store(register: str, mask: int = 0o177777) -> Effect:
    """Bits of what is being written, into another register than the one that is written."""
    return Effect("STORE", register, "", mask)


def arm(action: str) -> Effect:
    """The timed action falls due after its delay, from now."""
    return Effect("ARM", action)


def arm_idle(action: str) -> Effect:
    """The same, unless it is already running."""
    return Effect("ARM_IDLE", action)


def disarm(action: str) -> Effect:
    """The timed action does not fall due."""
    return Effect("DISARM", action)


def request(line: str) -> Effect:
    """The line asks for an interrupt, whatever its flag does, if its enable holds."""
    return Effect("REQUEST", line)


def halt_processor() -> Effect:
    """The halt line of the bus is pulled."""
    return Effect("HALT")


def call_model(code: int) -> Effect:
    """Calls the model's Python side with a code (rare: media and packets)."""
    return Effect("CALL", "", "", code)


def block(*effects: Effect, when: tuple[Guard, ...]) -> tuple[Effect, ...]:
    """Several acts under the same conditions, each looked at afresh."""
    return tuple(effect.when(*when) for effect in effects)


# --- the rest of a device -----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class TimedAction:
    """Effects that fall due after a delay, or every `period`."""

    name: str
    delay: int
    effects: tuple[Effect, ...]
    period: int = 0
    survives_init: bool = False
    at_power_up: bool = False


@dataclass(frozen=True, slots=True)
class RequestLine:
    """An interrupt request: the rising edge of (some flag bit AND the enable), unless only `request` makes it."""

    name: str
    flag: tuple[str, int]
    enable: tuple[str, int] | None
    vector: int
    level: int
    order: int
    granted: bool
    by_request: bool = False
    on_acknowledge: tuple[Effect, ...] = ()


@dataclass(frozen=True, slots=True)
class Ring:
    """Bytes between the host and the guest.  `contents` lie in it when the machine is made."""

    name: str
    output: bool
    on_fill: tuple[Effect, ...] = ()
    contents: bytes = b""


@dataclass(frozen=True, slots=True)
class Window:
    """ROM words at an offset of the I/O page; with `page_register` the window shows one of several pages."""

    offset: int
    words: tuple[int, ...]
    shown: int  # words of the I/O page it fills
    page_register: str = ""
    page_words: int = 128
    page_shift: int = 0


@dataclass(frozen=True, slots=True)
class Device:
    """One device in its place, ready to be put into a machine."""

    id: str
    place: str
    base: int
    registers: tuple[Register, ...] = ()
    timers: tuple[TimedAction, ...] = ()
    lines: tuple[RequestLine, ...] = ()
    rings: tuple[Ring, ...] = ()
    windows: tuple[Window, ...] = ()
    on_init: tuple[Effect, ...] = ()
    on_power: tuple[Effect, ...] = ()
    acts: Mapping[str, tuple[Effect, ...]] = field(default_factory=dict)  # what the host may do: "break", "tape out"
    finishes: tuple[str, ...] = ()  # timed actions that go on to their end when the processor has halted
    notes: tuple[str, ...] = ()
    controller: str = ""  # id of the model whose CONTROLLER answers `call_model`
    options: Options = field(default_factory=dict)  # what it is told about this board
    drives: tuple[Drive, ...] = ()
    dma_bits: int = 18
    dma_granted: bool = True


@dataclass(frozen=True, slots=True)
class RomWords:
    """Words of ROM that stand in a socket or window at an I/O-page offset."""

    at: int
    words: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Placement:
    """Where one device of one board sits and what it is connected to, as Wired and the loadout say."""

    device: str
    place: str = ""
    board: str = ""
    base: int | None = None
    vectors: tuple[tuple[int, int], ...] = ()  # (vector, level)
    order: int = 0  # place along the grant chain; the processor's own devices have 0
    granted: bool = True
    variant: Mapping[str, str] = field(default_factory=dict)  # how this board differs: feature -> yes or no
    settings: Mapping[str, str] = field(default_factory=dict)
    lines: int = 1
    line: int = 0  # which line of the board the first one is
    bauds: tuple[str, ...] = ()  # of each line; missing or "": 9600
    tapes: tuple[bytes | None, ...] = ()  # paper tape in the reader of each line, or of the device
    attached: tuple[str, ...] = ()  # kinds of what hangs on its cables: the controllers of the drives
    far_baud: str = ""  # speed of what hangs on the line, where it is stated
    pulses: bool = True  # line-frequency pulses arrive
    gate: bool = False  # a board has the register at 777546 that can hold the event line down
    gated: bool = False  # its switch lets the program do so
    register: int = 0  # switch register
    roms: tuple[RomWords, ...] = ()
    windows: tuple[tuple[int, int], ...] = ()  # (offset, words)
    start: int | None = None  # the start word of the boot board's switches
    drives: tuple[Drive, ...] = ()  # on its cables, with what is put in
    dma_bits: int = 18  # address lines that the board drives
    dma_granted: bool = True  # a grant for DMA arrives at the board

    def features(self, known: Iterable[str]) -> dict[str, bool]:
        """The board's differences under the names of fields; ValueError for one the device does not know."""
        if strange := set(self.variant) - {name.replace("_", "-") for name in known}:
            raise ValueError(f"{self.device} of {self.board}: no such difference: {', '.join(sorted(strange))}")
        return {name.replace("-", "_"): word == "yes" for name, word in self.variant.items()}

    def vector(self, number: int, default: int) -> int:
        """The vector of that number, or the default where the board's is not known."""
        return self.vectors[number][0] if number < len(self.vectors) else default

    def level(self, number: int, default: int) -> int:
        """The request level of that vector."""
        return self.vectors[number][1] if number < len(self.vectors) else default

    def at(self, usual: int) -> int:
        """The base of the device: as the board is set, else its usual one."""
        return usual if self.base is None else self.base

    def request(
        self,
        name: str,
        flag: tuple[str, int],
        enable: tuple[str, int] | None,
        usual: tuple[int, int],
        *,
        number: int = 0,
        step: int | None = None,
        by_request: bool = False,
        on_acknowledge: tuple[Effect, ...] = (),
    ) -> RequestLine:
        """A request line: vector and level of that number as the board has them, else the `usual` ones.

        `step` is its place among the lines of the board, along the grant chain; `number` where it is not given.
        """
        vector, level = self.vector(number, usual[0]), self.level(number, usual[1])
        order = self.order + (number if step is None else step)
        return RequestLine(name, flag, enable, vector, level, order, self.granted, by_request, on_acknowledge)

    def with_drives(self, device: Device) -> Device:
        """The device with the drives on its cables and its way to memory, moved by the controller of its model."""
        return replace(
            device,
            controller=device.id,
            drives=self.drives,
            dma_bits=self.dma_bits,
            dma_granted=self.dma_granted,
        )


class DeviceModel(Protocol):
    """What a model file offers."""

    __doc__: str | None
    NOT_MODELLED: tuple[str, ...]

    def build(self, placement: Placement) -> tuple[Device, ...]:
        """The devices of one placement (several for a board of several lines)."""


@lru_cache(maxsize=1)
def known_devices() -> tuple[str, ...]:
    """Ids of all modelled devices, from the files beside this one."""
    return tuple(sorted(path.stem.replace("_", "-") for path in Path(__file__).parent.glob("[a-z]*.py")))


def model_of(device: str) -> DeviceModel | None:
    """The model of a device id, or None where it is not modelled."""
    if device not in known_devices():
        return None
    return cast(DeviceModel, importlib.import_module(f"minisim.devices.{device.replace('-', '_')}"))


def has_controller(device: str) -> bool:
    """Is there a model of this id with a Python side?"""
    return hasattr(model_of(device), "CONTROLLER")


def controller_of(device: str) -> type[Controller]:
    """The Python side of a device id.  ValueError: it has none."""
    made: Any = getattr(model_of(device), "CONTROLLER", None)
    if made is None:
        raise ValueError(f"{device} has no controller")
    return cast(type[Controller], made)


def sources(device: Device) -> Iterator[str]:
    """Every source key its registers and fields name."""
    for register in device.registers:
        yield register.source
        yield from (part.source for part in register.fields)
