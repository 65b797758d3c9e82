"""The check list after transport names every board, cable and joint of the loadout, and starts with the cautions.

What it asks for beside that is practice of the trade, without a source.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from minisim.catalogue import Catalogue
from minisim.cli import main
from minisim.loadout.reader import read_loadout
from minisim.sheet.blocks import Document, Items, Table, Words
from minisim.sheet.build import transport_list_of
from minisim.sheet.cautions import GENERAL
from minisim.sheet.forms.html_form import html_of
from minisim.sheet.forms.text_form import text_of
from minisim.sheet.messages import say

from .machines import DAMAGED, DAY, DEMO, raw

VISITOR = next(path for path in DEMO if path.stem == "visitor")
BY_NAME = pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)


def made(path: Path) -> Document:
    catalogue = Catalogue()
    return transport_list_of(read_loadout(path, catalogue=catalogue), catalogue, made=DAY)


def table(document: Document, name: str) -> list[tuple[str, ...]]:
    found = [one for page in document.pages for one in page.blocks if isinstance(one, Table) and one.id == name]
    return [row for one in found for row in one.rows]


@BY_NAME
def test_every_board_is_to_be_ticked_once(path: Path) -> None:
    assert sorted(row[0] for row in table(made(path), "transport-seated")) == sorted(raw(path).places)


def test_cables_and_joints_of_a_machine_in_two_boxes_are_to_be_ticked() -> None:
    document = made(VISITOR)
    assert {row[0] for row in table(document, "transport-cables")} == {"main/a/3AB", "lower/b/2", "lower/b/3"}
    assert [row[:2] for row in table(document, "transport-joints")] == [("lower/b", "mux-extension-cable-first")]


@BY_NAME
def test_codes_and_cautions_come_before_the_first_hand(path: Path) -> None:
    first = made(path).pages[0]
    assert next(one for one in first.blocks if isinstance(one, Words)).text == say("cautions-codes")
    items = {item for block in first.blocks if isinstance(block, Items) for item in block.items}
    assert {say(f"caution-{name}") for name in GENERAL} <= items


def test_each_rail_is_measured_between_its_limits() -> None:
    """+5 V: 4.75 to 5.25 V, printed in the data sheets of the logic family; the others common practice."""
    document = made(VISITOR)
    name = next(one.id for one in document.pages[2].blocks if isinstance(one, Table) and one.id.endswith("-main"))
    limits = {row[0]: row[1] for row in table(document, name)}
    assert limits["+5"] == "4.75 to 5.25 V"


def test_a_disk_has_its_heads_unlocked_and_a_floppy_its_door_tried() -> None:
    words = " ".join(item for page in made(VISITOR).pages for one in page.blocks if isinstance(one, Items)
                     for item in one.items)  # fmt: skip
    assert "floppy drives in one rack box, double density (lower/b/2): door or latch" in words
    assert "heads unlocked" not in words


def test_with_open_damage_there_is_only_the_warning() -> None:
    assert [page.id for page in made(DAMAGED).pages] == ["warning"]


@BY_NAME
def test_it_can_be_printed_as_a_page_and_as_text_of_72_columns(path: Path) -> None:
    document = made(path)
    assert "<html" in html_of(document, "")
    assert max(map(len, text_of(document).splitlines())) <= 72


def test_the_command_makes_it(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    out = tmp_path / "list.html"
    assert main(["sheet", str(VISITOR), "--after-transport", "--date", DAY.isoformat(), "-o", str(out)]) == 0
    assert "After transport: Travelling machine" in out.read_text("utf-8")
    assert main(["sheet", "--surplus", "plan.json", "--after-transport"]) == 2
    assert "--after-transport needs a loadout" in capsys.readouterr().err
