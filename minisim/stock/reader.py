"""A stock list of any form as values: `read_stock`.  The file is only read; what could not be understood is a doubt."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.findings import Mark
from minisim.problems import InputError, Problem
from minisim.stock.columns import OWNER, Columns, find_columns
from minisim.stock.header import Header, beside, read_header
from minisim.stock.model import Identified, Stock
from minisim.stock.rows import RowReader
from minisim.stock.sheets import Sheet, open_sheet, read_bytes, unusable

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue

Identify = Callable[[str], Identified]


def read_stock(
    path: str | Path,
    *,
    catalogue: Catalogue | None = None,
    header: Header | Mapping[str, str] | str | Path | None = None,
    identify: Identify | None = None,
) -> Stock:
    """The stock in a CSV, .xlsx or .ods file; InputError where it can't be used as a list.

    `header` is what the owner says about the columns: {our name: the owner's}, a Header, or the file of one.  A file
    `NAME.columns.yaml` beside the list is read as well, and the owner's own entries in the folder `catalogue/` there.
    `identify` replaces the look into the catalogue.
    """
    said, remarks = _header(path, header)
    return stock_of(read_bytes(path), path, said, identify or identifier(catalogue, path), remarks)


def stock_of(data: bytes, path: str | Path, header: Header, identify: Identify, remarks: tuple[str, ...] = ()) -> Stock:
    """The stock in bytes already read."""
    sheet = open_sheet(data, path, header.wanted)
    columns = find_columns(sheet.lines, header.columns, 1 if sheet.fixed else header.names_in_row)
    _refuse(sheet, columns, path)
    reader = RowReader(str(path), sheet, columns, header.conditions, identify)
    rows = tuple(reader.rows())
    return Stock(
        file=str(path),
        sha256=hashlib.sha256(data).hexdigest(),
        rows=rows,
        columns=columns.names,
        mapping=columns.mapping,
        doubts=tuple(sorted(reader.doubts, key=lambda doubt: (doubt.row, doubt.repaired))),
        how=columns.how,
        form=sheet.form,
        remarks=(*remarks, *sheet.remarks, *_about(columns, sheet)),
        ours=sheet.fixed,
    )


def identifier(catalogue: Catalogue | None, path: str | Path) -> Identify:
    """Looks texts up in the catalogue, with the owner's entries beside a file; each text once."""
    from minisim.catalogue import Catalogue
    from minisim.stock.identify import identify

    there = (catalogue or Catalogue()).beside(path)
    known: dict[str, Identified] = {}

    def look_up(text: str) -> Identified:
        if text not in known:
            known[text] = identify(text, catalogue=there) if text else Identified("")
        return known[text]

    return look_up


def _header(path: str | Path, given: Header | Mapping[str, str] | str | Path | None) -> tuple[Header, tuple[str, ...]]:
    """What the owner says, over what stands beside the list."""
    if isinstance(given, str | Path):
        given = read_header(given)
    elif not isinstance(given, Header):
        given = Header(columns=dict(given or {}))
    there = beside(path)
    if there is None:
        return given, ()
    return given.over(read_header(there)), (f"the columns are named in {there}",)


def _refuse(sheet: Sheet, columns: Columns, path: str | Path) -> None:
    """A list of boards needs a marking or words for what a piece is."""
    if not sheet.lines:
        raise unusable(path, "there are no rows in it")
    listed = ", ".join(f'"{name[:40]}"' for name in columns.names[:30])
    if columns.missing:
        mark = Mark(str(path), 1, 1)
        raise InputError(
            Problem(mark, f'there is no column "{name}"; columns are {listed}') for name in columns.missing
        )
    if "marking" not in columns.at and "what" not in columns.at:
        raise unusable(
            path,
            "no column looks like the numbers on handles or like words for what a piece is; "
            f"say which it is with --map marking=NAME; columns are {listed}",
        )


def _about(columns: Columns, sheet: Sheet) -> Iterator[str]:
    if columns.header is None:
        yield "no row has names of columns; they are guessed by what stands in them"
    elif columns.header > 0:
        above = [line.number for line in sheet.lines[: columns.header]]
        rows = f"rows {above[0]} to {above[-1]}" if len(above) > 1 else f"row {above[0]}"
        yield f"the names of the columns are in row {sheet.lines[columns.header].number}; above it, not read: {rows}"
    if columns.counts:
        listed = ", ".join(f'"{columns.names[place]}" {condition}' for place, condition in columns.counts)
        yield f"columns that count the pieces in one condition: {listed}"
        return
    for name, what in (("condition", "the condition is unknown"), ("count", "each row is one piece")):
        if name not in columns.at and columns.how.get(name) != OWNER:
            yield f"no column for the {name}: {what}"
