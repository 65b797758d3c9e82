"""An owner's image of a test program: what kind of file it is, and what it puts into a machine.

Absolute paper tapes, plain octal listings, raw images of disks, floppies and block tapes.  The SHA-256 of the file is
its exact version.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from minisim.catalogue.reader import Catalogue
from minisim.files import read_at_most
from minisim.findings import Mark
from minisim.media.geometry import Geometry, endings, kinds_of_size
from minisim.problems import InputError, Problem

TAPE = ".papertape"
LISTINGS = (".words", ".txt", ".oct", ".lst")
MOST_BYTES = 500_000_000
MOST_TAPE = 4_000_000
_REMARK = ";"


@dataclass(frozen=True, slots=True)
class Image:
    """One image.  `blocks` go into memory, `content` into a drive that takes one of `kinds`; `start` is what the image
    itself says.
    """

    path: Path
    sha256: str
    blocks: tuple[tuple[int, bytes], ...] = ()
    start: int | None = None
    content: bytes = b""
    kinds: tuple[Geometry, ...] = ()

    @property
    def name(self) -> str:
        """As reports name it."""
        return str(self.path)

    @property
    def is_medium(self) -> bool:
        """It goes into a drive."""
        return bool(self.kinds)


def read_image(path: str | Path) -> Image:
    """The image in a file.  InputError: it is none, is damaged, or can't be read."""
    path = Path(path)
    suffix = path.suffix
    if suffix != TAPE and suffix not in LISTINGS and suffix not in _of_media():
        known = ", ".join((TAPE, *_of_media(), *LISTINGS))
        raise _refused(path, f"no image: its name ends with {suffix or 'nothing'}; images end with {known}")
    data = read_at_most(path, MOST_BYTES if suffix in _of_media() else MOST_TAPE, "an image")
    version = hashlib.sha256(data).hexdigest()
    if suffix == TAPE:
        return _tape(path, data, version)
    return _listing(path, data, version) if suffix in LISTINGS else _medium(path, data, version)


@cache
def _of_media() -> tuple[str, ...]:
    """The endings of images of media."""
    return endings(Catalogue())


def _refused(path: Path, message: str) -> InputError:
    return InputError([Problem(Mark(str(path), 1, 1), message)])


def _tape(path: Path, data: bytes, version: str) -> Image:
    from minisim.tape import memory_of, read_tape, stretches

    tape = read_tape(data)
    if not tape.blocks:
        raise _refused(path, "no absolute paper tape: the file is empty" if not data else f"{tape.damages[0]}")
    if not tape.sound:
        raise _refused(path, f"the tape is damaged at {tape.damages[0]} (minisim tape list tells the rest)")
    blocks = tuple(stretches(memory_of(tape)))
    if not blocks:
        raise _refused(path, "the tape puts nothing into memory")
    return Image(path, version, blocks, tape.start)


def _medium(path: Path, data: bytes, version: str) -> Image:
    kinds = tuple(kinds_of_size(len(data), Catalogue(), path.suffix))
    if not kinds:
        raise _refused(path, f"{len(data)} bytes: no image of bare sectors; its size is that of no medium")
    return Image(path, version, content=data, kinds=kinds)


# --- listings ---------------------------------------------------------------------------------------------------------


def _listing(path: Path, data: bytes, version: str) -> Image:
    from minisim.words_text import parse_words, runs

    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise _refused(path, "a listing is text in UTF-8") from None
    memory = parse_words(tidied(text), str(path))
    if memory.start is not None and memory.start & 1:
        raise _refused(path, f"the start {memory.start:06o} is odd; a program starts at an even address")
    blocks = ((at, b"".join(word.to_bytes(2, "little") for word in words)) for at, words in runs(memory.words))
    return Image(path, version, tuple(blocks), memory.start)


def tidied(text: str) -> str:
    """A listing as people type it, in the strict form, line by line: `address: words`.

    A colon or slash behind the address may be left out, words may be parted by commas, a remark begins with a
    semicolon, and a line of one number alone goes on behind the line before.
    """
    lines: list[str] = []
    at: int | None = None
    for line in text.splitlines():
        parts = line.partition(_REMARK)[0].replace(",", " ").replace(":", ": ").replace("/", ": ").split()
        parts = [":".join(parts[:1]) + ":", *parts[2:]] if parts[1:2] == [":"] else parts
        if len(parts) == 1 and at is not None and _octal(parts[0]) is not None:
            parts = [f"{at:06o}:", *parts]
        elif len(parts) > 1 and _octal(parts[0]) is not None:
            parts = [f"{parts[0]}:", *parts[1:]]
        first = _octal(parts[0].removesuffix(":")) if parts else None
        if first is not None:
            at = first + 2 * (len(parts) - 1)
        lines.append(" ".join(parts))
    return "\n".join(lines)


def _octal(text: str) -> int | None:
    return int(text, 8) if text and not set(text) - set("01234567") else None
