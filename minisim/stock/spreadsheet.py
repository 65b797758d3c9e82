"""Spreadsheets (.xlsx and .ods), read with libraries behind a guard.

What the libraries get goes through `guard.py` first; why: docs/design/reading-spreadsheets.md.  Nothing is evaluated,
and every count a file states is only believed when it has been met.
"""

from __future__ import annotations

import warnings
import zipfile
import zlib
from pathlib import Path
from xml.parsers import expat

from minisim.problems import InputError
from minisim.stock.guard import Archive, NoSheetError
from minisim.stock.sheets import MOST_COLUMNS, MOST_ROWS, Line, Sheet, Wanted, unusable

MOST_CELLS = 3_000_000  # numbers take 170 bytes each; in CSV nothing is known of them
_MOST_TEXT = 50_000_000  # characters of all cells


def open_spreadsheet(data: bytes, path: str | Path, wanted: Wanted) -> Sheet:
    """The first sheet that has anything in it, or the one asked for; InputError where that can't be had."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of what a library would lose in writing the file again
            return _open(data, wanted)
    except NoSheetError as error:
        raise unusable(path, f"no stock list: {error}") from None
    except Exception as error:  # the libraries fail in many ways on parts that are not what they are named
        raise _unreadable(path, error) from error


def _unreadable(path: str | Path, error: Exception) -> InputError:
    """What an error inside a library means for the owner."""
    locked = "encrypt" in str(error) or "password" in str(error)
    reason = "a part of it is not as it should be; open it and save it again, as .xlsx, .ods or CSV"
    if isinstance(error, NotImplementedError | RuntimeError) and locked:
        reason = "it has a password"
    elif isinstance(error, zipfile.BadZipFile | zlib.error | EOFError | NotImplementedError):
        reason = "the zip file it is made of is damaged"
    elif isinstance(error, KeyError | IndexError):
        reason = "a part it names is missing"
    elif isinstance(error, expat.ExpatError | SyntaxError):
        reason = "its XML is damaged, or it has a password"
    elif isinstance(error, MemoryError):
        reason = "it takes more memory than there is"
    return unusable(path, f"can't read the spreadsheet: {reason}")


def _open(data: bytes, wanted: Wanted) -> Sheet:
    archive = Archive(data)
    names = archive.namelist()
    if "content.xml" in names:
        from minisim.stock.sheet_ods import open_ods

        return open_ods(archive, wanted)
    if "[Content_Types].xml" in names:
        from minisim.stock.sheet_xlsx import open_xlsx

        return open_xlsx(archive, wanted)
    raise NoSheetError("a zip file that is no .xlsx and no .ods")


class Gatherer:
    """Collects the rows of one sheet within the limits."""

    def __init__(self, name: str) -> None:
        self.sheet = Sheet(f'spreadsheet, sheet "{name}"', [], name)
        self._cells = self._text = 0

    def row(self, number: int, cells: dict[int, str], times: int = 1) -> None:
        """A row as column -> text; rows without any text are only counted."""
        if not any(text.strip() for text in cells.values()):
            return
        width = max(cells) + 1
        if width > MOST_COLUMNS:
            raise NoSheetError(f"row {number} has more than {MOST_COLUMNS} columns")
        self._cells += width * times
        self._text += sum(map(len, cells.values())) * times
        if self._text > _MOST_TEXT:
            raise NoSheetError(f"its cells have more than {_MOST_TEXT // 1_000_000} million letters")
        if len(self.sheet.lines) + times > MOST_ROWS or self._cells > MOST_CELLS:
            raise NoSheetError(f"more than {MOST_ROWS} rows or {MOST_CELLS} cells")
        for later in range(times):
            texts = [cells.get(column, "") for column in range(width)]
            self.sheet.lines.append(Line(number + later, number + later, texts))


def choose(names: list[str], wanted: Wanted) -> list[str]:
    """The sheets to look into, in their order; the first with anything in it is read."""
    if not wanted.sheet:
        return names
    if wanted.sheet not in names:
        listed = ", ".join(f'"{name}"' for name in names[:20])
        raise NoSheetError(f'there is no sheet "{wanted.sheet}"; sheets are {listed}')
    return [wanted.sheet]


def remark_others(sheet: Sheet, others: list[str]) -> Sheet:
    """Say which sheets are not read."""
    if others:
        listed = ", ".join(f'"{name}"' for name in others[:20])
        sheet.remarks.append(f'read is the sheet "{sheet.name}"; not read: {listed} (--sheet NAME reads another)')
    return sheet


def number_text(value: float) -> str:
    """A number of a spreadsheet as a person would write it: 8043.0 is 8043."""
    return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
