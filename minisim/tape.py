"""Absolute paper tape: blocks of bytes with their addresses and checksums, frame by frame.

A block is 001, 000, count (low, high), address (low, high), data, checksum.  The count includes the six frames before
the data; all frames of a block, its checksum included, add up to 0 modulo 400 octal.  A block of count 6 is the
transfer block: an even address starts the program, an odd one halts.  Zeros stand before, between and behind blocks.
Sources: [absolute-loader-wiki]; the transfer block from memory, firm.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

HEADER = 6  # frames of a block before its data, which its count includes
LONGEST = 0o177777 - HEADER  # data frames of a block
MOST_DAMAGES = 100  # after so many the rest of a tape is not read
TAPE_END = "the end of the tape"  # found where a frame is wanted
HALT_ADDRESS = 1  # of a transfer block that starts nothing


@dataclass(frozen=True, slots=True)
class TapeBlock:
    """One block: the frame of its 001 (frames count from 0), what it says and whether its checksum agrees."""

    frame: int
    address: int
    data: bytes
    checksum: int
    wanted: int  # the checksum that would make the sum 0

    @property
    def sound(self) -> bool:
        """The checksum agrees."""
        return self.checksum == self.wanted

    @property
    def is_transfer(self) -> bool:
        """The block ends the tape and says where to start."""
        return not self.data

    @property
    def frames(self) -> int:
        """How many frames it has, its checksum included."""
        return HEADER + len(self.data) + 1


@dataclass(frozen=True, slots=True)
class Damage:
    """Where a tape breaks: the frame (counted from 0), and what was wanted and found there."""

    frame: int
    wanted: str
    found: str

    def __str__(self) -> str:
        if self.found == TAPE_END:
            return f"frame {self.frame}: the tape ends here, before {self.wanted}"
        return f"frame {self.frame}: {self.wanted} is wanted here, {self.found} found"


@dataclass(frozen=True, slots=True)
class Tape:
    """What a tape holds. `leader` and `trailer` are the zeros before the first and behind the last block."""

    frames: int
    leader: int
    trailer: int
    blocks: tuple[TapeBlock, ...]
    damages: tuple[Damage, ...]

    @property
    def sound(self) -> bool:
        """Nothing is damaged."""
        return not self.damages

    @property
    def start(self) -> int | None:
        """Where the program starts; None: the tape halts the loader, or has no transfer block."""
        ends = [block for block in self.blocks if block.is_transfer]
        return ends[-1].address if ends and not ends[-1].address & 1 else None


class _Reader:
    """Reads frames and keeps what it finds wrong."""

    def __init__(self, frames: bytes) -> None:
        self.frames = frames
        self.at = 0
        self.blocks: list[TapeBlock] = []
        self.damages: list[Damage] = []
        self.broken = False  # the last block could not be read: what stands up to the next 001 is no news

    def read(self) -> Tape:
        """All blocks; behind damage the search goes on at the next 001."""
        while len(self.damages) < MOST_DAMAGES and self._find_block():
            self._read_block()
        leader = self.blocks[0].frame if self.blocks else len(self.frames)
        end = self.blocks[-1].frame + self.blocks[-1].frames if self.blocks else len(self.frames)
        if not self.damages and not (self.blocks and self.blocks[-1].is_transfer):
            wanted = "a transfer block" if self.blocks else "the first block"
            self.damages.append(Damage(len(self.frames), wanted, TAPE_END))
        trailer = len(self.frames) - max(end, len(self.frames.rstrip(b"\0")))
        return Tape(len(self.frames), leader, trailer, tuple(self.blocks), tuple(self.damages))

    def _find_block(self) -> bool:
        """Go to the next 001; other frames between blocks are damage, told once a stretch."""
        ended = bool(self.blocks) and self.blocks[-1].is_transfer
        unread, in_order, self.broken = self.broken, not self.broken, False
        for frame in range(self.at, len(self.frames)):
            code = self.frames[frame]
            if code == 1 and not ended and (not unread or self._may_begin(frame)):
                self.at = frame
                return True
            if code and in_order:
                wanted = "000" if ended else "000 or 001"
                self.damages.append(Damage(frame, wanted, f"{code:03o}"))
                in_order = False
        self.at = len(self.frames)
        return False

    def _may_begin(self, frame: int) -> bool:
        """Could a block begin here?  Behind a block that can't be read, 001 may as well be one of its data frames."""
        if frame + HEADER > len(self.frames) or self.frames[frame + 1]:
            return False
        end = frame + _pair(self.frames, frame + 2)  # of its checksum
        return frame + HEADER <= end < len(self.frames) and self.frames[end + 1 : end + 2] in (b"", b"\0", b"\1")

    def _read_block(self) -> None:
        frames, at = self.frames, self.at
        if at + 1 < len(frames) and frames[at + 1]:
            self._break(at + 1, "000", f"{frames[at + 1]:03o}")
            return
        if at + HEADER > len(frames):
            self._break(len(frames), f"the rest of the block that begins at frame {at}", TAPE_END)
            return
        count, address = _pair(frames, at + 2), _pair(frames, at + 4)
        if count < HEADER:
            self._break(at + 2, f"a count of at least {HEADER}.", f"{count:06o}")
        elif at + count >= len(frames):
            missing = at + count + 1 - len(frames)
            more = "1 more frame" if missing == 1 else f"{missing} more frames"
            self._break(len(frames), f"{more} of the block that begins at frame {at}", TAPE_END)
        else:
            self._keep(TapeBlock(at, address, frames[at + HEADER : at + count], *_sums(frames[at : at + count + 1])))

    def _break(self, frame: int, wanted: str, found: str) -> None:
        """The block can't be read: look on just behind its 001."""
        self.damages.append(Damage(frame, wanted, found))
        self.at += 1
        self.broken = True

    def _keep(self, block: TapeBlock) -> None:
        self.blocks.append(block)
        self.at = block.frame + block.frames
        if not block.sound:
            wanted = f"checksum {block.wanted:03o} of the block that begins at frame {block.frame}"
            self.damages.append(Damage(self.at - 1, wanted, f"{block.checksum:03o}"))


