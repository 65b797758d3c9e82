"""Lists of several people as one, and the history of a piece."""

from __future__ import annotations

import datetime
import json
from pathlib import Path

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st
from stock_files import read

from minisim.cli import main
from minisim.findings import Mark
from minisim.stock.merging import Merged, merge
from minisim.stock.model import Condition, Identified, Row, Stock
from minisim.stock.reader import read_stock

Capture = pytest.CaptureFixture[str]


def merged(folder: Path, *texts: str) -> Merged:
    """The lists a.csv, b.csv, ... put together."""
    return merge([read(folder / f"{name}.csv", text) for name, text in zip("abcd", texts, strict=False)])


def said(result: Merged) -> list[tuple[str, str, int, str, str]]:
    """Item, marking, count, condition, box of each row."""
    return [(row.item, row.marking, row.count, row.condition.value, row.box) for row in result.rows]


def differences(result: Merged, folder: Path) -> list[tuple[str, str, str, str, str, str]]:
    """About what, which field, both values and both places."""
    return [
        (each.about, each.field, each.first_says, each.second_says,
         *(", ".join(map(str, sources)).replace(f"{folder}/", "") for sources in (each.first, each.second)))
        for each in result.conflicts
    ]  # fmt: skip


def test_lists_of_different_boxes_stand_one_after_the_other(tmp_path: Path) -> None:
    result = merged(tmp_path, "marking,count,box\nM1,2,A\nM2,1,A\n", "box;marking\nB;M1\n;M1\n;M1\n")
    assert said(result) == [
        ("", "M1", 2, "unknown", "A"), ("", "M2", 1, "unknown", "A"), ("", "M1", 1, "unknown", "B"),
        ("", "M1", 1, "unknown", ""), ("", "M1", 1, "unknown", ""),
    ]  # fmt: skip
    assert not result.conflicts
    assert not result.joined


def test_the_same_box_counted_alike_by_two_people_is_counted_once(tmp_path: Path) -> None:
    result = merged(tmp_path, "marking,count,box,notes\nM1,2,A,left\n", "marking,count,box,notes\nm1,2,a,right\n")
    assert said(result) == [("", "M1", 2, "unknown", "A")]
    assert result.rows[0].notes == "left / right"
    assert result.rows[0].cells["from"] == f"{tmp_path}/a.csv row 2; {tmp_path}/b.csv row 2"
    assert [one.about for one in result.joined] == ["M1 in box A"]


def test_the_same_box_in_two_rows_and_in_one_is_the_same(tmp_path: Path) -> None:
    result = merged(tmp_path, "marking,count,box\nM1,1,A\nM1,1,A\n", "marking,count,box,notes\nM1,2,A,see shelf\n")
    assert said(result) == [("", "M1", 1, "unknown", "A"), ("", "M1", 1, "unknown", "A")]
    assert "see shelf" in [row.notes for row in result.rows]
    result = merged(tmp_path, "marking,count,box\nM1,2,A\n", "marking,count,box,notes\nM1,1,A,x\nM1,1,A,y\n")
    assert said(result) == [("", "M1", 2, "unknown", "A")]
    assert result.rows[0].notes == "x / y"


def test_the_same_box_counted_differently_is_for_the_owner_to_decide(tmp_path: Path) -> None:
    result = merged(
        tmp_path, "marking,count,box,condition\nM1,2,A,ok\n", "marking,count,box,condition\nX,1,B,\nM1,3,A,ok\n"
    )
    assert differences(result, tmp_path) == [
        ("M1 in box A", "count and condition", "2 works", "3 works", "a.csv row 2", "b.csv row 3")
    ]
    assert said(result) == [
        ("", "M1", 2, "works", "A"), ("", "X", 1, "unknown", "B"), ("", "M1", 3, "works", "A"),
    ]  # fmt: skip
    assert [row.conflict.replace(f"{tmp_path}/", "") for row in result.rows] == [
        "b.csv row 3: 3 works", "", "a.csv row 2: 2 works",
    ]  # fmt: skip


def test_one_piece_in_two_lists_is_filled_up_where_they_agree(tmp_path: Path) -> None:
    result = merged(
        tmp_path,
        "item,marking,condition,notes,Colour\nK-1,M1,,red handle,red\n",
        "item,marking,condition,notes,box,Colour,Weight\nK-1,M1,ok,no cable,A,red,2 kg\n",
    )
    assert said(result) == [("K-1", "M1", 1, "works", "A")]
    assert result.rows[0].notes == "red handle / no cable"
    assert (result.rows[0].cells["Colour"], result.rows[0].cells["Weight"]) == ("red", "2 kg")
    assert not result.conflicts


