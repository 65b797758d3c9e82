"""A file as rows of texts: CSV in any dress, .xlsx and .ods, with what a spreadsheet knows beside the texts.

Nothing is understood here; `open_sheet` only tells bytes apart, and refuses what is no list with the reason.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path

from minisim.files import read_at_most
from minisim.findings import Mark
from minisim.problems import InputError, Problem

MOST_BYTES = 60_000_000  # of a file; a list of 100,000 rows has ten
MOST_ROWS = 300_000
MOST_COLUMNS = 1_000
MOST_CELLS = 6_000_000

_OTHERS = {
    b"\xd0\xcf\x11\xe0": "a spreadsheet in an old form, or one with a password: save it without, as .xlsx, .ods or CSV",
    b"%PDF": "a PDF: save the list itself as .xlsx, .ods or CSV",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"\x1f\x8b": "a compressed file: unpack it first",
    b"7z\xbc\xaf": "a compressed file: unpack it first",
    b"Rar!": "a compressed file: unpack it first",
}
_OUR_KINDS = {
    b"loadout": "this is a loadout, no stock list: minisim check reads it",
    b"wishes": "these are wishes, no stock list: minisim plan reads them",
}


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the owner says about the form of the file; empty: found out."""

    sheet: str = ""
    encoding: str = ""
    separator: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """One row: its number in the sheet (from 1), the line of the file it begins on, the texts of its cells."""

    number: int
    line: int
    cells: list[str]


@dataclass(slots=True)
class Sheet:
    """The rows that have anything in them, and what stands beside the texts.

    Places are (row, column), rows as numbered in the sheet, columns from 0.  `merged` holds first and last row and
    first and last column of an area; only its first cell has a text.  `broken` says what was odd about a row of CSV.
    """

    form: str  # "CSV, utf-8, commas" or "spreadsheet"
    lines: list[Line]
    name: str = ""
    formulas: set[tuple[int, int]] = field(default_factory=set)
    dates: set[tuple[int, int]] = field(default_factory=set)
    numbers: set[tuple[int, int]] = field(default_factory=set)
    hidden: set[int] = field(default_factory=set)
    merged: list[tuple[int, int, int, int]] = field(default_factory=list)
    broken: dict[int, str] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)
    fixed: bool = False  # a form of our own writing


def read_bytes(path: str | Path) -> bytes:
    """The bytes of a list; InputError where it can't be read or is far too large."""
    return read_at_most(path, MOST_BYTES, "a stock list")


def open_sheet(data: bytes, path: str | Path, wanted: Wanted | None = None) -> Sheet:
    """The rows of a file already read; InputError where it is no list."""
    wanted = wanted or Wanted()
    _refuse_others(data, path)
    if data[:4] in (b"PK\x03\x04", b"PK\x05\x06"):
        from minisim.stock.spreadsheet import open_spreadsheet

        return open_spreadsheet(data, path, wanted)
    from minisim.stock.csvtext import open_csv

    return open_csv(data, path, wanted)


def _refuse_others(data: bytes, path: str | Path) -> None:
    if not data.strip():
        raise unusable(path, "the file is empty")
    for magic, what in _OTHERS.items():
        if data.startswith(magic):
            raise unusable(path, f"no stock list: {what}")
    if re.match(rb"(?:\xef\xbb\xbf)?\s*<[?!a-zA-Z]", data[:200]):
        raise unusable(path, "no stock list: a page or XML; save the list itself as .xlsx, .ods or CSV")
    first = re.match(rb"(?:\xef\xbb\xbf)?(?:\s*#[^\n]*\n|\s*\n)*([a-z]+): ?\S", data[:4000])
    if first and first[1] in _OUR_KINDS:
        raise unusable(path, _OUR_KINDS[first[1]])


def unusable(path: str | Path, message: str, line: int = 1, column: int = 1) -> InputError:
    """The error for a list that can't be used."""
    return InputError([Problem(Mark(str(path), line, column), message)])


def column_name(index: int) -> str:
    """`A` for 0, `AA` for 26: what a spreadsheet calls it."""
    name = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        name = chr(65 + rest) + name
    return name
