"""The pages as a browser and a printer show them: pictures against references, accessibility, paper sizes.

Oracles: the axe rules for accessibility; pictures that were looked at and kept (`make sheet-pictures` makes them anew).
Needs Chromium and poppler: run by `make sheet-check`.
"""

from __future__ import annotations

import io
import re
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from minisim.sheet.forms.html_form import html_of
from minisim.sheet.forms.pdf_form import pdf_of
from tools.sheet_pictures import REFERENCES, SHOTS, Shot, browser, document_of, only, printed, shown

from .machines import DAMAGED, MACHINES, document

pytestmark = [pytest.mark.slow, pytest.mark.pages]
MEAN = 6.0  # of 255: how much a picture may differ on the whole
WORST = 60.0  # and any square of it: a line of text that moved or a hatching that is gone is more
SQUARE = 16
BY_NAME = pytest.mark.parametrize("path", [*MACHINES, DAMAGED], ids=lambda path: path.stem)


@pytest.fixture(scope="module")
def window() -> Iterator[Any]:
    with browser() as page:
        yield page


@BY_NAME
def test_axe_finds_nothing(path: Path, window: Any) -> None:
    from axe_playwright_python.sync_playwright import Axe

    window.set_content(html_of(document(path)))
    found = Axe().run(window).response
    assert [(one["id"], one["nodes"][0]["html"]) for one in found["violations"]] == []
    assert found["passes"]


@BY_NAME
def test_the_page_is_no_wider_than_a_tablet_or_a_telephone(path: Path, window: Any) -> None:
    for width in (800, 390):
        window.set_viewport_size({"width": width, "height": 1100})
        window.set_content(html_of(document(path)))
        assert window.evaluate("document.documentElement.scrollWidth") <= width
    window.set_viewport_size({"width": 800, "height": 1100})


@pytest.mark.parametrize("paper", ["a4", "letter"])
@BY_NAME
def test_nothing_falls_off_the_paper_of_a_browser(path: Path, paper: str, window: Any) -> None:
    """Oracle: poppler's words with their places; millimetres of the standards (ISO 216, ANSI Y14.1)."""
    wide, high = {"a4": (595.3, 841.9), "letter": (612, 792)}[paper]
    window.set_content(html_of(document(path), paper))
    words = _words(window.pdf(prefer_css_page_size=True))
    assert words
    assert all(x0 >= 0 and x1 <= wide + 1 and y0 >= 0 and y1 <= high + 1 for x0, y0, x1, y1, _ in words)


@pytest.mark.parametrize("paper", ["a4", "letter"])
@BY_NAME
def test_the_pdf_says_every_word_of_the_page_on_its_paper(path: Path, paper: str, window: Any) -> None:
    """Oracle: poppler reads the PDF's words, Chromium those of the page."""
    wide, high = {"a4": (595.3, 841.9), "letter": (612, 792)}[paper]
    found = _words(pdf_of(document(path), paper))
    assert all(x0 >= 0 and x1 <= wide + 1 and y0 >= 0 and y1 <= high + 1 for x0, y0, x1, y1, _ in found)
    window.set_content(html_of(document(path)))
    script = "[...document.querySelectorAll('main p, main li, main td, main th, main dd, main dt, main h2')]"
    said = window.evaluate(f"{script}.filter(e => !e.querySelector('.unseen')).map(e => e.textContent).join(' ')")
    have = re.sub(r"[\s\u00ad-]", "", "".join(word for *_, word in found))
    lost = {word for word in re.findall(r"[A-Za-z0-9]+", said) if word not in have}
    assert not lost


def _words(pdf: bytes) -> list[tuple[float, float, float, float, str]]:
    made = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=pdf, capture_output=True, check=True).stdout.decode()
    pattern = r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)</word>'
    return [(*map(float, found[:4]), found[4]) for found in re.findall(pattern, made)]  # type: ignore[misc]


# ---- pictures


@pytest.mark.parametrize("shot", SHOTS, ids=lambda shot: shot.name)
def test_the_printed_page_looks_like_its_reference(shot: Shot) -> None:
    _compare(printed(only(document_of(shot.machine), shot.page)), REFERENCES / f"{shot.name}-printed.png")


@pytest.mark.parametrize("shot", SHOTS, ids=lambda shot: shot.name)
def test_the_page_on_a_tablet_looks_like_its_reference(shot: Shot, window: Any) -> None:
    _compare(shown(window, only(document_of(shot.machine), shot.page)), REFERENCES / f"{shot.name}-shown.png")


def test_a_page_without_its_drawing_is_told_from_the_reference() -> None:
    """The comparison can fail: the same page with its drawing gone."""
    from dataclasses import replace

    from minisim.sheet.blocks import Drawing

    shot = SHOTS[0]
    whole = only(document_of(shot.machine), shot.page)
    kept = tuple(block for block in whole.pages[0].blocks if not isinstance(block, Drawing))
    bare = replace(whole, pages=(replace(whole.pages[0], blocks=kept),))
    with pytest.raises(AssertionError):
        _compare(printed(bare), REFERENCES / f"{shot.name}-printed.png")


def _compare(made: bytes, reference: Path) -> None:
    from PIL import Image, ImageChops, ImageStat

    found, wanted = (Image.open(io.BytesIO(data)).convert("L") for data in (made, reference.read_bytes()))
    assert abs(found.height - wanted.height) <= 4 and abs(found.width - wanted.width) <= 2
    size = (min(found.width, wanted.width), min(found.height, wanted.height))
    difference = ImageChops.difference(found.crop((0, 0, *size)), wanted.crop((0, 0, *size)))
    assert ImageStat.Stat(difference).mean[0] <= MEAN
    squares = difference.resize((max(size[0] // SQUARE, 1), max(size[1] // SQUARE, 1)), Image.Resampling.BOX)
    assert max(squares.tobytes()) <= WORST
