"""The processor and the way from power-up to the first program: PC, ROM, device, medium, and the line frequency."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from minisim.catalogue.model import ProcessorBlock
from minisim.known import Evidence, Figure, Known, NotApplicable, Unknown
from minisim.loadout.model import CableEnd, Loadout
from minisim.wiring.cables import is_from
from minisim.wiring.model import (
    BootPath,
    WiredBoard,
    WiredBox,
    WiredProcessor,
    WiredRegisters,
    WiredRom,
)
from minisim.wiring.options import wire_options
from minisim.wiring.places import Layout
from minisim.wiring.register_drafts import number_of, word
from minisim.wiring.source import Catalogue

BOOT_WINDOW = 0o173000  # 16-bit address of the boot ROM window
LOW_WINDOW = 0o165000  # 16-bit address of the window of console and checks
BOOT_PS = 0o340
_SWITCHED_BITS = 0o776  # S1-3 to S1-10: bits 8 to 1 of the start word
_IO_PAGE_16 = 0o160000
_FIRM = Evidence.FIRM
_UNCONFIRMED = Evidence.UNCONFIRMED


# ---- processor


def wire_processors(layout: Layout, catalogue: Catalogue) -> tuple[WiredProcessor, ...]:
    """Every board (or set) with a processor on it, in the order of the loadout."""
    blocks = ((board, board.entry.processor) for board in layout.boards)
    return tuple(_processor(layout, board, block, catalogue) for board, block in blocks if block is not None)


def _processor(layout: Layout, board: WiredBoard, block: ProcessorBlock, catalogue: Catalogue) -> WiredProcessor:
    choices = wire_options(layout, board, block, catalogue)
    return WiredProcessor(
        board.index,
        block.profile,
        tuple(one.name for one in choices if one.fitted),
        _power_up(board),
        BOOT_PS if block.boot_ps is None else block.boot_ps,
        block.extra.get("memory-link") == "yes",
        choices,
    )


def _power_up(board: WiredBoard) -> Figure[int]:
    """The power-up mode of a multiplexed-bus processor; boards without such a choice have none."""
    value = number_of(board.placed.settings.get("power-up"))
    if value is not None:
        return Known(value, Evidence.OWNER)
    text = word(board.placed.settings.get("power-up"))
    if text.isdigit():
        return Known(int(text), Evidence.OWNER)
    if "power-up" not in board.entry.settings:
        return NotApplicable()
    return Unknown(f"power-up mode of the processor at {board.place}")


# ---- the first instruction


@dataclass(frozen=True, slots=True)
class _Start:
    """PC and PS of the first instruction, and how they come about."""

    pc: Figure[int]
    ps: Figure[int]
    how: str


def _mux_start(processor: WiredProcessor) -> _Start:
    mode = processor.power_up
    if not isinstance(mode, Known):
        why = Unknown("power-up mode of the processor")
        return _Start(why, why, "the power-up mode of the processor is not known")
    if mode.peek == 0:
        return _vector_start()
    if mode.peek == 1:
        nothing = NotApplicable()
        return _Start(nothing, nothing, "the processor enters its console at power-up")
    if mode.peek == 2:
        return _Start(
            Known(BOOT_WINDOW, _UNCONFIRMED),
            Known(processor.boot_ps, _UNCONFIRMED),
            f"power-up mode 2 starts at {BOOT_WINDOW:06o}",
        )
    why = Unknown(f"where power-up mode {mode.peek} starts")
    return _Start(why, why, f"power-up mode {mode.peek} is not known here")


def _vector_start() -> _Start:
    why = Unknown("what memory holds at 24 and 26 when power comes on")
    return _Start(why, why, "the processor takes PC and PS from memory at 24 and 26")


def _sep_start(layout: Layout) -> _Start:
    """Processors of the separate-line bus take 24 and 26, unless the boot board redirects that fetch to its ROM."""
    board = next((one for one in layout.boards if word(one.placed.settings.get("power-up-redirect")) == "on"), None)
    if board is not None:
        return _redirected(board)
    asking = next((one for one in layout.boards if "power-up-redirect" in one.entry.settings), None)
    if asking is not None and "power-up-redirect" not in asking.placed.settings:
        why = Unknown(f"switch power-up-redirect of the board at {asking.place}")
        return _Start(why, why, f"whether the board at {asking.place} redirects the power-up fetch is not stated")
    if any(one.entry.processor and one.entry.processor.boot_rom == "yes" for one in layout.boards):
        why = Unknown("power-up choice of the processor's own ROM")
        return _Start(why, why, "the processor starts in a ROM of its own; where is not known here")
    return _vector_start()


def _redirected(board: WiredBoard) -> _Start:
    settings = board.placed.settings
    ps: Figure[int] = Known(BOOT_PS, _FIRM)
    if "start-from" not in settings or number_of(settings.get("start")) is None:
        missing = "start-from" if "start-from" not in settings else "start"
        how = f"the board at {board.place} redirects the power-up fetch to its ROM; its switch {missing} is not stated"
        return _Start(Unknown(f"switch {missing} of the board at {board.place}"), ps, how)
    window = LOW_WINDOW if word(settings["start-from"]) == "low" else BOOT_WINDOW
    pc = window | ((number_of(settings["start"]) or 0) & _SWITCHED_BITS)
    how = f"the board at {board.place} redirects the power-up fetch to its ROM, which starts at {pc:06o}"
    return _Start(Known(pc, _FIRM, ("boot-terminator-wiki",)), ps, how)


# ---- the path


def boot_path(
    loadout: Loadout,
    layout: Layout,
    processors: Sequence[WiredProcessor],
    roms: Sequence[WiredRom],
    registers: Sequence[WiredRegisters],
) -> BootPath:
    """From power-up to the device and its medium, as far as it is known."""
    if not processors:
        nothing = Unknown("no processor is in the loadout")
        return BootPath(nothing, nothing, "there is no processor", None, None, None)
    start = _mux_start(processors[0]) if layout.bus == "mux" else _sep_start(layout)
    rom = _rom_at(roms, start.pc)
    found = _device(loadout, layout, roms[rom], registers) if rom is not None else None
    device, cable = found if found else (None, None)
    return BootPath(start.pc, start.ps, start.how, rom, device, cable)


def _rom_at(roms: Sequence[WiredRom], pc: Figure[int]) -> int | None:
    if not isinstance(pc, Known):
        return None
    offset = pc.peek - _IO_PAGE_16
    return next((i for i, rom in enumerate(roms) if rom.base <= offset < rom.base + 2 * rom.words), None)


def _device(
    loadout: Loadout, layout: Layout, rom: WiredRom, registers: Sequence[WiredRegisters]
) -> tuple[int, CableEnd | None] | None:
    """The device the ROM goes to and what hangs on it: one with a medium before one without."""
    able = list(_able(rom, registers))
    with_cables = [(index, _cable(loadout, layout, registers[index])) for index in able]
    with_media = [pair for pair in with_cables if pair[1] is not None and pair[1].media_text]
    return next(iter(with_media + with_cables), None)


def _able(rom: WiredRom, registers: Sequence[WiredRegisters]) -> Iterator[int]:
    """Devices of a kind the ROM boots, at the address it goes to where that is known."""
    devices = rom.boots.peek if isinstance(rom.boots, Known) else ()
    for index, one in enumerate(registers):
        if one.device not in devices:
            continue
        base = one.base.peek if isinstance(one.base, Known) else None
        if not isinstance(rom.expects, Known) or base == rom.expects.peek:
            yield index


def _cable(loadout: Loadout, layout: Layout, registers: WiredRegisters) -> CableEnd | None:
    """The cable on a device: of its line, and one with a medium before one without."""
    board = layout.boards[registers.board]
    ours = [end for end in loadout.cables if is_from(end, board) and end.line in (None, registers.unit)]
    return next(iter(_media_first(ours)), None)


def _media_first(ends: Iterable[CableEnd]) -> list[CableEnd]:
    return sorted(ends, key=lambda end: (not end.media_text, end.unit or 0))


# ---- line frequency


def event_line(layout: Layout, boxes: Sequence[WiredBox], processors: Sequence[WiredProcessor]) -> Figure[str]:
    """Who gives the line-frequency signal to the bus: a box whose supply makes it, the processor's own box first."""
    first = layout.units[layout.boards[processors[0].board].unit].box if processors else ""
    in_order = sorted(boxes, key=lambda box: box.id != first)
    doubtful: Unknown | None = None
    for box in in_order:
        if box.supply is None:
            doubtful = doubtful or Unknown(f"whether the supply of box {box.id} gives the line-clock signal")
            continue
        figure = box.supply.line_clock
        if isinstance(figure, Known) and figure.peek == "yes":
            return Known(f"supply of box {box.id}", figure.evidence, figure.sources, figure.note)
        if isinstance(figure, Unknown):
            doubtful = doubtful or figure
    return doubtful or NotApplicable()
