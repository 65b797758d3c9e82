"""The catalogue block of a medium with the resident program (docs/reference/resident.md)."""

from __future__ import annotations

import re
import struct
from collections.abc import Mapping
from dataclasses import dataclass

BLOCK = 512  # bytes
CATALOGUE = 16  # block
FIRST_FILE = 17  # block
PROGRAM = 0o1000  # where the resident program lies in memory
ENTRIES = 32
MARK = 0o52525
MOST = 4096  # bytes of a file
_ENTRY = struct.Struct("<8s4H")
_NAME = re.compile(r"[a-z0-9-]{1,8}\Z")


class ResidentError(ValueError):
    """Something that can't stand on a medium of the resident program, or is no such medium."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A file: first block, length in bytes, sum of its bytes modulo 2^16."""

    name: str
    first: int
    length: int
    total: int


def catalogue_block(label: str, blocks: int, files: Mapping[str, bytes]) -> bytes:
    """The block of a medium with these files, one behind the other."""
    if len(files) >= ENTRIES:
        raise ResidentError(f"{len(files)} files; {ENTRIES - 1} are the most")
    at, made = FIRST_FILE, b""
    for name, data in files.items():
        if len(data) > MOST:
            raise ResidentError(f"{name} has {len(data)} bytes; {MOST} are the most that the program can print")
        made += _ENTRY.pack(_name(name), at, len(data), sum(data) & 0o177777, 0)
        at += -(-len(data) // BLOCK)
    return (_ENTRY.pack(_name(label), at, blocks, MARK, 0) + made).ljust(BLOCK, b"\0")


def _name(name: str) -> bytes:
    if not _NAME.match(name):
        raise ResidentError(f'"{name}" is no name: 1 to 8 small letters, digits and hyphens')
    return name.encode("ascii")


def entry_of(block: bytes) -> list[Entry]:
    """The files of a catalogue block.  ResidentError: it is none."""
    rows = list(_ENTRY.iter_unpack(block))
    if len(rows) != ENTRIES or rows[0][3] != MARK:
        raise ResidentError("this medium has no catalogue of the resident program")
    used = (row for row in rows[1:] if row[0][0])
    return [Entry(row[0].rstrip(b"\0").decode("latin-1"), row[1], row[2], row[3]) for row in used]
