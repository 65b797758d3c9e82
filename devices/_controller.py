"""The Python side of a device: what a controller may reach, and the drives on its cables.

A device with media or packets declares its registers and timed actions as data like any other, and `call_model(code)`
where only a program can say what follows.  Its model file then offers `CONTROLLER`, a class made from `Controller`.
What must survive a freeze stands in registers, timed actions, the `state` of a drive, or in `state()`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from typing import Any, ClassVar, Protocol

Options = Mapping[str, int | str]


class DriveFailedError(Exception):
    """The host could not write: the drive has gone off line, its medium is as it was before this write."""


class SectorGeometry(Protocol):
    """What a controller asks of the geometry of a medium."""

    @property
    def kind(self) -> str: ...
    @property
    def cylinders(self) -> int: ...
    @property
    def heads(self) -> int: ...
    @property
    def track(self) -> int: ...
    @property
    def bytes_each(self) -> int: ...
    @property
    def sectors(self) -> int: ...
    def number(self, cylinder: int, head: int, sector: int) -> int:
        """The place of a sector in the image.  ValueError: there is no such sector."""


class SectorMedium(Protocol):
    """A medium as a drive sees it: sectors by number."""

    @property
    def geometry(self) -> SectorGeometry: ...
    @property
    def bad(self) -> frozenset[int]: ...
    @property
    def path(self) -> Path | str:
        """Where its image lies; empty where it has none."""

    def read(self, first: int, count: int = 1) -> bytes:
        """The bytes of `count` sectors.  ValueError: beyond the medium."""

    def write(self, first: int, data: bytes) -> None:
        """Write whole sectors: all of them or none."""

    def close(self) -> None:
        """Let the image go."""


@dataclass(slots=True)
class Drive:
    """One unit of a controller.  `state` holds numbers that belong to the drive: where its heads stand."""

    unit: int
    kind: str  # id of the catalogue
    place: str  # main/a/3:0 is unit 0 of the board at main/a/3
    takes: tuple[str, ...] = ()  # kinds of media
    medium: SectorMedium | None = None
    protected: bool = False  # its write-protect switch
    off_line: str = ""  # why the host took it off line
    state: dict[str, int] = field(default_factory=dict)
    cylinders: int = 0  # of the media it is made for; 0: not said

    @property
    def is_loaded(self) -> bool:
        """Is a medium in it that can be reached?"""
        return self.medium is not None and not self.off_line

    def is_bad(self, number: int) -> bool:
        """Is the sector among those that the description of the medium calls bad?"""
        return self.medium is not None and number in self.medium.bad

    def read(self, number: int, count: int = 1) -> bytes:
        """Sectors of the medium that is in.  DriveFailedError: the host can't read the image."""
        try:
            return self._loaded().read(number, count)
        except OSError as error:
            raise self.fails(f"its image can't be read: {error.strerror or error}") from None

    def write(self, number: int, data: bytes) -> None:
        """Whole sectors.  DriveFailedError: no room on the host; nothing of them is written, nothing else is lost."""
        from minisim.media.overlay import MediumFullError

        try:
            self._loaded().write(number, data)
        except MediumFullError as error:
            raise self.fails(f"the host has no room for its writes ({error})") from None
        except OSError as error:
            raise self.fails(f"its image can't be written: {error.strerror or error}") from None

    def fails(self, why: str) -> DriveFailedError:
        """Off line until a medium is put in again."""
        self.off_line = why
        return DriveFailedError(why)

    def _loaded(self) -> SectorMedium:
        if self.medium is None or self.off_line:
            raise DriveFailedError(self.off_line or "nothing is in it")
        return self.medium


class Ports(Protocol):
    """What a controller reaches of its machine.  Names are those of its device."""

    @property
    def now_ns(self) -> int:
        """Guest time."""

    @property
    def is_granted(self) -> bool:
        """Does a grant for DMA arrive at the board?  Where none does, a transfer never gets the bus."""

    @property
    def dma_bits(self) -> int:
        """Address lines that the board drives."""

    def __getitem__(self, register: str) -> int:
        """The whole word of a register."""

    def __setitem__(self, register: str, word: int) -> None: ...

    def set(self, register: str, mask: int) -> None:
        """Bits become 1."""

    def clear(self, register: str, mask: int) -> None:
        """Bits become 0."""

    def arm(self, action: str, after_ns: int) -> None:
        """The timed action falls due so long from now."""

    def disarm(self, action: str) -> None:
        """The timed action does not fall due."""

    def ask(self, line: str) -> None:
        """The line asks for an interrupt, if its enable holds."""

    def from_memory(self, address: int, words: int) -> list[int]:
        """Words by DMA; fewer where one does not answer, none where no grant arrives."""

    def to_memory(self, address: int, words: Sequence[int]) -> int:
        """Words by DMA; how many went, none where no grant arrives."""

    def put(self, ring: str, data: bytes) -> None:
        """Bytes to the end of a ring, with what its filling sets off."""

    def take(self, ring: str) -> bytes:
        """All bytes of a ring."""

    def tell(self, sentence: str) -> None:
        """Something the person at the machine should know (the host's disk is full)."""


class Controller:
    """The Python side of one device.  Calls come from `call_model(code)` with the word being written, else 0."""

    KEPT: ClassVar[tuple[str, ...]] = ()  # attributes that a freeze holds: numbers, texts, bytes, lists of them

    def __init__(self, ports: Ports, drives: Mapping[int, Drive], options: Options) -> None:
        self.ports, self.drives, self.options = ports, drives, options

    def called(self, code: int, data: int) -> None:
        """An effect of the device asks for it."""
        raise NotImplementedError

    def changed(self, unit: int) -> None:
        """A medium was put in or taken out."""

    def switched(self, unit: int) -> None:
        """Somebody moved the write-protect switch."""

    def state(self) -> dict[str, Any]:
        """What a freeze must hold beside registers, timed actions and drives."""
        return {name: getattr(self, name) for name in self.KEPT}

    def restore(self, state: Mapping[str, Any]) -> None:
        """The state of `state`.  KeyError, TypeError: it is not that."""
        if set(state) != set(self.KEPT):
            raise KeyError("the state of a controller has other parts")
        for name, value in state.items():
            if type(value) is not type(getattr(self, name)):
                raise TypeError("the state of a controller is of another kind")
            setattr(self, name, value)


def between(points: Sequence[tuple[int, int]], at: int) -> int:
    """The value at a place, by straight lines between known (place, value); the last line goes on beyond its end."""
    pairs = list(pairwise(points))
    (low, first), (high, second) = next((pair for pair in pairs if at <= pair[1][0]), pairs[-1])
    return first + (at - low) * (second - first) // (high - low)


def words_of(data: bytes) -> list[int]:
    """Bytes as words, low byte first."""
    return [data[at] | data[at + 1] << 8 for at in range(0, len(data), 2)]


def bytes_of(words: Sequence[int]) -> bytes:
    """Words as bytes, low byte first."""
    return b"".join(word.to_bytes(2, "little") for word in words)