def test_one_piece_told_differently_stays_twice_with_both_values(tmp_path: Path) -> None:
    result = merged(
        tmp_path, "item,marking,condition,box\nK-1,M1,ok,A\n", "item,marking,condition,box\nK-1,M2,dead,A\n"
    )
    assert differences(result, tmp_path) == [
        ("item K-1", "marking", "M1", "M2", "a.csv row 2", "b.csv row 2"),
        ("item K-1", "condition", "works", "faulty", "a.csv row 2", "b.csv row 2"),
    ]
    assert [row.conflict.replace(f"{tmp_path}/", "") for row in result.rows] == [
        "b.csv row 2: marking M2; b.csv row 2: condition faulty",
        "a.csv row 2: marking M1; condition works",
    ]


HEAD = "item,marking,count,condition,box,what,notes,photo,history,conflict\n"


@pytest.mark.parametrize("turned", [False, True])
def test_the_longer_history_knows_the_later_condition(turned: bool, tmp_path: Path) -> None:
    texts = [
        f"{HEAD}K-1,M1,1,works,A,,,,2026-01-01 AB works: 5.0 V,\n",
        f"{HEAD}K-1,M1,1,faulty,A,,,,2026-01-01 AB works: 5.0 V | 2026-02-01 CD faulty: smoke,\n",
    ]
    result = merged(tmp_path, *(reversed(texts) if turned else texts))
    assert said(result) == [("K-1", "M1", 1, "faulty", "A")]
    assert [note.initials for note in result.rows[0].history] == ["AB", "CD"]


def test_histories_that_part_are_a_difference(tmp_path: Path) -> None:
    result = merged(
        tmp_path,
        f"{HEAD}K-1,M1,1,works,A,,,,2026-01-01 AB works,\n",
        f"{HEAD}K-1,M1,1,works,A,,,,2026-01-02 CD works,\n",
    )
    assert [each.field for each in result.conflicts] == ["history"]
    assert len(result.rows) == 2


def test_three_lists_of_one_box(tmp_path: Path) -> None:
    same = "marking,count,box\nM1,2,A\n"
    result = merged(tmp_path, same, same, "marking,count,box\nM1,4,A\n")
    assert said(result) == [("", "M1", 2, "unknown", "A"), ("", "M1", 4, "unknown", "A")]
    assert len(result.joined) == len(result.conflicts) == 1


rows_of_a_list = st.lists(
    st.builds(
        lambda item, marking, count, condition, box, note: Row(
            0, Mark("", 1, 1), {}, marking, count, condition, box, note, item=item
        ),
        st.sampled_from(["", "", "K-1", "K-2"]), st.sampled_from(["M1", "m1", "M2"]), st.integers(0, 3),
        st.sampled_from(list(Condition)), st.sampled_from(["", "A", "B"]), st.sampled_from(["", "x", "y"]),
    ),
    max_size=6,
)  # fmt: skip


@given(st.lists(rows_of_a_list, min_size=1, max_size=3))
def test_no_row_disappears_without_being_told(lists: list[list[Row]]) -> None:
    stocks = [
        Stock(f"{name}.csv", "", tuple(Row(number, *[getattr(row, each) for each in (
            "mark", "cells", "marking", "count", "condition", "box", "notes", "photo", "item", "what", "understood",
            "history", "conflict")]) for number, row in enumerate(rows, 2)))
        for name, rows in zip("abc", lists, strict=False)
    ]  # fmt: skip
    result = merge(stocks)
    origins = [origin for row in result.rows for origin in row.cells["from"].split("; ")]
    assert sorted(origins) == sorted(f"{stock.file} row {row.number}" for stock in stocks for row in stock.rows)
    for stock in stocks:
        for row in stock.rows:
            if row.notes:
                there = [
                    one for one in result.rows if f"{stock.file} row {row.number}" in one.cells["from"].split("; ")
                ]
                assert row.notes in there[0].notes.split(" / ")
    told = {str(source) for one in result.joined for source in (*one.first, *one.second)}
    assert all(set(row.cells["from"].split("; ")) <= told for row in result.rows if "; " in row.cells["from"])
    assert bool(result.conflicts) is any(row.conflict for row in result.rows)
    within = [(row.item, row.marking, row.count) for row in stocks[0].rows]
    assert [(row.item, row.marking, row.count) for row in result.rows[: len(within)]][: len(within)] == within


# --- the commands -----------------------------------------------------------------------------------------------------


