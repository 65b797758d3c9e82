"""The machine of a loadout with all its faults, a program of ours in it, and a diary of what the program did.

No medium of the owner is touched: what stands in the loadout is left out, and a drive that is needed gets a medium of
ours that lies in memory only.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

import minisim
from minisim.catalogue.reader import Catalogue
from minisim.consequence.model import NotShownError
from minisim.cpu._core import lib
from minisim.cpu.profile import ProfileError
from minisim.devices._controller import Drive, bytes_of
from minisim.devices._device import Placement, has_controller
from minisim.machine.build import Builder
from minisim.machine.errors import BusTimeout, MachineError, NotBuildableError
from minisim.machine.layout import DeviceLayout
from minisim.machine.machine import Machine
from minisim.machine.records import Address, Reason
from minisim.machine.steps import Step
from minisim.media import geometry_of
from minisim.media.held import HeldMedium
from minisim.wiring.model import GrantKind, Wired

IO_PAGE, IO_PAGE_18 = 0o160000, 0o760000
STACK = PROGRAM = 0o2000  # the stack grows down from the program; vectors and their catcher lie below
CATCHER, CAUGHT = 0o1000, 0o1010  # where all vectors lead at first, and what it counts
QUIET = 0o1006  # an RTI for the clock, which nobody has asked
CLOCK, PAGES = 0o100, 0o172340
MOST, QUIET_STEPS, MOST_LINES = 2_000_000, 40, 40


def bare(wired: Wired) -> Wired:
    """The same machine without the owner's media, with its halt switch released."""
    loadout = wired.loadout
    cables = tuple(replace(end, media=None) for end in loadout.cables)
    switches = replace(loadout.switches, halt=False)
    return replace(wired, loadout=replace(loadout, cables=cables, switches=switches))


@dataclass(slots=True)
class BenchBuilder(Builder):
    """As the machine is built, with a medium of ours in drive 0 of each controller; grants put right where asked."""

    granted_all: bool = False
    lines: int = 0  # address lines, where they are to be more than those of the processor profile

    def address_bits(self) -> int:
        return max(self.lines, Builder.address_bits(self))

    def granted(self, index: int, kind: GrantKind = GrantKind.INTERRUPT) -> bool:
        return self.granted_all or Builder.granted(self, index, kind)

    def with_cable(self, placement: Placement, registers: Any) -> Placement:
        placed = Builder.with_cable(self, placement, registers)
        fits = self.drive_and_medium(placement.device)
        if fits is None:
            return placed
        (drive, kind), place = fits, f"{placement.place}:0"
        geometry = geometry_of(self.catalogue.medium(kind))
        assert geometry is not None  # drive_and_medium() gives no others
        medium = HeldMedium(geometry, BEGINNING.ljust(geometry.size, b"\0"))
        return replace(placed, drives=(Drive(0, drive, place, (kind,), medium),))

    def drive_and_medium(self, device: str) -> tuple[str, str] | None:
        """The first kind of drive for a controller that is modelled, and the first medium of sectors it takes."""
        if has_controller(device):
            for drive in self.catalogue.ids("drives"):
                entry = self.catalogue.drive(drive)
                for kind in entry.media if entry.controller == device else ():
                    if geometry_of(self.catalogue.medium(kind)) is not None:
                        return drive, kind
        return None


SECTOR_WORD = 0o052525  # the first word of our medium; each further one is one more
BEGINNING = bytes_of([SECTOR_WORD + number for number in range(0o2000)])


