"""ROM images: bare words, low byte first, and a small YAML file beside them (`minisim.wiring.sidecar` reads it)."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.files import write_atomically
from minisim.findings import Mark
from minisim.problems import InputError, Problem

if TYPE_CHECKING:
    from minisim.wiring.sidecar import Sidecar

MOST_BYTES = 0o20000  # no ROM window is larger than the I/O page
IO_PAGE = 0o760000  # the I/O page in addresses of 18 bits
SOCKET = 0o200  # bytes: sockets and pages begin at multiples of it [boot-terminator-wiki]


@dataclass(frozen=True, slots=True)
class RomImage:
    """The words of a ROM and what is said of it beside it (None: nothing)."""

    words: tuple[int, ...]
    described: Sidecar | None

    @property
    def likely_at(self) -> int | None:
        """16-bit address of the first word, from the start: sockets begin at multiples of 200."""
        start = self.described.start if self.described else None
        return None if start is None else start - start % SOCKET


def bytes_of(words: Iterable[int]) -> bytes:
    """Words as they stand in an image."""
    return b"".join(word.to_bytes(2, "little") for word in words)


def read_rom(path: str | Path) -> RomImage:
    """An image with what stands beside it; InputError where one of them can't be used or they disagree."""
    from minisim.wiring.sidecar import read_sidecar
    from minisim.yamltext import read_bytes

    data = read_bytes(path)
    if not data or len(data) & 1 or len(data) > MOST_BYTES:
        text = f"an image of {len(data)} bytes; words need an even number, 2 to {MOST_BYTES}"
        raise InputError([Problem(Mark(str(path), 1, 1), text)])
    words = tuple(int.from_bytes(data[i : i + 2], "little") for i in range(0, len(data), 2))
    return RomImage(words, read_sidecar(Path(path)))


def write_rom(
    path: str | Path, words: Sequence[int], *, start: int, boots: str, expects: int | None, source: str
) -> None:
    """Write an image and the file beside it, each whole or not at all; `start` is a 16-bit address, `boots` is empty
    where it boots nothing.
    """
    from minisim.wiring.sidecar import sidecar_path

    data = bytes_of(words)
    lines = ["rom: 1", *([f"boots: {boots}"] if boots else [])]
    lines += [f"expects: {IO_PAGE | expects & 0o17777:o}"] if expects is not None else []
    lines += [f"start: {start:o}", f"words: {len(words)}", f"sha256: {hashlib.sha256(data).hexdigest()}"]
    lines += [f"source: {source}"]
    write_atomically(path, data)
    write_atomically(sidecar_path(Path(path)), ("\n".join(lines) + "\n").encode())
