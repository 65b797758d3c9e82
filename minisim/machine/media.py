"""Reading what the loadout puts into a machine: paper tapes and ROM images.  Problems point at the loadout's line."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.findings import Mark
from minisim.loadout.model import LoadoutError
from minisim.problems import Problem

if TYPE_CHECKING:
    from minisim.loadout.model import CableEnd, RomFitted

LONGEST_TAPE = 4_000_000  # frames: some ten kilometres
LARGEST_ROM = 65_536  # bytes


def _content(path: Path, mark: Mark, what: str, most: int) -> bytes:
    try:
        size = path.stat().st_size
        content = path.read_bytes() if size <= most else b""
    except OSError as error:
        raise LoadoutError([Problem(mark, f"{what} {path} can't be read: {error.strerror or error}")]) from None
    if size > most:
        raise LoadoutError([Problem(mark, f"{what} {path} has {size} bytes; {most} is the most")])
    return content


def tape_bytes(end: CableEnd) -> bytes:
    """The frames of a paper tape, one a byte."""
    assert end.media is not None
    return _content(end.media, end.media_mark, "paper tape", LONGEST_TAPE)


def rom_words(fitted: RomFitted) -> tuple[int, ...]:
    """The words of a ROM image: low byte first, as many as there are."""
    assert fitted.image is not None
    content = _content(fitted.image, fitted.mark, "ROM image", LARGEST_ROM)
    if len(content) % 2:
        raise LoadoutError([Problem(fitted.mark, f"ROM image {fitted.image} ends in the middle of a word")])
    if fitted.sha256 and hashlib.sha256(content).hexdigest() != fitted.sha256.lower():
        raise LoadoutError([Problem(fitted.mark, f"ROM image {fitted.image} is not the one whose sha256 stands here")])
    return tuple(int.from_bytes(content[i : i + 2], "little") for i in range(0, len(content), 2))
