"""Spreadsheets that are damaged, and those that were made to do harm: refused with one sentence, in little memory."""

from __future__ import annotations

import io
import resource
import subprocess
import sys
import time
import zipfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stock_files import _SHEET, cells, line, ods, read, rows, table, xlsx, xlsx_parts, zipped

from minisim.problems import InputError
from minisim.stock.sheets import open_sheet

HEAD = ("marking", "count", "condition", "box")


def refused(path: Path, data: bytes) -> str:
    """The one message."""
    with pytest.raises(InputError) as caught:
        read(path, data)
    (problem,) = caught.value.problems
    return problem.message


def test_a_bomb_is_not_unpacked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("minisim.stock.guard.MOST_UNPACKED", 30_000_000)
    parts = xlsx_parts("")
    parts["xl/worksheets/sheet1.xml"] = b"<worksheet>" + b" " * 40_000_000
    data = zipped(parts)
    assert len(data) < 100_000
    assert "unpacks to more than 30 MB" in refused(tmp_path / "a.xlsx", data)


def test_a_promise_of_strings_is_not_believed(tmp_path: Path) -> None:
    shared = (
        f'<sst {_SHEET} count="4000000000" uniqueCount="4000000000"><si><t>marking</t></si><si><t>M1</t></si></sst>'
    )
    body = '<row r="1"><c r="A1" t="s"><v>0</v></c></row><row r="2"><c r="A2" t="s"><v>1</v></c></row>'
    assert rows(read(tmp_path / "a.xlsx", xlsx(body, shared=shared))) == [("M1", 1, "unknown", "")]


FAR = '<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>'
REPEATED = (
    '<table:table-row table:number-rows-repeated="1000000"><table:table-cell table:number-columns-repeated="16000" '
    'office:value-type="string"><text:p>x</text:p></table:table-cell></table:table-row>'
)
HOSTILE = {
    "a cell in the far corner": (xlsx(line(1, HEAD) + FAR), "more than 1000 columns"),
    "cells that repeat for ever": (ods(table(cells(*HEAD) + REPEATED)), "more than 1000 columns"),
    "rows that repeat for ever": (
        ods(table(cells(*HEAD) + REPEATED.replace('"16000"', '"2"'))),
        "more than 300000 rows",
    ),
    "a string that is not there": (xlsx('<row r="1"><c t="s"><v>7</v></c></row>'), "a part it names is missing"),
    "a cell of no name": (xlsx('<row r="1"><c r="9"><v>1</v></c></row>'), "a name no cell can have"),
    "a row of no number": (xlsx('<row r="99999999"><c><v>1</v></c></row>'), "a number no sheet can have"),
    "an encoding of no name": (
        zipped(xlsx_parts("") | {"xl/workbook.xml": '<?xml version="1.0" encoding="UTF-8ish"?><workbook/>'}),
        "its XML is damaged",
    ),
    "an encoding of many bytes": (
        zipped(xlsx_parts("") | {"xl/workbook.xml": '<?xml version="1.0" encoding="gb18030"?><workbook/>'}),
        "damaged",
    ),
    "broken XML": (xlsx("<row"), "its XML is damaged"),
    "entities": (
        zipped(xlsx_parts("") | {"xl/workbook.xml": '<!DOCTYPE a [<!ENTITY b "c">]><workbook>&b;</workbook>'}),
        "defines entities",
    ),
    "deep XML": (xlsx("<a>" * 5000), "too deep"),
    "a row behind a later one": (xlsx(line(2, HEAD) + line(1, ["M1"])), "row 1 stands behind row 2"),
    "cells in no order": (xlsx('<row r="1"><c r="B1"/><c r="A1"/></row>'), "not in their order"),
    "one row of a million cells": (
        zipped(xlsx_parts("") | {"xl/worksheets/sheet1.xml": f"<worksheet {_SHEET}><row>" + "<c/>" * 1_000_000}),
        "too large",
    ),
    "names without end": (xlsx("".join(f'<row a{n}="1"/>' for n in range(6000))), "too many names"),
    "a name of two million letters": (xlsx(f'<row a="{"x" * 2_000_000}"/>'), "a piece of its XML is too long"),
    "a list in the place of the styles": (
        xlsx("", styles=f"<worksheet {_SHEET}>" + "<row><c></c></row>" * 950_000 + "</worksheet>"),
        "a part that is no list has more than 16 MB",
    ),
    "merged areas without end": (
        xlsx(line(1, HEAD), after="<mergeCells>" + '<mergeCell ref="A1:XFD9"/>' * 260_000 + "</mergeCells>"),
        "too large",
    ),
    "the strict form": (
        zipped(xlsx_parts("") | {
            "xl/workbook.xml": '<workbook xmlns="http://purl.oclc.org/ooxml/spreadsheetml/main"/>'
        }),
        "save it as plain .xlsx",
    ),
    "blanks without end": (
        ods(table(cells('<table:table-cell><text:p><text:s text:c="4000000000"/></text:p></table:table-cell>'))),
        "thousands of blanks",
    ),
    "a repeat of five thousand digits": (
        ods(table(f'<table:table-row table:number-rows-repeated="{"9" * 5000}"><table:table-cell/></table:table-row>')),
        "a part of it is not as it should be",
    ),
    "tables in tables": (
        ods(table("<table:table-row><table:table-cell><table:table>" * 80 + "</table:table></table:table-cell>"
                  "</table:table-row>" * 80)),
        "too deep",
    ),
    "nothing in it": (xlsx(""), "there is nothing in its sheets"),
    "an empty table": (ods(table("")), "there is nothing in its sheets"),
    "a text document": (ods("", mimetype="application/vnd.oasis.opendocument.text"), "no spreadsheet"),
    "any zip": (zipped({"a.txt": "x"}), "no .xlsx and no .ods"),
    "an empty zip": (zipped({}), "no .xlsx and no .ods"),
    "half a zip": (xlsx(line(1, HEAD))[:700], "the zip file it is made of is damaged"),
    "many parts": (zipped({f"p{n}": "" for n in range(5001)}), "more than 5000 parts"),
    "a part outside": (
        zipped(xlsx_parts("") | {"xl/_rels/workbook.xml.rels": '<Relationships><Relationship Id="s1" '
                                 'Type="x/worksheet" Target="../../../etc/passwd"/></Relationships>'}),
        "there is nothing in its sheets",
    ),
}  # fmt: skip


