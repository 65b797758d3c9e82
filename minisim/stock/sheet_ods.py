"""The tables of an .ods file.  Cells and rows that repeat are unfolded, but only where something stands in them."""

from __future__ import annotations

from collections.abc import Mapping

from minisim.stock.sheets import MOST_CELLS, MOST_COLUMNS, MOST_ROWS, Sheet, Wanted
from minisim.stock.spreadsheet import Gatherer, NoSheetError, Parts, choose, number_text, remark_others

_CELLS = ("table-cell", "covered-table-cell")
_ASIDE = frozenset({"annotation", "frame", "shapes", "tracked-changes", "custom-shape"})
_MOST = 2_000_000_000


def open_ods(parts: Parts, wanted: Wanted) -> Sheet:
    """The first table that has anything in it, or the one asked for."""
    if "mimetype" in parts.names and b"spreadsheet" not in parts.start_of("mimetype"):
        raise NoSheetError("an office document that is no spreadsheet")
    tables = _Tables(wanted.sheet)
    parts.parse("content.xml", tables)
    if tables.chosen is None:
        choose(tables.names, wanted)
        raise NoSheetError("there is nothing in its sheets")
    return remark_others(tables.chosen, [] if wanted.sheet else tables.others)


class _Tables:
    """Reads the tables one after another; keeps one and the names of the others."""

    def __init__(self, asked: str) -> None:
        self.chosen: Sheet | None = None
        self.names: list[str] = []
        self.others: list[str] = []
        self._asked = asked
        self._gathered = Gatherer("")
        self._inside = 0  # tables around here: one in a cell of another is left out
        self._aside = 0
        self._row = 1
        self._column = 0
        self._times = 1
        self._hidden = False
        self._marked = 0
        self._cells: dict[int, str] = {}
        self._cell: Mapping[str, str] = {}
        self._paragraphs: list[list[str]] = []
        self._in_paragraph = 0
        self._in_cell = False

    # --- elements -----------------------------------------------------------------------------------------------------

    def start(self, name: str, attributes: Mapping[str, str]) -> None:
        """Tables, rows and cells; what hangs on a cell (remarks, pictures) is no text of it."""
        if self._aside or name in _ASIDE:
            self._aside += 1
        elif name == "table":
            self._begin_table(attributes)
        elif self._inside != 1:
            return
        elif name in _CELLS:
            self._cell, self._paragraphs, self._in_cell = attributes, [], True
        elif name == "table-row":
            self._begin_row(attributes)
        elif name == "p" and self._in_cell:
            self._paragraphs.append([])
            self._in_paragraph += 1
        elif self._in_paragraph and name in ("s", "tab", "line-break"):
            self.text(_blank(name, attributes))

    def end(self, name: str) -> None:
        """The other end of each."""
        if self._aside:
            self._aside -= 1
        elif name == "table":
            self._end_table()
        elif self._inside != 1:
            return
        elif name in _CELLS:
            self._end_cell()
        elif name == "table-row":
            self._end_row()
        elif name == "p" and self._in_cell:
            self._in_paragraph -= 1

    def text(self, text: str) -> None:
        """Only the text of paragraphs counts."""
        if self._in_paragraph and not self._aside and self._inside == 1:
            self._paragraphs[-1].append(text)

    # --- tables, rows, cells ------------------------------------------------------------------------------------------

    def _begin_table(self, attributes: Mapping[str, str]) -> None:
        self._inside += 1
        if self._inside == 1:
            name = attributes.get("table:name", "")
            self.names.append(name)
            self._gathered = Gatherer(name)
            self._row = 1

    def _end_table(self) -> None:
        self._inside -= 1
        if self._inside:
            return
        sheet = self._gathered.sheet
        if self.chosen is None and (sheet.name == self._asked if self._asked else sheet.lines):
            self.chosen = sheet
        elif sheet.lines:
            self.others.append(sheet.name)

    def _begin_row(self, attributes: Mapping[str, str]) -> None:
        self._column, self._cells = 0, {}
        self._times = _times(attributes.get("table:number-rows-repeated"))
        self._hidden = attributes.get("table:visibility", "visible") != "visible"

    def _end_row(self) -> None:
        self._gathered.row(self._row, self._cells, self._times)  # refuses what is too much
        if self._hidden and self._cells:
            self._gathered.sheet.hidden.update(range(self._row, self._row + self._times))
        self._row += self._times
        if self._row > _MOST:
            raise NoSheetError("a row has a number no sheet can have")

    def _end_cell(self) -> None:
        times = _times(self._cell.get("table:number-columns-repeated"))
        text = self._said()
        if text:
            if self._column + times > MOST_COLUMNS:
                raise NoSheetError(f"row {self._row} has more than {MOST_COLUMNS} columns")
            self._cells.update(dict.fromkeys(range(self._column, self._column + times), text))
            self._remember(times)
        self._column += times
        self._in_cell, self._in_paragraph = False, 0

    def _said(self) -> str:
        """The text of the cell: as shown, but numbers without the marks of a language."""
        shown = "\n".join("".join(pieces) for pieces in self._paragraphs)
        kind = self._cell.get("office:value-type", "")
        if kind == "float" and not (shown.startswith("0") and shown.isdigit()):
            try:
                return number_text(float(self._cell["office:value"]))
            except (KeyError, ValueError, OverflowError):
                return shown
        if kind == "date":
            return self._cell.get("office:date-value", shown)
        return shown or self._cell.get("office:string-value", "")

    def _remember(self, times: int) -> None:
        sheet, kind = self._gathered.sheet, self._cell.get("office:value-type", "")
        wanted = {"float": sheet.numbers, "date": sheet.dates}.get(kind)
        self._marked += self._times * times
        if self._marked > MOST_CELLS:
            raise NoSheetError(f"more than {MOST_ROWS} rows or {MOST_CELLS} cells")
        rows = range(self._row, self._row + self._times)
        columns = range(self._column, self._column + times)
        for there in [(row, column) for row in rows for column in columns]:
            if wanted is not None:
                wanted.add(there)
            if "table:formula" in self._cell:
                sheet.formulas.add(there)
        high = _times(self._cell.get("table:number-rows-spanned"))
        wide = _times(self._cell.get("table:number-columns-spanned"))
        if high > 1 or wide > 1:
            sheet.merged.append((self._row, self._row + high - 1, self._column, self._column + wide - 1))


def _times(text: str | None) -> int:
    return min(int(text), _MOST) if text and text.isascii() and text.isdigit() and len(text) < 12 else 1


def _blank(name: str, attributes: Mapping[str, str]) -> str:
    """Blanks that the format writes as elements."""
    if name == "tab":
        return "\t"
    return "\n" if name == "line-break" else " " * min(_times(attributes.get("text:c")), 1000)
