"""How large a medium is and how its sectors are counted, from the catalogue."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from minisim.catalogue import Catalogue
from minisim.catalogue.model import MediumEntry
from minisim.known import Known


@dataclass(frozen=True, slots=True)
class Geometry:
    """Sectors of one kind of medium: `bytes_each` in each of `sectors`, in the order of the image.

    Cylinders, heads and sectors a track are 1 where the medium has none (a block tape).  `first` is the number of the
    first sector of a track, 0 or 1.  `logical_bytes`: see `raw`.
    """

    kind: str
    cylinders: int
    heads: int
    track: int
    bytes_each: int
    ending: str
    first: int = 0
    sectors: int = 0
    logical_bytes: int = 0  # of a dump in the order of system software; 0: there is none

    @property
    def size(self) -> int:
        """Bytes of a whole image."""
        return self.sectors * self.bytes_each

    def number(self, cylinder: int, head: int, sector: int) -> int:
        """The place of a sector in the image.  ValueError: there is no such sector."""
        inside = 0 <= cylinder < self.cylinders and 0 <= head < self.heads
        if not inside or not self.first <= sector < self.first + self.track:
            raise ValueError(f"{self.kind} has no sector {cylinder}/{head}/{sector}")
        return (cylinder * self.heads + head) * self.track + sector - self.first

    def check(self, first: int, count: int) -> None:
        """ValueError: these sectors lie beyond the medium."""
        if count < 1 or not 0 <= first <= self.sectors - count:
            raise ValueError(f"{self.kind} has sectors 0 to {self.sectors - 1}")

    def cut(self, first: int, data: bytes) -> dict[int, bytes]:
        """Data as sectors by number.  ValueError: part of a sector, or beyond the medium."""
        each = self.bytes_each
        count, rest = divmod(len(data), each)
        if rest:
            raise ValueError("whole sectors are written")
        self.check(first, count)
        return {first + n: bytes(data[n * each : (n + 1) * each]) for n in range(count)}


def geometry_of(entry: MediumEntry) -> Geometry | None:
    """The geometry of a kind; None where its size is not fixed, or not known (tapes of any length)."""
    if not isinstance(entry.bytes, Known) or not entry.bytes.peek.isdigit() or not isinstance(entry.geometry, Known):
        return None
    counts = entry.geometry.peek
    each = int(counts.get("bytes", "512"))
    whole = int(entry.bytes.peek)
    track = int(counts.get("sectors", counts.get("blocks", str(whole // each))))
    heads = int(counts.get("heads", "1"))
    cylinders = int(counts.get("cylinders", "1"))
    first = int(counts.get("first-sector", "0"))
    logical = entry.logical_bytes.peek if isinstance(entry.logical_bytes, Known) else 0
    return Geometry(entry.id, cylinders, heads, track, each, entry.ending, first, whole // each, logical)


def kinds_of_size(size: int, catalogue: Catalogue, ending: str = "") -> list[Geometry]:
    """Every kind of medium whose image has so many bytes (and, where it is given, this ending)."""
    found = (geometry_of(catalogue.medium(name)) for name in catalogue.ids("media"))
    return [one for one in found if one is not None and one.size == size and ending in ("", one.ending)]


def endings(catalogue: Catalogue) -> tuple[str, ...]:
    """All endings of image files of fixed size."""
    return tuple(sorted({one.ending for one in _all(catalogue) if one.ending}))


def _all(catalogue: Catalogue) -> Iterable[Geometry]:
    return (one for name in catalogue.ids("media") if (one := geometry_of(catalogue.medium(name))) is not None)


def ending_of(path: Path) -> str:
    """The ending of an image file: `.floppy` of `system.floppy`."""
    return path.suffix
