"""Drawings on paper: the engine of the PDF shows their words and their hatching (read back with poppler)."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from .drawings import RULES, SVG, box_of, drawings, root, with_data

typst = pytest.importorskip("typst")
POPPLER = all(shutil.which(tool) for tool in ("pdftotext", "pdftoppm"))
pytestmark = pytest.mark.skipif(not POPPLER, reason="poppler is not installed")
PAGE = (
    '#set page(width: 1000pt, height: auto, margin: 0pt)\n#image(bytes(sys.inputs.svg), format: "svg", width: 1000pt)'
)


@pytest.fixture(scope="module")
def paper(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A backplane with two holes as a PDF whose points are the units of the picture."""
    folder = tmp_path_factory.mktemp("paper")
    (folder / "page.typ").write_text(PAGE)
    picture = drawings(RULES / "GRANT-007" / "bad-no-card.yaml")[0].svg
    made = typst.compile(str(folder / "page.typ"), sys_inputs={"svg": picture}, ignore_system_fonts=True)
    (folder / "page.pdf").write_bytes(made)
    return folder / "page.pdf"


def test_the_words_of_a_drawing_are_words_on_paper(paper: Path) -> None:
    said = subprocess.run(["pdftotext", "-layout", paper, "-"], capture_output=True, text=True, check=True).stdout
    assert "SEEN FROM THE BOARD SIDE" in said and said.count("grant card") >= 2
    assert "M7856" in said and "BROKEN at hop 6 (interrupts):" in " ".join(said.split())


def test_the_hatching_of_a_place_that_needs_a_card_is_on_paper(paper: Path) -> None:
    """The upper half of a hatched place (below stands its label) is a fifth black or so, an empty place is white."""
    picture = root(drawings(RULES / "GRANT-007" / "bad-no-card.yaml")[0].svg)
    hatched = box_of(with_data(picture, "grant-card")[0].find(f"{SVG}rect"))
    black = {
        name: _blackness(paper, x, hatched.y + 6, 60, hatched.height / 2)
        for name, x in (("D", hatched.x + 8), ("A", 240))
    }
    assert 0.08 < black["D"] < 0.4
    assert black["A"] == 0


def _blackness(pdf: Path, x: float, y: float, width: float, height: float) -> float:
    """The part of dark dots in a piece of the page, at 72 dots an inch: one dot a unit of the picture."""
    crop = [str(int(number)) for number in (x, y, width, height)]
    command = ["pdftoppm", "-r", "72", "-gray", "-x", crop[0], "-y", crop[1], "-W", crop[2], "-H", crop[3], pdf]
    shown = subprocess.run(command, capture_output=True, check=True).stdout
    head = re.match(rb"P5\s+\d+\s+\d+\s+\d+\s", shown)
    assert head
    dots = shown[head.end() :]
    return sum(dot < 128 for dot in dots) / len(dots)
