"""Pictures of pages of build sheets: made for the README and as references of tests/sheet/test_pages.py.

Usage: tools/sheet_pictures.py: writes tests/data/sheet-pages/*.png and docs/pictures/sheet-*.png.
The pages come from the PDF (poppler) and from the HTML in a browser (Chromium, through playwright).
"""

from __future__ import annotations

import io
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from minisim.sheet.blocks import Document

ROOT = Path(__file__).resolve().parents[1]
REFERENCES = ROOT / "tests" / "data" / "sheet-pages"
README = ROOT / "docs" / "pictures"
DAY = date(2026, 5, 30)
DPI = 50  # of references: enough to see what is where, small enough to keep
README_DPI = 80
WIDTH = 800  # of the browser's window: a tablet held upright


@dataclass(frozen=True)
class Shot:
    """One page of one machine; `page` is the id of its part, `readme`: also shown there."""

    machine: str
    page: str
    readme: bool = False

    @property
    def name(self) -> str:
        """For file names."""
        return f"{Path(self.machine).stem}-{self.page}"


SHOTS = (
    Shot("loadouts/kittiwake/gauge.yaml", "unit-main-a", readme=True),
    Shot("loadouts/kittiwake/ledger.yaml", "stage-0", readme=True),
    Shot("loadouts/kittiwake/ledger.yaml", "power"),
    Shot("loadouts/kittiwake/desk.yaml", "settings"),
    Shot("tests/rules/GRANT-001/bad-serpentine.yaml", "unit-main-a"),
    Shot("tests/rules/SLOT-001/bad-twin-bus-slot.yaml", "warning"),
)


def document_of(machine: str) -> Document:
    """The sheet of a machine, with a fixed date and without a log."""
    from minisim.catalogue import Catalogue
    from minisim.loadout.reader import read_loadout
    from minisim.logbook import Log
    from minisim.sheet.build import sheet_of

    catalogue = Catalogue()
    return sheet_of(read_loadout(ROOT / machine, catalogue=catalogue), catalogue, made=DAY, log=Log())


def only(document: Document, page: str) -> Document:
    """The document with one of its parts."""
    from dataclasses import replace

    return replace(document, pages=tuple(one for one in document.pages if one.id == page))


def printed(document: Document, dpi: int = DPI) -> bytes:
    """The first page of paper of its PDF, as PNG in grey."""
    from minisim.sheet.forms.pdf_form import pdf_of

    command = ["pdftoppm", "-r", str(dpi), "-gray", "-png", "-f", "1", "-l", "1", "-singlefile", "-", "-"]
    with tempfile.NamedTemporaryFile(suffix=".pdf") as file:
        file.write(pdf_of(document))
        file.flush()
        command[-2:] = [file.name]
        return subprocess.run(command, check=True, capture_output=True).stdout


@contextmanager
def browser() -> Iterator[Any]:
    """A page of Chromium that can reach nothing."""
    from playwright.sync_api import sync_playwright

    arguments = ["--no-sandbox", "--disable-gpu", "--font-render-hinting=none", "--disable-background-networking"]
    with sync_playwright() as driver:
        chromium = driver.chromium.launch(executable_path="/usr/bin/chromium", args=arguments)
        window = chromium.new_context(viewport={"width": WIDTH, "height": 1100}, offline=True)
        yield window.new_page()
        chromium.close()


def shown(window: Any, document: Document) -> bytes:
    """The document as the browser shows it, as PNG in grey, half the size."""
    from PIL import Image

    from minisim.sheet.forms.html_form import html_of

    window.set_content(html_of(document))
    taken = Image.open(io.BytesIO(window.screenshot(full_page=True))).convert("L")
    taken = taken.resize((taken.width // 2, taken.height // 2), Image.Resampling.BOX)
    kept = io.BytesIO()
    taken.save(kept, "PNG", optimize=True)
    return kept.getvalue()


def main() -> int:
    """Write all pictures anew."""
    REFERENCES.mkdir(parents=True, exist_ok=True)
    with browser() as window:
        for shot in SHOTS:
            part = only(document_of(shot.machine), shot.page)
            (REFERENCES / f"{shot.name}-printed.png").write_bytes(printed(part))
            (REFERENCES / f"{shot.name}-shown.png").write_bytes(shown(window, part))
            if shot.readme:
                (README / f"sheet-{shot.name}.png").write_bytes(printed(part, README_DPI))
    print(f"{2 * len(SHOTS)} pictures in {REFERENCES.relative_to(ROOT)}: look at them before they are committed")
    return 0


if __name__ == "__main__":
    sys.exit(main())
