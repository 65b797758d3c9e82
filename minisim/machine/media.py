"""Reading what the loadout puts into a machine: paper tapes and ROM images.  Problems point at the loadout's line."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import TYPE_CHECKING, Any

from minisim.findings import Mark
from minisim.loadout.model import LoadoutError
from minisim.problems import Problem

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from minisim.catalogue.reader import Catalogue
    from minisim.loadout.model import CableEnd, RomFitted
    from minisim.media import Medium
    from minisim.media.held import HeldMedium
    from minisim.media.writing import Writing

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


def opened(path: Path, takes: Sequence[str], catalogue: Catalogue, *, writing: Writing, mark: Mark | None) -> Medium:
    """Open an image for a drive that takes these kinds of media.  LoadoutError: it can't be used there."""
    from minisim.media import open_medium
    from minisim.problems import InputError

    try:
        medium = open_medium(path, catalogue, kind=takes[0] if len(takes) == 1 else "", writing=writing, mark=mark)
    except InputError as error:
        raise LoadoutError(error.problems) from None
    if medium.geometry.kind not in takes:
        kind = medium.geometry.kind
        medium.close()
        message = f"{path}: {kind} does not go into this drive; it takes {', '.join(takes)}"
        raise LoadoutError([Problem(mark or Mark(str(path), 1, 1), message)])
    return medium


def copied(path: Path, takes: Sequence[str], catalogue: Catalogue, *, mark: Mark | None) -> HeldMedium:
    """A copy of an image in memory, without the changes that its owner keeps apart from it.  LoadoutError as above."""
    from minisim.media.held import HeldMedium
    from minisim.media.writing import Writing

    with opened(path, takes, catalogue, writing=Writing.NEVER, mark=mark) as medium:
        content = medium.image()
        return HeldMedium(medium.geometry, content, bad=medium.bad)


def as_recorded(path: Path, recorded: Mapping[str, Any], mark: Mark) -> HeldMedium:
    """A copy of the medium as it was when a recording began.  LoadoutError: the image is another one now."""
    from minisim.media.frozen import FrozenMediumError, thawed_medium

    if not recorded:
        raise LoadoutError([Problem(mark, f"{path}: nothing was in this drive when the recording began")])
    try:
        return thawed_medium({**recorded, "path": "" if recorded["content"] else str(path)})
    except FrozenMediumError as error:
        raise LoadoutError([Problem(mark, f"{error}: the recording can't be replayed")]) from None
