"""How a program makes a device ask for an interrupt at once, and how it lets a disk move words; from the device models.

A device that is not here can't be made to ask by a few words alone (it waits for a key, or for a tape).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from minisim.consequence._bench import IO_PAGE
from minisim.devices._device import has_controller, model_of
from minisim.known import Known
from minisim.wiring.model import Wired, WiredRegisters


@dataclass(frozen=True, slots=True)
class Asking:
    """Words to write, as (offset, word); the register that then shows the flag; which of its vectors it uses.

    `settles_ns`: so long after power-up it is busy with itself.
    """

    writes: tuple[tuple[int, int], ...]
    shows: int
    vector: int
    settles_ns: int = 0


@dataclass(frozen=True, slots=True)
class Moving:
    """A read of one sector into memory: (offset, word, what for) of each write, of which the last one starts it.

    `address` takes the low 16 bits of the buffer's address, `high_shift` tells where bits 17 and 16 lie in the last
    write; `status` shows in bit 7 that it is done, `errors` what went wrong.  `first` comes before and is waited for.
    """

    writes: tuple[tuple[int, int, str], ...]
    address: int
    high_shift: int
    status: int
    errors: int
    words: int
    first: tuple[tuple[int, int, str], ...] = ()


ASKING = {
    "serial-line": Asking(((4, 0o100),), 4, 1),  # transmit: the buffer is free
    "paper-tape": Asking(((4, 0o100),), 4, 1),  # punch: ready
    "line-printer": Asking(((0, 0o100),), 0, 0),
    "cartridge-disk-2mb": Asking(((4, 0o100),), 4, 0),  # ready
    "cartridge-disk-10mb": Asking(((0, 0o300),), 0, 0),  # ready; bit 7 written as 0 would start a function
    "floppy-single": Asking(((0, 0o100),), 0, 0, settles_ns=5_000_000_000),  # done, once it has found its place
    "floppy-double": Asking(((0, 0o100),), 0, 0, settles_ns=5_000_000_000),
    "multiplexer": Asking(((4, 1), (0, 0o40040)), 0, 1),  # line 0 has a free buffer
}
MOVING = {
    "cartridge-disk-10mb": Moving(
        first=((4, 0o13, "status, and errors are reset"), (0, 0o4, "gets the status: the first access to a pack")),
        writes=((6, -128 & 0o177777, "128 words"), (4, 0, "the first sector"), (0, 0o14, "reads")),
        address=2,
        high_shift=4,
        status=0,
        errors=0,
        words=128,
    ),
    "cartridge-disk-2mb": Moving(
        writes=((6, -256 & 0o177777, "256 words"), (0o12, 0, "the first sector"), (4, 0o5, "reads")),
        address=0o10,
        high_shift=4,
        status=4,
        errors=2,
        words=256,
    ),
}


def askers(wired: Wired, boards: Iterable[int]) -> Iterator[tuple[WiredRegisters, Asking]]:
    """Devices of these boards that can be made to ask, with a place and a vector."""
    for board in boards:
        for registers in wired.registers:
            asking = ASKING.get(registers.device)
            if asking is None or registers.board != board or not isinstance(registers.base, Known):
                continue
            if asking.vector < len(registers.vectors) and model_of(registers.device) is not None:
                yield registers, asking


def movers(wired: Wired, boards: Iterable[int]) -> Iterator[tuple[WiredRegisters, Moving]]:
    """Devices of these boards that can be made to move words."""
    for board in boards:
        for registers in wired.registers:
            moving = MOVING.get(registers.device)
            if moving is None or registers.board != board or not isinstance(registers.base, Known):
                continue
            if has_controller(registers.device):
                yield registers, moving


def writes_text(base: int, asking: Asking) -> str:
    """The words that make it ask, as assembler text."""
    last = len(asking.writes) - 1
    comments = ["" if n < last else " ; lets it ask for interrupts" for n in range(last + 1)]
    return "\n".join(
        f"        mov #{word:o}, @#{IO_PAGE + base + offset:o}{comment}"
        for (offset, word), comment in zip(asking.writes, comments, strict=True)
    )
