"""Spreadsheets: what the values are, what stands beside them."""

from __future__ import annotations

import datetime
import io
import time
import zipfile
from pathlib import Path

import openpyxl
import pytest
import python_calamine
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.styles import numbers
from stock_files import _SHEET, cells, line, ods, read, rows, table, told, xlsx, zipped

from minisim.problems import InputError
from minisim.stock.header import Header
from minisim.stock.sheets import Wanted, open_sheet

HEAD = ("marking", "count", "condition", "box")


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A messy one, written by a library that is not ours."""
    made = openpyxl.Workbook()
    sheet = made.active
    assert sheet is not None
    sheet.title = "Pile"
    for row in (
        ["Board no", "Qty", "Cond", "Where", "Seen on"],
        [8043, 2.0, "ok", "A1", datetime.date(2026, 3, 1)],
        ["M8186", "3x", "DOA", None, None],
        [datetime.date(2026, 3, 12), None, None, None, None],
        ['="M"&8044', "=1+1", "?", "A2", None],
        [42, 1, True, "A2", 0.5],
        [7e14, 1, "ok", "A3", None],
    ):
        sheet.append(row)
    sheet["A6"].number_format = "0000"
    sheet["A4"].number_format = numbers.FORMAT_DATE_DMYSLASH
    sheet.merge_cells("D2:D4")
    sheet.row_dimensions[3].hidden = True
    made.create_sheet("Cables").append(["marking", "count"])
    made["Cables"].append(["7009", 1])
    path = tmp_path / "pile.xlsx"
    made.save(path)
    return path


def test_a_messy_sheet_is_read_and_every_oddity_told(book: Path) -> None:
    stock = read(book)
    assert [(row.number, row.marking, row.count, row.condition.value, row.box) for row in stock.rows] == [
        (2, "8043", 2, "works", "A1"),
        (3, "M8186", 3, "faulty", "A1"),
        (4, "2026-03-12", 1, "unknown", "A1"),
        (5, "", 1, "unknown", "A2"),  # the library writes formulas without the value they had
        (6, "0042", 1, "unknown", "A2"),
        (7, "700000000000000", 1, "works", "A3"),
    ]
    assert stock.rows[0].cells["Seen on"] == "2026-03-01"
    assert (3, "", "the row is hidden in the sheet; it is read all the same") in told(stock, repaired=True)
    assert (3, "A1", "a cell that is one for several rows; it counts for each") in told(stock, repaired=True)
    assert [row for row, _, said in told(stock, repaired=False) if "made of a marking" in said] == [4]
    assert any('not read: "Cables"' in remark for remark in stock.remarks)


def test_another_sheet_can_be_asked_for(book: Path) -> None:
    assert rows(read(book, header=Header(wanted=Wanted(sheet="Cables")))) == [("7009", 1, "unknown", "")]
    with pytest.raises(InputError, match='there is no sheet "Drives"; sheets are "Pile", "Cables"'):
        read(book, header=Header(wanted=Wanted(sheet="Drives")))


def test_a_formula_is_shown_with_the_value_it_had_and_never_worked_out(tmp_path: Path) -> None:
    body = line(1, HEAD) + (
        '<row r="2"><c r="A2" t="str"><f>HYPERLINK("http://x","M"&amp;8043)</f><v>M8043</v></c>'
        '<c r="B2"><f>1+1</f><v>3</v></c></row>'
    )
    stock = read(tmp_path / "a.xlsx", xlsx(body))
    assert rows(stock) == [("M8043", 3, "unknown", "")]
    said = "a formula; the value it had when saved is taken"
    assert told(stock, repaired=True) == [(2, "M8043", said), (2, "3", said)]


def test_a_formula_of_a_rule_beside_the_cells_is_no_formula_of_a_cell(tmp_path: Path) -> None:
    rule = '<extLst><ext uri="other" xmlns:f="urn:other"><f:f>A1</f:f></ext></extLst>'
    stock = read(tmp_path / "a.xlsx", xlsx(line(1, HEAD) + line(2, ["M1", "1"]), after=rule))
    assert told(stock, repaired=True) == []


def test_what_looks_like_a_formula_in_a_text_stays_a_text(tmp_path: Path) -> None:
    stock = read(tmp_path / "a.xlsx", xlsx(line(1, ["marking", "notes"]) + line(2, ["M8043", "=1+1"])))
    assert stock.rows[0].notes == "=1+1"


def test_an_open_document_sheet_is_read_with_its_oddities(tmp_path: Path) -> None:
    def cell(attributes: str, shown: str) -> str:
        return f"<table:table-cell {attributes}><text:p>{shown}</text:p></table:table-cell>"

    number = cell('office:value-type="float" office:value="8043"', "8.043,00")
    zeros = cell('office:value-type="float" office:value="42"', "0042")
    date = cell('office:value-type="date" office:date-value="2026-03-12"', "12.3.")
    formula = cell('table:formula="of:=1+1" office:value-type="float" office:value="2"', "2")
    remark = (
        '<table:table-cell office:value-type="string"><office:annotation><text:p>ask Ann</text:p></office:annotation>'
        '<text:p>two<text:s text:c="2"/>blanks</text:p><text:p>and a line</text:p></table:table-cell>'
    )
    merged = cell('table:number-rows-spanned="3" office:value-type="string"', "A1")
    covered = "<table:covered-table-cell/>"
    body = (
        cells("marking", "count", "box", "notes")
        + cells(number, formula, merged, remark)
        + cells(zeros, "3x", covered, "")
        + cells(date, "1", covered, "").replace("<table:table-row>", '<table:table-row table:visibility="filter">')
        + cells("M8186", "1", "B", "").replace("<table:table-row>", '<table:table-row table:number-rows-repeated="2">')
        + '<table:table-row table:number-rows-repeated="1048000">'
        '<table:table-cell table:number-columns-repeated="16384"/></table:table-row>'
    )
    stock = read(tmp_path / "a.ods", ods(table(body) + table(cells("x"), "More")))
    assert [(row.number, row.marking, row.count, row.box) for row in stock.rows] == [
        (2, "8043", 2, "A1"),
        (3, "0042", 3, "A1"),
        (4, "2026-03-12", 1, "A1"),
        (5, "M8186", 1, "B"),
        (6, "M8186", 1, "B"),
    ]
    assert stock.rows[0].notes == "two  blanks\nand a line"
    assert (4, "", "the row is hidden in the sheet; it is read all the same") in told(stock, repaired=True)
    assert (2, "2", "a formula; the value it had when saved is taken") in told(stock, repaired=True)
    assert any('not read: "More"' in remark for remark in stock.remarks)


@pytest.mark.parametrize("kind", ["xlsx", "ods"])
@settings(max_examples=40)
@given(data=st.data())
def test_the_texts_are_those_that_another_library_reads(kind: str, data: st.DataObject) -> None:
    word = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs"), exclude_characters="<&>\ufffe\uffff"),
                   max_size=8).map(lambda text: " ".join(text.split()))  # fmt: skip
    grid = data.draw(st.lists(st.lists(word, min_size=1, max_size=5), min_size=1, max_size=6))
    grid[0][0] = "first"  # the other library leaves empty edges out
    if kind == "xlsx":
        made = xlsx("".join(line(number, row) for number, row in enumerate(grid, 1)))
    else:
        made = ods(table("".join(cells(*row) for row in grid)))
    other = python_calamine.load_workbook(io.BytesIO(made)).get_sheet_by_index(0).to_python(skip_empty_area=False)
    ours = {each.number: each.cells for each in open_sheet(made, "x").lines}
    for number, row in enumerate(other, 1):
        width = len(row)
        assert [*ours.get(number, []), *[""] * width][:width] == row


def test_numbers_and_dates_are_those_that_another_library_reads(book: Path) -> None:
    other = python_calamine.load_workbook(str(book)).get_sheet_by_index(0).to_python()
    ours = {each.number: each.cells for each in open_sheet(book.read_bytes(), "x").lines}
    assert ours[2] == ["8043", "2", "ok", "A1", other[1][4].isoformat()]  # type: ignore[union-attr]  # a date
    assert float(ours[7][0]) == other[6][0]
    assert ours[4][0] == other[3][0].isoformat()  # type: ignore[union-attr]  # a date


def test_a_hidden_sheet_comes_after_those_that_are_shown(tmp_path: Path) -> None:
    made = openpyxl.Workbook()
    assert made.active is not None
    made.active.append(["marking", "old list"])
    made.active.sheet_state = "hidden"
    made.create_sheet("Now").append(["M8043", "new list"])
    made.save(tmp_path / "a.xlsx")
    stock = read(tmp_path / "a.xlsx")
    assert rows(stock) == [("M8043", 1, "unknown", "")]
    assert any('read is the sheet "Now"; not read: "Sheet"' in remark for remark in stock.remarks)


def test_shared_texts_are_whole_without_reading_aids_and_escapes(tmp_path: Path) -> None:
    shared = (
        f"<sst {_SHEET}><si><t>marking</t></si><si><r><t>M80</t></r><r><t>43</t></r><rPh sb='0' eb='1'>"
        "<t>aid</t></rPh></si>"
        "<si><t>two_x000D_lines</t></si></sst>"
    )
    body = (
        '<row r="1"><c r="A1" t="s"><v>0</v></c></row>'
        '<row r="2"><c r="A2" t="s"><v>1</v></c><c r="B2" t="s"><v>2</v></c></row>'
    )
    (row,) = read(tmp_path / "a.xlsx", xlsx(body, shared=shared)).rows
    assert (row.marking, row.cells["column B"]) == ("M8043", "two\rlines")


def test_an_error_of_the_spreadsheet_is_no_marking(tmp_path: Path) -> None:
    body = line(1, HEAD) + '<row r="2"><c r="A2" t="e"><f>1/0</f><v>#DIV/0!</v></c></row>'
    stock = read(tmp_path / "a.xlsx", xlsx(body))
    assert told(stock, repaired=False) == [(2, "#DIV/0!", "an error of the spreadsheet; read the piece again")]


@pytest.mark.slow
def test_a_sheet_of_a_hundred_thousand_rows_takes_seconds_and_little_memory(tmp_path: Path) -> None:
    made = openpyxl.Workbook(write_only=True)
    sheet = made.create_sheet("Pile")
    sheet.append(["marking", "count", "condition", "box", "notes", "a", "b", "c"])
    for number in range(100_000):
        sheet.append(
            [f"M{7000 + number % 60}", number % 3 + 1, "ok", f"B{number % 40}", f"remark {number}", 1.5, "x", ""]
        )
    path = tmp_path / "big.xlsx"
    made.save(path)
    before = time.process_time()
    stock = read(path)
    assert time.process_time() - before < 60
    assert stock.pieces == sum(number % 3 + 1 for number in range(100_000))


@pytest.mark.slow
def test_an_open_document_of_a_hundred_thousand_rows_takes_less_than_a_minute(tmp_path: Path) -> None:
    lines = (
        cells(f"M{7000 + number % 60}", "2", "works", f"B{number % 40}", "x", "y", "z", "") for number in range(100_000)
    )
    made = zipfile.ZipFile(io.BytesIO(ods(table(cells(*HEAD, "notes", "a", "b", "c") + "".join(lines)))))
    path = tmp_path / "big.ods"
    path.write_bytes(zipped({part: made.read(part) for part in made.namelist()}))
    before = time.process_time()
    assert read(path).pieces == 200_000
    assert time.process_time() - before < 60
