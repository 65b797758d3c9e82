"""8-inch floppy, double density: two drives, 77 tracks of 26 sectors of 128 or 256 bytes, DMA.

A sector goes through a buffer in the drive box: DMA fills it or empties it, then a sector is written or read.  The
density of the function must be that of the medium, which can be changed.  Registers: seen, [floppy-wiki]; handshake and
error codes: seen, [floppy-guide-1978]; how the DMA is told: from memory, firm.  All times are unconfirmed.
"""

from __future__ import annotations

from minisim.devices import _floppy
from minisim.devices._controller import Drive, DriveFailedError, bytes_of, words_of
from minisim.devices._device import Device, Field, Placement, bit
from minisim.devices._floppy import (
    DENSITY,
    DENSITY_ERROR,
    EMPTY,
    FILL,
    HIGH,
    IS_DOUBLE,
    NO_CLOCK,
    NO_CODE,
    READ,
    READ_ERROR,
    READ_STATUS,
    SECTORS,
    SET_DENSITY,
    SHORT_NS,
    STUCK,
    TRACKS,
    WIKI,
    WORKING,
    WRITE,
    WRITE_DELETED,
    WRITE_PROTECTED,
    WRONG_DENSITY,
    Floppies,
    mark_name,
)

NOT_MODELLED = (
    *_floppy.NOT_MODELLED,
    "Another density for a diskette: an image can't change its size, so set media density ends with the density error"
    " where the medium has the other one; where it has the same, all its sectors become zeros.",
    "Words of the DMA one by one: all of them move at once, after the time they take.",
)

SINGLE_BYTES, DOUBLE_BYTES = 128, 256
KEY = 0o111  # the letter I: without it nothing is rewritten
WRONG_KEY, TOO_MANY_WORDS = 0o250, 0o230  # codes, unconfirmed: recalled, not in what was read
NO_MEMORY, OVERFLOW, UNIT_1, IS_DENSE = map(bit, (11, 10, 8, 5))  # in the error and status word
WORD_NS = 16_000  # DMA (a choice)
DETAIL_WORDS = 4
REWRITE_NS = 15_000_000_000 // TRACKS  # a track; all of them take about 15 s (unconfirmed)