def test_merge_writes_one_new_list_that_reads_back(tmp_path: Path, capsys: Capture) -> None:
    a, b, new = tmp_path / "a.csv", tmp_path / "b.csv", tmp_path / "new.csv"
    a.write_text("Board,Qty,Cond,Box,Price\nM8043,2 (1 dead),ok,A,=1+1\n")
    b.write_bytes("marking;box;count\nM8043;A;3\nM8186;B;1\n".encode("utf-16"))
    before = (a.read_bytes(), b.read_bytes())
    assert main(["stock", "merge", str(a), str(b), "--out", str(new)]) == 1
    out = "".join(capsys.readouterr().out.split())  # a long path is cut where a line ends
    assert "1faulty,1works" in out and f"{a}row2" in out and f"{b}row2" in out
    assert (a.read_bytes(), b.read_bytes()) == before
    stock = read_stock(new, identify=Identified)
    assert stock.ours
    assert [(row.marking, row.count, row.condition.value) for row in stock.rows] == [
        ("M8043", 1, "works"), ("M8043", 1, "faulty"), ("M8043", 3, "unknown"), ("M8186", 1, "unknown"),
    ]  # fmt: skip
    assert stock.rows[0].cells["Price"] == "=1+1"
    assert stock.rows[0].cells["Qty"] == "2 (1 dead)"  # what was written is kept beside what was understood
    assert "'=1+1" in new.read_text()


def test_merge_tells_as_json_what_its_schema_says(tmp_path: Path, capsys: Capture) -> None:
    paths = [tmp_path / f"{name}.csv" for name in "abn"]
    paths[0].write_text("marking,count,box\nM1,2,A\nM2,1,A\n")
    paths[1].write_text("marking,count,box\nM1,3,A\nM2,1,A\n")
    assert main(["stock", "merge", str(paths[0]), str(paths[1]), "--out", str(paths[2]), "--json"]) == 1
    data = json.loads(capsys.readouterr().out)
    assert main(["schema", "stock-merge"]) == 0
    jsonschema.validate(data, json.loads(capsys.readouterr().out))
    assert data["conflicts"] == [
        {
            "about": "M1 in box A",
            "field": "count and condition",
            "first": {"says": "2 unknown", "places": [{"file": str(paths[0]), "row": 2}]},
            "second": {"says": "3 unknown", "places": [{"file": str(paths[1]), "row": 2}]},
        }
    ]
    assert [one["about"] for one in data["joined"]] == ["M2 in box A"]
    assert (data["rows"], data["pieces"], data["pieces_read"]) == (3, 6, 7)


def test_merge_never_overwrites_unless_it_is_told_to(tmp_path: Path, capsys: Capture) -> None:
    a, new = tmp_path / "a.csv", tmp_path / "new.csv"
    a.write_text("marking\nM8043\n")
    new.write_text("mine")
    assert main(["stock", "merge", str(a), "--out", str(new)]) == 2
    assert "the file is there already; name another one, or say --force" in capsys.readouterr().err
    assert new.read_text() == "mine"
    assert main(["stock", "merge", str(a), "--out", str(new), "--force"]) == 0
    assert new.read_text() == f"{HEAD.strip()},from\n,M8043,1,unknown,,,,,,,{a} row 2\n"


def test_merge_writes_nothing_where_one_list_can_not_be_used(tmp_path: Path, capsys: Capture) -> None:
    a = tmp_path / "a.csv"
    a.write_text("marking\nM8043\n")
    assert main(["stock", "merge", str(a), str(tmp_path / "none.csv"), "--out", str(tmp_path / "new.csv")]) == 2
    assert "none.csv:1:1: can't read the file" in capsys.readouterr().err
    assert not (tmp_path / "new.csv").exists()


def test_a_merged_list_can_be_merged_again(tmp_path: Path) -> None:
    for name, text in (("a", "marking,box\nM1,A\n"), ("b", "marking,box,from\nM2,B,attic\n")):
        (tmp_path / f"{name}.csv").write_text(text)
    paths = [str(tmp_path / f"{name}.csv") for name in "abcd"]
    assert main(["stock", "merge", paths[0], paths[1], "--out", paths[2]]) == 0
    assert main(["stock", "merge", paths[2], "--out", paths[3]]) == 0
    stock = read_stock(paths[3], identify=Identified)
    assert [row.marking for row in stock.rows] == ["M1", "M2"]


def note(*arguments: str) -> int:
    """The command."""
    return main(["stock", "note", *arguments])


