"""Rings of bytes between host and guest."""

from __future__ import annotations

from typing import Any

from minisim.cpu._core import ffi, lib
from minisim.machine.errors import MachineError


def fill(raw: Any, ring: int, data: bytes) -> None:
    """Bytes into a ring.  MachineError: not all of them found room."""
    content = bytes(data)
    fed = int(lib.ms_ring_feed(raw, ring, content, len(content)))
    if fed < len(content):
        raise MachineError(f"only {fed} of {len(content)} bytes found room")


def drain(raw: Any, ring: int, most: int | None = None) -> bytes:
    """All bytes of a ring, or so many."""
    count = int(raw.rings[ring].count)
    count = count if most is None else min(max(most, 0), count)
    room = ffi.new("uint8_t[]", max(count, 1))
    return bytes(ffi.buffer(room, int(lib.ms_ring_drain(raw, ring, room, count))))
