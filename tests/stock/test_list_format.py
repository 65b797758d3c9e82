"""Our own list format: what is written is read back the same, and no spreadsheet takes it for a formula."""

from __future__ import annotations

import contextlib
import csv
import io
import re
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from minisim.findings import Mark
from minisim.problems import InputError
from minisim.stock.defuse import defused, restored
from minisim.stock.header import Header
from minisim.stock.history import is_date, is_initials, read_history, write_history
from minisim.stock.model import Condition, ConditionNote, Identified, Row, Stock
from minisim.stock.reader import stock_of
from minisim.stock.words import OUR_COLUMNS
from minisim.stock.writer import list_bytes, write_list

ACTS = "=+-@\t'"
anything = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=20)
spiteful = st.text(st.sampled_from([*ACTS, ";", ",", '"', "\n", " ", "|", "\\", "\uff1d", "a", "1"]), max_size=10)
texts = (anything | spiteful).map(lambda text: text.replace("\r\n", "\n").replace("\r", "\n"))
notes = st.builds(
    ConditionNote,
    st.dates().map(lambda date: date.isoformat()),
    st.from_regex(r"[A-Z]{1,4}", fullmatch=True),
    st.sampled_from(list(Condition)),
    texts,
)


@st.composite
def own_rows(draw: st.DrawFn) -> Row:
    """Any row of our format."""
    return Row(
        0, Mark("", 1, 1), {"Colour": draw(texts), "=x": draw(texts)}, draw(texts), draw(st.integers(0, 100_000)),
        draw(st.sampled_from(list(Condition))), draw(texts), draw(texts), draw(texts), draw(texts), draw(texts),
        Identified(""), tuple(draw(st.lists(notes, max_size=3))), draw(texts),
    )  # fmt: skip


def read_back(data: bytes) -> Stock:
    """The stock in bytes of ours."""
    return stock_of(data, "list.csv", Header(), Identified)


def said(row: Row) -> tuple[object, ...]:
    """All that a row says."""
    return (row.item, row.marking, row.count, row.condition, row.box, row.what, row.notes, row.photo, row.history,
            row.conflict, row.cells.get("Colour"), row.cells.get("=x"))  # fmt: skip


@given(st.lists(own_rows(), max_size=6))
def test_what_is_written_is_read_back_the_same(rows: list[Row]) -> None:
    stock = read_back(list_bytes(rows, ["Colour", "=x"]))
    assert stock.ours
    assert [said(row) for row in stock.rows] == [said(row) for row in rows]
    assert stock.columns == (*OUR_COLUMNS, "Colour", "=x")


@given(st.lists(own_rows(), min_size=1, max_size=4))
def test_writing_what_was_read_gives_the_same_bytes(rows: list[Row]) -> None:
    data = list_bytes(rows, ["Colour"])
    assert list_bytes(read_back(data).rows, ["Colour"]) == data


@given(texts)
def test_what_was_made_harmless_is_restored(text: str) -> None:
    assert restored(defused(text)) == text


@given(st.lists(own_rows(), max_size=4))
def test_no_cell_begins_like_a_formula_also_where_semicolons_cut(rows: list[Row]) -> None:
    data = list_bytes(rows, ["Colour", "=x"]).decode()
    for cells in csv.reader(io.StringIO(data, newline="")):
        assert not any(re.match(r"\s*[=+\-@]|[\t\r\n]", cell) for cell in cells)
        assert not any(re.search(r";[=+\-@]", cell) for cell in cells)


@pytest.mark.parametrize(
    ("text", "written"),
    [("=1+1", "'=1+1"), ("-12 V", "'-12 V"), ("+5", "'+5"), ("@A1", "'@A1"), ("\tx", "'\tx"), ("  =x", "'  =x"),
     ("a;=x", "a;'=x"), ("'x", "''x"), ("plain", "plain"), ("a=b", "a=b"), ("5 V; -12 V", "5 V; -12 V")],
)  # fmt: skip
def test_only_what_would_act_is_changed(text: str, written: str) -> None:
    assert defused(text) == written


@given(st.lists(notes, max_size=4))
def test_a_history_is_read_back_the_same(all_of_it: list[ConditionNote]) -> None:
    assert read_history(write_history(all_of_it)) == (tuple(all_of_it), True)


