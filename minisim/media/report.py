"""What can be said of a medium, and where two differ, as values."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from minisim.json_shapes import list_of, record
from minisim.media.description import sum_of
from minisim.media.store import Medium

_MANY = 256  # sectors read at a time


@dataclass(frozen=True, slots=True)
class Inspection:
    """One medium: its size, what is said of it, what lies apart, how much of it holds anything but zeros."""

    file: str
    kind: str
    sectors: int
    bytes_each: int
    label: str
    note: str
    sha256: str  # of the image file itself, without what lies apart
    described: bool | None  # is the image the one that is described?  None: no sum is stated
    changed: tuple[int, ...]
    used: int
    bad: tuple[int, ...]
    first_word: int  # of sector 0: what a boot ROM would jump to


def inspect(medium: Medium) -> Inspection:
    """Read a whole medium."""
    said, geometry = medium.description, medium.geometry
    found = sum_of(medium.path)
    used = sum(any(sector) for sector in sectors_of(medium))
    return Inspection(
        str(medium.path), geometry.kind, geometry.sectors, geometry.bytes_each, said.label, said.note, found,
        found == said.sha256 if said.sha256 else None, medium.changed, used, tuple(sorted(medium.bad)),
        int.from_bytes(medium.read(0)[:2], "little"),
    )  # fmt: skip


def sectors_of(medium: Medium) -> Iterator[bytes]:
    """Every sector in order."""
    each = medium.geometry.bytes_each
    for first in range(0, medium.geometry.sectors, _MANY):
        count = min(_MANY, medium.geometry.sectors - first)
        data = medium.read(first, count)
        yield from (data[n * each : (n + 1) * each] for n in range(count))


def differences(one: Medium, other: Medium) -> list[tuple[int, int]]:
    """Stretches of sectors that differ, first and last; both media are of one kind."""
    found: list[tuple[int, int]] = []
    for number, (a, b) in enumerate(zip(sectors_of(one), sectors_of(other), strict=True)):
        if a == b:
            continue
        if found and found[-1][1] == number - 1:
            found[-1] = found[-1][0], number
        else:
            found.append((number, number))
    return found


def as_json(one: Inspection) -> dict[str, Any]:
    """The JSON form; the first word in octal."""
    return {
        "medium": 1,
        "file": one.file,
        "kind": one.kind,
        "sectors": one.sectors,
        "bytes-each": one.bytes_each,
        "label": one.label,
        "note": one.note,
        "sha256": one.sha256,
        "as-described": one.described,
        "changed": list(one.changed),
        "used": one.used,
        "bad": list(one.bad),
        "first-word": f"{one.first_word:06o}",
    }


def medium_schema() -> dict[str, Any]:
    """Schema of `minisim media inspect --json`."""
    text, count = {"type": "string"}, {"type": "integer", "minimum": 0}
    shape = record(
        {
            "medium": {"const": 1},
            **dict.fromkeys(("file", "kind"), text),
            **dict.fromkeys(("sectors", "bytes-each"), count),
            **dict.fromkeys(("label", "note"), text),
            "sha256": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
            "as-described": {"type": ["boolean", "null"]},
            "changed": list_of(count),
            "used": count,
            "bad": list_of(count),
            "first-word": {"type": "string", "pattern": "^[0-7]{6}$"},
        }
    )
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "A medium", **shape}
