"""Reads drawings back from their SVG: what stands where, worked out from the marks on paper alone."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

import yaml
from lxml import etree

import minisim
from minisim.catalogue import Catalogue
from minisim.loadout.reader import read_loadout
from minisim.sheet.blocks import Drawing
from minisim.sheet.drawing.backplane import backplane_drawing
from minisim.wiring.model import Wired
from minisim.wiring.resolve import resolve

TESTS = Path(__file__).parents[1]
RULES = TESTS / "rules"
ENTRIES = Path(minisim.__file__).parent / "catalogue"
KITTIWAKE = TESTS.parent / "loadouts" / "kittiwake"
GOOD = [*sorted((RULES / "valid").glob("*.yaml")), *sorted(KITTIWAKE.glob("*.yaml"))]
BAD = [
    *(path for number in range(1, 10) for path in sorted((RULES / f"GRANT-00{number}").glob("*.yaml"))),
    *(
        path
        for rule in ("SLOT-003", "SLOT-007", "SLOT-009", "SLOT-010", "TERM-001")
        for path in sorted((RULES / rule).glob("bad-*.yaml"))
    ),
]
MACHINES = [*GOOD, *BAD]
SVG = "{http://www.w3.org/2000/svg}"
EM = 0.6  # width of a character of a font of fixed width, by its size
_CATALOGUE = Catalogue()


def ids(path: Path) -> str:
    return f"{path.parent.name}/{path.stem}"


@cache
def wired(path: Path) -> Wired:
    own = path.parent / "catalogue"
    catalogue = Catalogue(extra=[own]) if own.is_dir() and path.parent.parent == RULES else _CATALOGUE
    return resolve(read_loadout(path, catalogue=catalogue), catalogue)


@cache
def drawings(path: Path) -> tuple[Drawing, ...]:
    """The drawing of every backplane of a machine."""
    machine = wired(path)
    return tuple(backplane_drawing(machine, unit.index) for unit in machine.units)


# ---- geometry


@dataclass(frozen=True)
class Box:
    """A box on paper."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        return self.x + self.width

    @property
    def foot(self) -> float:
        return self.y + self.height

    def overlaps(self, other: Box) -> bool:
        across = min(self.right, other.right) - max(self.x, other.x)
        down = min(self.foot, other.foot) - max(self.y, other.y)
        return across > 0.5 and down > 0.5


@dataclass(frozen=True)
class Text:
    """A line of text: its box on paper, and how large it is written."""

    words: str
    box: Box
    size: float


@lru_cache(maxsize=400)
def root(svg: str) -> Any:
    """The picture, read by an XML parser that forgives nothing; never changed by a test."""
    return etree.fromstring(svg.encode())


def down_by(node: Any) -> float:
    """By how much the groups around a node move it down."""
    moved = 0.0
    for around in [node, *node.iterancestors()]:
        match = re.match(r"translate\(0 ([-\d.]+)\)", around.get("transform", ""))
        moved += float(match[1]) if match else 0
    return moved


def box_of(rectangle: Any) -> Box:
    x, y, width, height = (float(rectangle.get(name)) for name in ("x", "y", "width", "height"))
    return Box(x, y + down_by(rectangle), width, height)


def texts(node: Any) -> Iterator[Text]:
    for text in node.iter(f"{SVG}text"):
        size, x, y = (float(text.get(name)) for name in ("font-size", "x", "y"))
        wide = len(text.text) * size * EM
        left = x - wide / 2 if text.get("text-anchor") == "middle" else x
        yield Text(text.text, Box(left, y + down_by(text) - size, wide, size * 1.2), size)


def words(node: Any) -> str:
    """All text of a node, its lines joined."""
    return " ".join(" ".join(text.text for text in node.iter(f"{SVG}text")).split())


def with_data(node: Any, name: str) -> list[Any]:
    """The groups inside a node that carry `data-<name>`, in their order."""
    return [one for one in node.iter(f"{SVG}g") if one.get(f"data-{name}") is not None]


def is_well_drawn(drawing: Drawing) -> list[str]:
    """What is wrong with how a picture is made: by the contract of drawings."""
    picture = root(drawing.svg)
    width, height = (float(number) for number in picture.get("viewBox").split()[2:])
    wrong = [f"{node.tag}: {name}" for node in picture.iter() for name in ("class", "style", "id") if node.get(name)]
    wrong += [] if picture.get("role") == "img" else ["role"]
    wrong += [] if [picture[0].tag, picture[1].tag] == [f"{SVG}title", f"{SVG}desc"] else ["title and desc"]
    for text in texts(picture):
        inside = text.box.x >= 0 and text.box.right <= width and text.box.y >= 0 and text.box.foot <= height
        wrong += [] if inside else [f"outside: {text.words} {text.box}"]
        wrong += [] if text.size >= 12 else [f"small: {text.words}"]
    for node in picture.iter():
        drawn = node.get("stroke", "none") != "none"
        wrong += [f"thin: {node.tag}"] if drawn and float(node.get("stroke-width", "1")) < 1.5 else []
        colours = {node.get("stroke", "none"), node.get("fill", "none")}
        wrong += [f"colour: {colours}"] if colours - {"none", "black", "white"} else []
    wrong += [
        f"wide: {line}" for line in drawing.lines if len(line) > 72 or not line.isprintable() or not line.isascii()
    ]
    return wrong


# ---- what the file says, without the project


@dataclass(frozen=True)
class Stands:
    """A board as the file has it: unit, slots, rows."""

    unit: str
    slots: tuple[int, ...]
    rows: str
    board: str


def boards_in_file(path: Path) -> list[Stands]:
    """Every board of a file in its order, read with PyYAML; rows from the place, else from the file of its kind."""
    data = yaml.load(path.read_text(), Loader=yaml.CBaseLoader)
    found = []
    for box in data["boxes"]:
        for unit in box.get("units", [box | {"id": "a"}]):
            for place, board in (unit.get("slots") or {}).items():
                found.append(_stands(f"{box['id']}/{unit['id']}", place, board["board"], path, unit["backplane"]))
    return found


def _stands(unit: str, place: str, board: Any, path: Path, backplane: str) -> Stands:
    match = re.match(r"(\d+)(?:-(\d+))?([A-F]*)\Z", place)
    assert match, place
    first, last = int(match[1]), int(match[2] or match[1])
    rows = match[3]
    rows = (
        "ABCDEF"["ABCDEF".index(rows[0]) : "ABCDEF".index(rows[-1]) + 1] if rows else _own_rows(board, path, backplane)
    )
    return Stands(unit, tuple(range(first, last + 1)), rows, board if isinstance(board, str) else "")


def _own_rows(board: Any, path: Path, backplane: str) -> str:
    all_rows = _entry("backplanes", backplane, path)["rows"]
    if not isinstance(board, str):
        return str(all_rows)
    rows = _entry("boards", board, path)["rows"]
    return str(all_rows if rows == "unknown" else rows)


def _entry(kind: str, name: str, path: Path) -> Any:
    for folder in (ENTRIES, path.parent / "catalogue"):
        file = folder / kind / f"{name}.yaml"
        if file.exists():
            return yaml.load(file.read_text(), Loader=yaml.CBaseLoader)
    raise AssertionError(name)
