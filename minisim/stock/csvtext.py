"""CSV as people and spreadsheets write it: encodings, separators, quotation marks that are never closed.

A ladder of encodings, each step safe by itself: a byte-order mark, UTF-8, UTF-16 without a mark (half of the bytes are
zero), the western 8-bit set, and last the one that has a character for every byte.  What was taken is said.
"""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Iterator
from pathlib import Path

from minisim.stock.defuse import restored
from minisim.stock.sheets import MOST_CELLS, MOST_COLUMNS, MOST_ROWS, Line, Sheet, Wanted, unusable
from minisim.stock.words import OUR_COLUMNS

SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_LINES = re.compile(r"\r\n|\r|\n")
_LONGEST_CELL = 30  # lines that one quoted cell may have
_SAMPLE = 60
_ODD = dict.fromkeys([*range(9), *range(14, 32), 0x7F])  # what no list contains, but pictures and programs do


def open_csv(data: bytes, path: str | Path, wanted: Wanted) -> Sheet:
    """The rows of a text file; InputError where it is no text."""
    text, encoding = _decoded(data, path, wanted.encoding)
    ours = _our_own(text, path) if encoding == "utf-8" else None
    if ours is not None:
        return ours
    _refuse_binary(text, path)
    lines = _LINES.split(text)
    separator, skip = _separator(lines, wanted.separator)
    form = f"CSV, {encoding}, {SEPARATORS.get(separator, f'separated by {separator!r}') if separator else 'one column'}"
    sheet = Sheet(form, [])
    if encoding in ("cp1252", "latin-1"):
        sheet.remarks.append(f"not written in UTF-8: read as {encoding}; --encoding says it where letters look wrong")
    total = 0
    for number, line, cells in _records(lines, separator, skip, sheet.broken, path):
        total += len(cells)
        if number > MOST_ROWS or total > MOST_CELLS:
            raise unusable(path, f"more than {MOST_ROWS} rows or {MOST_CELLS} cells", line)
        if any(cells) and any(cell.strip() for cell in cells):
            sheet.lines.append(Line(number, line, cells))
    return sheet


def _our_own(text: str, path: str | Path) -> Sheet | None:
    """The rows of a list that minisim wrote, exactly as it wrote them; None where it is another one, or was changed."""
    first = text[: text.find("\n") + 1].rstrip("\r\n")
    if f"{first},".startswith(f"{','.join(OUR_COLUMNS)},"):
        reader = csv.reader(io.StringIO(text, newline=""), strict=True)
        sheet, line, number = Sheet("CSV, a list of minisim", [], fixed=True), 1, 0
        try:
            for number, cells in enumerate(reader, 1):
                if number == 1:
                    cells = [restored(cell) for cell in cells]
                if len(cells) > 1 or any(cell.strip() for cell in cells):
                    sheet.lines.append(Line(number, line, cells))
                line = reader.line_num + 1
        except csv.Error:
            return None
        if number <= MOST_ROWS and all(len(each.cells) <= MOST_COLUMNS for each in sheet.lines):
            return sheet
        raise unusable(path, f"more than {MOST_ROWS} rows or {MOST_COLUMNS} columns")
    return None


def _refuse_binary(text: str, path: str | Path) -> None:
    """A few odd characters are somebody's keyboard; many, or a zero, are no text."""
    sample = text[:20_000]
    odd = len(sample) - len(sample.translate(_ODD))
    if odd * 20 > len(sample) or "\0" in sample:
        raise unusable(path, "no stock list: the file is not text, and no .xlsx or .ods")


