"""A medium inside a frozen machine: which image it is of, and what was written since.

A thawed machine has a copy of its own in memory: the machine it was frozen from goes on with the files.  The image must
still be what it was then, unless its content was frozen too (a medium that is written through, or one without a file).
"""

from __future__ import annotations

import hashlib
import zlib
from dataclasses import asdict
from pathlib import Path
from typing import Any

from minisim.media.geometry import Geometry
from minisim.media.held import HeldMedium
from minisim.media.store import Medium
from minisim.media.writing import Writing


class FrozenMediumError(Exception):
    """The image of a frozen machine's medium is not there any more, or another one."""


def frozen_medium(medium: Any) -> dict[str, Any]:
    """As plain data; `medium` is a Medium or a HeldMedium."""
    geometry = asdict(medium.geometry)
    facts = {"geometry": geometry, "bad": sorted(medium.bad), "path": "", "sha256": "", "changed": {}, "content": b""}
    if isinstance(medium, HeldMedium):
        facts |= {"path": medium.path, "sha256": medium.sha256, "changed": dict(sorted(medium.apart.items()))}
        return facts if medium.path else facts | {"content": zlib.compress(medium.content, 1)}
    facts["path"] = str(medium.path.resolve())
    if medium.writing is Writing.THROUGH:
        content = medium.read(0, medium.geometry.sectors)
        return facts | {"path": "", "content": zlib.compress(content, 1)}
    return facts | {"sha256": medium.image_sum(), "changed": _changed(medium)}


def _changed(medium: Medium) -> dict[int, bytes]:
    return {number: medium.read(number) for number in medium.changed}


def thawed_medium(data: dict[str, Any]) -> HeldMedium:
    """The medium of `frozen_medium`.  FrozenMediumError: its image is gone or another one."""
    geometry = Geometry(**data["geometry"])
    changed = {int(number): bytes(sector) for number, sector in data["changed"].items()}
    path, sha256 = str(data["path"]), str(data["sha256"])
    content = _image(Path(path), sha256) if path else _unpacked(data["content"], geometry.size)
    return HeldMedium(geometry, content, changed, bad=data["bad"], path=path, sha256=sha256)


def _image(path: Path, sha256: str) -> bytes:
    try:
        content = path.read_bytes()
    except OSError as error:
        raise FrozenMediumError(f"the medium {path} can't be read: {error.strerror or error}") from None
    if hashlib.sha256(content).hexdigest() != sha256:
        raise FrozenMediumError(f"the medium {path} is not what it was then")
    return content


def _unpacked(data: bytes, size: int) -> bytes:
    try:
        content = zlib.decompressobj().decompress(data, size + 1)
    except zlib.error as error:
        raise ValueError(f"a medium can't be unpacked ({error})") from None
    if len(content) != size:
        raise ValueError("a medium has another size")
    return content
