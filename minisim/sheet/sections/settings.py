"""Switches and jumpers of every board: drawn where the catalogue knows them, else the bits of each address."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from minisim.known import Figure, Known
from minisim.sheet.blocks import BLANK, Block, Heading, Page, Table, Words
from minisim.sheet.drawing.switches import switch_drawing
from minisim.sheet.messages import say
from minisim.sheet.numbers import binary, handle

if TYPE_CHECKING:
    from minisim.loadout.model import RomFitted, Setting
    from minisim.wiring.model import Wired, WiredBoard, WiredRegisters

_PAGE = 0o760000  # the I/O page in the 18-bit form, as the handbooks print it
_ADDRESS_BITS = (12, 2)  # the bits that switches of a board choose lie here; a board may have fewer
_VECTOR_BITS = (8, 2)

Row = tuple[str, str, str, str]


def settings_page(wired: Wired) -> Page:
    """Every board that has something to set or to fit."""
    blocks: list[Block] = [Words(say("settings-manual"))]
    for board in wired.boards:
        blocks += _board(wired, board)
    return Page("settings", say("settings-title"), tuple(blocks))


def _board(wired: Wired, board: WiredBoard) -> Iterator[Block]:
    rows = [*_stated(wired, board), *_computed(wired, board), *_open(board), *_fitted(board)]
    drawing = switch_drawing(wired, board.index)
    if not rows and drawing is None:
        return
    yield Heading(f"{board.place}: {handle(board.entry)}, {board.entry.kind}")
    head = tuple(say(f"settings-{name}") for name in ("what", "value", "bits-head", "meaning"))
    if rows:
        yield Table(f"settings-{_id(board)}", say("settings-caption", place=str(board.place)), head, tuple(rows))
    if drawing is not None:
        yield drawing


def _id(board: WiredBoard) -> str:
    return str(board.place).replace("/", "-")


def _stated(wired: Wired, board: WiredBoard) -> Iterator[Row]:
    """What the loadout sets."""
    for name, setting in board.placed.settings.items():
        entry = board.entry.settings.get(name)
        yield name, _shown(setting), _bits(wired, board, name, setting), entry.what if entry else ""


def _shown(setting: Setting) -> str:
    return say(f"word-{setting.text}") if setting.text in ("on", "off", "in", "out", "yes", "no") else setting.text


def _bits(wired: Wired, board: WiredBoard, name: str, setting: Setting) -> str:
    value = setting.value
    if not isinstance(value, int) or isinstance(value, bool):
        return ""
    if name == "address":
        return say("settings-bits", high="12", low="2", bits=binary(value, *_ADDRESS_BITS))
    if name == "vector":
        return say("settings-bits", high="8", low="2", bits=binary(value, *_VECTOR_BITS))
    if name == "start" and any(one.board == board.index for one in wired.memories):
        return say("settings-bits", high="21", low="12", bits=binary(value, 21, 12))
    return ""


def _computed(wired: Wired, board: WiredBoard) -> Iterator[Row]:
    """Addresses and vectors that the loadout does not state: fixed ones, and those of the rank order."""
    for one in wired.registers:
        if one.board == board.index:
            yield from _of_registers(one, set(board.placed.settings))


def _of_registers(one: WiredRegisters, stated: set[str]) -> Iterator[Row]:
    if "address" not in stated and isinstance(one.base, Known):
        bits = say("settings-bits", high="12", low="2", bits=binary(one.base.peek, *_ADDRESS_BITS))
        yield say("settings-address-of", device=_device(one)), f"{_PAGE + one.base.peek:06o}", bits, _why(one.base)
    if "vector" not in stated and isinstance(one.vector, Known):
        bits = say("settings-bits", high="8", low="2", bits=binary(one.vector.peek, *_VECTOR_BITS))
        yield say("settings-vector-of", device=_device(one)), f"{one.vector.peek:03o}", bits, _why(one.vector)


def _device(one: WiredRegisters) -> str:
    return one.device.replace("-", " ") + (f" {one.unit}" if one.unit else "")


def _why(figure: Figure[int]) -> str:
    return say("settings-by-kind", evidence=say(f"evidence-{figure.evidence}")) if isinstance(figure, Known) else ""


def _open(board: WiredBoard) -> Iterator[Row]:
    """Switches that the board has and the loadout says nothing of: looked up on the board."""
    for name, entry in board.entry.settings.items():
        if name not in board.placed.settings:
            yield name, BLANK, say("settings-see-manual"), say("settings-not-stated", what=entry.what)


def _fitted(board: WiredBoard) -> Iterator[Row]:
    """ROMs in sockets, and options in theirs."""
    for rom in board.placed.roms:
        yield say("settings-rom"), rom.rom, f"{_PAGE + rom.at:06o}", _image(rom)
    for option in board.placed.options:
        yield say("settings-option"), option, "", say("settings-option-fitted")


def _image(rom: RomFitted) -> str:
    return say("settings-rom-image", file=rom.image_text) if rom.image_text else say("settings-rom-unread")
