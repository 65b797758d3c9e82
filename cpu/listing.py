"""The listing of a program: line number, address, words in six octal digits (bytes in three), source."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from minisim.cpu.assembler import Program

SPACE = 0o200000


@dataclass(frozen=True, slots=True)
class ListingLine:
    """One source line with what it placed: `address` and `data`, or the `value` of a symbol."""

    file: str
    number: int
    address: int | None
    data: bytes
    in_words: bool
    value: int | None
    source: str


def listing_text(program: Program) -> str:
    """The listing: line number, address, words (bytes of texts in three digits), source; one part a source file."""
    rows: list[str] = []
    file = None
    for line in program.listing:
        if line.file != file:
            file = line.file
            rows += ["", file] if rows else [file]
        rows += _rows(line)
    return "\n".join(rows) + "\n"


def _rows(line: ListingLine) -> Iterable[str]:
    chunks = list(_chunks(line)) or [("", "")]
    if line.value is not None:
        chunks = [("", octal_value(line.value))]
    elif not line.data and line.address is not None:
        chunks = [(f"{line.address:06o}", "")]
    for index, (address, data) in enumerate(chunks):
        number, source = (str(line.number), line.source) if index == 0 else ("", "")
        yield f"{number:>5} {address:6} {data:20}  {source}".rstrip()


def octal_value(value: int) -> str:
    """The value of a symbol as the listing shows it."""
    return f"{value & 0o177777:06o}" if -SPACE < value < SPACE else f"{value:o}"


def _chunks(line: ListingLine) -> Iterable[tuple[str, str]]:
    step, width = (6, 2) if line.in_words else (5, 1)
    for start in range(0, len(line.data), step):
        part = line.data[start : start + step]
        cells = [int.from_bytes(part[i : i + width], "little") for i in range(0, len(part), width)]
        assert line.address is not None
        yield f"{line.address + start:06o}", " ".join(f"{cell:0{3 * width}o}" for cell in cells)