class Bench:
    """One machine, switched on, with every vector led to a counter."""

    def __init__(
        self,
        wired: Wired,
        catalogue: Catalogue,
        *,
        granted: bool = False,
        lines: int = 0,
    ) -> None:
        self.wired = wired
        try:
            builder = BenchBuilder(bare(wired), catalogue, granted_all=granted, lines=lines)
            self.machine: Machine = builder.machine()
        except (NotBuildableError, MachineError, ProfileError, ValueError) as error:
            raise NotShownError(f"the machine can't be built: {error}") from None
        self.source = ""
        self.sources: dict[int, str] = {}
        self.symbols: dict[str, int] = {}
        self.trace: list[str] = []
        self._told: set[int] = set()

    # --- a program

    def load(self, source: str) -> None:
        """Assemble a program at PROGRAM, lead all vectors to a counter, and switch on; it starts at its first word."""
        self.source = source.strip("\n")
        program = minisim.assemble(f". = {PROGRAM:o}\n{source}")
        self.symbols = program.symbols
        self.sources = {line.address: line.source for line in program.listing if line.address is not None and line.data}
        self._catch_all()
        for block in program.blocks:
            self.machine.memory[block.address : block.address + len(block.data)] = block.data
        self.machine.power_up(pc=PROGRAM, ps=0)
        self.machine.cpu.sp = STACK

    def _catch_all(self) -> None:
        memory = self.machine.memory
        if self.fitted(0) < PROGRAM + 0o2000:
            raise NotShownError("there is no memory at 0 for a program")
        for vector in range(0, 0o1000, 4):
            memory.put(vector, QUIET if vector == CLOCK else CATCHER, 0o340)
        memory.put(CATCHER, 0o005237, CAUGHT, 0o000002, 0o000002, 0)  # INC @#CAUGHT, RTI; RTI; the count

    def fitted(self, start: int) -> int:
        """How many bytes of memory lie together from an address on."""
        total = start
        for first, end in sorted(spans(self.wired)):
            if first <= total < end:
                total = end
        return total - start

    def word(self, name: str) -> int:
        """A word of the program by its label."""
        return self.machine.memory.word(self.symbols[name])

    # --- running

    def run(self, limit: int = MOST) -> Reason:
        """To its HALT, or the limit; every instruction goes into the diary when it runs for the first time.

        A loop that tells nothing new runs on at full speed to the next instruction that has not run yet.
        """
        quiet, last = 0, self.machine.instructions + limit
        while self.machine.instructions < last:
            left = last - self.machine.instructions
            if quiet > QUIET_STEPS:
                ahead, quiet = self._not_yet_run(), 0
                reason = self.machine.run(left, until=None if ahead is None else Address(ahead)).reason
                if reason is not Reason.REACHED:
                    return reason
                continue
            told, taken = len(self._told), self._taken()
            step = self.machine.step()
            self._note(step, self._taken() > taken)
            quiet = quiet + 1 if len(self._told) == told else 0
            if step.reason is not Reason.LIMIT:
                return step.reason
        return Reason.LIMIT

    def _not_yet_run(self) -> int | None:
        """The next instruction of the program that has not run: where a loop leads out."""
        here = self.machine.cpu.pc
        return min((at for at in self.sources if at > here and at not in self._told), default=None)

    def settle(self, ns: int) -> None:
        """Guest time passes, and the program stands still."""
        raw = self.machine._raw
        raw.time_ns += ns
        lib.ms_run_due(raw)
        self.machine._controllers.raise_pending()

    def run_on(self, limit: int) -> Reason:
        """At full speed, without a diary."""
        return self.machine.run(limit).reason

    def _taken(self) -> int:
        raw = self.machine._raw
        return sum(int(raw.lines[number].taken) for number in range(raw.line_count))

    def _note(self, step: Step, interrupted: bool) -> None:
        vector, known = _vector_of(step), step.pc in self._told
        self._told.add(step.pc)
        if not known and step.pc in self.sources:
            statement, _, comment = self.sources[step.pc].partition(";")
            text = " ".join(statement.rpartition(":")[2].split())
            self.say(f"{step.pc:06o} {text}{f' ({comment.strip()})' if comment else ''}{_touched(step)}")
        if interrupted and vector is not None and vector != CLOCK:
            self.say(f"an interrupt comes through {vector:03o}")
        elif vector is not None and vector != CLOCK and not known:
            self.say(f"a trap through {vector:03o}")

    def say(self, sentence: str) -> None:
        """One line of the diary, with the time."""
        if len(self.trace) < MOST_LINES:
            self.trace.append(f"{self.machine.time_ns / 1000:11.1f} us  {sentence}")

    def has_memory_management(self) -> bool:
        """Do the page registers answer?"""
        try:
            self.machine.read(PAGES)
        except BusTimeout:
            return False
        return True

    # --- looking at devices

    def device(self, place: str, device: str, base: int) -> DeviceLayout:
        """The device that has a register at this offset of the I/O page."""
        for one in self.machine.layout.devices:
            if (one.place, one.id) == (place, device) and any(at == base for _, at in one.registers.values()):
                return one
        raise NotShownError(f"{device} at {place} is not modelled")

    def interrupts(self, device: DeviceLayout) -> int:
        """How many of its requests were granted."""
        return sum(int(self.machine._raw.lines[number].taken) for number in device.lines.values())

    def refused(self, device: DeviceLayout) -> int:
        """How many no grant could reach."""
        return sum(int(self.machine._raw.lines[number].refused) for number in device.lines.values())


def _vector_of(step: Step) -> int | None:
    """The vector that a trap or an interrupt went through: two words read low down, two pushed."""
    reads = [one for one in step.accesses if one.kind == "read"]
    writes = sum(one.kind == "write" for one in step.accesses)
    for one, other in pairwise(reads):
        if writes >= 2 and one.address < 0o1000 and not one.address & 3 and other.address == one.address + 2:
            return one.address
    return None


def _touched(step: Step) -> str:
    """What it did on the bus beyond its own words and its stack."""
    told = [
        f"{'reads' if one.kind == 'read' else 'writes'} {one.data:06o} {'from' if one.kind == 'read' else 'to'} "
        f"{shown(one.address)}"
        for one in step.accesses
        if one.kind != "fetch" and one.address >= IO_PAGE
    ]
    return f": {', '.join(told)}" if told else ""


def shown(address: int) -> str:
    """A 16-bit address as people write it: registers in their 18-bit form."""
    return f"{address + (IO_PAGE_18 - IO_PAGE if address >= IO_PAGE else 0):06o}"


def spans(wired: Wired) -> Iterator[tuple[int, int]]:
    """Start and end of each memory that is known."""
    from minisim.known import Known

    for memory in wired.memories:
        if isinstance(memory.start, Known) and isinstance(memory.size, Known):
            yield memory.start.peek, memory.start.peek + memory.size.peek


def octal(numbers: Sequence[int]) -> tuple[str, ...]:
    """Words as octal text."""
    return tuple(f"{number:06o}" for number in numbers)


def kb(number: int) -> str:
    """A size for people."""
    return f"{number // 1024} KB" if number % 1024 == 0 else f"{number} bytes"
