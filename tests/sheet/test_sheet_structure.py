"""What a sheet must hold, asserted in the page itself against the loadout's file as PyYAML reads it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml
from few import few
from lxml import etree

from minisim.catalogue import Catalogue
from minisim.checking import check
from minisim.cli import main
from minisim.loadout.reader import read_loadout
from minisim.sheet.blocks import Drawing, Table
from minisim.sheet.forms.html_form import html_of
from minisim.sheet.forms.text_form import text_of

from .machines import DAMAGED, HOLES, MACHINES, document, fresh, page, raw, rows, text

CATALOGUE = Path(__file__).parents[2] / "minisim" / "catalogue"
BY_NAME = pytest.mark.parametrize("path", MACHINES, ids=lambda path: path.stem)


def test_the_machines_are_those_of_the_rule_tests_and_of_the_station() -> None:
    assert len(MACHINES) >= 12 + 4


@BY_NAME
def test_every_board_stands_once_in_the_table_of_boards(path: Path) -> None:
    assert sorted(row[0] for row in rows(page(path), "board-list")) == sorted(raw(path).places)


@BY_NAME
def test_the_number_on_the_handle_stands_with_each_board_that_has_one(path: Path) -> None:
    for place, handle, what, *_ in rows(page(path), "board-list"):
        assert handle, place
        assert what, place


@BY_NAME
def test_every_item_of_the_loadout_stands_with_its_board(path: Path) -> None:
    items = {row[0]: row[4] for row in rows(page(path), "board-list")}
    for place, board in raw(path).places.items():
        if "item" in board:
            assert items[place] == board["item"]


@BY_NAME
def test_every_setting_of_the_loadout_stands_in_the_table_of_its_board(path: Path) -> None:
    for place, board in raw(path).places.items():
        for name, value in (board.get("settings") or {}).items():
            table = rows(page(path), f"settings-{place.replace('/', '-')}")
            shown = [row[1] for row in table if row[0] == name]
            assert shown and shown[0].lower() == value.lower(), (place, name)


@BY_NAME
def test_every_option_and_rom_stands_in_the_table_of_its_board(path: Path) -> None:
    for place, board in raw(path).places.items():
        wanted = [*(board.get("options") or []), *(_rom(rom) for rom in (board.get("roms") or {}).values())]
        if wanted:
            table = rows(page(path), f"settings-{place.replace('/', '-')}")
            assert sorted(row[1] for row in table if row[0] in ("ROM", "option")) == sorted(wanted)


def _rom(rom: object) -> str:
    return rom["rom"] if isinstance(rom, dict) else str(rom)


@BY_NAME
def test_bits_of_an_address_are_those_of_the_octal_number(path: Path) -> None:
    """Oracle: int(text, 8) of Python, bit by bit."""
    seen = 0
    for table in page(path).xpath("//table[starts-with(@id, 'settings-')]"):
        for name, value, bits, _ in rows(page(path), table.get("id")):
            found = re.fullmatch(r"bits (\d+) to (\d+): ([01 ]+)", bits)
            if found and not name.startswith("ROM"):
                high, low = int(found[1]), int(found[2])
                number = int(value, 8)
                wanted = "".join(str(number >> bit & 1) for bit in range(high, low - 1, -1))
                assert found[3].replace(" ", "") == wanted, (name, value)
                seen += 1
    assert seen or not page(path).xpath("//table[starts-with(@id, 'settings-')]")


@BY_NAME
def test_every_backplane_and_every_box_has_its_part(path: Path) -> None:
    ids = set(page(path).xpath("//section/@id"))
    assert {f"unit-{unit.replace('/', '-')}" for unit in raw(path).units} <= ids
    tables = set(page(path).xpath("//table/@id"))
    assert {f"power-{box}" for box in raw(path).boxes} <= tables


@BY_NAME
def test_cautions_come_first_and_say_who_has_the_last_word(path: Path) -> None:
    first = page(path).xpath("//section")[0]
    assert first.get("id") == "cautions"
    assert "Local electrical codes and licensed practice come first." in text(first)


@BY_NAME
def test_ids_are_there_once_and_links_lead_somewhere(path: Path) -> None:
    ids = page(path).xpath("//@id")
    assert len(ids) == len(set(ids))
    assert {href.removeprefix("#") for href in page(path).xpath("//a/@href")} <= set(ids)


@BY_NAME
def test_nothing_is_fetched(path: Path) -> None:
    root = page(path)
    assert not root.xpath("//script | //link | //img | //iframe | //@src | //image")
    made = html_of(document(path))
    assert "url(" not in re.sub(r"url\(#[\w-]+\)", "", made)
    assert "@import" not in made


@BY_NAME
def test_the_text_has_72_columns_and_every_word_of_the_page(path: Path) -> None:
    made = text_of(document(path))
    assert not [line for line in made.splitlines() if len(line) > 72]
    have = set(re.findall(r"\w+", made))
    root = etree.fromstring(etree.tostring(page(path)))
    for gone in root.xpath("//svg | //*[local-name()='svg'] | //style | //*[@class='unseen'] | //nav | //title"):
        gone.getparent().remove(gone)
    want = set(re.findall(r"\w+", " ".join(root.find("body").itertext())))
    lost = {word for word in want - have if not _broken(word, made)}
    assert not lost


def _broken(word: str, made: str) -> bool:
    """A word longer than its column is cut into pieces there."""
    return len(word) > 20 and word[:6] in made


@pytest.mark.parametrize("path", few(MACHINES, 4), ids=lambda path: path.stem)
def test_two_runs_give_the_same_bytes(path: Path) -> None:
    assert html_of(fresh(path)) == html_of(document(path))


@BY_NAME
def test_every_drawing_is_told_in_words_for_those_who_do_not_see_it(path: Path) -> None:
    drawings = [block for one in document(path).pages for block in one.blocks if isinstance(block, Drawing)]
    assert drawings
    for drawing in drawings:
        svg = etree.fromstring(drawing.svg)
        assert svg.get("role") == "img"
        assert svg.findtext("{http://www.w3.org/2000/svg}title")
        assert drawing.description and drawing.lines


@BY_NAME
def test_rows_are_as_long_as_their_heads(path: Path) -> None:
    tables = [block for one in document(path).pages for block in one.blocks if isinstance(block, Table)]
    assert all(len(row) == len(table.head) for table in tables for row in table.rows)


# ---- the drawings, as they stand in the page


@BY_NAME
def test_every_board_is_drawn_once_in_the_part_of_its_backplane(path: Path) -> None:
    drawn = []
    for unit in raw(path).units:
        section = page(path).get_element_by_id(f"unit-{unit.replace('/', '-')}")
        places = section.xpath(".//*[@data-board]/@data-place")
        assert all(place.rpartition("/")[0] == unit for place in places)
        drawn += places
    assert sorted(drawn) == sorted(raw(path).places)


def _slot_and_rows(place: str) -> tuple[int, str]:
    found = re.fullmatch(r"(\d+)([A-F]*)", place.rpartition("/")[2])
    assert found, place
    return int(found[1]), found[2]


@BY_NAME
def test_the_way_of_the_grants_is_drawn_in_the_order_of_the_catalogue(path: Path) -> None:
    """Oracle: `grant-order` in the backplane's file, read with PyYAML; hops are numbered on over all backplanes."""
    data = yaml.load(path.read_text(), yaml.CBaseLoader)
    units = [(box["id"], unit) for box in data["boxes"] for unit in box.get("units", [box | {"id": "a"}])]
    planes = {f"{box}/{unit['id']}": unit["backplane"] for box, unit in units}
    before: dict[str, int] = {}
    for unit, plane in planes.items():
        order = yaml.load((CATALOGUE / "backplanes" / f"{plane}.yaml").read_text(), yaml.CBaseLoader)["grant-order"]
        wanted = [] if order == "unknown" else [_slot_and_rows(place) for place in order]
        section = page(path).get_element_by_id(f"unit-{unit.replace('/', '-')}")
        chains = section.xpath(".//*[@data-grants]")
        assert chains
        for chain in chains:
            hops = [(int(one.get("data-hop")), one.get("data-at")) for one in chain.xpath(".//*[@data-hop]")]
            numbers = [number for number, _ in hops]
            assert numbers == list(range(numbers[0], numbers[0] + len(hops)))
            assert numbers[0] == before.get(chain.get("data-grants"), 0) + 1 or not wanted
            before[chain.get("data-grants")] = numbers[-1]
            shown = [_slot_and_rows(at)[0] for _, at in hops] if wanted else []
            assert shown == [slot for slot, _ in wanted], unit


