"""The parts of an .xlsx file: names of sheets, shared texts, number formats, cells."""

from __future__ import annotations

import datetime
import posixpath
import re
from collections.abc import Mapping

from minisim.stock.sheets import MOST_COLUMNS, Sheet, Wanted
from minisim.stock.spreadsheet import Gatherer, NoSheetError, Parts, choose, number_text, remark_others

_DATE_FORMATS = frozenset([*range(14, 23), *range(27, 37), *range(45, 48), *range(50, 59)])
_NOT_CODE = re.compile(r'"[^"]*"|\[[^\]]*\]|\\.|_.|\*.')
_REFERENCE = re.compile("([A-Z]{1,3})([0-9]{1,7})")
_ESCAPE = re.compile("_x(00[0-9A-F]{2})_")
_LAST_ROW = 1_048_576


def open_xlsx(parts: Parts, wanted: Wanted) -> Sheet:
    """The first sheet that has anything in it, or the one asked for."""
    book = _book_part(parts)
    names = _Names()
    parts.parse(book, names)
    targets = _Targets()
    parts.parse(_rels_of(book), targets)
    files = {name: _resolve(book, targets.by_id[key]) for name, key in names.sheets if key in targets.by_id}
    strings, styles = _Strings(), _Styles()
    for kind, handler in (("/sharedStrings", strings), ("/styles", styles)):
        for one in targets.of_kind(kind):
            parts.parse(_resolve(book, one), handler)
    order = choose([name for name in files if files[name] in parts.names], wanted)
    for name in order:
        reader = _Cells(name, strings.texts, styles, names.since_1904)
        parts.parse(files[name], reader)
        if reader.gathered.sheet.lines or wanted.sheet:
            return remark_others(reader.gathered.sheet, order[order.index(name) + 1 :])
    raise NoSheetError("there is nothing in its sheets")


def _book_part(parts: Parts) -> str:
    targets = _Targets()
    parts.parse("_rels/.rels", targets)
    for target in targets.of_kind("/officeDocument"):
        name = target.lstrip("/")
        if name.endswith(".xml") and name in parts.names and _rels_of(name) in parts.names:
            return name
    raise NoSheetError("a zip file that is no .xlsx and no .ods")


def _rels_of(part: str) -> str:
    folder, name = posixpath.split(part)
    return posixpath.join(folder, "_rels", f"{name}.rels")


def _resolve(part: str, target: str) -> str:
    """The name of a part that another one names."""
    if target.startswith("/"):
        return target.lstrip("/")
    return posixpath.normpath(posixpath.join(posixpath.dirname(part), target))


class _Quiet:
    """A handler that takes no text."""

    def start(self, name: str, attributes: Mapping[str, str]) -> None:
        """Nothing by itself."""

    def end(self, name: str) -> None:
        """Nothing by itself."""

    def text(self, text: str) -> None:
        """Nothing by itself."""


class _Targets(_Quiet):
    """Relationships: id -> part."""

    def __init__(self) -> None:
        self.by_id: dict[str, str] = {}
        self._kinds: dict[str, str] = {}

    def start(self, name: str, attributes: Mapping[str, str]) -> None:
        if name == "Relationship" and attributes.get("TargetMode") != "External":
            key = attributes.get("Id", "")
            self.by_id[key] = attributes.get("Target", "")
            self._kinds[key] = attributes.get("Type", "")

    def of_kind(self, ending: str) -> list[str]:
        """The targets whose type ends so."""
        return [self.by_id[key] for key, kind in self._kinds.items() if kind.endswith(ending)]


class _Names(_Quiet):
    """Sheets in their order as (name, id of the relationship)."""

    def __init__(self) -> None:
        self.sheets: list[tuple[str, str]] = []  # those that are hidden last
        self._shown = 0
        self.since_1904 = False

    def start(self, name: str, attributes: Mapping[str, str]) -> None:
        if name == "sheet":
            key = next((value for word, value in attributes.items() if word.rpartition(":")[2] == "id"), "")
            hidden = attributes.get("state", "visible") != "visible"
            self.sheets.insert(len(self.sheets) if hidden else self._shown, (attributes.get("name", ""), key))
            self._shown += not hidden
        elif name == "workbookPr":
            self.since_1904 = attributes.get("date1904") in ("1", "true")


class _Strings:
    """The shared texts; the reading aids of other scripts are left out."""

    def __init__(self) -> None:
        self.texts: list[str] = []
        self._pieces: list[str] = []
        self._open = self._aside = False

    def start(self, name: str, attributes: Mapping[str, str]) -> None:
        if name == "si":
            self._pieces = []
        elif name == "rPh":
            self._aside = True
        elif name == "t":
            self._open = not self._aside

    def end(self, name: str) -> None:
        if name == "t":
            self._open = False
        elif name == "rPh":
            self._aside = False
        elif name == "si":
            self.texts.append(_plain("".join(self._pieces)))

    def text(self, text: str) -> None:
        if self._open:
            self._pieces.append(text)


