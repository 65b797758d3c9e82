"""Adding to a list of our own, one entry after another; each is on the disk before it is confirmed."""

from __future__ import annotations

import contextlib
import re
import time
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from minisim.files import alone_in_folder
from minisim.findings import Mark
from minisim.problems import InputError, Problem
from minisim.stock.header import Header
from minisim.stock.model import Condition, ConditionNote, Identified, Row, Stock
from minisim.stock.reader import stock_of
from minisim.stock.sheets import read_bytes, unusable
from minisim.stock.writer import extra_columns, kept_columns, with_cells, write_list

_OLD = 3600  # seconds


class OwnList:
    """A list in our format on the disk: read, added to, changed; every change is written before the call returns.

    Two people may add to one file: each change is made under a lock, on what stands in the file then.
    """

    def __init__(self, path: str | Path) -> None:
        self.path = Path(path)
        self.rows: list[Row] = []
        self.extra: tuple[str, ...] = ()
        self._last: bytes | None = None
        self._swept = False
        if not self.path.name or self.path.is_dir() or not self.path.parent.is_dir():
            raise unusable(path, "no file can have this name: there is no such folder, or it is one itself")
        if self.path.suffix.lower() != ".csv":
            raise unusable(path, f"a list that minisim writes ends with .csv: try {self.path.with_suffix('.csv')}")
        self._refresh()

    @property
    def pieces(self) -> int:
        """How many pieces stand in it."""
        return sum(row.count for row in self.rows)

    def add(self, row: Row) -> Row:
        """Append an entry; it is on the disk when this returns.  Gives it with its row in the file."""
        with alone_in_folder(self.path):
            self._sweep()
            self._refresh()
            placed = replace(row, number=len(self.rows) + 2, mark=Mark(str(self.path), len(self.rows) + 2, 1))
            self._write([*self.rows, placed])
        return placed

    def put(self, row: Row, *instead: Row) -> bool:
        """Put others, or none, in the place of the last entry that is equal to `row`.

        False where there is none any more: somebody else changed it or took it out.
        """
        with alone_in_folder(self.path):
            self._refresh()
            for index in range(len(self.rows) - 1, -1, -1):
                if same_piece(self.rows[index], row):
                    self._write([*self.rows[:index], *instead, *self.rows[index + 1 :]])
                    return True
        return False

    def _sweep(self) -> None:
        """Take away copies that a kill left half-written a while ago; the list itself is whole."""
        if self._swept:
            return
        self._swept = True
        pattern = re.compile(re.escape(f".{self.path.name[:100]}.") + "[0-9a-f]{16}")
        with contextlib.suppress(OSError):
            for each in self.path.resolve().parent.iterdir():
                if pattern.fullmatch(each.name) and time.time() - each.stat().st_mtime > _OLD:
                    each.unlink()

    def _refresh(self) -> None:
        """Read the file if it is not as it was left."""
        data = read_bytes(self.path) if self.path.exists() else None
        if data == self._last and data is not None:
            return
        if not data:
            self.rows, self.extra, self._last = [], (), data
            return
        stock = stock_of(data, self.path, Header(), Identified)
        if not stock.ours:
            raise unusable(self.path, f"this list is yours and is never rewritten; {offer(self.path)}")
        _refuse_unreadable(stock)
        self.rows, self.extra, self._last = list(stock.rows), extra_columns(stock), data

    def _write(self, rows: Sequence[Row]) -> None:
        write_list(self.path, rows, self.extra)
        self.rows, self._last = list(rows), self.path.read_bytes()


def _refuse_unreadable(stock: Stock) -> None:
    """What was typed into our list by hand and is not understood would be lost by writing it again."""
    problems = [
        Problem(doubt.mark, f'row {doubt.row}: {doubt.column} "{doubt.seen}": {doubt.said}; put it right first')
        for doubt in stock.open_doubts
        if doubt.column in ("count", "condition", "history")
    ]
    if problems:
        raise InputError(problems)


def offer(path: Path) -> str:
    """Another name for what is to be added, and how to bring both together."""
    new = next(name for name in _names(path) if not name.exists())
    return f"new entries can go to {new}; minisim stock merge {path} {new} --out NEW brings both together"