class DoubleDensity(Floppies):
    """Buffers go by DMA; the functions know two densities."""

    STEP_NS = 6_000_000
    BUFFER = DOUBLE_BYTES

    def wants(self) -> int:
        """Word count and address; sector and track; key; address of the detail words."""
        if self.function in (FILL, EMPTY) and self.is_overflow:
            return 1  # no address is asked for (unconfirmed)
        return {READ_STATUS: 0, SET_DENSITY: 1, READ_ERROR: 1}.get(self.function, 2)

    def begin(self) -> None:
        """DMA takes its time by the word, and for ever where no grant arrives (derived): only initialise ends it."""
        words = self.words_to_move()
        if not words:
            super().begin()
        elif self.ports.is_granted:
            self.later(WORKING, SHORT_NS + words * WORD_NS)
        else:
            self.phase = STUCK

    def words_to_move(self) -> int:
        """Words of DMA that the function will take."""
        if self.function == READ_ERROR:
            return DETAIL_WORDS
        return self.taken[0] if self.function in (FILL, EMPTY) and not self.is_overflow else 0

    def work(self) -> None:
        """The end of a function, or of one of its steps."""
        if self.function in (READ, WRITE, WRITE_DELETED):
            self.move_sector()
        elif self.function == READ_STATUS:
            self.tell_status()
        elif self.function == SET_DENSITY:
            self.rewrite()
        elif self.function == READ_ERROR:
            self.tell_detail()
        else:
            self.move_buffer()

    # --- DMA

    @property
    def is_overflow(self) -> bool:
        """Are more words asked for than a sector of this density has?"""
        most = (DOUBLE_BYTES if self.asks_double else SINGLE_BYTES) // 2
        return bool(self.taken) and self.taken[0] > most

    @property
    def address(self) -> int:
        """The last parameter with the two bits that came with GO; the bus moves the word there if it is odd."""
        return self.high | self.taken[-1]

    def move_buffer(self) -> None:
        """Fill or empty the buffer; what a short fill leaves is zeros (unconfirmed)."""
        if self.is_overflow:
            return self.finish(OVERFLOW | self.unit_bit, TOO_MANY_WORDS)
        count = self.taken[0]
        if self.function == FILL:
            words = self.ports.from_memory(self.address, count)
            self.buffer, done = bytes_of(words).ljust(DOUBLE_BYTES, b"\0"), len(words)
        else:
            done = self.ports.to_memory(self.address, words_of(self.buffer)[:count])
        return self.end_dma(done == count)

    def end_dma(self, is_whole: bool) -> None:
        """No memory is an error without a code (unconfirmed).  Words for its own registers may have initialised it."""
        if self.phase == WORKING:
            self.finish(self.unit_bit | (0 if is_whole else NO_MEMORY), is_wrong=not is_whole)

    def tell_detail(self) -> None:
        """Four words: from memory, firm; what they hold beside the code in the first byte is unconfirmed."""
        tracks = [self.drives[unit].state.get("track", 0) if unit in self.drives else 0 for unit in (0, 1)]
        dense = [holds_double(self.drives[unit]) if unit in self.drives else False for unit in (0, 1)]
        about = self.unit << 7 | dense[1] << 6 | dense[0] << 4 | self.asks_double
        words = [self.code, tracks[1] << 8 | tracks[0], self.sector << 8 | self.track]
        words.append(tracks[self.unit] << 8 | about)
        self.end_dma(self.ports.to_memory(self.address, words) == DETAIL_WORDS)

    # --- densities

    @property
    def unit_bit(self) -> int:
        """Which drive the word tells of."""
        return UNIT_1 if self.unit else 0

    def about(self, drive: Drive) -> int:
        """Unit, and density of the medium."""
        return self.unit_bit | (IS_DENSE if holds_double(drive) else 0)

    def unreadable(self, drive: Drive) -> tuple[int, int]:
        """A37: the density of the function must be that of the medium."""
        return (0, 0) if holds_double(drive) == bool(self.asks_double) else (DENSITY_ERROR, WRONG_DENSITY)

    def rewrite(self) -> None:
        """Set media density, one track after the other: what is interrupted leaves the rest as it was."""
        drive = self.drive
        flags, code = self.not_to_rewrite(drive)
        if not code and self.at:
            flags, code = self.clear_track(drive, self.at - 1)
        if code or self.at == TRACKS:
            return self.finish(flags | self.about(drive), code)
        drive.state["track"] = self.at
        self.at += 1
        return self.later(WORKING, REWRITE_NS)

    def not_to_rewrite(self, drive: Drive) -> tuple[int, int]:
        """Why the diskette stays as it is: bits and code."""
        if self.taken[0] & 0o377 != KEY:
            return 0, WRONG_KEY
        if not drive.is_loaded:
            return 0, NO_CLOCK
        if drive.protected:
            return 0, WRITE_PROTECTED
        wrong = self.unreadable(drive)
        if wrong[1]:
            word = "double" if self.asks_double else "single"
            self.ports.tell(f"unit {self.unit}: the image in it can't become one of {word} density; nothing is changed")
        return wrong

    def clear_track(self, drive: Drive, track: int) -> tuple[int, int]:
        """All data fields of a track become zeros without a mark; gives bits and code."""
        assert drive.medium is not None
        geometry = drive.medium.geometry
        first = geometry.number(track, 0, 1)
        try:
            drive.write(first, bytes(SECTORS * geometry.bytes_each))
        except DriveFailedError as error:
            return self.lost(error)
        for number in range(first, first + SECTORS):
            drive.state.pop(mark_name(number), None)
        return 0, NO_CODE


def holds_double(drive: Drive) -> bool:
    """Has the diskette in it double density?"""
    return drive.medium is not None and drive.is_loaded and drive.medium.geometry.bytes_each == DOUBLE_BYTES


CONTROLLER = DoubleDensity


def build(placement: Placement) -> tuple[Device, ...]:
    """The controller with its drives."""
    others = (
        Field("address 17-16", HIGH, "W", "of the DMA", WIKI),
        Field("double-density controller", IS_DOUBLE, "R", "always 1", WIKI, IS_DOUBLE),
        Field("nothing", bit(10) | bit(9), "R0", "not used", WIKI),
        Field("density", DENSITY, "RW", "of the function, 1 double; that it can be read: unconfirmed", WIKI),
    )
    status = _floppy.status_register(*others, unit="RW")
    return (_floppy.controller("floppy-double", placement, status, NOT_MODELLED),)
