"""`minisim stock read`: the table, what was not understood, JSON that its schema describes, exit codes."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest
from stock_files import line, xlsx

from minisim.cli import main
from minisim.stock.as_json import stock_schema

Capture = pytest.CaptureFixture[str]
MESSY = (
    "Board no;Qty;Cond.;Where;Remarks;Bought\n"
    'M8043;2 (1 faulty);ok;A1;"four lines; with cable";1,5\n'
    "M8186;3x;tested;A1;;2,0\n"
    "8044.0;;DOA;2;-12 V dead;\n"
    "12-Mar;ca. 2;purple;2;;\n"
)


@pytest.fixture
def messy(tmp_path: Path) -> Path:
    path = tmp_path / "messy.csv"
    path.write_text(MESSY)
    return path


def test_the_table_fits_eighty_columns_and_tells_everything(
    messy: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(messy.parent)
    monkeypatch.setenv("COLUMNS", "80")
    assert main(["stock", "read", "messy.csv"]) == 1
    out = capsys.readouterr().out
    assert all(len(each) <= 80 for each in out.splitlines())
    text = " ".join(out.split())
    for part in (
        "messy.csv: 5 rows, 7 pieces; CSV, utf-8, semicolons",
        'marking "Board no", by its name',
        'kept "Bought"',
        "A1 (5 pieces) 1 M8043 works",
        "1 M8043 faulty",
        "3 M8186 works",
        "box 2 (2 pieces) 1 12-Mar unknown",
        'row 2: Qty "2 (1 faulty)": read as 2, 1 of them faulty',
        'row 5: Qty "ca. 2": no count; taken as 1',
        'row 5: Cond. "purple": no word for a condition',
        'row 5: Board no "12-Mar": a date, made of a marking',
    ):
        assert part in text


def test_json_is_what_its_schema_says(messy: Path, capsys: Capture) -> None:
    own = messy.with_name("own.csv")
    own.write_text(
        "item,marking,count,condition,box,what,notes,photo,history,conflict\n"
        "K-1,M8043,1,works,A,,,,2026-01-01 AB works: 5 V,a.csv row 2: 3 works\n"
    )
    assert main(["stock", "read", "--json", str(messy), str(own), str(messy.with_name("none.csv"))]) == 2
    captured = capsys.readouterr()
    data = json.loads(captured.out)
    schema = stock_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(data, schema)
    first, second = data["lists"]
    assert [row["row"] for row in first["rows"]] == [2, 2, 3, 4, 5]
    assert first["rows"][3]["cells"]["Remarks"] == "-12 V dead"
    assert second["ours"] is True
    assert second["rows"][0]["history"] == [
        {"date": "2026-01-01", "initials": "AB", "condition": "works", "measured": "5 V"}
    ]
    assert data["problems"][0]["file"].endswith("none.csv")
    assert "none.csv:1:1: can't read the file" in captured.err


def test_the_schema_is_published(capsys: Capture) -> None:
    assert main(["schema", "stock"]) == 0
    assert json.loads(capsys.readouterr().out) == json.loads(json.dumps(stock_schema()))


def test_a_file_that_can_not_be_used_stops_no_other(messy: Path, capsys: Capture) -> None:
    assert main(["stock", "read", str(messy.parent), str(messy)]) == 2
    captured = capsys.readouterr()
    assert "5 rows, 7 pieces" in " ".join(captured.out.split())
    assert "can't read the file" in captured.err


def test_the_file_is_only_read(messy: Path) -> None:
    before = (messy.read_bytes(), messy.stat().st_mtime_ns)
    main(["stock", "read", str(messy)])
    assert (messy.read_bytes(), messy.stat().st_mtime_ns) == before
    assert [each.name for each in messy.parent.iterdir()] == ["messy.csv"]


def test_a_column_can_be_named_on_the_command_line(messy: Path, capsys: Capture) -> None:
    assert main(["stock", "read", str(messy), "--map", "what=Remarks", "--map", "marking=board NO", "--json"]) == 1
    (found,) = json.loads(capsys.readouterr().out)["lists"]
    assert found["mapping"]["what"] == {"column": "Remarks", "how": "as the owner says"}
    assert found["rows"][0]["what"] == "four lines; with cable"


@pytest.mark.parametrize(
    ("words", "part"),
    [
        (["--map", "bord=Qty"], 'no column "bord"; columns are item, marking'),
        (["--map", "marking"], "is no pair like"),
        (["--map", "marking=Nothing"], 'there is no column "Nothing"'),
        (["--header", "none.yaml"], "none.yaml"),
        (["--encoding", "none-such"], "there is no such encoding"),
    ],
)
def test_a_wrong_word_about_the_columns_is_told(words: list[str], part: str, messy: Path, capsys: Capture) -> None:
    assert main(["stock", "read", str(messy), *words]) == 2
    assert part in capsys.readouterr().err


def test_what_a_terminal_would_act_on_is_shown_by_its_code(tmp_path: Path, capsys: Capture) -> None:
    path = tmp_path / "list.csv"
    path.write_text("marking,condition,box,\x1b[2Jx\nM\x1b[31m8043,\x07odd\x1b[0m,\x1b]0;t\x07,\n")
    main(["stock", "read", str(path)])
    out = capsys.readouterr().out
    assert "\x1b" not in out and "\x07" not in out


def test_a_sheet_and_a_list_are_read_in_one_call(messy: Path, capsys: Capture) -> None:
    sheet = messy.with_name("pile.xlsx")
    sheet.write_bytes(xlsx(line(1, ["marking", "count"]) + line(2, ["M8043", "2"])))
    assert main(["stock", "read", str(messy), str(sheet)]) in (0, 1)
    out = "".join(capsys.readouterr().out.split())  # a long path is cut where a line ends
    assert "messy.csv:5rows" in out and "pile.xlsx:1row,2pieces;spreadsheet" in out


def test_reading_imports_no_library_for_spreadsheets_or_terminals() -> None:
    code = (
        "import sys; from minisim.cli import parser_of; parser_of('stock'); "
        "print([m for m in ('prompt_toolkit', 'xml.parsers.expat', 'csv', 'minisim.catalogue') if m in sys.modules])"
    )
    ended = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ended.stdout == "[]\n"


def test_things_that_the_catalogue_has_no_entries_for_are_understood_by_their_words(
    tmp_path: Path, capsys: Capture
) -> None:
    path = tmp_path / "list.csv"
    path.write_text("what,count\nmounting brackets,4\ndistribution panel,1\n")
    assert main(["stock", "read", str(path)]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "panels - - 1 - - 1 brackets - - 4 - - 4 all - - 5 - - 5" in out
    path.write_text("what,count\nsome cable,1\n")
    assert main(["stock", "read", str(path)]) == 1
    assert "cables - - 1 - - 1" in " ".join(capsys.readouterr().out.split())


def test_the_table_can_be_by_marking(tmp_path: Path, capsys: Capture) -> None:
    path = tmp_path / "list.csv"
    path.write_text("marking,count,condition,box\nM8186,1,ok,B\nM8043,2,ok,A\nM8043,1,doa,C\n")
    assert main(["stock", "read", str(path), "--by", "marking"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "3 M8043 four serial lines 2 works, 1 faulty; in A, C 1 M8186" in out


def test_an_owner_s_own_entry_beside_the_list_is_known(tmp_path: Path, capsys: Capture) -> None:
    from minisim.catalogue.reader import HERE

    source = (HERE / "boards" / "grant-card.yaml").read_text("utf-8")
    own = tmp_path / "catalogue" / "boards" / "our-board.yaml"
    own.parent.mkdir(parents=True)
    text = source.replace("id: grant-card", "id: our-board")
    for marking in ("M9047",):
        text = text.replace(marking, "M9998")
    own.write_text(text)
    path = tmp_path / "list.csv"
    path.write_text("marking\nM9998\n")
    assert main(["stock", "read", str(path), "--json"]) == 0
    (row,) = json.loads(capsys.readouterr().out)["lists"][0]["rows"]
    assert row["understood"]["candidates"][0]["entry"] == "our-board"


@pytest.mark.parametrize("more", [[], ["--json"]])
def test_letters_that_the_terminal_does_not_have_are_shown_by_their_codes(more: list[str], tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("marking,what\nXYZ,caf\u00e9 \u4e2d\n")
    ended = subprocess.run(
        [sys.executable, "-m", "minisim", "stock", "read", str(path), *more],
        capture_output=True, env={"PYTHONIOENCODING": "ascii"}, check=False,
    )  # fmt: skip
    assert (ended.returncode, ended.stderr) == (1, b"")
    if more:
        assert json.loads(ended.stdout)["lists"][0]["rows"][0]["what"] == "caf\u00e9 \u4e2d"
    else:
        assert b"caf\\xe9 \\u4e2d" in ended.stdout