def test_a_history_is_written_so_that_a_person_can_read_it() -> None:
    history = (
        ConditionNote("2026-11-26", "AB", Condition.WORKS, "4.98 V at +5"),
        ConditionNote("2026-12-01", "CD", Condition.FAULTY, ""),
    )
    assert write_history(history) == "2026-11-26 AB works: 4.98 V at +5 | 2026-12-01 CD faulty"


@pytest.mark.parametrize("text", ["2026-02-30 AB works: x", "yesterday", "2026-01-01 AB fine", "2026-01-01  works"])
def test_a_history_that_can_not_be_is_told(text: str) -> None:
    assert read_history(text) == ((), False)
    stock = read_back(f"{','.join(OUR_COLUMNS)}\n,M1,1,works,,,,,{text},\n".encode())
    assert [doubt.column for doubt in stock.open_doubts] == ["history"]


def test_dates_and_initials() -> None:
    assert is_date("2026-03-01") and not is_date("2026-3-1") and not is_date("20260301") and not is_date("2026-13-01")
    assert is_initials("AB") and is_initials("J.-P.") and not is_initials("") and not is_initials("A B")
    assert not is_initials("=AB") and not is_initials("A|B")


@pytest.mark.parametrize(
    "change",
    [
        lambda data: data.replace(b",", b";"),
        lambda data: data.replace(b"item,", b"Item,", 1),
        lambda data: data.decode().encode("utf-16"),
        lambda data: b"\n" + data,
    ],
)
def test_a_list_that_was_changed_by_a_spreadsheet_is_the_owner_s_and_still_read(change: object, tmp_path: Path) -> None:
    row = Row(0, Mark("", 1, 1), {}, "M8043", 2, Condition.WORKS, "A1", "plain", item="K-1")
    data = change(list_bytes([row]))  # type: ignore[operator]  # one of the four
    stock = read_back(data)
    assert not stock.ours
    assert [(one.item, one.marking, one.count, one.condition, one.box, one.notes) for one in stock.rows] == [
        ("K-1", "M8043", 2, "works", "A1", "plain")
    ]


def test_a_cell_that_is_far_too_long_is_not_written(tmp_path: Path) -> None:
    row = Row(2, Mark("", 1, 1), {}, "x" * 100_001, 1, Condition.WORKS)
    with pytest.raises(InputError, match="a cell of more than 100000 characters"):
        write_list(tmp_path / "a.csv", [row])
    assert not (tmp_path / "a.csv").exists()


def test_blank_lines_in_our_list_are_no_rows() -> None:
    stock = read_back(f"{','.join(OUR_COLUMNS)}\n\t\n\n,M1,1,works,,,,,,\n".encode())
    assert [row.marking for row in stock.rows] == ["M1"]


# --- any bytes --------------------------------------------------------------------------------------------------------


@settings(max_examples=120)
@given(st.binary(max_size=600) | st.text(max_size=200).map(lambda text: text.encode("utf-8", "surrogatepass")))
def test_any_bytes_are_read_or_refused_and_nothing_else(data: bytes) -> None:
    try:
        stock = read_back(data)
    except InputError as error:
        assert error.problems
    else:
        assert all(row.count >= 0 for row in stock.rows)


@settings(max_examples=120)
@given(st.lists(st.sampled_from(
    ['"', ",", ";", "\n", "\r", "marking", "count", "M8043", "3x", "2 (1 faulty)", "Box 1", "total", "'", "=1", "\t",
     "1", "ok", "sep=;", "item", "item,marking,count,condition,box,what,notes,photo,history,conflict", " ", "\ufeff"]
), max_size=60))  # fmt: skip
def test_any_list_of_pieces_of_lists_is_read_or_refused_and_nothing_else(parts: list[str]) -> None:
    for data in ("".join(parts).encode(), ",".join(parts).encode()):
        try:
            stock = read_back(data)
        except InputError as error:
            assert error.problems
        else:
            again = read_back(list_bytes(stock.rows))
            assert [said(row)[:10] for row in again.rows] == [said(row)[:10] for row in stock.rows]


@pytest.mark.parametrize(
    "data", [b'"' * 2_000_000, b'marking,"' + b"\n" * 1_000_000, b'a,"\n' * 100_000, b";" * 900 + b"\n"]
)
def test_no_list_takes_for_ever(data: bytes) -> None:
    before = time.process_time()
    with contextlib.suppress(InputError):
        read_back(data)
    assert time.process_time() - before < 20
