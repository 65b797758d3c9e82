"""Labels: every code is read again from the picture (oracle: the zxing library), and all lie inside their paper."""

from __future__ import annotations

import io
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import typst
import yaml
import zxingcpp
from few import few
from lxml import etree
from PIL import Image

from minisim.catalogue import Catalogue
from minisim.cli import main
from minisim.loadout.reader import read_loadout
from minisim.sheet.labels import MEDIA, Label, label_pages, labels_of
from minisim.sheet.labels.drawing import Pages
from minisim.sheet.labels.media import A4, LEAST_MODULE
from minisim.wiring.resolve import resolve

from .machines import DEMO, VALID, raw

SVG = "{http://www.w3.org/2000/svg}"
MACHINES = [*DEMO, *(path for path in VALID if path.stem in ("three-box-network", "two-box-logger"))]
BY_NAME = pytest.mark.parametrize("path", MACHINES, ids=lambda path: path.stem)
SOME_BY_NAME = pytest.mark.parametrize("path", few(MACHINES, 4), ids=lambda path: path.stem)


@cache
def labels(path: Path) -> tuple[Label, ...]:
    catalogue = Catalogue()
    return labels_of(resolve(read_loadout(path, catalogue=catalogue), catalogue))


@cache
def pages(path: Path, medium: str) -> Pages:
    return label_pages(labels(path), MEDIA[medium])


def picture(svg: str, size: tuple[float, float], dpi: int = 300) -> Any:
    """A page as a printer of `dpi` would have it."""
    source = (
        f"#set page(width: {size[0]}mm, height: {size[1]}mm, margin: 0mm)\n"
        '#place(image(bytes(sys.inputs.svg), format: "svg", width: 100%, height: 100%))'
    )
    made = typst.compile(source.encode(), format="png", ppi=dpi, sys_inputs={"svg": svg}, ignore_system_fonts=True)
    return Image.open(io.BytesIO(made)).convert("L")


def read(svg: str, size: tuple[float, float]) -> list[str]:
    return sorted(found.text for found in zxingcpp.read_barcodes(picture(svg, size)))


@BY_NAME
def test_boxes_places_boards_and_both_ends_of_cables_have_one_each(path: Path) -> None:
    """Counts from the file itself, slots from the catalogue's files."""
    data = yaml.load(path.read_text(), yaml.CBaseLoader)
    planes = [unit["backplane"] for box in data["boxes"] for unit in box.get("units", [box])]
    folder = Path(__file__).parents[2] / "minisim" / "catalogue" / "backplanes"
    entries = [yaml.load((folder / f"{one}.yaml").read_text(), yaml.CBaseLoader) for one in planes]
    slots = sum(len(_slots(entry["slots"])) for entry in entries)
    ends = 2 * (len(data.get("cables", [])) + len(planes) - 1)
    kinds = [label.kind for label in labels(path)]
    assert {kind: kinds.count(kind) for kind in set(kinds)} == {
        "box": len(raw(path).boxes), "place": slots, "board": len(raw(path).places), "cable": ends,
    }  # fmt: skip


def _slots(keys: dict[str, Any]) -> set[int]:
    """`1`, `2-9`, `1, 5`: the numbers of the slots."""
    found: set[int] = set()
    for part in ",".join(keys).split(","):
        first, _, last = part.strip().partition("-")
        found |= set(range(int(first), int(last or first) + 1))
    return found


@SOME_BY_NAME
def test_every_code_on_a_sheet_holds_the_text_of_its_label(path: Path) -> None:
    made = pages(path, "a4")
    assert not made.without_code
    found = sorted(text for svg in made.svgs for text in read(svg, made.size))
    assert found == sorted(label.text for label in labels(path))


@SOME_BY_NAME
def test_every_code_on_a_roll_holds_the_text_of_its_label(path: Path) -> None:
    made = pages(path, "roll-62")
    sample = list(zip(labels(path), made.svgs, strict=True))[::3]
    for label, svg in sample:
        assert read(svg, made.size) == [label.text]


