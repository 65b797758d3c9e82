"""The address map: what answers where, sorted, with the free stretches between, in the width of the machine."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from minisim.known import Known
from minisim.wiring.model import GrantKind, Passes, Wired, WiredRegisters, WiredRom
from minisim.wiring.processor_registers import ProcessorRegisters

CONSOLE = 0o17560
_PAGE_BYTES = 0o20000
_WIDTHS = (16, 18, 22)


class Kind(StrEnum):
    """What a row of the map is."""

    MEMORY = "memory"
    REGISTERS = "registers"
    ROM = "rom"
    PROCESSOR = "processor"
    FREE = "free"


@dataclass(frozen=True, slots=True)
class AddressRow:
    """One stretch of addresses, in the width of the machine.

    `first` None: the place is not known, or it is only a vector; `last` is the last word of registers and ROM and the
    last byte of memory.  `grant` is the place in the grant order, 0 outside; `reached` tells whether grants arrive.
    """

    kind: Kind
    first: int | None
    last: int | None
    what: str
    place: str = ""
    handle: str = ""
    board: int | None = None
    vectors: tuple[int, ...] = ()
    grant: int = 0
    reached: Passes | None = None
    broken_at: int | None = None


def address_bits(wired: Wired) -> int:
    """Width of the machine's addresses: 16, 18 or 22, the least of processor, its options and backplanes; else 18."""
    driven = [wired.boards[one.board].entry.address_bits for one in wired.processors]
    carried = [unit.entry.address_bits for unit in wired.units]
    bits = [figure.peek for figure in driven if isinstance(figure, Known)]
    bits += [one.address_limit for one in wired.processors]
    widest = [figure.peek for figure in carried if isinstance(figure, Known)]
    least = min([*bits, *([max(widest)] if widest else [])], default=18)
    return max((width for width in _WIDTHS if width <= least), default=16)


def page_start(bits: int) -> int:
    """Where the I/O page begins with so many address bits: 160000, 760000 or 17760000."""
    return (1 << bits) - _PAGE_BYTES


def digits(bits: int) -> int:
    """Octal digits of an address: six, or eight with 22 bits."""
    return 8 if bits == 22 else 6


def address_map(wired: Wired, processor: Iterable[ProcessorRegisters] = ()) -> tuple[AddressRow, ...]:
    """All rows by address with free stretches; those whose place is not known stand at the end."""
    bits = address_bits(wired)
    rows = [
        *_memories(wired, bits),
        *_registers(wired, bits),
        *_roms(wired, bits),
        *_of_processor(wired, processor, bits),
    ]
    placed = sorted((row for row in rows if row.first is not None), key=lambda row: (row.first or 0, row.last or 0))
    return (*_with_free(placed, bits), *(row for row in rows if row.first is None))


# ---- rows


def _handle(wired: Wired, board: int) -> str:
    marks = wired.boards[board].entry.markings
    return "/".join(marks.peek) if isinstance(marks, Known) else ""


def _of_board(
    wired: Wired, board: int, kind: Kind, first: int | None, last: int | None, what: str, vectors: tuple[int, ...] = ()
) -> AddressRow:
    hop = wired.chain(GrantKind.INTERRUPT).hop_of(board)
    asks = bool(vectors) and wired.boards[board].entry.processor is None
    return AddressRow(
        kind=kind,
        first=first,
        last=last,
        what=what,
        place=str(wired.boards[board].place),
        handle=_handle(wired, board),
        board=board,
        vectors=vectors,
        grant=hop.number if hop else 0,
        reached=wired.reached(board, GrantKind.INTERRUPT) if asks else None,
        broken_at=hop.broken_at if hop and asks else None,
    )


def _memories(wired: Wired, bits: int) -> Iterator[AddressRow]:
    for memory in wired.memories:
        start = memory.start.peek if isinstance(memory.start, Known) else None
        size = memory.size.peek if isinstance(memory.size, Known) else None
        what = "memory, size not stated" if size is None else f"memory, {size // 1024} KB ({size / 2048:g} K words)"
        if start is None:
            yield _of_board(wired, memory.board, Kind.MEMORY, None, None, f"{what}, start not stated")
            continue
        end = start + size if size is not None else start + 1
        if start < page_start(bits) < end:
            what += ", top hidden by the I/O page"
            end = page_start(bits)
        yield _of_board(wired, memory.board, Kind.MEMORY, start, end - 1, what)


def _registers(wired: Wired, bits: int) -> Iterator[AddressRow]:
    for one in wired.registers:
        vectors = tuple(vector.vector for vector in one.vectors)
        base = one.base.peek + page_start(bits) if isinstance(one.base, Known) else None
        words = one.words.peek if isinstance(one.words, Known) else 1
        last = None if base is None else base + 2 * max(words, 1) - 2
        yield _of_board(wired, one.board, Kind.REGISTERS, base, last, _device(wired, one), vectors)


def _device(wired: Wired, one: WiredRegisters) -> str:
    """`serial line 1, console`; registers whose place is not known say so."""
    name = one.device.replace("-", " ")
    alike = [other for other in wired.registers if other.board == one.board and other.device == one.device]
    if len(alike) > 1:
        name += f" {one.unit}"
    if isinstance(one.base, Known):
        return f"{name}, console" if one.base.peek == CONSOLE else name
    return f"{name}, address not known" if not _only_vector(one) else f"{name}, vector only"


def _only_vector(one: WiredRegisters) -> bool:
    return isinstance(one.words, Known) and one.words.peek == 0


def _roms(wired: Wired, bits: int) -> Iterator[AddressRow]:
    for rom in wired.roms:
        first = rom.base + page_start(bits)
        yield _of_board(wired, rom.board, Kind.ROM, first, first + 2 * rom.words - 2, _contents(rom))


def _contents(rom: WiredRom) -> str:
    name = rom.entry.id if rom.entry else "not stated"
    return f"ROM {rom.words} words, {name}"


def _of_processor(wired: Wired, rows: Iterable[ProcessorRegisters], bits: int) -> Iterator[AddressRow]:
    if not wired.processors:
        return
    board = wired.processors[0].board
    for row in rows:
        first = row.base + page_start(bits)
        yield _of_board(wired, board, Kind.PROCESSOR, first, first + 2 * row.words - 2, row.what)


# ---- free stretches


def _with_free(rows: Sequence[AddressRow], bits: int) -> Iterator[AddressRow]:
    """The rows with what nobody answers between them; memory space and I/O page are two stretches."""
    page = page_start(bits)
    free, limit = 0, page
    for row in rows:
        first, last = row.first or 0, row.last or 0
        if first >= page > free:
            yield from _free(free, page, page)
            free, limit = page, page + _PAGE_BYTES
        yield from _free(free, min(first, limit), page)
        yield row
        free = max(free, last + 2 & ~1)
    if free < page:
        yield from _free(free, page, page)
        free = page
    yield from _free(free, page + _PAGE_BYTES, page)


def _free(first: int, end: int, page: int) -> Iterator[AddressRow]:
    """A free stretch up to, not including, `end`."""
    if first < end:
        yield AddressRow(Kind.FREE, first, end - (2 if first >= page else 1), "free")
