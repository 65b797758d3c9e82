"""The first table of an .ods file that has anything in it: lxml gives its rows one by one, odfdo reads them.

Cells and rows that repeat are unfolded, but only where something stands in them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, cast

from lxml import etree
from odfdo import Cell, Element, Row

from minisim.stock.guard import Archive, NoSheetError
from minisim.stock.sheets import MOST_COLUMNS, MOST_ROWS, Sheet, Wanted
from minisim.stock.spreadsheet import MOST_CELLS, Gatherer, choose, number_text, remark_others

_TABLE_SPACE = "urn:oasis:names:tc:opendocument:xmlns:table:1.0"
_TABLE, _ROW = f"{{{_TABLE_SPACE}}}table", f"{{{_TABLE_SPACE}}}table-row"
_CELLS = "table:table-cell|table:covered-table-cell"
_TEXT_SPACE = "urn:oasis:names:tc:opendocument:xmlns:text:1.0 "
_BLANKS, _HOW_MANY = f"{_TEXT_SPACE}s", f"{_TEXT_SPACE}c"
_MOST = 2_000_000_000


def open_ods(archive: Archive, wanted: Wanted) -> Sheet:
    """The first table that has anything in it, or the one asked for."""
    if "mimetype" in archive.namelist() and b"spreadsheet" not in archive.start_of("mimetype"):
        raise NoSheetError("an office document that is no spreadsheet")
    archive.begin = lambda: _refuse_blanks
    names, chosen, others = [], None, []
    for sheet in _tables(archive):
        names.append(sheet.name)
        if chosen is None and (sheet.name == wanted.sheet if wanted.sheet else sheet.lines):
            chosen = sheet
        elif sheet.lines:
            others.append(sheet.name)
    if chosen is None:
        choose(names, wanted)
        raise NoSheetError("there is nothing in its sheets")
    return remark_others(chosen, [] if wanted.sheet else others)


def _refuse_blanks(name: str, attributes: dict[str, str]) -> None:
    """Blanks are written as a number; the library would make them all."""
    if name == _BLANKS and len(attributes.get(_HOW_MANY, "")) > 3:
        raise NoSheetError("a cell has thousands of blanks")


def _tables(archive: Archive) -> Iterator[Sheet]:
    """The tables one after another; one in a cell of another is left out."""
    inside = 0
    table = _Table("")
    with archive.open("content.xml") as stream:
        events = etree.iterparse(
            stream, events=("start", "end"), tag=(_TABLE, _ROW), resolve_entities=False, collect_ids=False
        )
        for event, element in events:
            if element.tag == _TABLE:
                inside += 1 if event == "start" else -1
                if inside == 1 and event == "start":
                    table = _Table(element.get(f"{{{_TABLE_SPACE}}}name", ""))
                elif inside == 0:
                    yield table.gathered.sheet
            elif event == "end" and inside == 1:
                table.take(cast(Row, Element.from_tag(element)))
            if event == "end" and inside < 2:
                _forget(element)


def _forget(element: Any) -> None:
    """Free what has been read."""
    element.clear()
    while element.getprevious() is not None:
        del element.getparent()[0]


class _Table:
    """Collects the rows of one table."""

    def __init__(self, name: str) -> None:
        self.gathered = Gatherer(name)
        self._row = 1
        self._marked = 0

    def take(self, row: Row) -> None:
        """The next row, perhaps for many."""
        times, column = _times(row.repeated), 0
        rows = range(self._row, self._row + times) if times > 1 else (self._row,)  # one number for all cells of a row
        cells: dict[int, str] = {}
        for cell in cast("list[Cell]", row.get_elements(_CELLS)):
            wide, text = _times(cell.repeated), _said(cell)
            if text:
                if column + wide > MOST_COLUMNS:
                    raise NoSheetError(f"row {self._row} has more than {MOST_COLUMNS} columns")
                cells.update(dict.fromkeys(range(column, column + wide), text))
                self._remember(cell, rows, range(column, column + wide))
            column += wide
        self.gathered.row(self._row, cells, times)  # refuses what is too much
        if cells and row.get_attribute("table:visibility") not in (None, "visible"):
            self.gathered.sheet.hidden.update(rows)
        self._row += times
        if self._row > _MOST:
            raise NoSheetError("a row has a number no sheet can have")

    def _remember(self, cell: Cell, rows: Sequence[int], columns: range) -> None:
        sheet = self.gathered.sheet
        self._marked += len(rows) * len(columns)
        if self._marked > MOST_CELLS:
            raise NoSheetError(f"more than {MOST_ROWS} rows or {MOST_CELLS} cells")
        places = [(row, column) for row in rows for column in columns]
        if cell.type in ("float", "date"):
            (sheet.numbers if cell.type == "float" else sheet.dates).update(places)
        if cell.formula is not None:
            sheet.formulas.update(places)
        wide, high = (max(1, size) for size in cell.span_area())
        if high > 1 or wide > 1:
            sheet.merged.append((rows[0], rows[0] + high - 1, columns[0], columns[0] + wide - 1))


def _said(cell: Cell) -> str:
    """The text of a cell: as shown, but numbers without the marks of a language.

    `Cell.value` is not used for numbers: it makes 1e999999999 a whole number of so many digits.
    """
    shown = "\n".join(paragraph.inner_text for paragraph in cell.get_elements("text:p"))
    if cell.type == "float" and not (shown.startswith("0") and shown.isdigit()):
        try:
            return number_text(float(cell.get_attribute_string("office:value") or ""))
        except ValueError:
            return shown
    if cell.type == "date":
        return cell.get_attribute_string("office:date-value") or shown
    return shown or cell.get_attribute_string("office:string-value") or ""


def _times(repeated: int | None) -> int:
    return min(max(repeated or 1, 1), _MOST)