@SOME_BY_NAME
def test_a_band_has_a_code_of_the_beginning_or_says_that_it_has_none(path: Path) -> None:
    made = pages(path, "tape-12")
    for label, svg in list(zip(labels(path), made.svgs, strict=True))[::3]:
        wanted = [] if label in made.without_code else [label.text, label.short]
        found = read(svg, made.size)
        assert found[0] in wanted if wanted else not found


@BY_NAME
@pytest.mark.parametrize("medium", list(MEDIA))
def test_squares_of_a_code_are_large_enough_and_everything_lies_on_its_paper(path: Path, medium: str) -> None:
    made = pages(path, medium)
    for svg in made.svgs:
        root = etree.fromstring(svg)
        assert root.get("viewBox") == f"0 0 {made.size[0]:g} {made.size[1]:g}"
        for cell in root.iter(f"{SVG}g"):
            scale = re.search(r"scale\(([\d.]+)\)", cell.get("transform", ""))
            if scale:
                assert float(scale[1]) >= LEAST_MODULE - 1e-6
        for words in root.iter(f"{SVG}text"):
            width = len(words.text or "") * float(words.get("font-size")) * 0.6021
            inside = made.size[0] if medium != "a4" else MEDIA["a4"].label[0]
            assert float(words.get("x")) + width <= inside + 0.6, words.text
            assert 0 <= float(words.get("y")) <= MEDIA[medium].label[1]
            assert float(words.get("font-size")) >= 1.9


@BY_NAME
def test_a_label_that_a_band_has_no_room_for_is_told(path: Path) -> None:
    def printed(svg: str) -> set[str]:
        return {words.text or "" for words in etree.fromstring(svg).iter(f"{SVG}text")}

    made = pages(path, "tape-12")
    pairs = zip(labels(path), made.svgs, strict=True)
    assert made.shortened == tuple(label for label, svg in pairs if not {label.title, *label.lines} <= printed(svg))
    assert not pages(path, "roll-62").shortened


def test_three_columns_of_eight_fill_a_sheet() -> None:
    """210 by 297 mm: ISO 216."""
    sheet = MEDIA["a4"]
    assert A4 == (210, 297) and sheet.each_page == 24
    assert sheet.corner[0] + sheet.grid[0] * sheet.label[0] <= 210
    assert sheet.corner[1] + sheet.grid[1] * sheet.label[1] <= 297


@pytest.mark.parametrize("skip", [0, 1, 23, 24, 30])
def test_used_labels_of_the_first_sheet_are_left_out(skip: int) -> None:
    made = label_pages(labels(DEMO[0])[:5], MEDIA["a4"], skip)
    cells = [cell for svg in made.svgs for cell in etree.fromstring(svg).findall(f"{SVG}g")]
    first = re.match(r"translate\(([\d.]+) ([\d.]+)\)", cells[0].get("transform"))
    assert first
    row, column = divmod(skip % 24, 3)
    assert (float(first[1]), float(first[2])) == (column * 70, 0.5 + row * 37)
    assert len(cells) == 5


def test_no_label_holds_an_address_of_a_page() -> None:
    assert not [label for path in MACHINES for label in labels(path) if "://" in label.text or "www." in label.text]


@pytest.mark.parametrize("ending", [".html", ".pdf"])
def test_the_command_writes_labels(tmp_path: Path, ending: str, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / f"labels{ending}"
    assert main(["sheet", str(DEMO[0]), "--labels", "a4", "-o", str(out)]) == 0
    assert f"{len(labels(DEMO[0]))} labels" in capsys.readouterr().out
    assert out.stat().st_size > 10_000


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["-o", "x.txt"], "labels end in"),
        ([], "needs a loadout and --out"),
        (["-o", "x.pdf", "--skip", "-1"], "--skip: a number from 0"),
    ],
)
def test_what_can_not_be_done_is_said(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sheet", str(DEMO[0]), "--labels", "a4", *words]) == 2
    assert said in capsys.readouterr().err
