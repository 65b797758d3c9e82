"""A medium as a drive sees it: sectors by number, whatever lies in the image and what in the overlay."""

from __future__ import annotations

import contextlib
import errno
import os
from collections.abc import Iterator, Mapping
from pathlib import Path

from minisim.catalogue import Catalogue
from minisim.findings import Mark
from minisim.media.description import Description, read_description, sum_of
from minisim.media.geometry import Geometry, endings, geometry_of, kinds_of_size
from minisim.media.overlay import MediumFullError, Overlay, alone, overlay_path
from minisim.media.writing import Writing
from minisim.problems import InputError, Problem, nearest

_PENDING = 64  # sectors that may lie in both places before the image is brought to the disk
_YES = "yes"


class Medium:
    """Sectors 0 to `geometry.sectors - 1`.  Close it: only then is the image of a write-through whole by itself."""

    def __init__(self, path: Path, geometry: Geometry, said: Description, writing: Writing, mark: Mark) -> None:
        """Use `open_medium`."""
        self.path, self.geometry, self.description, self.writing = path, geometry, said, writing
        self._mark = mark
        self._file, self._writable = _locked(path, writing, mark)
        try:
            there = overlay_path(path)
            self._overlay = Overlay(there) if there.exists() else None
            self._settle()
        except BaseException:
            os.close(self._file)
            raise
        self.bad = frozenset(said.bad_sectors)
        self._sum = (-1, "")

    @property
    def changed(self) -> tuple[int, ...]:
        """Sectors that lie apart from the image."""
        return tuple(sorted(self._overlay.numbers)) if self._overlay else ()

    def image_sum(self) -> str:
        """SHA-256 of the image without what lies apart from it."""
        state = os.fstat(self._file).st_mtime_ns
        if self._sum[0] != state:
            self._sum = (state, sum_of(self.path))
        return self._sum[1]

    def image(self) -> bytes:
        """All sectors without what is kept apart; of a write-through that was cut off, as it would have ended."""
        if self._overlay is not None and self._overlay.facts.get("through") == _YES:
            return self.read(0, self.geometry.sectors)
        return _read_at(self._file, 0, self.geometry.size)

    def read(self, first: int, count: int = 1) -> bytes:
        """The bytes of `count` sectors.  ValueError: beyond the medium."""
        self.geometry.check(first, count)
        each = self.geometry.bytes_each
        data = bytearray(_read_at(self._file, first * each, count * each))
        if self._overlay is not None:
            for number, sector in self._overlay.read(range(first, first + count)).items():
                place = (number - first) * each
                data[place : place + each] = sector
        return bytes(data)

    def write(self, first: int, data: bytes) -> None:
        """Write whole sectors: all of them or none, whatever is killed meanwhile.

        MediumFullError: the host has no room; the medium is as it was.  ValueError: beyond the medium, part of a
        sector, or a medium that is only looked at.
        """
        if self.writing is Writing.NEVER:
            raise ValueError("whole sectors are written, and only where the medium was opened for it")
        sectors = self.geometry.cut(first, data)
        self._apart().write(sectors)
        if self.writing is Writing.THROUGH:
            self._through(sectors)

    def close(self) -> None:
        """Bring everything to the disk and let the image go."""
        with contextlib.suppress(MediumFullError):  # it stays in the overlay, and the next opening brings it over
            if self.writing is Writing.THROUGH:
                self._bring_over()
                self._without_overlay()
        if self._overlay is not None:
            self._overlay.close()
        os.close(self._file)

    def keep(self) -> int:
        """Write all that lies apart into the image; how many sectors.  The overlay is gone afterwards.

        A kill in between loses nothing: the overlay says that it is being kept, and the next opening ends it.
        """
        count = len(self.changed)
        if self._overlay is not None:
            if not self._writable:
                raise self._refused("the image may not be written, so its changes stay apart")
            self._overlay.state("through", _YES)
            self._bring_over()
            self._without_overlay()
        return count

    def drop(self) -> int:
        """Forget all that lies apart; how many sectors."""
        count = len(self.changed)
        self._without_overlay()
        return count

    def __enter__(self) -> Medium:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    # ---- inside

    def _settle(self) -> None:
        """End a write-through that was cut off; refuse an overlay of another image, or one that must not be mixed."""
        if self._overlay is None:
            return
        may_end = self.writing is not Writing.NEVER and self._writable
        if self._overlay.is_half_made and may_end:
            self._without_overlay()
        elif self._overlay.facts.get("through") == _YES and may_end:
            self._bring_over()
            self._without_overlay()
        elif not self._overlay.is_half_made and self._overlay.facts.get("through") != _YES:
            self._of_this_image(self._overlay)

    def _of_this_image(self, overlay: Overlay) -> None:
        if self.writing is Writing.THROUGH and overlay.numbers:
            message = "changes of this medium are kept apart: keep them or drop them first (minisim media)"
            raise self._refused(message)
        self._same_image(overlay.facts)

    def _same_image(self, facts: Mapping[str, str]) -> None:
        """The image must be the one the overlay was made for; its sum is only asked where its time is another."""
        state = os.fstat(self._file)
        if facts.get("mtime") == str(state.st_mtime_ns):
            return
        if facts.get("sha256") != sum_of(self.path):
            message = f"{overlay_path(self.path).name} was made for another content of this image; minisim media drop"
            raise self._refused(message)

    def _apart(self) -> Overlay:
        if self._overlay is None:
            through = _YES if self.writing is Writing.THROUGH else "no"
            state = os.fstat(self._file)
            facts = {"through": through, "mtime": str(state.st_mtime_ns), "size": str(state.st_size)}
            if self.writing is Writing.APART:
                facts["sha256"] = sum_of(self.path)
            try:
                self._overlay = Overlay(overlay_path(self.path), facts)
            except InputError as error:
                raise MediumFullError(str(error.problems[0].message)) from None
        return self._overlay

    def _through(self, sectors: Mapping[int, bytes]) -> None:
        for number, data in sectors.items():
            self._put(number, data)
        if self._overlay is not None and len(self._overlay.numbers) >= _PENDING:
            self._bring_over()

    def _put(self, number: int, data: bytes) -> None:
        try:
            _write_at(self._file, number * self.geometry.bytes_each, data)
        except OSError as error:
            if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
                raise MediumFullError(error.strerror) from None
            raise

    def _bring_over(self) -> None:
        """Write what the overlay holds into the image, and only then forget it there.  Can be done again any time."""
        if self._overlay is None:
            return
        numbers = sorted(self._overlay.numbers)
        for number, data in self._overlay.read(numbers).items():
            self._put(number, data)
        os.fsync(self._file)
        self._overlay.forget()

    def _without_overlay(self) -> None:
        if self._overlay is not None:
            self._overlay.drop()
            self._overlay = None

    def _refused(self, message: str) -> InputError:
        return InputError([Problem(self._mark, f"{self.path}: {message}")])


