"""The machines whose sheets are tested, and what stands in their files, read without the project (PyYAML alone)."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import yaml
from lxml import html

from minisim.catalogue import Catalogue
from minisim.loadout.reader import read_loadout
from minisim.logbook import Log
from minisim.sheet.blocks import Document
from minisim.sheet.build import sheet_of
from minisim.sheet.forms.html_form import html_of

TESTS = Path(__file__).parents[1]
VALID = sorted((TESTS / "rules" / "valid").glob("*.yaml"))
DEMO = sorted((TESTS.parent / "loadouts" / "kittiwake").glob("*.yaml"))
MACHINES = [*VALID, *DEMO]
DAMAGED = TESTS / "rules" / "SLOT-001" / "bad-twin-bus-slot.yaml"
HOLES = sorted(path for rule in ("GRANT-001", "GRANT-006") for path in (TESTS / "rules" / rule).glob("bad-*.yaml"))
DAY = date(2026, 5, 30)


@cache
def document(path: Path) -> Document:
    """The sheet, made once."""
    return fresh(path)


def fresh(path: Path) -> Document:
    """The sheet, made now."""
    catalogue = Catalogue()
    return sheet_of(read_loadout(path, catalogue=catalogue), catalogue, made=DAY, log=Log())


@cache
def page(path: Path) -> Any:
    """The root of its HTML."""
    return html.document_fromstring(html_of(document(path)))


def text(node: Any) -> str:
    """All words of a node with single spaces."""
    return " ".join(node.text_content().split())


def rows(root: Any, table: str) -> list[list[str]]:
    """The cells of a table's body."""
    return [[text(cell) for cell in row.findall("td")] for row in root.get_element_by_id(table).find("tbody")]


# ---- what stands in the file


@dataclass(frozen=True)
class Raw:
    """Places, settings and so on as the file has them, without any meaning."""

    places: dict[str, dict[str, Any]] = field(default_factory=dict)
    boxes: tuple[str, ...] = ()
    units: tuple[str, ...] = ()


@cache
def raw(path: Path) -> Raw:
    """Read with PyYAML, every scalar as text."""
    data = yaml.load(path.read_text(), Loader=yaml.CBaseLoader)
    places: dict[str, dict[str, Any]] = {}
    units = []
    for box in data["boxes"]:
        for unit in box.get("units", [box | {"id": "a"}]):
            units.append(f"{box['id']}/{unit['id']}")
            for place, board in (unit.get("slots") or {}).items():
                places[f"{units[-1]}/{place}"] = board
    return Raw(places, tuple(box["id"] for box in data["boxes"]), tuple(units))
