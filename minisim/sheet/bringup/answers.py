"""What the machine of one stage must answer at each address, read from the model built from that stage's loadout."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from minisim.devices._device import model_of
from minisim.known import Known
from minisim.machine.build import machine_of
from minisim.machine.errors import BusTimeout, MachineError
from minisim.problems import InputError
from minisim.sheet.blocks import BLANK
from minisim.sheet.messages import say
from minisim.sheet.numbers import how_sure
from minisim.wiring.addresses import address_bits, digits, page_start

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue
    from minisim.catalogue.model import Profile
    from minisim.machine.machine import Machine
    from minisim.staging import Stage
    from minisim.wiring.model import WiredMemory, WiredRegisters, WiredRom

Row = tuple[str, str, str, str, str]
"""Address, what is there, what to expect, how sure that is, a blank for what is found."""

PROGRAM_AT = 0o1000
PROGRAM = (0o005000, 0o005200, 0)  # CLR R0, INC R0, HALT
_PANEL_BITS = 18  # address switches and lamps of the panels


@dataclass(frozen=True, slots=True)
class Ran:
    """How the three words end: the PC at the halt and R0."""

    stop: int
    value: int


class Answers:
    """The model of a stage, asked at addresses of the bus."""

    def __init__(self, stage: Stage, catalogue: Catalogue) -> None:
        self.wired = stage.wired
        self._catalogue = catalogue

    @cached_property
    def profile(self) -> Profile | None:
        """Of the first processor."""
        return self._catalogue.profile(self.wired.processors[0].profile) if self.wired.processors else None

    @cached_property
    def _built(self) -> Machine | str:
        """The model, switched on, or why it can't be built from what is known or at hand."""
        try:
            return machine_of(self.wired, self._catalogue)
        except (InputError, MachineError) as error:
            return str(error)

    @property
    def machine(self) -> Machine | None:
        """The model; None where there is none."""
        return None if isinstance(self._built, str) else self._built

    @property
    def no_model(self) -> str:
        """Why there is no model; empty where there is one."""
        return self._built if isinstance(self._built, str) else ""

    @cached_property
    def bits(self) -> int:
        """Address bits as they are typed: what the debugger or the panel takes, at most what the machine has."""
        bits = address_bits(self.wired)
        profile = self.profile
        if profile is None or not isinstance(profile.console, Known):
            return bits
        if profile.console.peek in ("switches", "both"):
            return min(bits, _PANEL_BITS)
        typed = profile.debugger_address_bits
        return min(bits, typed.peek) if isinstance(typed, Known) else bits

    def shown(self, address: int) -> str:
        """An address of memory."""
        return f"{address:0{digits(self.bits)}o}"

    def in_page(self, offset: int) -> str:
        """An address of the I/O page."""
        return self.shown(page_start(self.bits) + offset)

    def word(self, offset: int) -> int | None:
        """What the model reads in the I/O page; None where nobody answers in it."""
        if self.machine is None:
            return None
        try:
            return self.machine.read(page_start(self.machine.address_bits) + offset, space="bus")
        except BusTimeout:
            return None

    # ---- rows

    def registers(self, one: WiredRegisters) -> Iterator[Row]:
        """Status registers of a device of the model; of another one only that it answers."""
        if not isinstance(one.base, Known):
            return
        device = one.device.replace("-", " ") + (f" {one.unit}" if one.unit else "")
        readable = self._status_registers(one)
        if not readable and model_of(one.device) is None:
            what, sure = say("bringup-registers-first", device=device), say("bringup-sure-not-modelled")
            yield self._row(self.in_page(one.base.peek), what, say("bringup-any-word"), sure)
        for name, offset in readable:
            word = self.word(offset)
            what = say("bringup-register", device=device, register=name)
            if word is not None:
                yield self._row(self.in_page(offset), what, f"{word:06o}", say("bringup-sure-model", device=device))

    def _status_registers(self, one: WiredRegisters) -> list[tuple[str, int]]:
        """Name and offset in the I/O page of registers that say how the device is."""
        if self.machine is None:
            return []
        place = str(self.wired.boards[one.board].place)
        try:
            layout = self.machine.device(one.device, place, one.unit)
        except MachineError:
            return []
        return [(name, at) for name, (_, at) in layout.registers.items() if at >= 0 and "status" in name]

    def rom(self, one: WiredRom) -> Iterator[Row]:
        """The first word of a ROM whose contents are at hand, or whose kind is known by it."""
        word = self.word(one.base) if one.fitted and one.fitted.image else None
        if word is not None and one.fitted:
            sure = say("bringup-sure-rom", file=one.fitted.image_text)
            yield self._row(self.in_page(one.base), say("bringup-rom-word"), f"{word:06o}", sure)
        elif one.entry is not None and isinstance(one.entry.first_word, Known):
            expect = f"{one.entry.first_word.peek:06o}"
            yield self._row(self.in_page(one.base), say("bringup-rom-word"), expect, how_sure(one.entry.first_word))

    def memory(self, one: WiredMemory) -> Iterator[Row]:
        """Both ends, and the place behind it where nothing answers."""
        if not isinstance(one.start, Known) or not isinstance(one.size, Known):
            return
        start, behind = one.start.peek, one.start.peek + one.size.peek
        any_word, sure = say("bringup-any-word"), say("bringup-sure-loadout")
        ends = self.ends(start, one.size.peek)
        if ends is None:
            beyond = say("bringup-beyond", bits=str(self.bits))
            yield self._row(f"{start:08o}", say("bringup-memory-first"), beyond, sure)
            return
        yield self._row(self.shown(ends[0]), say("bringup-memory-first"), any_word, sure)
        yield self._row(self.shown(ends[1]), say("bringup-memory-last"), any_word, sure)
        if behind < page_start(self.bits) and not self._somebody_at(behind):
            yield self._row(self.shown(behind), say("bringup-memory-behind"), say("bringup-no-answer"), sure)

    def ends(self, start: int, size: int) -> tuple[int, int] | None:
        """First and last word of a memory that the console reaches; None where it reaches nothing of it.

        What lies under the I/O page can't be reached.
        """
        page = page_start(self.bits)
        return None if start >= page else (start, min(start + size, page) - 2)

    def _somebody_at(self, address: int) -> bool:
        """Does other memory begin there, or memory whose place is not known?"""
        for one in self.wired.memories:
            if not isinstance(one.start, Known) or not isinstance(one.size, Known):
                return True
            if one.start.peek <= address < one.start.peek + one.size.peek:
                return True
        return False

    def _row(self, address: str, what: str, expect: str, sure: str) -> Row:
        return address, what, expect, sure, BLANK

    # ---- the three words

    @cached_property
    def ran(self) -> Ran | None:
        """The three words run on a model of their own; None where there is no memory for them."""
        try:
            machine = machine_of(self.wired, self._catalogue)
            for number, word in enumerate(PROGRAM):
                machine.write(PROGRAM_AT + 2 * number, word, space="bus")
        except (InputError, MachineError):
            return None
        machine.power_up(pc=PROGRAM_AT, ps=0)
        stop = machine.run(limit=10)
        return Ran(stop.pc, machine.cpu.r[0])
