"""Our own list: CSV in UTF-8 with fixed columns, then what the owner's list had besides.  Made new, or added to."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from minisim.files import write_atomically
from minisim.stock.defuse import defused
from minisim.stock.history import write_history
from minisim.stock.model import Row, Stock
from minisim.stock.sheets import unusable
from minisim.stock.words import OUR_COLUMNS

_LONGEST = 100_000  # characters of one cell


def list_bytes(rows: Iterable[Row], extra: Sequence[str] = ()) -> bytes:
    """The rows in our format; `extra` are the owner's columns to keep, from `Row.cells`."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow([*OUR_COLUMNS, *map(_cell, extra)])
    for row in rows:
        writer.writerow(map(_cell, [*_fields(row), *(row.cells.get(name, "") for name in extra)]))
    return text.getvalue().encode("utf-8", "replace")


def _fields(row: Row) -> tuple[str, ...]:
    return (
        row.item, row.marking, str(row.count), row.condition.value, row.box, row.what, row.notes, row.photo,
        write_history(row.history), row.conflict,
    )  # fmt: skip


def _cell(text: str) -> str:
    """One cell: line ends of one kind, nothing that a spreadsheet would act on."""
    return defused(text.replace("\r\n", "\n").replace("\r", "\n").replace("\0", "\ufffd"))


def extra_columns(stock: Stock) -> tuple[str, ...]:
    """The owner's columns to keep: those that none of ours holds, and those where a cell says more than ours does."""
    ours = {theirs: name for name, theirs in stock.mapping.items()}
    more = [theirs for theirs, name in ours.items() if not stock.ours and _more(stock, name, theirs)]
    return tuple(name for name in stock.columns if name not in ours or name in more)


def _more(stock: Stock, ours: str, theirs: str) -> bool:
    return any(str(getattr(row, ours, "")) != (row.cells.get(theirs) or "").strip() for row in stock.rows)


def kept_columns(names: Iterable[str]) -> dict[str, str]:
    """Name in the owner's list -> name in ours: no name stands twice."""
    used = set(OUR_COLUMNS)
    kept: dict[str, str] = {}
    for name in names:
        times, new = 2, name
        while new in used:
            new, times = f"{name} ({times})", times + 1
        used.add(new)
        kept[name] = new
    return kept


def with_cells(row: Row, kept: Mapping[str, str]) -> dict[str, str]:
    """The cells of a row under their names in our list."""
    return {new: row.cells.get(old, "") for old, new in kept.items()}


def write_list(path: str | Path, rows: Sequence[Row], extra: Sequence[str] = ()) -> None:
    """Write our list atomically; InputError where it can't be written."""
    for row in rows:
        if any(len(cell) > _LONGEST for cell in (*_fields(row), *row.cells.values())):
            raise unusable(path, f"{row.name} has a cell of more than {_LONGEST} characters")
    write_atomically(path, list_bytes(rows, extra))


def refuse_existing(path: str | Path, force: bool) -> None:
    """A file that is there is only replaced where that was asked for."""
    if Path(path).exists() and not force:
        raise unusable(path, "the file is there already; name another one, or say --force")