def _pair(frames: bytes, at: int) -> int:
    return frames[at] | frames[at + 1] << 8


def _sums(frames: bytes) -> tuple[int, int]:
    """The checksum that stands on the tape, and the one that is wanted."""
    return frames[-1], -sum(frames[:-1]) & 0o377


def read_tape(frames: bytes) -> Tape:
    """The blocks of a tape and everything that is damaged, in the order of the tape."""
    return _Reader(frames).read()


def block_frames(address: int, data: bytes) -> bytes:
    """One block as frames; without data it is a transfer block."""
    if not 0 <= address <= 0o177777 or len(data) > LONGEST:
        raise ValueError("an address has 16 bits, and so has the count of a block")
    count = len(data) + HEADER
    frames = bytes([1, 0, count & 0o377, count >> 8, address & 0o377, address >> 8]) + data
    return frames + bytes([-sum(frames) & 0o377])


def make_tape(
    blocks: Iterable[tuple[int, bytes]],
    start: int | None,
    *,
    block_size: int = 64,
    leader: int = 32,
    trailer: int = 0,
) -> bytes:
    """A whole tape: zeros, the blocks cut to `block_size` bytes, the transfer block, zeros."""
    if block_size < 1 or leader < 0 or trailer < 0:
        raise ValueError("a block has at least one byte, and zeros have no negative count")
    pieces = [block_frames(*piece) for address, data in blocks for piece in _cut(address, data, block_size)]
    end = block_frames(HALT_ADDRESS if start is None else start, b"")
    return bytes(leader) + b"".join([*pieces, end]) + bytes(trailer)


def _cut(address: int, data: bytes, size: int) -> Iterable[tuple[int, bytes]]:
    for offset in range(0, len(data), size):
        yield address + offset, data[offset : offset + size]


def memory_of(tape: Tape) -> dict[int, int]:
    """What the sound blocks of a tape put in memory: byte by address."""
    return {
        (block.address + offset) & 0o177777: byte
        for block in tape.blocks
        if block.sound
        for offset, byte in enumerate(block.data)
    }


def stretches(memory: dict[int, int]) -> Sequence[tuple[int, bytes]]:
    """Bytes that lie together, by address."""
    found: list[tuple[int, bytearray]] = []
    for address in sorted(memory):
        if found and found[-1][0] + len(found[-1][1]) == address:
            found[-1][1].append(memory[address])
        else:
            found.append((address, bytearray([memory[address]])))
    return [(address, bytes(data)) for address, data in found]