LONG = ("a list in the place of the styles", "merged areas without end")


@pytest.mark.parametrize("name", [pytest.param(one, marks=pytest.mark.slow) if one in LONG else one for one in HOSTILE])
def test_a_hostile_file_is_refused_at_once(name: str, tmp_path: Path) -> None:
    data, part = HOSTILE[name]
    before = time.process_time()
    assert part in refused(tmp_path / "a.bin", data)
    assert time.process_time() - before < 10


def test_a_part_that_is_longer_than_it_says_is_refused(tmp_path: Path) -> None:
    data = bytearray(xlsx(line(1, HEAD) + line(2, ["M1"])))
    archive = zipfile.ZipFile(io.BytesIO(bytes(data)))
    info = archive.getinfo("xl/worksheets/sheet1.xml")
    size = info.file_size.to_bytes(4, "little")
    at = data.rfind(size)  # in the directory at the end
    data[at : at + 4] = (info.file_size - 60).to_bytes(4, "little")
    assert "damaged" in refused(tmp_path / "a.xlsx", bytes(data))


@pytest.mark.parametrize("whole", [False, pytest.param(True, marks=pytest.mark.slow)])
def test_hostile_files_take_little_memory(tmp_path: Path, whole: bool) -> None:
    """Under a limit of 700 MB of address space each ends with 2 and no traceback."""
    paths = []
    for index, (data, _) in enumerate(hostile for name, hostile in HOSTILE.items() if whole or name not in LONG):
        path = tmp_path / f"{index}.xlsx"
        path.write_bytes(data)
        paths.append(str(path))

    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_AS, (700_000_000, 700_000_000))

    ended = subprocess.run(
        [sys.executable, "-m", "minisim", "stock", "read", *paths],
        capture_output=True, text=True, timeout=120, preexec_fn=limit, check=False,
    )  # fmt: skip
    assert ended.returncode == 2
    assert "Traceback" not in ended.stderr
    assert len(ended.stderr.splitlines()) == len(paths)


@settings(max_examples=150)
@given(cut=st.integers(0, 5000), at=st.integers(0, 5000), with_=st.binary(min_size=1, max_size=4))
def test_a_damaged_file_is_read_or_refused_and_nothing_else(cut: int, at: int, with_: bytes) -> None:
    whole = xlsx(line(1, HEAD) + "".join(line(n, [f"M{n}", "2", "ok", "A"]) for n in range(2, 30)))
    data = bytearray(whole)
    data[at % len(data) : at % len(data) + len(with_)] = with_
    for damaged in (bytes(data), whole[: cut % len(whole)]):
        try:
            open_sheet(damaged, "a.xlsx")
        except InputError as error:
            assert error.problems


