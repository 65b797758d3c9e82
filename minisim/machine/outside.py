"""What is outside of a machine that goes back and forth: its media, and what its host has set and taken.

The real media stay what is written to, and are given the contents of the moment that was gone to.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from minisim.machine.errors import TimelineError
from minisim.machine.rings import drain
from minisim.media.frozen import FrozenMediumError, thawed_medium
from minisim.media.held import HeldMedium
from minisim.media.overlay import MediumFullError
from minisim.media.store import Medium
from minisim.media.writing import Writing
from minisim.problems import InputError

if TYPE_CHECKING:
    from minisim.devices._controller import Drive
    from minisim.machine.machine import Machine
    from minisim.machine.recording import Input

_AT_ONCE = 1024  # sectors


@dataclass(slots=True)
class _Known:
    """A medium that is, or was, in a drive; `held` is one in memory; `closed_as`: its sum when it was let go."""

    writing: Writing = Writing.APART
    takes: tuple[str, ...] = ()  # of the drive it was in
    held: HeldMedium | None = None
    closed_as: str = ""


class Outside:
    """Media by key: the path of an image; one in memory has a key of its own."""

    def __init__(self) -> None:
        self._known: dict[str, _Known] = {}

    def key_of(self, medium: Any, takes: tuple[str, ...]) -> str:
        """The key of a medium in a drive that takes these; it is known from now on."""
        is_file = isinstance(medium, Medium)
        key = str(medium.path.resolve()) if is_file else f"held {id(medium)}"
        known = self._known.setdefault(key, _Known())
        known.takes = takes
        if is_file:
            known.writing = medium.writing
        else:
            known.held = medium
        return key

    def keys_in(self, machine: Machine) -> dict[str, str]:
        """The media in the drives of a machine, by place."""
        return {place: self.key_of(drive.medium, drive.takes) for place, drive in _loaded(machine)}

    def leaves(self, key: str, medium: Any) -> None:
        """It will be let go: what it holds now it must still hold when it is wanted again."""
        from minisim.machine.state import sum_of

        self._known[key].closed_as = sum_of(medium)

    def forget(self, keys: set[str]) -> None:
        """All but these."""
        self._known = {key: known for key, known in self._known.items() if key in keys}

    def opened(self, key: str) -> Any:
        """A medium that was let go, open again.  TimelineError: it is not there, in use, or another one now."""
        from minisim.catalogue import Catalogue
        from minisim.machine.media import opened
        from minisim.machine.state import sum_of

        known = self._known[key]
        if known.held is not None:
            return known.held
        try:
            medium = opened(Path(key), known.takes, Catalogue(), writing=known.writing, mark=None)
        except InputError as error:
            raise TimelineError(f"a medium can't be had again: {error.problems[0].message}") from None
        if known.closed_as and sum_of(medium) != known.closed_as:
            medium.close()
            raise TimelineError(f"{key}: the medium was changed since it was taken out; it stays as it is")
        return medium


class Exchange:
    """From the machine `old` to `new`, which stands at another moment with copies of the media in its drives."""

    def __init__(self, outside: Outside, old: Machine, new: Machine, keys: Mapping[str, str]) -> None:
        self._outside, self._old, self._new, self._keys = outside, old, new, keys
        self._in_old = {outside.key_of(drive.medium, drive.takes): drive.medium for _, drive in _loaded(old)}
        self._opened: dict[str, Any] = {}
        self._undo: list[tuple[Any, int, bytes]] = []

    def do(self, others: Mapping[str, HeldMedium]) -> dict[str, HeldMedium]:
        """Give every medium the contents of that moment, `others` those that are in no drive then; and move them.

        Gives copies of those that had to be opened, as they were.  TimelineError: nothing has changed.
        """
        try:
            for key in (*self._keys.values(), *others):
                if key not in self._in_old and key not in self._opened:
                    self._opened[key] = self._outside.opened(key)
            copies = {key: copy_of(medium) for key, medium in self._opened.items()}
            for place, key in self._keys.items():
                self._write(self._new.drives[place].medium, self._real(key))
            for key, content in others.items():
                self._write(content, self._real(key))
        except BaseException as error:
            self._take_back()
            if isinstance(error, MediumFullError | OSError | ValueError):
                raise TimelineError(f"a medium can't be written ({error}); nothing was changed") from None
            raise
        self._move()
        return copies

    def _real(self, key: str) -> Any:
        return self._in_old[key] if key in self._in_old else self._opened[key]

    def _write(self, content: Any, real: Any) -> None:
        for first, old, new in differences(content, real):
            self._undo.append((real, first, old))
            real.write(first, new)

    def _take_back(self) -> None:
        for real, first, data in reversed(self._undo):
            real.write(first, data)
        for medium in self._opened.values():
            medium.close()

    def _move(self) -> None:
        for place, key in self._keys.items():
            self._new.drives[place].medium = self._real(key)
        for drive in self._old.drives.values():
            drive.medium = None
        stay = set(self._keys.values())
        for key, medium in {**self._in_old, **self._opened}.items():
            if key not in stay:
                self._outside.leaves(key, medium)
                medium.close()


def _loaded(machine: Machine) -> list[tuple[str, Drive]]:
    return [(place, drive) for place, drive in machine.drives.items() if drive.medium is not None]


def copy_of(medium: Any) -> HeldMedium:
    """What it holds now, in memory."""
    return HeldMedium(medium.geometry, medium.read(0, medium.geometry.sectors), bad=medium.bad)


def differences(content: Any, real: Any) -> Iterator[tuple[int, bytes, bytes]]:
    """Where two media differ: first sector, what `real` has there, what `content` has; rows of sectors."""
    sectors, each = real.geometry.sectors, real.geometry.bytes_each
    for first in range(0, sectors, _AT_ONCE):
        count = min(_AT_ONCE, sectors - first)
        old, new = real.read(first, count), content.read(first, count)
        if old != new:
            yield from _rows(first, old, new, each)


def _rows(first: int, old: bytes, new: bytes, each: int) -> Iterator[tuple[int, bytes, bytes]]:
    begin = None
    for at in range(0, len(old) + each, each):
        differs = old[at : at + each] != new[at : at + each]
        if differs and begin is None:
            begin = at
        elif not differs and begin is not None:
            yield first + begin // each, old[begin:at], new[begin:at]
            begin = None


def content_of(one: Input) -> HeldMedium:
    """A medium as it was put in.  TimelineError: its image is another one now."""
    assert one.medium is not None
    try:
        return thawed_medium(one.medium)
    except FrozenMediumError as error:
        raise TimelineError(str(error)) from None


def hand_over(old: Machine, new: Machine) -> None:
    """What the host has set, and was told."""
    new.core = old.core
    new._controllers.told[:] = old._controllers.told
    new.layout = old.layout


def cut_printed(old: Machine, new: Machine) -> None:
    """Of what the guest has put out, leave what the host has not taken yet."""
    for number in range(new._raw.ring_count):
        before, ring = old._raw.rings[number], new._raw.rings[number]
        if ring.is_output:
            taken = (before.total - before.count) - (ring.total - ring.count)
            drain(new._raw, number, taken)