def _decoded(data: bytes, path: str | Path, asked: str) -> tuple[str, str]:
    """The text and the encoding it was read in."""
    if asked:
        try:
            return data.decode(asked).removeprefix("\ufeff"), asked
        except (LookupError, UnicodeError, ValueError) as error:
            reason = "there is no such encoding" if isinstance(error, LookupError) else "the bytes do not fit it"
            raise unusable(path, f'can\'t read the file as "{asked}": {reason}') from None
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            try:
                return data.decode(encoding), encoding.removesuffix("-sig")
            except UnicodeDecodeError as error:
                place = data[: error.start].count(b"\n") + 1
                raise unusable(path, f"begins as {encoding.removesuffix('-sig')}, but breaks off", place) from None
    for encoding in _likely(data):
        try:
            return data.decode(encoding), encoding
        except UnicodeDecodeError:
            continue
    return data.decode("latin-1"), "latin-1"


def _likely(data: bytes) -> list[str]:
    """Encodings to try in their order; zeros in every second byte are UTF-16 without a mark."""
    sample = data[:4000]
    half = max(len(sample) // 2, 1)
    if sample[1::2].count(0) > half * 0.6:
        return ["utf-16-le"]
    if sample[0::2].count(0) > half * 0.6:
        return ["utf-16-be"]
    return ["utf-8", "cp1252"]


def _separator(lines: list[str], asked: str) -> tuple[str, int]:
    """The separator ("" where each line is one cell), and how many lines at the top only name it."""
    named = re.fullmatch(r'"?sep=(.)"?', lines[0].strip(" ")) if lines else None
    if asked:
        return asked, int(bool(named))
    if named:
        return named[1], 1
    sample = [line[:2000] for line in lines[:_SAMPLE] if line.strip() and not line.startswith("#")]
    scored = [(_agreement(sample, each), -rank, each) for rank, each in enumerate(SEPARATORS)]
    best = max(scored)
    return (best[2] if best[0] > 0 else ""), 0


def _agreement(sample: list[str], separator: str) -> float:
    """How evenly a separator divides the lines: the share of lines that have the most frequent number of cells."""
    counts = [len(_split(line, separator) or [line]) for line in sample]
    more = [count for count in counts if count > 1]
    if not more:
        return 0.0
    usual = max(set(more), key=lambda count: (more.count(count), count))
    return more.count(usual) / len(counts) + min(usual, 9) / 100


def _records(
    lines: list[str], separator: str, skip: int, broken: dict[int, str], path: str | Path
) -> Iterator[tuple[int, int, list[str]]]:
    """Number of the row, line of the file, cells; a quoted cell may go over several lines."""
    number, at = skip, skip
    while at < len(lines):
        first, line = at, lines[at]
        number, at = number + 1, at + 1
        if not separator:
            yield number, first + 1, [line]
            continue
        if line.count(separator) >= MOST_COLUMNS:
            raise unusable(path, f"a row of more than {MOST_COLUMNS} cells", first + 1)
        cells = _split(line, separator)
        together = line
        while cells is None and at < len(lines) and at - first < _LONGEST_CELL:
            together += "\n" + lines[at]
            at += 1
            cells = _split(together, separator)
        if cells is None:
            at = first + 1
            cells = [cell.strip().strip('"') for cell in line.split(separator)]
            broken[number] = "a quotation mark that is never closed; the row is read as if it were not there"
        yield number, first + 1, cells


def _split(line: str, separator: str) -> list[str] | None:
    """The cells of a line; None where a quoted cell does not end in it."""
    if '"' not in line:
        return line.split(separator)
    try:
        return next(csv.reader([line + "\n"], delimiter=separator, strict=True, skipinitialspace=separator != " "), [])
    except csv.Error as error:
        if "unexpected end" in str(error):
            return None
        return _loosely(line, separator)


def _loosely(line: str, separator: str) -> list[str] | None:
    """Cells of a line whose quotation marks are no quotation marks (inches): those around a whole cell go."""
    if len(line) > csv.field_size_limit():
        return [cell.strip().strip('"') for cell in line.split(separator)]
    return [re.sub(r'^"(.*)"$', r"\1", cell.strip()) for cell in line.split(separator)]
