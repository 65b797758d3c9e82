"""8-inch floppy, single density: two drives, 77 tracks of 26 sectors of 128 bytes, programmed transfer.

A sector goes through a buffer of 128 bytes in the drive box: fill it or empty it byte by byte, then write or read a
sector.  Sectors count from 1, tracks from 0.  Registers: seen, [floppy-wiki]; handshake and error codes: seen,
[floppy-guide-1978]; single density: from memory, firm [floppy-maintenance-manual].  All times are unconfirmed.
"""

from __future__ import annotations

from minisim.devices import _floppy
from minisim.devices._controller import Drive
from minisim.devices._device import Device, Field, Placement, bits
from minisim.devices._floppy import (
    BAD_DATA,
    DATA_CHECK,
    EMPTY,
    FILL,
    READ,
    READ_ERROR,
    READ_STATUS,
    WRITE,
    WRITE_DELETED,
    Floppies,
)

NOT_MODELLED = (
    *_floppy.NOT_MODELLED,
    "Function 4, which this controller does not use: it ends at once without an error (unconfirmed).",
)

SECTOR_BYTES = 128


class SingleDensity(Floppies):
    """Bytes pass through the data register, one request each (from memory, firm)."""

    def wants(self) -> int:
        """Bytes to fill the buffer; sector and track."""
        return {FILL: SECTOR_BYTES, WRITE: 2, READ: 2, WRITE_DELETED: 2}.get(self.function, 0)

    def begin(self) -> None:
        """Emptying the buffer is a conversation too."""
        if self.function == EMPTY:
            self.give()
        else:
            super().begin()

    def work(self) -> None:
        """The end of a function."""
        if self.function in (READ, WRITE, WRITE_DELETED):
            self.move_sector()
        elif self.function == READ_STATUS:
            self.tell_status()
        elif self.function == READ_ERROR:
            self.finish(self.code)  # unconfirmed: the code stands in place of the error and status word
        else:
            if self.function == FILL:
                self.buffer = bytes(byte & 0o377 for byte in self.taken)
            self.finish()

    def about(self, drive: Drive) -> int:
        """The word tells nothing more of the drive."""
        return 0

    def unreadable(self, drive: Drive) -> tuple[int, int]:
        """Of the other density the headers can be read, the data can't (derived from floppy-format-posts)."""
        assert drive.medium is not None
        is_other = drive.medium.geometry.bytes_each != SECTOR_BYTES
        return (DATA_CHECK, BAD_DATA) if is_other else (0, 0)


CONTROLLER = SingleDensity


def build(placement: Placement) -> tuple[Device, ...]:
    """The controller with its drives."""
    nothing = Field("nothing", bits(13, 8), "R0", "of the double-density controller")  # from memory, firm
    status = _floppy.status_register(nothing, unit="W")
    return (_floppy.controller("floppy-single", placement, status, NOT_MODELLED),)
