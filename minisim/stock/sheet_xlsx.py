"""The first sheet of an .xlsx file that has anything in it, read with openpyxl."""

from __future__ import annotations

import datetime
import re
from functools import cache
from io import BytesIO
from typing import TYPE_CHECKING, Any, cast

from openpyxl.reader.excel import ExcelReader
from openpyxl.utils.cell import column_index_from_string, range_boundaries
from openpyxl.utils.escape import unescape

from minisim.stock.guard import MAIN, Archive, NoSheetError
from minisim.stock.sheets import MOST_COLUMNS, Sheet, Wanted
from minisim.stock.spreadsheet import Gatherer, choose, number_text, remark_others

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook

_LAST_ROW = 1_048_576
_MOST_PLACES = 50_000_000  # in rows up to their last cell, empty ones too
_STRICT = "http://purl.oclc.org/ooxml/"
_NOT_CODE = re.compile(r'"[^"]*"|\[[^\]]*\]|\\.|_.|\*.')
_EMPTY_ZIP = b"PK\x05\x06" + bytes(18)


def open_xlsx(archive: Archive, wanted: Wanted) -> Sheet:
    """The first sheet that has anything in it, or the one asked for; those that are hidden come last."""
    beside = _Beside()
    archive.begin = beside.begin
    book = _load(archive)
    sheets = {sheet.title: sheet for sheet in sorted(book.worksheets, key=lambda sheet: sheet.sheet_state != "visible")}
    order = choose(list(sheets), wanted)
    for name in order:
        found = _Reader(name, sheets[name]).read(beside)
        if found.lines or wanted.sheet:
            return remark_others(found, order[order.index(name) + 1 :])
    raise NoSheetError("there is nothing in its sheets")


def _load(archive: Archive) -> Workbook:
    """The workbook; its sheets are read later, as streams, through the same archive."""
    reader = ExcelReader(BytesIO(_EMPTY_ZIP), read_only=True, data_only=True, keep_links=False)
    reader.archive = cast(Any, archive)  # a library that opens the file itself would get around the guard
    reader.valid_files = archive.namelist()
    try:
        reader.read()
    except OSError:  # there is no workbook in it
        raise NoSheetError("a zip file that is no .xlsx and no .ods") from None
    return reader.wb


class _Beside:
    """What openpyxl does not tell of a sheet that it reads as a stream; noted as the guard meets it."""

    def begin(self) -> Any:
        """Forget the part before."""
        self.hidden: set[int] = set()
        self.merged: list[tuple[int, int, int, int]] = []
        self.formulas: set[tuple[int, int]] = set()
        self._row = self._column = 0
        return self._note

    def _note(self, name: str, attributes: dict[str, str]) -> None:
        if name == _CELL:
            self._cell(attributes.get("r"))
        elif name == _FORMULA:
            self.formulas.add((self._row, self._column - 1))
        elif name == _ROW:
            self._begin_row(attributes)
        elif name == _MERGED:
            self._merge(attributes.get("ref", ""))
        elif name.startswith(_STRICT):
            raise NoSheetError("an .xlsx in its strict form: save it as plain .xlsx, .ods or CSV")

    def _begin_row(self, attributes: dict[str, str]) -> None:
        said, before = attributes.get("r"), self._row
        self._row = before + 1 if said is None else int(said) if said.isdigit() and len(said) < 10 else 0
        self._column = 0
        if not 0 < self._row <= _LAST_ROW:
            raise NoSheetError("a row has a number no sheet can have")
        if self._row <= before:
            raise NoSheetError(f"row {self._row} stands behind row {before}")
        if attributes.get("hidden") in ("1", "true"):
            self.hidden.add(self._row)

    def _cell(self, reference: str | None) -> None:
        before = self._column
        try:
            named = reference and column_index_from_string(reference.rstrip("0123456789"))
        except ValueError:
            raise NoSheetError("a cell has a name no cell can have") from None
        self._column = named or before + 1
        if self._column <= before:
            raise NoSheetError(f"the cells of row {self._row} are not in their order")

    def _merge(self, reference: str) -> None:
        left, top, right, bottom = range_boundaries(reference)
        if left is not None and top is not None and right is not None and bottom is not None:
            self.merged.append((top, bottom, left - 1, right - 1))


_ROW, _CELL, _FORMULA, _MERGED = (f"{MAIN}{name}" for name in ("row", "c", "f", "mergeCell"))


class _Reader:
    """The cells of one sheet as texts."""

    def __init__(self, name: str, sheet: Any) -> None:
        self._gathered = Gatherer(name)
        self._sheet = sheet

    def read(self, beside: _Beside) -> Sheet:
        """All of its rows, with what was noted beside them."""
        self._sheet.reset_dimensions()  # what the file says of its size is not believed
        places = 0
        for number, row in enumerate(self._sheet.rows, 1):
            places += len(row)
            if places > _MOST_PLACES:
                raise NoSheetError(f"more than {_MOST_PLACES} cells, most of them empty")
            self._gathered.row(number, self._texts(number, row))
        made = self._gathered.sheet
        made.hidden, made.merged, made.formulas = beside.hidden, beside.merged, beside.formulas
        return made

    def _texts(self, number: int, row: tuple[Any, ...]) -> dict[int, str]:
        """Column -> text."""
        texts = {place: self._text(number, place, cell) for place, cell in enumerate(row) if cell.value is not None}
        if texts and max(texts) >= MOST_COLUMNS:
            raise NoSheetError(f"row {number} has more than {MOST_COLUMNS} columns")
        return texts

    def _text(self, number: int, place: int, cell: Any) -> str:
        value = cell.value
        if isinstance(value, str):
            return unescape(value)
        if isinstance(value, bool):
            return str(value).upper()
        if isinstance(value, int | float):
            self._gathered.sheet.numbers.add((number, place))
            shown = str(value) if isinstance(value, int) else number_text(value)
            return shown.zfill(_digits(cell.number_format))
        self._gathered.sheet.dates.add((number, place))
        return _moment(value)


def _moment(value: object) -> str:
    """A date, a time, both, or a span of time."""
    if isinstance(value, datetime.datetime) and value.time() == datetime.time():
        return value.date().isoformat()
    if isinstance(value, datetime.datetime):
        return value.isoformat(" ", "minutes")
    return value.isoformat("minutes") if isinstance(value, datetime.time) else str(value)


@cache
def _digits(number_format: str) -> int:
    """How many digits a number is shown with at least, where it is shown with zeros in front."""
    bare = _NOT_CODE.sub("", number_format)
    return len(bare) if re.fullmatch("00+", bare) else 0
