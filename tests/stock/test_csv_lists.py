"""CSV in any dress: encodings, separators, quotation marks, names of columns, rows that are no pieces."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from stock_files import read, rows, told

from minisim.problems import InputError
from minisim.stock.header import Header
from minisim.stock.model import Condition

PLAIN = "marking,count,condition,box\nM8043,2,ok,A\u00e9\nM8186,1,dead,B\n"
WANTED = [("M8043", 2, "works", "A\u00e9"), ("M8186", 1, "faulty", "B")]


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp1252", "latin-1"]
)
def test_every_usual_encoding_is_read(encoding: str, tmp_path: Path) -> None:
    stock = read(tmp_path / "list.csv", PLAIN.encode(encoding))
    assert rows(stock) == WANTED
    assert bool(stock.remarks) is (encoding in ("cp1252", "latin-1"))  # 8-bit sets look alike: it is said


def test_an_encoding_that_is_named_is_taken(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes(PLAIN.encode("cp437"))
    assert rows(read(path)) != WANTED
    from minisim.stock.sheets import Wanted

    assert rows(read(path, header=Header(wanted=Wanted(encoding="cp437")))) == WANTED


@pytest.mark.parametrize("encoding", ["none-such", "utf-16", "ascii", "idna", "zlib_codec"])
def test_an_encoding_that_does_not_fit_is_refused(encoding: str, tmp_path: Path) -> None:
    from minisim.stock.sheets import Wanted

    path = tmp_path / "list.csv"
    path.write_bytes(b"marking\nM8043\xe9\n")
    with pytest.raises(InputError, match="can't read the file as"):
        read(path, header=Header(wanted=Wanted(encoding=encoding)))


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_every_usual_separator_and_line_end_is_read(separator: str, end: str, tmp_path: Path) -> None:
    stock = read(tmp_path / "list.csv", PLAIN.replace(",", separator).replace("\n", end))
    assert rows(stock) == WANTED


def test_decimal_commas_between_semicolons_stay_whole(tmp_path: Path) -> None:
    stock = read(tmp_path / "list.csv", "Board no;Qty;Price\nM8043;3,0;12,50\n8044,0;1;1,5\n")
    assert rows(stock) == [("M8043", 3, "unknown", ""), ("8044", 1, "unknown", "")]
    assert stock.rows[0].cells["Price"] == "12,50"


def test_a_first_line_that_names_the_separator_is_no_row_of_data(tmp_path: Path) -> None:
    stock = read(tmp_path / "list.csv", "sep=|\nmarking|count\nM8043|2\n")
    assert rows(stock) == [("M8043", 2, "unknown", "")]
    assert stock.rows[0].number == 3


def test_a_quoted_cell_may_hold_separators_quotes_and_lines(tmp_path: Path) -> None:
    stock = read(tmp_path / "list.csv", 'marking,notes,count\nM8043,"one, ""two""\nthree",2\nM8186,x,1\n')
    assert [(row.notes, row.number, row.mark.line) for row in stock.rows] == [
        ('one, "two"\nthree', 2, 2),
        ("x", 3, 4),
    ]


def test_an_open_quotation_mark_swallows_no_other_row(tmp_path: Path) -> None:
    body = "".join(f"M{number},8,x\n" for number in range(7000, 7050))
    stock = read(tmp_path / "list.csv", f'marking,count,notes\nM8043,2,"never closed\n{body}')
    assert len(stock.rows) == 51
    assert stock.rows[0].notes == "never closed"
    assert told(stock, repaired=False)[0][0] == 2


def test_an_inch_mark_is_no_quotation_mark(tmp_path: Path) -> None:
    stock = read(tmp_path / "list.csv", 'what,count,notes\n8" drive,2,a\n"5 1/4" drive",1,b\n"14"" pack",1,c\n')
    assert [(row.what, row.count) for row in stock.rows] == [('8" drive', 2), ('5 1/4" drive', 1), ('14" pack', 1)]


@pytest.mark.parametrize(
    ("names", "mapping"),
    [
        ("Board no,Qty,Cond.,Shelf,Remarks", ("Board no", "Qty", "Cond.", "Shelf", "Remarks")),
        ("PART #,Quantity,Status,Location,Comments", ("PART #", "Quantity", "Status", "Location", "Comments")),
        ("Module,How many?,Working?,Where,Note", ("Module", "How many?", "Working?", "Where", "Note")),
        ("p/n,pcs,state,bin,comment", ("p/n", "pcs", "state", "bin", "comment")),
        ("Nummer,Anzahl,Zustand,Karton,Bemerkung", ("Nummer", "Anzahl", "Zustand", "Karton", "Bemerkung")),
        ("Number on the handle,Amount,Condtion,Box/shelf,notes", None),
    ],
)
def test_columns_are_found_by_their_names(names: str, mapping: tuple[str, ...] | None, tmp_path: Path) -> None:
    stock = read(tmp_path / "list.csv", f"{names}\nM8043,2,ok,A1,left one\n")
    assert rows(stock) == [("M8043", 2, "works", "A1")]
    assert stock.rows[0].notes == "left one"
    wanted = mapping or tuple(names.split(","))
    assert tuple(stock.mapping[name] for name in ("marking", "count", "condition", "box", "notes")) == wanted
    assert set(stock.how.values()) == {"by its name"}


def test_unknown_columns_and_the_order_of_rows_are_kept(tmp_path: Path) -> None:
    stock = read(tmp_path / "list.csv", "Bought,marking,Colour,,Colour\n1999,M9,red,x,y\n1998,M1,blue,,z\n")
    assert stock.columns == ("Bought", "marking", "Colour", "column D", "Colour (2)")
    assert [list(row.cells.values()) for row in stock.rows] == [
        ["1999", "M9", "red", "x", "y"],
        ["1998", "M1", "blue", "", "z"],
    ]


def test_without_names_the_columns_are_found_by_what_stands_in_them(tmp_path: Path) -> None:
    text = "M8043,2,ok,A1,serial lines for the console\nM8186,1,dead,A1,processor\nM7940,3,untested,A2,serial line\n"
    stock = read(tmp_path / "list.csv", text)
    assert rows(stock) == [("M8043", 2, "works", "A1"), ("M8186", 1, "faulty", "A1"), ("M7940", 3, "untested", "A2")]
    assert stock.rows[0].what == "serial lines for the console"
    assert set(stock.how.values()) == {"by what stands in it"}
    assert "no row has names of columns" in stock.remarks[0]


def test_a_bare_list_of_markings_is_a_list(tmp_path: Path) -> None:
    stock = read(tmp_path / "list.csv", "M8043\n3x M8186\nM7940 x2\n")
    assert rows(stock) == [("M8043", 1, "unknown", ""), ("M8186", 3, "unknown", ""), ("M7940", 2, "unknown", "")]


def test_a_marking_under_a_name_nobody_knows_is_found_by_content(tmp_path: Path) -> None:
    stock = read(tmp_path / "list.csv", "Plonk,Qty,Cond\nM8043,2,ok\nM8186,1,ok\n")
    assert (stock.mapping["marking"], stock.how["marking"]) == ("Plonk", "by what stands in it")


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Item,Qty\nM8043,2\nM8186,1\n", {"marking": "Item", "count": "Qty"}),
        ("Item,Qty\ngrant card,2\nsome cable,1\n", {"what": "Item", "count": "Qty"}),
        ("Item,Board\n1,M8043\n2,M8186\n", {"item": "Item", "marking": "Board"}),
        ("No,Type,Qty\n1,M8043,1\n2,M8186,1\n3,M7940,1\n", {"what": "Type", "count": "Qty"}),
        ("No,Module,Total\n1,M8043,1\n2,M8186,2\n3,M7940,3\n", {"marking": "Module"}),
    ],
)
def test_a_name_that_means_several_things_is_decided_by_content(
    text: str, wanted: dict[str, str], tmp_path: Path
) -> None:
    assert read(tmp_path / "list.csv", text).mapping == wanted


def test_the_owner_s_word_goes_before_every_guess(tmp_path: Path) -> None:
    text = "marking,other,count\nX1,M8043,2\n"
    stock = read(tmp_path / "list.csv", text, header={"marking": "other", "item": "A", "count": ""})
    assert [(row.marking, row.item, row.count) for row in stock.rows] == [("M8043", "X1", 1)]
    assert stock.how["marking"] == "as the owner says"


def test_a_column_the_owner_names_wrongly_is_told_with_those_that_are_there(tmp_path: Path) -> None:
    with pytest.raises(InputError, match='no column "bord"; columns are "marking", "count"'):
        read(tmp_path / "list.csv", "marking,count\nM8043,1\n", header={"marking": "bord"})


def test_a_header_file_beside_the_list_is_taken(tmp_path: Path) -> None:
    (tmp_path / "list.columns.yaml").write_text(
        "columns: {marking: Plonk}\nconditions: {green dot: works}\nnames-in-row: 2\nseparator: '|'\n"
    )
    stock = read(tmp_path / "list.csv", "a|b|c\nPlonk|Qty|Cond\nM8043|2|Green dot\n")
    assert rows(stock) == [("M8043", 2, "works", "")]
    assert str(tmp_path / "list.columns.yaml") in stock.remarks[0]


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("columns: {plonk: x}\n", ':1:18: no column "plonk"'),
        ("conditions: {bad: burnt}\n", 'no condition "burnt"'),
        ("clumns: {}\n", 'no key "clumns"; keys are'),
        ("names-in-row: -1\n", '"-1" is no row'),
        ("- a\n", "a header of a list has keys"),
        ("separator: ab\n", "one character"),
        ("sheet: [a]\n", "one word"),
    ],
)
def test_a_header_file_that_is_wrong_is_told_with_its_place(text: str, part: str, tmp_path: Path) -> None:
    (tmp_path / "list.columns.yaml").write_text(text)
    with pytest.raises(InputError) as caught:
        read(tmp_path / "list.csv", PLAIN)
    assert part in str(caught.value)


def test_rows_that_are_no_pieces_are_told_and_not_counted(tmp_path: Path) -> None:
    text = (
        "Garage inventory,,\n,,\nmarking,count,notes\nBox 1,,\nM8043,2,\nmarking,count,notes\n"
        "Shelf 2:,,\nM8186,1,x\nTotal,3,\n"
    )
    stock = read(tmp_path / "list.csv", text)
    assert rows(stock) == [("M8043", 2, "unknown", "Box 1"), ("M8186", 1, "unknown", "Shelf 2")]
    assert [(row, said) for row, _, said in told(stock, repaired=True)] == [
        (4, "taken as the box of the rows under it"),
        (6, "the names of the columns again; not read as a piece"),
        (7, "taken as the box of the rows under it"),
        (9, "a sum, no piece"),
    ]
    assert any(remark.endswith("above it, not read: row 1") for remark in stock.remarks)


def test_counts_in_two_conditions_become_two_rows_of_the_same_number(tmp_path: Path) -> None:
    stock = read(tmp_path / "list.csv", "marking,count,condition\nM8043,3 (1 faulty),ok\nM8044,2 (2 dead),ok\n")
    assert [(row.number, *rows_of) for row, rows_of in zip(stock.rows, rows(stock), strict=True)] == [
        (2, "M8043", 2, "works", ""),
        (2, "M8043", 1, "faulty", ""),
        (3, "M8044", 2, "faulty", ""),
    ]


def test_what_is_doubtful_is_told_with_row_and_column(tmp_path: Path) -> None:
    text = "marking;count;condition;item\nM8043;ca. 3;ok;K-1\n12-Mar;1;purple;K-1\n;2;;\nM8044;;ok;K-2\n"
    stock = read(tmp_path / "list.csv", text)
    assert [(doubt.row, doubt.column, doubt.seen) for doubt in stock.open_doubts] == [
        (2, "count", "ca. 3"),
        (3, "marking", "12-Mar"),
        (3, "condition", "purple"),
        (3, "item", "K-1"),
        (4, "marking", ""),
    ]
    assert (stock.open_doubts[0].mark.line, stock.open_doubts[0].mark.column) == (2, 7)
    assert told(stock, repaired=True) == [(5, "", "no count; taken as 1")]
    assert len(stock.rows) == 4


def test_lost_zeros_are_put_back_where_the_catalogue_knows_the_number(tmp_path: Path) -> None:
    from minisim.stock.model import Candidate, Identified
    from minisim.stock.reader import read_stock

    def look_up(text: str) -> Identified:
        known = {"0042": (Candidate("boards", "x", "0042", 1.0, "exact", "seen"),)}
        return Identified(text, known.get(text, ()), text in known)

    path = tmp_path / "list.csv"
    path.write_text("item,marking\n001,42\n2,77\n")
    stock = read_stock(path, identify=look_up)
    assert [row.marking for row in stock.rows] == ["0042", "77"]
    assert told(stock, repaired=True) == [(2, "42", "zeros in front were lost; read as 0042")]
    assert [(row, seen) for row, seen, _ in told(stock, repaired=False)] == [(3, "77"), (3, "2")]


@pytest.mark.parametrize(
    ("data", "part"),
    [
        (b"", "the file is empty"),
        (b" \n\n", "the file is empty"),
        (b"%PDF-1.7 x", "a PDF"),
        (b"\x89PNG\r\n\x1a\n" + bytes(100), "a picture"),
        (b"\xd0\xcf\x11\xe0" + bytes(600), "a spreadsheet in an old form"),
        (b"\x7fELF\x02\x01\x01" + bytes(1000), "not text"),
        (b"loadout: 1\nname: x\n", "this is a loadout"),
        (b"# w\nwishes: 1\n", "these are wishes"),
        (b"<html><table>", "a page or XML"),
        (b'<?xml version="1.0"?><x/>', "a page or XML"),
        (b"a,b\nc,d\n", "no column looks like"),
        (b",,\n", "there are no rows"),
        (b"\xff\xfea", "begins as utf-16, but breaks off"),
        (b"x," * 2000, "a row of more than 1000 cells"),
    ],
)
def test_what_is_no_list_is_said_to_be_none(data: bytes, part: str, tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes(data)
    with pytest.raises(InputError) as caught:
        read(path)
    assert part in str(caught.value)


def test_a_folder_a_missing_file_and_an_impossible_name_are_told(tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "none.csv", Path("a\0b")):
        with pytest.raises(InputError, match="can't read the file"):
            read(path)


def test_a_hundred_thousand_rows_take_seconds(tmp_path: Path) -> None:
    body = "".join(f'M{7000 + n % 60},{n % 3 + 1},ok,B{n % 40},"a remark, {n}",x\n' for n in range(100_000))
    before = time.process_time()
    stock = read(tmp_path / "list.csv", f"marking,count,condition,box,notes,more\n{body}")
    assert time.process_time() - before < 20  # seconds of this machine, with room for a slow one
    assert stock.pieces == sum(n % 3 + 1 for n in range(100_000))


def test_far_too_many_rows_are_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="more than 300000 rows"):
        read(tmp_path / "list.csv", "marking\n" + "M8043\n" * 300_001)


def test_conditions_of_the_owner_s_own_are_taken(tmp_path: Path) -> None:
    header = Header(conditions={"blue tag": Condition.INCOMPLETE})
    stock = read(tmp_path / "list.csv", "marking,condition\nM8043,Blue tag\n", header=header)
    assert rows(stock) == [("M8043", 1, "incomplete", "")]


def test_columns_that_count_one_condition_each_are_counts(tmp_path: Path) -> None:
    stock = read(tmp_path / "list.csv", "Board,Good,Bad,Untested,Box\nM1,2,1,,A\nM2,,,3,B\nM3,,,,B\nM4,0,1,0,\n")
    assert rows(stock) == [
        ("M1", 2, "works", "A"), ("M1", 1, "faulty", "A"), ("M2", 3, "untested", "B"), ("M3", 0, "unknown", "B"),
        ("M4", 1, "faulty", ""),
    ]  # fmt: skip
    assert [row for row, _, _ in told(stock, repaired=False)] == [4]
    assert 'columns that count the pieces in one condition: "Good" works, "Bad" faulty, "Untested" untested' in (
        stock.remarks
    )


def test_a_column_called_after_a_condition_that_holds_words_is_the_condition(tmp_path: Path) -> None:
    stock = read(tmp_path / "list.csv", "Board,Qty,Working\nM1,2,yes\nM2,1,no\nM3,1,TRUE\n")
    assert rows(stock) == [("M1", 2, "works", ""), ("M2", 1, "faulty", ""), ("M3", 1, "works", "")]


def test_not_tested_is_not_faulty(tmp_path: Path) -> None:
    stock = read(tmp_path / "list.csv", "Board,Tested?\nM1,yes\nM2,no\nM3,FALSE\nM4,dead\n")
    assert [row.condition.value for row in stock.rows] == ["works", "untested", "untested", "faulty"]