def _names(path: Path) -> Iterator[Path]:
    number = 1
    while True:
        yield path.with_name(f"{path.stem}-added{'' if number == 1 else f'-{number}'}.csv")
        number += 1


def entry(
    marking: str, count: int, box: str, condition: Condition = Condition.UNTESTED, *, item: str = "", what: str = ""
) -> Row:
    """A new entry, not yet in a file."""
    return Row(0, Mark("", 1, 1), {}, marking, count, condition, box=box, item=item, what=what)


def same_piece(one: Row, other: Row) -> bool:
    """Do two rows say the same, wherever they stand?"""
    return _said(one) == _said(other)


def _said(row: Row) -> tuple[object, ...]:
    return (
        row.item, row.marking, row.count, row.condition, row.box, row.what, row.notes, row.photo, row.history,
        row.conflict,
    )  # fmt: skip


def note_condition(
    path: str | Path, name: str, note: ConditionNote, out: str | Path | None = None, pieces: int | None = None
) -> Row:
    """Add to the history of a piece, and give its row as it stands now.

    A list of our own is changed in place; any other is only read, and `out` is the new list with the note in it.  Of a
    row of several pieces `pieces` get the note; where that is not all of them, they get a row of their own.
    """
    data = read_bytes(path)
    stock = stock_of(data, path, _header_of(path), Identified)
    row = find_row(stock, name)
    count = _noted(stock, row, pieces)
    new = replace(row, count=count, condition=note.condition, history=(*row.history, note))
    parts = (new,) if count == row.count else (replace(row, count=row.count - count), replace(new, item=""))
    if out is not None:
        kept = kept_columns(extra_columns(stock))
        rows = [part for each in stock.rows for part in (parts if each is row else (each,))]
        write_list(out, [replace(each, cells=with_cells(each, kept)) for each in rows], tuple(kept.values()))
    elif not stock.ours:
        raise unusable(path, f"this list is yours and is never rewritten; say --out NEW.csv ({offer(Path(path))})")
    else:
        own = OwnList(path)
        if not own.put(row, *parts):
            raise unusable(path, f"{name} was changed by somebody else at this moment; say it again")
    return parts[-1]


def _noted(stock: Stock, row: Row, pieces: int | None) -> int:
    """How many pieces of the row get the note."""
    if pieces is None and row.count > 1:
        raise unusable(
            stock.file,
            f"row {row.number} has {row.count} pieces: say --pieces {row.count} where the note is for all of them, or "
            "--pieces 1 for one, which gets a row of its own",
        )
    if pieces is not None and not 0 < pieces <= row.count:
        raise unusable(stock.file, f"row {row.number} has {row.count} pieces, not {pieces}")
    return row.count if pieces is None else pieces


def _header_of(path: str | Path) -> Header:
    from minisim.stock.header import beside, read_header

    there = beside(path)
    return read_header(there) if there else Header()


def find_row(stock: Stock, name: str) -> Row:
    """The one row that a name means: the owner's name of the piece, `row 12`, or a marking that stands once."""
    number = name.removeprefix("row ").strip() if name.startswith("row ") else ""
    tests = (
        lambda row: row.item == name,
        lambda row: number.isdigit() and str(row.number) == number.lstrip("0"),
        lambda row: row.item.casefold() == name.casefold(),
        lambda row: row.marking.casefold() == name.casefold(),
    )
    for test in tests:
        found = [row for row in stock.rows if test(row)]
        if len(found) == 1:
            return found[0]
        if found:
            if len({row.number for row in found}) == 1:
                message = (
                    f'"{name}" has pieces in two conditions; minisim stock merge {stock.file} --out NEW.csv parts them'
                )
                raise unusable(stock.file, message)
            rows = ", ".join(str(row.number) for row in found[:20])
            raise unusable(stock.file, f'"{name}" stands in rows {rows}: name one as "row {found[0].number}"')
    from minisim.problems import nearest

    near = nearest(name, [word for row in stock.rows for word in (row.item, row.marking) if word])
    raise unusable(stock.file, f'there is no piece "{name}" in it{near}')
