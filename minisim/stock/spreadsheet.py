"""Spreadsheets (.xlsx and .ods): the parts of the zip file, read as streams and never unpacked whole.

Why the XML parser of the standard library and no spreadsheet library: the fast ones end the whole process on a file of
one kilobyte that promises four thousand million strings, and none tells what a list of boards needs beside the values:
formulas, hidden rows, numbers shown with leading zeros.  Nothing is evaluated, no entity is defined, and every count a
file states is only believed when it has been met.
"""

from __future__ import annotations

import zipfile
import zlib
from collections.abc import Callable, Mapping
from io import BytesIO
from pathlib import Path
from typing import Any, Protocol
from xml.parsers import expat

from minisim.stock.sheets import MOST_CELLS, MOST_COLUMNS, MOST_ROWS, Line, Sheet, Wanted, unusable

_MOST_XML = 400_000_000
_MOST_ELEMENTS = 25_000_000
_MOST_PARTS = 5_000
_DEEPEST = 200
_CHUNK = 1 << 16


class NoSheetError(Exception):
    """The file can't be used; the text completes "no stock list: "."""


class Handler(Protocol):
    """What a part is read with."""

    def start(self, name: str, attributes: Mapping[str, str]) -> None:
        """An element begins; `name` is without its prefix."""

    def end(self, name: str) -> None:
        """An element ends."""

    def text(self, text: str) -> None:
        """Characters, perhaps in several pieces."""


class Parts:
    """The parts of a zip file, and how much may still be read of them."""

    def __init__(self, data: bytes) -> None:
        self._zip = zipfile.ZipFile(BytesIO(data))
        self.names = set(self._zip.namelist())
        if len(self.names) > _MOST_PARTS:
            raise NoSheetError(f"a zip file of more than {_MOST_PARTS} parts")
        self._left = _MOST_XML
        self._elements = _MOST_ELEMENTS

    def start_of(self, name: str) -> bytes:
        """The first bytes of a part."""
        with self._zip.open(name) as stream:
            return stream.read(200)

    def parse(self, name: str, handler: Handler) -> None:
        """Give all of a part to a handler."""
        parser = expat.ParserCreate()
        parser.buffer_text = True
        parser.StartElementHandler, parser.EndElementHandler = self._counted(handler)
        parser.CharacterDataHandler = handler.text
        parser.StartDoctypeDeclHandler = _refuse_declarations
        with self._zip.open(name) as stream:
            while chunk := stream.read(_CHUNK):
                self._left -= len(chunk)
                if self._left < 0:
                    raise NoSheetError(f"it unpacks to more than {_MOST_XML // 1_000_000} MB")
                parser.Parse(chunk, False)
        parser.Parse(b"", True)

    def _counted(self, handler: Handler) -> tuple[Callable[[str, dict[str, str]], None], Callable[[str], None]]:
        """The two callbacks, with prefixes taken off and an end to depth and number."""
        local: dict[str, str] = {}
        depth = 0
        starts, ends = handler.start, handler.end

        def start(name: str, attributes: dict[str, str]) -> None:
            nonlocal depth
            depth += 1
            self._elements -= 1
            if depth > _DEEPEST or self._elements < 0:
                raise NoSheetError("its XML is too deep or too large")
            short = local.get(name)
            if short is None:
                if len(local) > _MOST_PARTS:
                    raise NoSheetError("its XML has too many names")
                short = local[name] = name.rpartition(":")[2]
            starts(short, attributes)

        def end(name: str) -> None:
            nonlocal depth
            depth -= 1
            ends(local[name])

        return start, end


def _refuse_declarations(*_: Any) -> None:
    raise NoSheetError("its XML defines entities")


def open_spreadsheet(data: bytes, path: str | Path, wanted: Wanted) -> Sheet:
    """The first sheet that has anything in it, or the one asked for; InputError where that can't be had."""
    try:
        return _open(data, wanted)
    except NoSheetError as error:
        raise unusable(path, f"no stock list: {error}") from None
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, NotImplementedError, RuntimeError, ValueError) as error:
        locked = "encrypt" in str(error) or "password" in str(error)
        reason = "it has a password" if locked else "the zip file it is made of is damaged"
        raise unusable(path, f"can't read the spreadsheet: {reason}") from None
    except (KeyError, IndexError, OverflowError):
        raise unusable(path, "can't read the spreadsheet: a part it names is missing") from None
    except (expat.ExpatError, LookupError):  # the second: an encoding that is none
        raise unusable(path, "can't read the spreadsheet: its XML is damaged, or it has a password") from None


def _open(data: bytes, wanted: Wanted) -> Sheet:
    parts = Parts(data)
    if "content.xml" in parts.names:
        from minisim.stock.sheet_ods import open_ods

        return open_ods(parts, wanted)
    if "_rels/.rels" in parts.names:
        from minisim.stock.sheet_xlsx import open_xlsx

        return open_xlsx(parts, wanted)
    raise NoSheetError("a zip file that is no .xlsx and no .ods")


class Gatherer:
    """Collects the rows of one sheet within the limits."""

    def __init__(self, name: str) -> None:
        self.sheet = Sheet(f'spreadsheet, sheet "{name}"', [], name)
        self._cells = 0

    def row(self, number: int, cells: dict[int, str], times: int = 1) -> None:
        """A row as column -> text; rows without any text are only counted."""
        if not any(text.strip() for text in cells.values()):
            return
        width = max(cells) + 1
        if width > MOST_COLUMNS:
            raise NoSheetError(f"row {number} has more than {MOST_COLUMNS} columns")
        self._cells += width * times
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
