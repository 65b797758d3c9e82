"""Our own boot ROMs and the resident program, for every device that boots: assembled from the sources beside this file.

A boot ROM reads block 0 of its medium to 0 and jumps there; that block brings the resident program, which lists,
prints, keeps and verifies files on the medium.  How the medium is laid out: docs/reference/resident.md.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.resident.layout import BLOCK, CATALOGUE, FIRST_FILE, PROGRAM, ResidentError, catalogue_block, entry_of

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue
    from minisim.media.geometry import Geometry

__all__ = ["BOOTS", "Boots", "ResidentError", "image_of", "rom_of"]

HERE = Path(__file__).parent
FAULT = "boot-fault.s"
CONSOLE_ENTRY = "console-entry.s"
_NEEDS = re.compile(r"^; needs: (\S+)$", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Boots:
    """A device that boots: its kind of controller.  Its media: those that its drives are made for."""

    device: str

    @property
    def driver(self) -> tuple[str, ...]:
        """Sources of its driver, which names those it needs behind it: `; needs: floppy-common.s`."""
        name = f"driver-{self.device}.s"
        return (name, *_NEEDS.findall(source_text(name)))

    @property
    def rom(self) -> tuple[str, ...]:
        """Sources of its ROM."""
        return (f"boot-{self.device}.s", FAULT)

    def rom_boots(self, catalogue: Catalogue) -> str:
        """The device on the board that its ROM goes to: a drive with its own controller hangs on a line."""
        lines = (catalogue.drive(name) for name in catalogue.ids("drives"))
        ours = (drive.line_device for drive in lines if drive.controller == self.device)
        return next((line for line in ours if line), self.device)


def _found() -> dict[str, Boots]:
    """Every device with a driver."""
    names = sorted(path.stem.removeprefix("driver-") for path in HERE.glob("driver-*.s"))
    return {name: Boots(name) for name in names}


BOOTS = _found()


def media_of(device: str, catalogue: Catalogue) -> tuple[str, ...]:
    """Kinds of media that its drives are made for: the first of each drive's list."""
    drives = (catalogue.drive(name) for name in catalogue.ids("drives"))
    return tuple(drive.media[0] for drive in drives if drive.controller == device and drive.media)


def of_medium(kind: str, catalogue: Catalogue) -> Boots | None:
    """The device that boots a kind of medium."""
    return next((one for one in BOOTS.values() if kind in media_of(one.device, catalogue)), None)


# --- ROMs -------------------------------------------------------------------------------------------------------------


def rom_of(device: str, start: int) -> tuple[int, ...]:
    """The words of the boot ROM of a device, from the beginning of its socket (a multiple of 200) on.

    `start` is the 16-bit address where its program begins: the board may read switches in place of words before it.
    """
    return _rom_words(BOOTS[device].rom, start)


def console_rom(start: int) -> tuple[int, ...]:
    """The words of the ROM that gives a person at the console line memory, from the beginning of its socket on."""
    return _rom_words((CONSOLE_ENTRY,), start)


def _rom_words(sources: tuple[str, ...], start: int) -> tuple[int, ...]:
    image = _bytes_of(sources, start - start % 0o200, f"begin = {start:o}\n")
    return tuple(int.from_bytes(image[at : at + 2], "little") for at in range(0, len(image), 2))


# --- media ------------------------------------------------------------------------------------------------------------


def image_of(
    geometry: Geometry, label: str, files: Mapping[str, bytes], catalogue: Catalogue | None = None
) -> bytes:
    """A whole image with the resident program and files.  ResidentError: a name or a file that can't be kept."""
    from minisim.catalogue import Catalogue

    device = of_medium(geometry.kind, catalogue or Catalogue())
    if device is None:
        raise ResidentError(f"no boot ROM of ours reads {geometry.kind}")
    blocks = _blocks_of(geometry)
    content = bytearray(_boot_block(device) + _program(device))
    content += catalogue_block(label, blocks, files)
    for data in files.values():
        content += data + bytes(-len(data) % BLOCK)
    if len(content) > blocks * BLOCK:
        raise ResidentError(f"{len(files)} files do not fit on {geometry.kind}")
    return _in_order(bytes(content.ljust(blocks * BLOCK, b"\0")), geometry)


def _blocks_of(geometry: Geometry) -> int:
    return (geometry.logical_bytes or geometry.size) // BLOCK


def _in_order(blocks: bytes, geometry: Geometry) -> bytes:
    """Blocks as they lie on the medium: diskettes in the usual logical order, the others one after the other."""
    from minisim.media.raw import has_logical_order, to_physical

    return to_physical(blocks, geometry) if has_logical_order(geometry) else blocks


def blocks_in(image: bytes, geometry: Geometry) -> bytes:
    """The other way: the blocks of an image in their order."""
    from minisim.media.raw import has_logical_order, to_logical

    return to_logical(image, geometry) if has_logical_order(geometry) else image


def _boot_block(device: Boots) -> bytes:
    made = _bytes_of(("boot-block.s", *device.driver), 0)
    assert len(made) <= BLOCK, f"the boot block of {device.device} has {len(made)} bytes"
    return made.ljust(BLOCK, b"\0")


def _program(device: Boots) -> bytes:
    room = (CATALOGUE - 1) * BLOCK
    made = _bytes_of(("resident.s", *device.driver), PROGRAM)
    assert len(made) <= room, f"the resident program of {device.device} has {len(made)} bytes"
    return made.ljust(room, b"\0")


@lru_cache(maxsize=32)
def _bytes_of(sources: tuple[str, ...], origin: int, before: str = "") -> bytes:
    """Sources read as one, assembled, from `origin` to the last byte."""
    from minisim import assemble

    program = assemble(before + "\n".join(source_text(name) for name in sources))
    size = max(block.address + len(block.data) for block in program.blocks) - origin
    image = bytearray(size + size % 2)
    for block in program.blocks:
        image[block.address - origin : block.address - origin + len(block.data)] = block.data
    return bytes(image)


def source_text(name: str) -> str:
    """One of the sources."""
    return (HERE / name).read_text(encoding="ascii")


def files_in(image: bytes, geometry: Geometry) -> Iterator[tuple[str, bytes]]:
    """The files of an image with the resident program and their contents.  ResidentError: it is none, or damaged."""
    blocks = blocks_in(image, geometry)
    for entry in entry_of(blocks[CATALOGUE * BLOCK : (CATALOGUE + 1) * BLOCK]):
        data = blocks[entry.first * BLOCK : entry.first * BLOCK + entry.length]
        if entry.first < FIRST_FILE or len(data) != entry.length or sum(data) & 0o177777 != entry.total:
            raise ResidentError(f"the file {entry.name} is damaged")
        yield entry.name, data
