"""The give-away list: counts are those of the plan, names stay at home, weights are the catalogue's."""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from minisim.cli import main
from minisim.plan.schema import plan_schema
from minisim.sheet.blocks import Table
from minisim.sheet.forms.html_form import html_of
from minisim.sheet.forms.pdf_form import pdf_of
from minisim.sheet.forms.text_form import text_of
from minisim.sheet.surplus import surplus_document

from .machines import DAY

ROOT = Path(__file__).parents[2]
PILE = ROOT / "loadouts" / "kittiwake" / "pile"
CATALOGUE = ROOT / "minisim" / "catalogue"


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What the command prints for the station's pile."""
    import contextlib
    import io

    printed = io.StringIO()
    with contextlib.redirect_stdout(printed):
        assert main(["plan", str(PILE / "stock.csv"), str(PILE / "wishes.yaml"), "--json"]) in (0, 1)
    path = tmp_path_factory.mktemp("plan") / "plan.json"
    path.write_text(printed.getvalue())
    return path


def made(path: Path, **options: Any) -> Any:
    from minisim.catalogue import Catalogue

    given = {"region": "north coast", "numbers": False, **options}
    return surplus_document(path, catalogue=Catalogue(), made=DAY, **given)


def rows(document: Any) -> list[tuple[str, ...]]:
    return [row for block in document.pages[0].blocks if isinstance(block, Table) for row in block.rows]


def test_the_plan_is_what_its_schema_says(plan: Path) -> None:
    jsonschema.validate(json.loads(plan.read_text()), plan_schema())


def test_counts_are_those_of_the_plan(plan: Path) -> None:
    left = [(one["title"], one["count"]) for one in json.loads(plan.read_text())["left"]]
    assert sorted((row[0], int(row[1])) for row in rows(made(plan))) == sorted(left)


def test_no_name_of_an_item_a_box_or_a_person_is_on_it(plan: Path) -> None:
    """Every cell of the list's own columns for such things, read with the csv module."""
    with (PILE / "stock.csv").open(encoding="utf-8-sig", newline="") as stream:
        table = list(csv.DictReader(stream))
    private = {
        cell.strip()
        for row in table
        for name, cell in row.items()
        if name and cell and re.search(r"item|box|shelf|who|by|owner|photo|serial", name, re.IGNORECASE)
    }
    private = {cell for cell in private if len(cell) > 2 and not cell.isdigit()}
    said = text_of(made(plan))
    assert private and not [cell for cell in private if re.search(rf"(?<!\w){re.escape(cell)}(?!\w)", said)]


def test_with_numbers_the_items_are_named(plan: Path) -> None:
    items = [item for one in json.loads(plan.read_text())["left"] for item in one["items"]]
    said = " ".join(cell for row in rows(made(plan, numbers=True)) for cell in row)
    assert all(item in said for item in items)


def test_weights_are_those_of_the_catalogues_files(plan: Path) -> None:
    """Oracle: the YAML files, read without the project."""
    seen = 0
    titles = {one["title"]: (one["kind"], one["id"]) for one in json.loads(plan.read_text())["left"]}
    for title, _, _, weight, how in rows(made(plan)):
        kind, name = titles[title]
        kg = yaml.load((CATALOGUE / kind / f"{name}.yaml").read_text(), yaml.CBaseLoader).get("kg", {}).get("value")
        known = kg not in (None, "unknown", "none")
        assert (f"{kg} kg" in weight) == known, title
        if known:
            seen += 1
            assert how == ("hand over in person" if float(kg) > 20 else "can be shipped")
        elif kind in ("drives", "chassis"):
            assert how == "hand over in person"
    assert seen or not any(kind == "drives" for kind, _ in titles.values())


def test_what_belongs_together_is_said(plan: Path) -> None:
    groups = json.loads(plan.read_text())["together"]
    said = text_of(made(plan))
    assert all(group["because"].split()[0] in said for group in groups)


def test_a_drive_shows_its_weight_and_what_stays_with_it(tmp_path: Path) -> None:
    """Oracle: 49.9 kg and two people, read from the drive's file; the pile of the station leaves no drive over."""
    name = "cartridge-disk-2mb-drive"
    entry = yaml.load((CATALOGUE / "drives" / f"{name}.yaml").read_text(), yaml.CBaseLoader)
    drive = {"kind": "drives", "id": name, "title": "a drive", "count": 1}
    board = {"kind": "boards", "id": "nobody-knows-it", "title": "its board", "count": 1}
    left = [{**one, "group": "drives", "conditions": ["untested"], "items": []} for one in (drive, board)]
    path = tmp_path / "plan.json"
    path.write_text(
        json.dumps({"plan": 1, "left": left, "together": [{"because": "one set", "things": [drive, board]}]})
    )
    document = made(path)
    _, _, _, weight, how = rows(document)[0]
    assert f"{entry['kg']['value']} kg" in weight and f"people to lift it: {entry['people']['value']}" in weight
    assert how == "hand over in person"
    assert "one set: 1 x a drive; 1 x its board" in " ".join(text_of(document).split())


def test_all_three_forms_are_made(plan: Path, tmp_path: Path) -> None:
    for ending in (".html", ".pdf", ".txt"):
        out = tmp_path / f"surplus{ending}"
        assert main(["sheet", "--surplus", str(plan), "--region", "north coast", "-o", str(out)]) == 0
        assert out.stat().st_size > 1000
    assert pdf_of(made(plan)).startswith(b"%PDF")
    assert "north coast" in html_of(made(plan))
    assert all(len(line) <= 72 for line in text_of(made(plan)).splitlines())


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("{", ":1:2: not JSON"),
        ("[1]", ":1:1: no plan"),
        ('{"plan": 2}', ":1:1: no plan"),
        ('{"plan": 1, "left": [{}], "together": []}', ":1:1: no plan"),
        ('{"plan": 1, "left": [], "together": [{"because": 1}]}', ":1:1: no plan"),
        ('{"plan": 1, "left": [], "together": [{"because": "a", "things": 5}]}', ":1:1: no plan"),
        (
            '{"plan": 1, "together": [], "left": [{"kind": "boards", "id": "a", "title": "a", "count": 1,'
            ' "conditions": [], "items": []}]}',
            ":1:1: no plan",
        ),
        (
            '{"plan": 1, "together": [], "left": [{"kind": "wishes", "id": "a", "title": "a", "count": 1, "group": "g",'
            ' "conditions": [], "items": []}]}',
            ":1:1: no plan",
        ),
        ("[" * 100_000, ": not JSON"),
        ("wishes: 1", ":1:1: not JSON"),
    ],
)
def test_anything_else_is_refused_with_its_place(
    tmp_path: Path, text: str, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "plan.json"
    path.write_text(text)
    assert main(["sheet", "--surplus", str(path)]) == 2
    assert said in capsys.readouterr().err
