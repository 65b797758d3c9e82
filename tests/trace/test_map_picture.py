"""The memory map as a picture: the rows of the map, registers, what a run touched; readable by machine and by ear."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations, pairwise
from pathlib import Path

import pytest
from lxml import etree
from program_rig import rig
from tracing import KITTIWAKE, demo, with_program, written

from minisim.catalogue import Catalogue
from minisim.cli import main
from minisim.loadout.reader import read_loadout
from minisim.sheet.drawing.svg import EM
from minisim.trace.activity import Activity, Touched, activity_of, counted
from minisim.trace.memory_part import grain_of
from minisim.trace.picture import map_svg
from minisim.wiring.addresses import AddressRow, Kind, address_bits, address_map
from minisim.wiring.map_words import cells, octal
from minisim.wiring.model import Wired
from minisim.wiring.resolve import resolve

NAMES = ("chart", "desk", "gauge", "ledger", "visitor")
SVG = "{http://www.w3.org/2000/svg}"
CATALOGUE = Catalogue()


def wired(name: str) -> Wired:
    return resolve(read_loadout(KITTIWAKE / f"{name}.yaml", catalogue=CATALOGUE), CATALOGUE)


@pytest.fixture(scope="module")
def runs(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Activity]:
    """A short run of each machine, without its media where they could be in use elsewhere."""
    folder, found = tmp_path_factory.mktemp("runs"), {}
    for name in NAMES[:4]:
        machine = demo(name, b"tide\r")
        found[name] = activity_of(written(machine, folder / name, limit=5_000), wired(name))
    found["visitor"] = everywhere(wired("visitor"), found["desk"])
    return found


def everywhere(machine: Wired, like: Activity) -> Activity:
    """The worst case: each word of every row was touched, a million times and more."""
    rows = [row for row in address_map(machine, machine.processor_registers) if row.first is not None]
    steps = {0o400 if row.kind == "memory" else 2: row for row in rows}
    words = {
        at: Touched(12_345_678, 12_345_678, 12_345_678)
        for step in steps
        for row in rows
        if (row.kind == "memory") == (step == 0o400) and row.kind != "free"
        for at in range(row.first or 0, (row.last or 0) + 1, step)
    }
    return Activity(like.head, None, 123_456_789, words)


def drawn(name: str, runs: dict[str, Activity], *, active: bool) -> etree._Element:
    machine = wired(name)
    return etree.fromstring(map_svg(machine, CATALOGUE, runs[name] if active else None).encode())


BOTH = pytest.mark.parametrize(("name", "active"), [(name, active) for name in NAMES for active in (False, True)])


@BOTH
def test_it_is_one_picture_for_the_eye_and_for_the_ear(name: str, active: bool, runs: dict[str, Activity]) -> None:
    """Accessible names of pictures: role, title and description [svg-accessibility practice]."""
    root = drawn(name, runs, active=active)
    assert root.tag == f"{SVG}svg"
    assert root.get("role") == "img"
    title, description = root.findtext(f"{SVG}title"), root.findtext(f"{SVG}desc")
    assert title is not None and title.startswith(wired(name).loadout.name)
    assert description is not None and "things answer on a bus of" in description
    assert ("fetches" in description) == active


@BOTH
def test_nothing_comes_from_elsewhere_and_there_is_no_colour(
    name: str, active: bool, runs: dict[str, Activity]
) -> None:
    root = drawn(name, runs, active=active)
    tags = {str(element.tag).removeprefix(SVG) for element in root.iter()}
    assert tags <= {"svg", "title", "desc", "g", "rect", "text", "polyline"}
    for element in root.iter():
        for key, value in element.attrib.items():
            assert not re.search(r"https?:|url\(|javascript|data:", str(value))
            if key in ("fill", "stroke"):
                grey = re.fullmatch(r"#([0-9a-f]{2})\1\1", str(value))
                assert value in ("black", "white", "none") or grey


@BOTH
def test_every_row_of_the_map_stands_in_the_picture(name: str, active: bool, runs: dict[str, Activity]) -> None:
    root, machine = drawn(name, runs, active=active), wired(name)
    said = "".join(text for _, _, text in _in_reading_order(root)).replace(" ", "")
    bits = address_bits(machine)
    rows = address_map(machine, machine.processor_registers)
    assert len(rows) > 10
    for row in rows:
        place, handle, what, span, vectors, _ = (cell.replace(" ", "") for cell in cells(row, bits))
        assert all(part in said for part in (place, what, vectors, *span.split("to"), *handle.split("/")))
    frames = root.findall(f".//{SVG}g[@data-kind]")
    assert [frame.get("data-first") for frame in frames] == [
        octal(row.first, bits) for row in rows if row.first is not None
    ]


def _in_reading_order(root: etree._Element) -> Iterator[tuple[float, float, str]]:
    texts = [(float(one.get("x", "")), float(one.get("y", "")), one.text or "") for one in root.iter(f"{SVG}text")]
    return iter(sorted(texts, key=lambda text: (text[0], text[1])))


def test_every_register_of_a_device_is_named_at_its_address(runs: dict[str, Activity]) -> None:
    """The console line has its four registers at 777560 to 777566 [handbook-1969]."""
    for active in (False, True):
        root = drawn("gauge", runs, active=active)
        texts = list(root.iter(f"{SVG}text"))
        named = {one.text: other.text for one in texts for other in texts if _stands_right_of(other, one)}
        names = ("receive status", "receive data", "transmit status", "transmit data")
        assert {named[f"77756{digit}"] for digit in "0246"} == set(names)


def _stands_right_of(one: etree._Element, other: etree._Element) -> bool:
    return one.get("y") == other.get("y") and (one.get("x"), other.get("x")) == ("300", "190")


# --- geometry ---------------------------------------------------------------------------------------------------------


def boxes(root: etree._Element) -> list[tuple[float, float, float, float, str]]:
    """Left, top, right, bottom of every text; a letter reaches from 0.8 above to 0.2 below its line."""
    found = []
    for one in root.iter(f"{SVG}text"):
        size, x, y, text = float(one.get("font-size", "")), float(one.get("x", "")), float(one.get("y", "")), one.text
        width = len(text or "") * size * EM
        left = x - width if one.get("text-anchor") == "end" else x
        found.append((left, y - 0.8 * size, left + width, y + 0.2 * size, text or ""))
    return found


@BOTH
def test_no_two_texts_overlap_and_none_leaves_the_picture(name: str, active: bool, runs: dict[str, Activity]) -> None:
    root = drawn(name, runs, active=active)
    _, _, width, height = map(float, root.get("viewBox", "").split())
    found = sorted(boxes(root), key=lambda box: box[1])
    assert len(found) > 50
    for left, top, right, bottom, text in found:
        assert left >= 0 and top >= 0 and right <= width and bottom <= height, text
    for one, other in combinations(found, 2):
        if other[1] >= one[3]:
            continue
        assert one[2] <= other[0] or other[2] <= one[0] or other[1] >= one[3] or one[1] >= other[3], (one, other)


@BOTH
def test_every_text_of_a_row_lies_inside_its_frame(name: str, active: bool, runs: dict[str, Activity]) -> None:
    root = drawn(name, runs, active=active)
    frames = [one.find(f"{SVG}rect") for one in root.findall(f".//{SVG}g[@data-kind]")]
    spans = [(float(one.get("y", "")), float(one.get("y", "")) + float(one.get("height", ""))) for one in frames]
    for one, behind in pairwise(spans):
        assert one[1] <= behind[0]
    for _, top, _, bottom, text in boxes(root):
        inside = [(start, end) for start, end in spans if start < bottom and end > top]
        assert all(start <= top + 1 and bottom <= end + 1 for start, end in inside), text


# --- activity ---------------------------------------------------------------------------------------------------------


def bars(element: etree._Element) -> list[str]:
    return [str(one.get("data-kind")) for one in element.iter(f"{SVG}rect") if one.get("data-kind")]


def test_bars_and_counts_show_what_was_touched(tmp_path: Path) -> None:
    """The program of tides on the desk: its code is fetched, its tides read, its stack both, its sum written."""
    machine = with_program(demo("desk"))
    activity = activity_of(written(machine, tmp_path / "t"), wired("desk"))
    root = etree.fromstring(map_svg(wired("desk"), CATALOGUE, activity).encode())
    blocks = {one.get("data-block"): bars(one) for one in root.findall(f".//{SVG}g[@data-block]")}
    assert {block: kinds for block, kinds in blocks.items() if kinds} == {
        "000000": ["reads"], "001000": ["fetches", "reads", "writes"],
    }  # fmt: skip
    registers = {one.get("data-register"): bars(one) for one in root.findall(f".//{SVG}g[@data-register]")}
    assert {register: kinds for register, kinds in registers.items() if kinds} == {"777566": ["writes"]}
    texts = [one.text for one in root.iter(f"{SVG}text")]
    at = texts.index("001000 to 001377")
    total = sum((one for word, one in activity.words.items() if 0o1000 <= word <= 0o1377), Touched())
    assert texts[at + 1 : at + 4] == [str(total.fetches), str(total.reads), str(total.writes)] == ["20", "5", "3"]


def test_a_taller_bar_was_touched_more_often(runs: dict[str, Activity]) -> None:
    root = drawn("desk", runs, active=True)
    status, data = (root.find(f".//{SVG}g[@data-register='77756{digit}']/{SVG}rect") for digit in "02")
    assert float(status.get("height")) > float(data.get("height"))


# --- the command ------------------------------------------------------------------------------------------------------


def test_the_command_writes_the_picture(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    trace = written(demo("desk"), tmp_path / "t", limit=500)
    svg = tmp_path / "desk.svg"
    assert main(["map", str(KITTIWAKE / "desk.yaml"), "--svg", str(svg), "--activity", str(trace)]) == 0
    assert capsys.readouterr().err == f"{svg}: Desktop tide table\n"
    assert "500 instructions traced" in svg.read_text("utf-8")


def test_a_trace_of_another_machine_is_drawn_and_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    trace = written(with_program(rig("two-board-ttl-mmu")), tmp_path / "t")
    assert main(["map", str(KITTIWAKE / "gauge.yaml"), "--svg", str(tmp_path / "s"), "--activity", str(trace)]) == 0
    assert "traced with another two-board-ttl-mmu" in capsys.readouterr().err
    assert "Traced with another two-board-ttl-mmu." in (tmp_path / "s").read_text("utf-8")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--activity", "t"], "name its file with --svg"),
        (["--svg", "s", "--json"], "give one of them"),
        (["--svg", "/nowhere/s"], "/nowhere/s:1:1: can't write the file"),
        (["--svg", "s", "--activity", str(KITTIWAKE / "desk.yaml")], "this line is no JSON object"),
        (["--svg", str(KITTIWAKE), "--activity", "/nowhere"], "/nowhere:1:1: can't read the file"),
    ],
)
def test_what_cannot_be_is_told(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["map", str(KITTIWAKE / "desk.yaml"), *words]) == 2
    assert said in capsys.readouterr().err
    assert not Path("s").exists()


def test_a_processor_with_fewer_lines_than_its_bus_has_its_page_where_the_bus_has_it(tmp_path: Path) -> None:
    """The chart: 18 address bits of the processor on a bus of 22; its console stands at 17777560 of the map."""
    trace = written(demo("chart"), tmp_path / "t", limit=2_000)
    assert 0o777560 in counted(trace).words
    assert 0o17777560 in activity_of(trace, wired("chart")).words


def test_four_megabytes_fit_into_as_many_boxes_as_a_small_memory() -> None:
    whole = AddressRow(Kind.MEMORY, 0, (1 << 22) - (1 << 13) - 1, "memory")
    assert grain_of([whole]).bytes == 1 << 15
    assert grain_of([replace(whole, last=0o77777)]).words == 0o200
    assert grain_of([]).bytes == 0
