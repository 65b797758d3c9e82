"""From a loadout to a running machine: everything that Wired knows, put into the core.

Wired says what is connected to what; this file only translates.  What the model has not is left out and becomes a note.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from minisim.catalogue.reader import Catalogue
from minisim.cpu.profile import Configuration, ProfileError, configuration, unbuilt
from minisim.devices._controller import Drive, SectorMedium
from minisim.devices._device import Device, Placement, RomWords, has_controller, model_of
from minisim.devices.line_clock import RATES
from minisim.findings import Finding, Report, Severity
from minisim.known import Figure, Known, NotApplicable
from minisim.machine.assemble import Source, put_together
from minisim.machine.errors import NotBuildableError
from minisim.machine.media import as_recorded, copied, opened, rom_words, tape_bytes
from minisim.media.geometry import geometry_of
from minisim.media.writing import Writing
from minisim.wiring.model import GrantKind, Passes, Wired, WiredBoard, WiredRegisters

if TYPE_CHECKING:
    from minisim.catalogue.model import DriveEntry
    from minisim.loadout.model import CableEnd, Loadout
    from minisim.machine.machine import Machine

CONSOLE = 0o17560
ORDER_STEP = 64  # room between two positions of the grant chain for the devices and lines of one board
GRAIN = 2048  # bytes: the grain of the map of memory
TAPE = "paper-tape"


def build(
    loadout: Loadout,
    *,
    allow: Iterable[str] = (),
    write_through: bool = False,
    recorded: Mapping[str, Mapping[str, Any]] | None = None,
    catalogue: Catalogue | None = None,
) -> Machine:
    """The machine of a loadout, switched on; see `minisim.build`."""
    writing = Writing.THROUGH if write_through else Writing.APART
    return approved(loadout, allow=allow, catalogue=catalogue).machine(writing=writing, recorded=recorded)


def approved(loadout: Loadout, *, allow: Iterable[str] = (), catalogue: Catalogue | None = None) -> Approved:
    """Resolve and check a loadout, once for as many machines as are wanted.  NotBuildableError: findings forbid it."""
    from minisim.checking import check_wired
    from minisim.wiring.resolve import resolve

    catalogue = (catalogue or Catalogue()).beside(loadout.path)
    wired = resolve(loadout, catalogue)
    report = check_wired(wired)
    refuse(report, allow)
    return Approved(wired, catalogue, tuple(in_spite_of(report)))


@dataclass(frozen=True, slots=True)
class Approved:
    """A loadout that may be built, as often as is wanted."""

    wired: Wired
    catalogue: Catalogue
    notes: tuple[str, ...]

    def machine(
        self,
        *,
        writing: Writing = Writing.APART,
        recorded: Mapping[str, Mapping[str, Any]] | None = None,
        in_memory: bool = False,
    ) -> Machine:
        """One of its machines; images, tapes and ROMs are read now.  `in_memory`: its media are copies of the images.

        LoadoutError: one of them can't be used.
        """
        made = Builder(self.wired, self.catalogue, list(self.notes), writing, recorded, in_memory=in_memory)
        return made.machine()


def refuse(report: Report, allow: Iterable[str] = ()) -> None:
    """NotBuildableError for damage, and for faults that are neither accepted by the owner nor allowed."""
    allowed = set(allow)
    if allowed - {"fault"}:
        raise ValueError('only "fault" can be allowed; damage never is')
    forbidding = tuple(finding for finding in report.findings if _forbids(finding, "fault" in allowed))
    if forbidding:
        count = "1 finding forbids" if len(forbidding) == 1 else f"{len(forbidding)} findings forbid"
        raise NotBuildableError(f"{report.file}: {count} building {report.name}", forbidding)


def in_spite_of(report: Report) -> list[str]:
    """What the machine was allowed to be built in spite of, for its notes."""
    faults = (one for one in report.findings if one.severity is Severity.FAULT and not one.accepted)
    return [f"{one.place}: built in spite of {one.severity} {one.rule} {one.slug}." for one in faults]


def _forbids(finding: Finding, faults_allowed: bool) -> bool:
    if finding.severity is Severity.DAMAGE:
        return True
    return finding.severity is Severity.FAULT and not finding.accepted and not faults_allowed


def machine_of(wired: Wired, catalogue: Catalogue) -> Machine:
    """The machine of a resolved loadout, whatever the rules say about it; its drives are empty."""
    return Builder(wired, catalogue, opens_media=False).machine()


def known(figure: Figure[int]) -> int | None:
    """The value of a figure, or None."""
    return figure.peek if isinstance(figure, Known) else None


@dataclass(slots=True)
class Builder:
    """One loadout on its way to a machine."""

    wired: Wired
    catalogue: Catalogue
    notes: list[str] = field(default_factory=list)
    writing: Writing = Writing.APART
    recorded: Mapping[str, Mapping[str, Any]] | None = None  # media of a recording, by drive: as they were then
    opens_media: bool = True
    in_memory: bool = False  # media are copies: what is written is gone with the machine
    drives: list[Drive] = field(default_factory=list)

    def machine(self) -> Machine:
        """Everything put together; where that fails, no medium stays open."""
        try:
            return self.put_together()
        except BaseException:
            for drive in self.drives:
                if drive.medium is not None:
                    drive.medium.close()
            raise

    def put_together(self) -> Machine:
        """Processor, memory and devices."""
        chosen = self.processor()
        devices = [device for placement in self.placements() for device in self.devices_of(placement)]
        console = next((n for n, d in enumerate(devices) if d.id == "serial-line" and d.base == CONSOLE), None)
        memory = list(self.memory())
        machine = put_together(
            chosen, memory, devices, address_bits=self.address_bits(), console=console, source=self.source()
        )
        if self.wired.loadout.switches.halt:
            machine._raw.halt_switch = 1
        return machine

    # --- processor and memory ------------------------------------------------------------------------------------

    def processor(self) -> Configuration:
        """Profile and options; a board may carry options that its profile is not known to have."""
        if not self.wired.processors:
            raise NotBuildableError(f"{self.wired.loadout.file}: there is no processor in {self.wired.loadout.name}")
        processor = self.wired.processors[0]
        place = self.place_of(processor.board)
        try:
            chosen = configuration(self.catalogue.profile(processor.profile), processor.options)
        except ProfileError as error:
            raise NotBuildableError(f"{place}: {error}") from None
        self.notes += [f"{place}: option {name} is not modelled; its instructions trap." for name in unbuilt(chosen)]
        return chosen

    def address_bits(self) -> int:
        """The narrowest of processor, its options, its board and its backplane; 16 where nothing is known."""
        processor = self.wired.processors[0]
        board, profile = self.wired.boards[processor.board], self.catalogue.profile(processor.profile)
        figures = (profile.address_bits, board.entry.address_bits, self.wired.units[board.unit].entry.address_bits)
        narrowest = min((bits for figure in figures if (bits := known(figure)) in (16, 18, 22)), default=16)
        return min(narrowest, processor.address_limit)

    def memory(self) -> Iterator[tuple[int, int]]:
        """Start and size of each memory that is known."""
        for memory in self.wired.memories:
            if not self.wired.on_bus(memory.board):
                continue
            start, size = known(memory.start), known(memory.size)
            if start is None or size is None or start % GRAIN:
                self.notes.append(
                    f"{self.place_of(memory.board)}: start or size of this memory is not known; it is left out."
                )
            else:
                yield start, size

    def source(self) -> Source:
        """Name, hash, place of the processor, and how it starts."""
        loadout, boot = self.wired.loadout, self.wired.boot
        pc, ps = known(boot.start), known(boot.start_ps)
        return Source(
            name=loadout.name,
            sha256=loadout.sha256,
            place=self.place_of(self.wired.processors[0].board),
            start=None if pc is None or ps is None else (pc, ps),
            start_how=boot.how,
            starts_at_console=isinstance(boot.start, NotApplicable),
            notes=tuple(dict.fromkeys(self.notes)),
        )

    # --- devices -------------------------------------------------------------------------------------------------

    def devices_of(self, placement: Placement) -> tuple[Device, ...]:
        """The devices of one placement, or a note that there is no model."""
        model = model_of(placement.device)
        if model is None:
            self.notes.append(f"{placement.place}: {placement.device} is not modelled; its registers do not answer.")
            return ()
        return model.build(placement)

    def placements(self) -> Iterator[Placement]:
        """Every device of every board, in the order of the boards, then the switches of the processor."""
        self.tell_of_open_cables()
        for number, registers in enumerate(self.wired.registers):
            placement = self.placement(number, registers) if self.wired.on_bus(registers.board) else None
            if placement is not None:
                yield placement
        paged = {one.board for one in self.wired.registers if one.device == "boot-registers"}
        for index in dict.fromkeys(rom.board for rom in self.wired.roms):
            if index not in paged and self.wired.on_bus(index):
                yield self.with_rom(self.bare_placement(index, "boot-rom"))
        profile = self.catalogue.profile(self.wired.processors[0].profile)
        if isinstance(profile.console, Known) and profile.console.peek in ("switches", "both"):
            place = self.place_of(self.wired.processors[0].board)
            yield Placement("switch-register", place, register=self.wired.loadout.switches.register or 0)

    def tell_of_open_cables(self) -> None:
        """A cable that hangs loose leaves everything behind it out of the machine, as it would on the bench."""
        for unit in self.wired.units:
            behind = [one for one in self.wired.boards if one.unit == unit.index]
            if behind and not self.wired.on_bus(behind[0].index):
                what = "its boards do not answer, take no grants and hold no memory"
                self.notes.append(f"{unit.box}/{unit.id}: no connected cable leads to this unit; {what}.")

    def placement(self, number: int, registers: WiredRegisters) -> Placement | None:
        """One device of one board where it sits; None where it has no place of its own."""
        base = known(registers.base)
        placement = replace(
            self.bare_placement(registers.board, registers.device),
            base=base,
            vectors=tuple((one.vector, known(one.level) or 4) for one in registers.vectors),
            order=self.order(number, registers.board),
            granted=self.granted(registers.board),
            pulses=self.pulses(registers.board),
            dma_bits=self.dma_bits(registers.board),
            dma_granted=self.granted(registers.board, GrantKind.DMA),
        )
        if registers.device == "event-line":
            return self.gated(placement)
        if self.is_gate(registers) or self.is_of_processor(registers):
            return None
        if base is None:
            self.notes.append(f"{placement.place}: where {registers.device} answers is not known; it is left out.")
            return None
        if registers.device == "boot-registers":
            return self.with_rom(placement)
        return self.with_cable(placement, registers)

    def bare_placement(self, index: int, device: str) -> Placement:
        """What holds for every device of a board."""
        board = self.wired.boards[index]
        return Placement(
            device,
            str(board.place),
            board.entry.id,
            variant=next((one.variant for one in board.entry.registers if one.device == device), {}),
            settings={name: setting.text for name, setting in board.placed.settings.items()},
        )

    def order(self, number: int, index: int) -> int:
        """Place along the grant chain, then along the board."""
        hop = self.wired.chain(GrantKind.INTERRUPT).hop_of(index)
        own = self.wired.boards[index].entry.processor is not None
        first = next(n for n, one in enumerate(self.wired.registers) if one.board == index)
        return (0 if own or hop is None else hop.number) * ORDER_STEP + 4 * (number - first)

    def granted(self, index: int, kind: GrantKind = GrantKind.INTERRUPT) -> bool:
        """Does a grant reach the board?  Where that is not known it is taken as reached, and said so."""
        if self.wired.boards[index].entry.processor is not None:
            return True
        reached = self.wired.reached(index, kind)
        if reached is Passes.UNKNOWN:
            self.notes.append(f"{self.place_of(index)}: whether a grant reaches this board is not known; taken as yes.")
        return reached is not Passes.NO

    def dma_bits(self, index: int) -> int:
        """Address lines the board drives: as it is set, as it is built, at most those of the bus."""
        board = self.wired.boards[index]
        setting = board.placed.settings.get("address-bits")
        if setting is not None and setting.text.isdigit():
            return int(setting.text)
        return known(board.entry.dma_bits) or 18

    def pulses(self, index: int) -> bool:
        """Do clock pulses arrive: from the mains, or from an oscillator of the board itself?"""
        own = self.wired.boards[index].placed.settings.get("clock")
        return isinstance(self.wired.event_line, Known) or (own is not None and own.text in RATES)

    def is_gate(self, registers: WiredRegisters) -> bool:
        """A clock register without a vector only holds the event line of the processor down."""
        events = any(one.device == "event-line" for one in self.wired.registers)
        return registers.device == "line-clock" and not registers.vectors and events

    def is_of_processor(self, registers: WiredRegisters) -> bool:
        """The registers of the bus map belong to the processor, on whichever board they sit."""
        return registers.device == "bus-map" and "map" in self.wired.processors[0].options

    def gated(self, placement: Placement) -> Placement:
        """The event line with the clock register that some board puts before it."""
        gate = next((one for one in self.wired.registers if self.is_gate(one)), None)
        if gate is None:
            return placement
        switch = self.wired.boards[gate.board].placed.settings.get("clock")
        text = switch.text if switch else ""
        if text in RATES:  # the board drives the event line from an oscillator of its own (unconfirmed)
            placement = replace(placement, pulses=True, settings={**placement.settings, "clock": text})
        return replace(placement, gate=True, gated=text not in ("", "off", "no"))

    # --- what hangs on a device ------------------------------------------------------------------------------------

    def with_cable(self, placement: Placement, registers: WiredRegisters) -> Placement:
        """Speed of the line and tape in the reader."""
        board = self.wired.boards[registers.board]
        ends = [end for end in self.wired.loadout.cables if self.is_of(end, board, registers)]
        far = next((str(end.baud) for end in ends if end.baud is not None), "")
        baud = placement.settings.get("baud", "") or far  # the board runs at its own speed
        tapes = [tape_bytes(end) for end in ends if end.media is not None and self.takes_tape(end, placement)]
        return replace(
            placement,
            bauds=(baud,),
            tapes=tuple(tapes[:1]),
            lines=1 if registers.device == "serial-line" else registers.lines,
            line=registers.unit,
            attached=tuple(self.catalogue.drive(end.to).controller for end in ends),
            drives=tuple(drive for end in ends for drive in self.drives_on(end, placement)),
            far_baud=far,
        )

    def drives_on(self, end: CableEnd, placement: Placement) -> Iterator[Drive]:
        """The drives at the end of a cable that a model moves; the medium is in the one whose unit is named."""
        entry = self.catalogue.drive(end.to)
        if not has_controller(entry.controller):
            return
        first = (end.unit or 0) - (end.unit or 0) % entry.together
        named = {other.unit for other in self.wired.loadout.cables if other.board == end.board and other is not end}
        for unit in range(first, first + entry.together):
            if unit != (end.unit or 0) and unit in named:
                continue  # the second drive of the box has a line of its own in the loadout
            place = f"{placement.place}:{unit}" if end.line is None else f"{placement.place}:{end.line}:{unit}"
            is_named = unit == (end.unit or 0) and end.media is not None and self.opens_media
            medium = self.medium_of(end, entry, place) if is_named else None
            protected = end.write_protect and unit == (end.unit or 0)
            made = geometry_of(self.catalogue.medium(entry.media[0])) if entry.media else None
            cylinders = made.cylinders if made is not None else 0
            self.drives.append(Drive(unit, entry.id, place, entry.media, medium, protected, cylinders=cylinders))
            yield self.drives[-1]

    def medium_of(self, end: CableEnd, entry: DriveEntry, place: str) -> SectorMedium:
        """Open what is put in, or for a replay make a copy as it was then; LoadoutError at its line."""
        assert end.media is not None
        if self.recorded is not None:
            return as_recorded(end.media, self.recorded.get(place, {}), end.media_mark)
        if self.in_memory:
            return copied(end.media, entry.media, self.catalogue, mark=end.media_mark)
        writing = Writing.NEVER if end.write_protect else self.writing  # then several machines may have it in
        return opened(end.media, entry.media, self.catalogue, writing=writing, mark=end.media_mark)

    def is_of(self, end: CableEnd, board: WiredBoard, registers: WiredRegisters) -> bool:
        """Does this cable hang on this line (or unit) of this board?"""
        place = f"{board.place.box}/{board.place.unit}/{board.placed.place}"
        return end.board in (str(board.place), place) and end.line in (None, registers.unit)

    def takes_tape(self, end: CableEnd, placement: Placement) -> bool:
        """Is what hangs on the cable read as paper tape?"""
        if end.to == "terminal" or TAPE in self.catalogue.drive(end.to).media:
            return True
        if has_controller(self.catalogue.drive(end.to).controller):
            return False
        self.notes.append(f"{placement.place}: {end.to} is not modelled; nothing answers on this line.")
        return False

    def with_rom(self, placement: Placement) -> Placement:
        """The ROM windows of the board and the words in them."""
        index = next(board.index for board in self.wired.boards if str(board.place) == placement.place)
        roms = [rom for rom in self.wired.roms if rom.board == index]
        words: list[RomWords] = []
        for rom in roms:
            if rom.fitted is not None and rom.fitted.image is not None:
                words.append(RomWords(rom.fitted.at, rom_words(rom.fitted)))
            elif rom.fitted is not None:
                what = f"the words of {rom.fitted.rom} at {0o760000 + rom.base:06o}"
                self.notes.append(f"{placement.place}: {what} are not at hand; they read as 0.")
        setting = self.wired.boards[index].placed.settings.get("start")
        start = setting.value if setting is not None and isinstance(setting.value, int) else None
        return replace(placement, roms=tuple(words), windows=joined((rom.base, rom.words) for rom in roms), start=start)

    def place_of(self, index: int) -> str:
        """The place of a board in words."""
        return str(self.wired.boards[index].place)


def joined(pieces: Iterable[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    """Pieces of ROM (offset, words), neighbours made one window."""
    windows: list[tuple[int, int]] = []
    for offset, words in sorted(pieces):
        if windows and windows[-1][0] + 2 * windows[-1][1] == offset:
            windows[-1] = (windows[-1][0], windows[-1][1] + words)
        else:
            windows.append((offset, words))
    return tuple(windows)
