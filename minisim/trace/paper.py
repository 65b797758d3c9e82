"""A picture that grows downwards: lines of text, rules, and what counts look like."""

from __future__ import annotations

from math import log10

from minisim.sheet.drawing import svg
from minisim.sheet.drawing.svg import Element
from minisim.trace.activity import Touched

LEFT, RIGHT = 10.0, svg.WIDTH - 10.0
SMALL, TEXT, HEAD, TITLE = 12.0, 14.0, 16.0, 20.0
GREY = "#b0b0b0"
_DECADES = 7  # a full bar: ten million or more


class Paper:
    """An empty picture; `y` is where the next thing goes."""

    def __init__(self) -> None:
        self.root = svg.picture(0, "", "")
        self.y = LEFT

    def say(self, text: str, size: float = TEXT, *, bold: bool = False, x: float = LEFT) -> None:
        """A paragraph, in as many lines as it needs."""
        said = [svg.Said(line, size, bold) for line in svg.folded(text, RIGHT - x, size)]
        self.y = svg.write(self.root, x, self.y, said)

    def gap(self, height: float) -> None:
        """Free paper."""
        self.y += height

    def rule(self, x: float = LEFT, weight: float = svg.THIN) -> None:
        """A line across."""
        svg.line(self.root, [(x, self.y), (RIGHT, self.y)], weight=weight)

    def text(self, title: str, description: str) -> str:
        """The whole picture, with what it tells a reader who does not see it."""
        found = {child.tag: child for child in reversed(self.root)}  # the first of each
        found["title"].text, found["desc"].text = title, description
        height = f"{self.y + LEFT:g}"
        found["rect"].set("height", height)
        self.root.set("viewBox", f"0 0 {svg.WIDTH} {height}")
        return svg.as_text(self.root) + "\n"


def bars(parent: Element, x: float, y: float, width: float, height: float, touched: Touched) -> None:
    """Three bars that stand on y + height: fetches grey, reads hatched, writes black; ten times as much is a step."""
    each = width / 3
    for place, (kind, count) in enumerate(
        (("fetches", touched.fetches), ("reads", touched.reads), ("writes", touched.writes))
    ):
        if count:
            tall = height * min(log10(count) + 1, _DECADES) / _DECADES
            bar(parent, x + place * each + 1, y + height - tall, each - 2, tall, kind)


def bar(parent: Element, x: float, y: float, width: float, height: float, kind: str) -> None:
    """One bar, told apart by its filling."""
    fill = {"fetches": GREY, "reads": "white", "writes": "black"}[kind]
    svg.rectangle(parent, x, y, width, height, fill=fill, weight=1).set("data-kind", kind)
    if kind == "reads":
        _hatching(parent, x, y, width, height)


def _hatching(parent: Element, x: float, y: float, width: float, height: float) -> None:
    """Lines across, close enough for a bar of a few units."""
    down = y + 3
    while down < y + height - 1:
        svg.line(parent, [(x, down), (x + width, down)], weight=1)
        down += 3