@settings(max_examples=150)
@given(st.binary(max_size=300), st.integers(0, 3000))
def test_damaged_xml_is_read_or_refused_and_nothing_else(piece: bytes, at: int) -> None:
    content = xlsx_parts(line(1, HEAD) + line(2, ["M1", "2"]))
    for name in ("xl/worksheets/sheet1.xml", "xl/workbook.xml", "xl/sharedStrings.xml", "xl/styles.xml"):
        text = content[name]
        raw = text.encode() if isinstance(text, str) else text
        place = at % len(raw)
        try:
            open_sheet(zipped(content | {name: raw[:place] + piece + raw[place:]}), "a.xlsx")
        except InputError as error:
            assert error.problems


def test_what_repeats_by_billions_but_is_empty_is_not_unfolded(tmp_path: Path) -> None:
    empty = (
        '<table:table-row table:number-rows-repeated="1999999000">'
        '<table:table-cell table:number-columns-repeated="9999999999"/></table:table-row>'
    )
    wide = '<table:table-cell table:number-columns-repeated="4000000000"/>'
    spanned = (
        '<table:table-cell table:number-rows-spanned="4000000000" office:value-type="string"><text:p>A1</text:p>'
        "</table:table-cell>"
    )
    stock = read(tmp_path / "a.ods", ods(table(cells("marking", "box", wide) + cells("M1", spanned, wide) + empty)))
    assert rows(stock) == [("M1", 1, "unknown", "A1")]


def test_a_number_of_a_thousand_million_digits_is_not_worked_out(tmp_path: Path) -> None:
    huge = (
        '<table:table-cell office:value-type="float" office:value="1e999999999"><text:p>7</text:p></table:table-cell>'
    )
    (row,) = read(tmp_path / "a.ods", ods(table(cells("marking", "notes") + cells("M1", huge)))).rows
    assert row.notes == "inf"  # what a double holds of it (IEEE 754)


_PEAK = """
import sys
from minisim.problems import InputError
from minisim.stock.sheets import open_sheet, read_bytes
try:
    said = len(open_sheet(read_bytes(sys.argv[1]), "list").lines)
except InputError as error:
    said = error.problems[0].message
peak = next(line for line in open("/proc/self/status") if line.startswith("VmHWM")).split()[1]
print(int(peak) // 1000, said)
"""


_LONG = "a" * 300 + "\U0001f600"  # the last letter makes every one take four bytes


def _numbers(row: str, cell: str, count: int) -> str:
    """Rows of twenty cells."""
    return (f"<{row}>" + cell * 20 + f"</{row.split()[0]}>") * count


LARGE = {
    "numbers up to the limit": lambda: xlsx(_numbers("row", "<c><v>1.25</v></c>", 149_000)),
    "numbers of the other form": lambda: ods(
        table(_numbers("table:table-row", '<table:table-cell office:value-type="float" office:value="1.5"/>', 149_000))
    ),
    "three million texts": lambda: xlsx("", shared=f"<sst {_SHEET}>" + "<si><t>ab</t></si>" * 3_300_000 + "</sst>"),
    "long texts": lambda: xlsx("", shared=f"<sst {_SHEET}>" + f"<si><t>{_LONG}</t></si>" * 190_000 + "</sst>"),
    "styles": lambda: xlsx("", styles=f"<styleSheet {_SHEET}><cellXfs>{'<xf/>' * 490_000}</cellXfs></styleSheet>"),
}  # fmt: skip


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="the system does not tell the memory of a process")
@pytest.mark.parametrize("name", LARGE)
def test_the_largest_that_the_guard_lets_through_takes_less_than_700_megabytes(name: str, tmp_path: Path) -> None:
    whole = zipfile.ZipFile(io.BytesIO(LARGE[name]()))
    path = tmp_path / "list"
    path.write_bytes(zipped({part: whole.read(part) for part in whole.namelist()}))
    ended = subprocess.run([sys.executable, "-c", _PEAK, path], capture_output=True, text=True, timeout=300, check=True)
    assert int(ended.stdout.split()[0]) < 700, ended.stdout
