"""Dumps in other orders: eight-inch diskettes as the usual system software counts their blocks.

The size tells which order a dump has: without track 0 it is the logical one (devices 8).  Logical sector L lies at
t = L div 26, s = L mod 26, i = (2s, +1 if s >= 13) mod 26: track t + 1, sector 1 + (i + 6t) mod 26 (sector-map-posts).
"""

from __future__ import annotations

from minisim.media.geometry import Geometry

TRACK = 26


def has_logical_order(geometry: Geometry) -> bool:
    """Is there a second usual order of this kind of medium (as the catalogue says)?"""
    return geometry.logical_bytes > 0


def place_of(logical: int) -> tuple[int, int]:
    """(track, sector) of a logical sector; sectors count from 1."""
    track, sector = divmod(logical, TRACK)
    step = (2 * sector + (sector >= TRACK // 2)) % TRACK
    return track + 1, 1 + (step + 6 * track) % TRACK


def to_physical(dump: bytes, geometry: Geometry) -> bytes:
    """A dump in logical order as an image; track 0 is filled with zeros.  ValueError: not of that size."""
    if len(dump) != geometry.logical_bytes:
        raise ValueError(f"a dump of {geometry.kind} in logical order has {geometry.logical_bytes} bytes")
    image, each = bytearray(geometry.size), geometry.bytes_each
    for logical in range(len(dump) // each):
        place = geometry.number(place_of(logical)[0], 0, place_of(logical)[1]) * each
        image[place : place + each] = dump[logical * each : (logical + 1) * each]
    return bytes(image)


def to_logical(image: bytes, geometry: Geometry) -> bytes:
    """An image as a dump in logical order; what is on track 0 is left out."""
    if len(image) != geometry.size:
        raise ValueError(f"an image of {geometry.kind} has {geometry.size} bytes")
    each = geometry.bytes_each
    parts = []
    for logical in range(geometry.logical_bytes // each):
        track, sector = place_of(logical)
        place = geometry.number(track, 0, sector) * each
        parts.append(image[place : place + each])
    return b"".join(parts)