class _Styles(_Quiet):
    """For each style of a cell: is it a date, and how many digits are shown at least."""

    def __init__(self) -> None:
        self.dates: list[bool] = []
        self.digits: list[int] = []
        self._codes: dict[int, str] = {}
        self._of_cells = False

    def start(self, name: str, attributes: Mapping[str, str]) -> None:
        if name == "numFmt":
            self._codes[_whole(attributes.get("numFmtId"))] = attributes.get("formatCode", "")
        elif name == "cellXfs":
            self._of_cells = True
        elif name == "xf" and self._of_cells:
            number = _whole(attributes.get("numFmtId"))
            code = self._codes.get(number, "")
            bare = _NOT_CODE.sub("", code).lower()
            self.dates.append(number in _DATE_FORMATS or bool(re.search("[dmyhs]", bare)))
            self.digits.append(len(bare) if re.fullmatch("00+", bare) else 0)

    def end(self, name: str) -> None:
        if name == "cellXfs":
            self._of_cells = False


class _Cells:
    """The rows of one sheet."""

    def __init__(self, name: str, strings: list[str], styles: _Styles, since_1904: bool) -> None:
        self.gathered = Gatherer(name)
        self._sheet = self.gathered.sheet
        self._strings = strings
        self._styles = styles
        self._epoch = datetime.datetime(1904, 1, 1) if since_1904 else datetime.datetime(1899, 12, 30)
        self._row, self._column = 0, -1
        self._cells: dict[int, str] = {}
        self._columns: dict[str, int] = {}
        self._kind = ""
        self._style = -1
        self._value: list[str] = []
        self._open = self._aside = False

    def start(self, name: str, attributes: Mapping[str, str]) -> None:
        if name == "c":
            self._begin_cell(attributes)
        elif name == "v" or (name == "t" and not self._aside):
            self._open = True
        elif name == "f":
            self._sheet.formulas.add((self._row, self._column))
        elif name == "rPh":
            self._aside = True
        elif name == "row":
            self._begin_row(attributes)
        elif name == "mergeCell":
            self._merge(attributes.get("ref", ""))

    def end(self, name: str) -> None:
        if name in ("v", "t"):
            self._open = False
        elif name == "c":
            self._end_cell()
        elif name == "rPh":
            self._aside = False
        elif name == "row":
            self.gathered.row(self._row, self._cells)

    def text(self, text: str) -> None:
        if self._open:
            self._value.append(text)

    def _begin_row(self, attributes: Mapping[str, str]) -> None:
        self._row = _whole(attributes.get("r"), self._row + 1)
        self._column = -1
        self._cells = {}
        if not 0 < self._row <= _LAST_ROW:
            raise NoSheetError("a row has a number no sheet can have")
        if attributes.get("hidden") in ("1", "true"):
            self._sheet.hidden.add(self._row)

    def _begin_cell(self, attributes: Mapping[str, str]) -> None:
        reference = attributes.get("r")
        self._column = self._column + 1 if reference is None else self._place(reference)
        self._kind = attributes.get("t", "n")
        self._style = _whole(attributes.get("s"), -1)
        self._value = []

    def _place(self, reference: str) -> int:
        letters = reference.rstrip("0123456789")
        known = self._columns.get(letters)
        if known is None:
            found = _REFERENCE.fullmatch(reference)
            if not found:
                raise NoSheetError("a cell has a name no cell can have")
            known = self._columns[letters] = _column(found[1])
        return known

    def _end_cell(self) -> None:
        raw = "".join(self._value)
        if not raw:
            return
        if self._column >= MOST_COLUMNS:
            raise NoSheetError(f"row {self._row} has more than {MOST_COLUMNS} columns")
        self._cells[self._column] = self._said(raw)

    def _said(self, raw: str) -> str:
        """The text of a cell, from what the file holds."""
        if self._kind == "s":
            return self._strings[int(raw)]
        if self._kind == "b":
            return "TRUE" if raw.strip() == "1" else "FALSE"
        if self._kind == "d":
            self._sheet.dates.add((self._row, self._column))
        if self._kind != "n":
            return _plain(raw)
        try:
            return self._number(float(raw))
        except (ValueError, OverflowError):
            return raw

    def _number(self, value: float) -> str:
        here = (self._row, self._column)
        if 0 <= self._style < len(self._styles.dates) and self._styles.dates[self._style]:
            self._sheet.dates.add(here)
            moment = self._epoch + datetime.timedelta(days=value)
            return moment.date().isoformat() if value.is_integer() else moment.isoformat(" ", "minutes")
        self._sheet.numbers.add(here)
        digits = self._styles.digits[self._style] if 0 <= self._style < len(self._styles.digits) else 0
        return number_text(value).zfill(digits)

    def _merge(self, reference: str) -> None:
        found = re.fullmatch(f"{_REFERENCE.pattern}:{_REFERENCE.pattern}", reference)
        if found:
            self._sheet.merged.append((int(found[2]), int(found[4]), _column(found[1]), _column(found[3])))


def _plain(text: str) -> str:
    """A text without the writing for what XML can't hold (`_x000D_` is a line end)."""
    return _ESCAPE.sub(lambda found: chr(int(found[1], 16)), text) if "_x" in text else text


def _column(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number - 1


def _whole(text: str | None, otherwise: int = 0) -> int:
    """A number of at most nine digits, else the other."""
    return int(text) if text and text.isascii() and text.isdigit() and len(text) < 10 else otherwise
