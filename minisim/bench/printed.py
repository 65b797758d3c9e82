"""What the guest has printed, the last of it kept: a screen that opens late, or goes back in time, shows it anew.

The console counts the characters that the guest has printed, so what is kept can be cut where the machine stands.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from minisim.terminal import visible

if TYPE_CHECKING:
    from minisim.machine.machine import Machine

KEPT = 16_384  # characters
PAGE = 24  # lines of a terminal


@dataclass(frozen=True, slots=True)
class _Piece:
    """Some characters, behind them so many of the guest; of another hand (`instructions`: when) they count nothing."""

    data: bytes
    printed: int
    instructions: int | None = None


class Printed:
    """The paper of one console.  `anew` counts how often it became another one than before with more behind it."""

    def __init__(self) -> None:
        self.anew = 0
        self._pieces: list[_Piece] = []
        self._new = bytearray()
        self._length = 0  # of all that was put here, what is no longer kept too
        self._present: list[_Piece] | None = None  # the paper of the present, while the machine is in the past

    # --- putting ------------------------------------------------------------------------------------------------------

    def take(self, machine: Machine) -> None:
        """What the console of a machine has printed since."""
        data = b"" if machine.layout.console is None else machine.console.take()
        if data:
            self._put(_Piece(data, _printed(machine)))

    def put(self, data: bytes, machine: Machine) -> None:
        """Characters that stand on the paper and are none of the guest's."""
        self.take(machine)
        if data:
            self._put(_Piece(data, 0, machine.instructions))

    def _put(self, piece: _Piece) -> None:
        self._pieces.append(piece)
        self._new += piece.data
        self._length += len(piece.data)
        kept = sum(len(each.data) for each in self._pieces)
        while kept - len(self._pieces[0].data) >= KEPT:
            kept -= len(self._pieces.pop(0).data)

    # --- another machine ----------------------------------------------------------------------------------------------

    def turn(self, machine: Machine, *, was_past: bool, is_past: bool) -> None:
        """The machine went back, or from the past to the present: the paper is what it was there."""
        if is_past and not was_past:
            self._present = self._pieces
        if not is_past and self._present is not None:
            self._pieces, self._present = self._present, None
        if is_past:
            cut = [_cut(each, _printed(machine), machine.instructions) for each in self._pieces]
            self._pieces = [each for each in cut if each.data]
            self.take(machine)  # what it prints on the way there
        self._new.clear()
        self.anew += 1

    def settle(self) -> None:
        """Another machine prints from here on; what stands on the paper stays."""
        self._pieces = [replace(each, printed=0, instructions=None) for each in self._pieces]
        self._present = None

    # --- reading ------------------------------------------------------------------------------------------------------

    def new(self, eight_bits: bool = False) -> bytes:
        """What has come since the last call."""
        found = visible(bytes(self._new), eight_bits)
        self._new.clear()
        return found

    def text(self, eight_bits: bool = False) -> bytes:
        """All that is kept."""
        return visible(b"".join(each.data for each in self._pieces), eight_bits)

    def mark(self) -> tuple[int, int]:
        """A place on the paper, for `since`."""
        return self.anew, self._length

    def since(self, mark: tuple[int, int], eight_bits: bool = False) -> bytes:
        """What came behind a mark; the last page where the paper has become another one since."""
        if mark[0] != self.anew:
            return b"\r\n" + b"".join(self.text(eight_bits).splitlines(keepends=True)[-PAGE:])
        length = self._length - mark[1]
        data = b"".join(each.data for each in self._pieces)
        return visible(data[-length:], eight_bits) if length else b""


def _printed(machine: Machine) -> int:
    """Characters that the guest has printed and that were taken from its console."""
    layout = machine.layout
    if layout.console is None:
        return 0
    ring = machine._raw.rings[layout.devices[layout.console].rings["printer"]]
    return int(ring.total) - int(ring.count)


def _cut(piece: _Piece, printed: int, instructions: int) -> _Piece:
    """A piece as far as it was there when so many characters were printed, and so many instructions had run."""
    if piece.instructions is not None:
        return piece if piece.instructions <= instructions else replace(piece, data=b"")
    over = piece.printed - printed
    return piece if over <= 0 else replace(piece, data=piece.data[:-over], printed=printed)
