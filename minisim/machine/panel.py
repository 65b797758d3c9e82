"""The front panel of a processor that has one: switches, lamps, and what the keys do.

The switches make a word (or an address); the keys load an address, examine, deposit, start, continue, halt.  Examining
or depositing twice in a row steps to the next word first; general registers at 777700 to 777717 step by one.  Addresses
are those of the bus, all its lines.  [console-chapter-1969] names switches, lamps and keys; that a change between
examine and deposit does not step, and that start with the halt switch on only initialises, is from memory
(unconfirmed).
"""

from __future__ import annotations

import contextlib
from dataclasses import dataclass
from typing import TYPE_CHECKING

from minisim.cpu._core import lib
from minisim.machine.errors import BusTimeout, NotFittedError

if TYPE_CHECKING:
    from minisim.machine.machine import Machine

KEYS = ("load address", "examine", "deposit", "start", "continue", "single instruction", "halt", "enable")
_REGISTERS = range(0o17700, 0o17720)  # offsets in the I/O page
_IO_BYTES = 0o20000
PS = 8  # its number among the registers
# What a host does on the bus, as a recording names it.
_CYCLES = {
    "deposit": lib.MS_CYCLE_WRITE,
    "read": lib.MS_CYCLE_READ,
    "write": lib.MS_CYCLE_WRITE,
    "write byte": lib.MS_CYCLE_WRITE_BYTE,
}


@dataclass(frozen=True, slots=True)
class Lamps:
    """What the lamps show: address and data, and whether the processor runs."""

    address: int
    data: int
    running: bool


class Panel:
    """The panel of a machine whose processor stands still.

    NotFittedError: the processor has none.  After `start`, `proceed` or `single` it is the caller that runs the machine
    (`Machine.run`; for `single` one instruction).
    """

    def __init__(self, machine: Machine) -> None:
        if machine.console_kind != "panel":
            raise NotFittedError("this processor has no front panel")
        self._machine = machine
        self._address = 0
        self._data = 0
        self._last = ""  # key, for stepping
        self._running = False

    @property
    def lamps(self) -> Lamps:
        """Address, data, run; of a processor that has halted meanwhile, its PC and R0 (unconfirmed: data lamps)."""
        return Lamps(self._address, self._data, self._running)

    def halted(self) -> Lamps:
        """The processor has halted: the address lamps show the PC (next instruction)."""
        self._running, self._last = False, ""
        self._address, self._data = self._machine.cpu.pc, self._machine.cpu.r[0]
        return self.lamps

    def load_address(self, switches: int) -> Lamps:
        """The switches into the address lamps."""
        self._check(switches, self._machine.address_bits)
        self._address, self._last = switches, "load address"
        return self.lamps

    def examine(self) -> Lamps:
        """The word at the address into the data lamps.  BusTimeout: nobody answers there."""
        self._step("examine")
        self._machine._inputs.of_processor("read", self._where << 16)
        self._data = self._machine._cycle(self._where, lib.MS_CYCLE_READ, 0, f"examine at {self._address:06o}")
        return self.lamps

    def deposit(self, switches: int) -> Lamps:
        """The switches into the word at the address.  BusTimeout: nobody answers there."""
        self._check(switches, 16)
        self._step("deposit")
        self._data = switches
        try:
            put_word(self._machine, self._where, switches)
        except BusTimeout:
            self._last = ""
            raise
        return self.lamps

    def start(self) -> Lamps:
        """Bus initialise, then run from the address; with the halt switch on only the first."""
        self._machine._inputs.of_processor("start", self._address)
        _start(self._machine, self._address)
        self._running, self._last = not self.halt_switch, ""
        return self.lamps

    def proceed(self) -> Lamps:
        """Continue at PC; with the halt switch on one instruction."""
        self._running, self._last = not self.halt_switch, ""
        return self.lamps

    @property
    def halt_switch(self) -> bool:
        """The halt switch is on."""
        return bool(self._machine._raw.halt_switch)

    def halt(self, on: bool = True) -> Lamps:
        """The switch halt or enable."""
        self._machine.press_halt(on)
        return self.lamps

    @property
    def _where(self) -> int:
        """Registers have an address each, words two."""
        return self._address if self._stride == 1 else self._address & ~1

    def _step(self, key: str) -> None:
        if self._last == key:
            self._address = (self._address + self._stride) & ((1 << self._machine.address_bits) - 1)
        self._last = key

    @property
    def _stride(self) -> int:
        page = (1 << self._machine.address_bits) - _IO_BYTES
        return 1 if self._address - page in _REGISTERS else 2

    @staticmethod
    def _check(switches: int, bits: int) -> None:
        if not isinstance(switches, int) or not 0 <= switches < 1 << bits:
            raise ValueError(f"there are {bits} switches here, which make 0 to {(1 << bits) - 1:o}, not {switches!r}")


def _start(machine: Machine, address: int) -> None:
    with machine._hold:
        raw = machine._raw
        lib.ms_set_ps(raw, 0)
        lib.ms_initialise(raw)
        raw.waiting = 0
        raw.r[7] = address & 0o177776


def put_register(machine: Machine, number: int, word: int) -> None:
    """Change R0 to R7 (0 to 7) or the PS (8) of a processor, as no hand could: the bench does it."""
    if number == PS:
        machine.cpu.ps = word
    else:
        machine.cpu.r[number] = word


def put_word(machine: Machine, physical: int, word: int) -> None:
    """One write cycle from outside, as `deposit` makes it.  BusTimeout: nobody answers there."""
    machine._inputs.of_processor("deposit", physical << 16 | word)
    machine._cycle(physical, lib.MS_CYCLE_WRITE, word, f"deposit at {physical:06o}")


def repeat(machine: Machine, part: str, number: int) -> None:
    """What a recording says was done at the processor.  ValueError: not known here."""
    if part == "halt switch":
        machine.press_halt(bool(number))
    elif part == "switches":
        machine.set_switches(number)
    elif part == "enter octal console":
        machine.enter_octal_console()
    elif part == "octal console":
        machine.octal_console = bool(number)
    elif part == "start":
        _start(machine, number)
    elif part == "power up":
        machine.power_up(number >> 16, number & 0o177777)
    elif part in _CYCLES:
        with contextlib.suppress(BusTimeout):
            machine._cycle(number >> 16, _CYCLES[part], number & 0o177777, part)
    else:
        _set(machine, part, number)


def _set(machine: Machine, part: str, number: int) -> None:
    """A register of the processor that the host has set."""
    name, _, which = part.rpartition(" ")
    if part == "status":
        machine.cpu.ps = number
    elif part == "floating status":
        machine.cpu.fps = number
    elif name == "register" and which.isdecimal():
        machine.cpu.r[int(which)] = number
    elif name == "accumulator" and which.isdecimal():
        machine.cpu.ac[int(which)] = number
    else:
        raise ValueError(f'"{part}" is not known here')