@pytest.mark.parametrize("path", HOLES, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_places_that_need_a_card_are_hatched_and_the_first_broken_hop_is_marked(path: Path) -> None:
    """Oracle: the findings' own words, where to fit a card (rules GRANT-001 and GRANT-006)."""
    catalogue = Catalogue()
    found = check(read_loadout(path, catalogue=catalogue), catalogue).findings
    wanted = {
        place
        for one in found
        if one.rule in ("GRANT-001", "GRANT-006")
        for place in re.findall(r"card (?:in|into) ((?:\w+/\w+/\w+(?:, | and )?)+)", one.fix)
        for place in re.findall(r"\w+/\w+/\w+", place)
    }
    hatched = set(page(path).xpath("//*[@data-grant-card]/@data-grant-card"))
    assert wanted <= hatched
    if any(one.rule == "GRANT-001" for one in found):
        assert page(path).xpath("//*[@data-broken]")


# ---- damage


def test_with_damage_only_the_warning_page_is_made() -> None:
    root = page(DAMAGED)
    assert [section.get("id") for section in root.xpath("//section")] == ["warning"]
    assert not root.xpath("//table | //*[local-name()='svg']")
    assert "DO NOT SWITCH ON" in text(root)
    assert "SLOT-001" in text(root)


def test_with_damage_the_command_leaves_with_1(tmp_path: Path) -> None:
    out = tmp_path / "sheet.txt"
    assert main(["sheet", str(DAMAGED), "-o", str(out)]) == 1
    assert "Do not power this machine" in out.read_text()


def test_damage_that_the_owner_takes_on_stands_before_everything(tmp_path: Path) -> None:
    path = tmp_path / "accepted.yaml"
    path.write_text(DAMAGED.read_text())
    for rule in ("SLOT-001", "SLOT-010"):  # the second is asked only once the first is taken on
        assert [one.id for one in fresh(path).pages] == ["warning"]
        with path.open("a") as stream:
            stream.write("" if rule == "SLOT-010" else "\naccept:\n")
            stream.write(f'  - {{rule: {rule}, at: main/a/2, because: "rows C and D cut by hand"}}\n')
    first = page(path).xpath("//section")[0]
    assert text(first.xpath(".//p")[0]).startswith("DAMAGE taken on by the owner (SLOT-001")
    assert "rows C and D cut by hand" in text(first)
