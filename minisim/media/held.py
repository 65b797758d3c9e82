"""A medium in memory: of a machine that was thawed, or made for a test.  What is written lives as long as it does."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from minisim.media.geometry import Geometry


class HeldMedium:
    """Sectors of `content` (a whole image), those of `changed` before them.

    `path` and `sha256` say which image the content is of; both are empty where it is of none.
    """

    def __init__(
        self,
        geometry: Geometry,
        content: bytes,
        changed: Mapping[int, bytes] | None = None,
        *,
        bad: Iterable[int] = (),
        path: str = "",
        sha256: str = "",
    ) -> None:
        if len(content) != geometry.size:
            raise ValueError(f"{geometry.kind} has {geometry.size} bytes, not {len(content)}")
        self.geometry, self.content, self.apart = geometry, content, dict(changed or {})
        self.bad, self.path, self.sha256 = frozenset(bad), path, sha256
        if any(not 0 <= number < geometry.sectors for number in (*self.apart, *self.bad)):
            raise ValueError(f"{geometry.kind} has sectors 0 to {geometry.sectors - 1}")
        if any(len(sector) != geometry.bytes_each for sector in self.apart.values()):
            raise ValueError(f"a sector of {geometry.kind} has {geometry.bytes_each} bytes")

    def read(self, first: int, count: int = 1) -> bytes:
        """The bytes of `count` sectors.  ValueError: beyond the medium."""
        self.geometry.check(first, count)
        return b"".join(self._sector(number) for number in range(first, first + count))

    def write(self, first: int, data: bytes) -> None:
        """Whole sectors.  ValueError: beyond the medium, or part of a sector."""
        self.apart.update(self.geometry.cut(first, data))

    def close(self) -> None:
        """Nothing is held outside of memory."""

    def _sector(self, number: int) -> bytes:
        each = self.geometry.bytes_each
        found = self.apart.get(number)
        return self.content[number * each : (number + 1) * each] if found is None else found