def test_a_note_is_added_to_the_history_and_sets_the_condition(tmp_path: Path, capsys: Capture) -> None:
    path = tmp_path / "pile.csv"
    path.write_text(f"{HEAD}K-1,M8043,1,untested,A,,,,,\n,M8186,1,untested,A,,,,,\n")
    words = ("--condition", "works", "--measured", "4.98 V at +5 | ok", "--initials", "AB", "--date", "2026-03-01")
    assert note(str(path), "K-1", *words) == 0
    assert note(str(path), "k-1", "--condition", "faulty", "--initials", "CD", "--date", "2026-03-02") == 0
    assert note(str(path), "row 3", "--condition", "incomplete", "--initials", "EF") == 0
    first, second = read_stock(path, identify=Identified).rows
    assert first.condition is Condition.FAULTY
    assert [(one.date, one.initials, one.condition.value, one.measured) for one in first.history] == [
        ("2026-03-01", "AB", "works", "4.98 V at +5 | ok"),
        ("2026-03-02", "CD", "faulty", ""),
    ]
    assert second.history[0].date == datetime.date.today().isoformat()
    assert "2026-03-01  AB    works       4.98 V at +5 | ok" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "part"),
    [
        (("K-9", "--initials", "AB"), 'there is no piece "K-9" in it; did you mean'),
        (("M8186", "--initials", "AB"), '"M8186" stands in rows 3, 4: name one as "row 3"'),
        (("K-1", "--initials", "A B"), "are no initials"),
        (("K-1", "--initials", "AB", "--date", "2026-02-30"), "is no date"),
        (("row 99999999999999999999", "--initials", "AB"), "there is no piece"),
    ],
)
def test_a_note_that_can_not_be_made_is_told_and_changes_nothing(
    words: tuple[str, ...], part: str, tmp_path: Path, capsys: Capture
) -> None:
    path = tmp_path / "pile.csv"
    text = f"{HEAD}K-1,M8043,1,untested,A,,,,,\n,M8186,1,untested,A,,,,,\n,M8186,1,works,B,,,,,\n"
    path.write_text(text)
    assert note(str(path), words[0], "--condition", "works", *words[1:]) == 2
    assert part in capsys.readouterr().err
    assert path.read_text() == text


def test_a_note_to_a_list_of_the_owner_s_goes_into_a_new_one(tmp_path: Path, capsys: Capture) -> None:
    path, new = tmp_path / "mine.csv", tmp_path / "new.csv"
    path.write_text("Board;Qty;Colour\nM8043;1;red\nM8186;3 pcs;blue\n")
    words = (str(path), "M8186", "--condition", "works", "--initials", "AB", "--date", "2026-03-01", "--pieces", "3")
    assert note(*words) == 2
    assert "never rewritten; say --out NEW.csv" in capsys.readouterr().err
    assert note(*words, "--out", str(path)) == 2
    assert note(*words, "--out", str(new)) == 0
    assert path.read_text() == "Board;Qty;Colour\nM8043;1;red\nM8186;3 pcs;blue\n"
    assert new.read_text().splitlines()[1:] == [
        ",M8043,1,unknown,,,,,,,1,red",
        ",M8186,3,works,,,,,2026-03-01 AB works,,3 pcs,blue",
    ]


def test_of_several_pieces_in_a_row_one_gets_the_note_and_a_row_of_its_own(tmp_path: Path, capsys: Capture) -> None:
    path = tmp_path / "pile.csv"
    path.write_text(f"{HEAD},M8043,3,untested,A,,x,,,\n")
    words = (str(path), "M8043", "--condition", "works", "--initials", "AB", "--date", "2026-03-01")
    for wrong, part in (((), "row 2 has 3 pieces: say --pieces 3"), (("--pieces", "4"), "has 3 pieces, not 4"),
                        (("--pieces", "0"), "has 3 pieces, not 0"), (("--pieces", "x"), "is no count")):  # fmt: skip
        assert note(*words, *wrong) == 2
        assert part in capsys.readouterr().err
    assert note(*words, "--pieces", "1") == 0
    assert path.read_text().splitlines()[1:] == [
        ",M8043,2,untested,A,,x,,,",
        ",M8043,1,works,A,,x,,2026-03-01 AB works,",
    ]
    assert note(str(path), "row 2", *words[2:], "--pieces", "2") == 0
    assert path.read_text().splitlines()[1] == ",M8043,2,works,A,,x,,2026-03-01 AB works,"


def test_pieces_in_two_conditions_are_parted_before_one_is_noted(tmp_path: Path, capsys: Capture) -> None:
    path = tmp_path / "mine.csv"
    path.write_text("marking,count\nM8043,2 (1 dead)\n")
    assert note(str(path), "M8043", "--condition", "works", "--initials", "AB", "--out", str(tmp_path / "n.csv")) == 2
    assert "has pieces in two conditions; minisim stock merge" in capsys.readouterr().err