def open_medium(
    path: Path, catalogue: Catalogue, *, kind: str = "", writing: Writing = Writing.APART, mark: Mark | None = None
) -> Medium:
    """Open an image.  `kind` is what the drive takes; else what its description says, else what its size tells.

    InputError, at `mark` where it is given: not there, of another size, in use, damaged, or a foreign container.
    """
    mark = mark or Mark(str(path), 1, 1)
    size = _size(path, mark)
    said = read_description(path)
    geometry = _geometry(path, size, kind or said.kind, catalogue, mark)
    if any(number >= geometry.sectors for number in said.bad_sectors):
        raise InputError([Problem(mark, f"{path}: bad-sectors: {geometry.kind} has {geometry.sectors} sectors")])
    return Medium(path, geometry, said, writing, mark)


def _geometry(path: Path, size: int, kind: str, catalogue: Catalogue, mark: Mark) -> Geometry:
    if kind:
        if not catalogue.has("media", kind):
            message = f'{path}: there is no kind of medium "{kind}"{nearest(kind, catalogue.ids("media"))}'
            raise InputError([Problem(mark, message)])
        wanted = geometry_of(catalogue.medium(kind))
        if wanted is None:
            raise InputError([Problem(mark, f"{path}: {kind} has no fixed size: it is no medium of sectors")])
        if size != wanted.size:
            raise InputError([Problem(mark, f"{path}: {size} bytes; an image of {kind} has {wanted.size}")])
        return wanted
    found = kinds_of_size(size, catalogue, path.suffix if path.suffix in endings(catalogue) else "")
    if len(found) != 1:
        listed = ", ".join(one.kind for one in found)
        message = f"{size} bytes may be {listed}: say which in {path.name}.yaml" if found else (
            f"{size} bytes: an unknown file, no image of bare sectors; its size is that of no medium"
        )  # fmt: skip
        raise InputError([Problem(mark, f"{path}: {message}")])
    return found[0]


def _size(path: Path, mark: Mark) -> int:
    try:
        if not path.is_file():
            raise InputError([Problem(mark, f"{path}: there is no such image file")])
        return path.stat().st_size
    except OSError as error:
        raise InputError([Problem(mark, f"{path}: can't be read: {error.strerror or error}")]) from None


# ---- the file of the image


def _locked(path: Path, writing: Writing, mark: Mark) -> tuple[int, bool]:
    """Open alone or among readers; and whether it may be written.  An image that is read-only can be changed apart."""
    binary = getattr(os, "O_BINARY", 0)
    try:
        handle, writable = os.open(path, os.O_RDWR | binary), True
    except OSError as error:
        if writing is Writing.THROUGH:
            raise InputError([Problem(mark, f"{path}: can't be written: {error.strerror or error}")]) from None
        handle, writable = _read_only(path, binary, mark), False
    if not alone(handle, among_readers=writing is Writing.NEVER):
        os.close(handle)
        raise InputError([Problem(mark, f"{path}: in use by another machine")]) from None
    return handle, writable


def _read_only(path: Path, binary: int, mark: Mark) -> int:
    try:
        return os.open(path, os.O_RDONLY | binary)
    except OSError as error:
        raise InputError([Problem(mark, f"{path}: can't be opened: {error.strerror or error}")]) from None


def _read_at(handle: int, place: int, count: int) -> bytes:
    parts = list(_pieces(handle, place, count))
    data = b"".join(parts)
    return data.ljust(count, b"\0")  # the image was cut off meanwhile: what is gone reads as zeros


def _pieces(handle: int, place: int, count: int) -> Iterator[bytes]:
    while count > 0:
        part = os.pread(handle, count, place)
        if not part:
            return
        yield part
        place, count = place + len(part), count - len(part)


def _write_at(handle: int, place: int, data: bytes) -> None:
    left = memoryview(data)
    while left:
        done = os.pwrite(handle, left, place)
        place, left = place + done, left[done:]
