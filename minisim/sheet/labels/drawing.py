"""Labels as SVG at their true size; one unit of a picture is one millimetre."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from xml.etree import ElementTree

import segno

from minisim.sheet.drawing.svg import EM, FONT, LINE, Said, as_text, folded, group, height_of, rectangle, write
from minisim.sheet.labels.content import Label
from minisim.sheet.labels.media import LEAST_MODULE, Medium
from minisim.sheet.messages import say

_QUIET = 4  # modules of white around a code, as its standard asks (ISO/IEC 18004)
_QUIET_ON_BAND = 2  # a band has no more; the backing beside it is white as well
_GAP = 1.5


@dataclass(frozen=True, slots=True)
class Code:
    """A code as its standard draws it; `side` is its length with the quiet zone, in modules."""

    made: segno.QRCode
    quiet: int

    @property
    def side(self) -> int:
        """Modules along one side, quiet zone included."""
        return int(self.made.symbol_size(border=self.quiet)[0])


@dataclass(frozen=True, slots=True)
class Pages:
    """One SVG a page, its size, and labels whose code would be too small to read, and labels that the
    medium has no room to print whole (a band: title and first line).
    """

    svgs: tuple[str, ...]
    size: tuple[float, float]
    without_code: tuple[Label, ...] = ()
    shortened: tuple[Label, ...] = ()


def label_pages(labels: Sequence[Label], medium: Medium, skip: int = 0) -> Pages:
    """All labels on their pages; `skip`: labels already used on the first sheet."""
    drawn = [_Drawn.of(label, medium) for label in labels]
    without = tuple(label for label, one in zip(labels, drawn, strict=True) if one.code is None)
    if medium.growing:
        long = max((one.width for one in drawn), default=medium.label[0])
        pages = [_page((long, medium.page[1]), [(0, 0, one)], label) for label, one in zip(labels, drawn, strict=True)]
        shortened = tuple(label for label in labels if len(label.lines) > 1)
        return Pages(tuple(pages), (long, medium.page[1]), without, shortened)
    places = list(_places(medium, len(drawn), skip % medium.each_page))
    count = max((page for page, _, _ in places), default=-1) + 1
    by_page: list[list[_Placed]] = [[] for _ in range(count)]
    for (page, x, y), one in zip(places, drawn, strict=True):
        by_page[page].append((x, y, one))
    return Pages(tuple(_page(medium.page, on_page) for on_page in by_page), medium.page, without)


def _places(medium: Medium, count: int, skip: int) -> Iterator[tuple[int, float, float]]:
    columns = medium.grid[0]
    for number in range(skip, skip + count):
        page, on_page = divmod(number, medium.each_page)
        row, column = divmod(on_page, columns)
        yield page, medium.corner[0] + column * medium.label[0], medium.corner[1] + row * medium.label[1]


_Placed = tuple[float, float, "_Drawn"]


@dataclass(frozen=True, slots=True)
class _Drawn:
    """One label worked out: lines, code, how wide it is."""

    label: Label
    medium: Medium
    code: Code | None
    lines: tuple[Said, ...]
    width: float

    @classmethod
    def of(cls, label: Label, medium: Medium) -> _Drawn:
        """Choose a code that can be read and letters that fit beside it."""
        code = _code(label, medium)
        side = _side(code, medium) if code else 0
        if medium.growing:
            lines = (Said(label.title, medium.largest, True), Said(" ".join(label.lines[:1]), medium.smallest))
            longest = max(len(one.text) * one.size * EM for one in lines)
            return cls(label, medium, code, lines, max(medium.label[0], longest + side + 2 * medium.margin + _GAP))
        room = medium.label[0] - side - 2 * medium.margin - (_GAP if code else 0)
        return cls(label, medium, code, _lines(label, medium, room), medium.label[0])

    def draw(self, parent: ElementTree.Element, x: float, y: float, width: float) -> None:
        """Put it at x, y."""
        cell = group(parent, label=self.label.kind, title=self.label.title)
        cell.set("transform", f"translate({x:g} {y:g})")
        high = self.medium.label[1]
        rectangle(cell, 0, 0, width, high, weight=0.1, fill="white")
        margin = self.medium.margin
        write(cell, margin, max((high - height_of(self.lines)) / 2, margin / 2), self.lines)
        if self.code:
            _draw_code(cell, self.code, width - _side(self.code, self.medium) - margin / 2, self.medium)


def _code(label: Label, medium: Medium) -> Code | None:
    """A code of the whole text; on a band of its beginning; None where its squares would be too small."""
    quiet = _QUIET_ON_BAND if medium.growing else _QUIET
    for text in dict.fromkeys((label.text, label.short) if medium.growing else (label.text,)):
        made = Code(segno.make(text, error="l", micro=False, encoding="utf-8", boost_error=False), quiet)
        if _side(made, medium) / made.side >= LEAST_MODULE:
            return made
    return None


def _side(code: Code, medium: Medium) -> float:
    """Millimetres: what the label leaves, at most half its width, squares of at most 0.8 mm."""
    room = medium.label[1] - (1 if medium.growing else 4)
    return min(room, medium.label[0] / 2, code.side * 0.8)


def _lines(label: Label, medium: Medium, room: float) -> tuple[Said, ...]:
    """Title and lines in letters that fit; what is too long at the smallest stands in the code alone: that is said."""
    high = medium.label[1] - medium.margin
    longest = max(map(len, re.split("[ -]", label.title)), default=1) + 1
    title = max(min(medium.largest, room / (longest * EM)), medium.smallest)
    for size in (3.2, 2.8, 2.4, medium.smallest):
        lines = [Said(text, title, True) for text in folded(label.title, room, title)]
        lines += [Said(text, size) for one in label.lines for text in folded(one, room, size)]
        if height_of(lines) <= high:
            return tuple(lines)
        title = max(title * 0.85, size)
    while lines and height_of(lines) + medium.smallest * LINE > high:
        lines.pop()
    return (*lines, Said(say("label-more"), medium.smallest))


def _draw_code(parent: ElementTree.Element, code: Code, x: float, medium: Medium) -> None:
    side = _side(code, medium)
    module = side / code.side
    cell = group(parent, code=code.made.version)
    top = (medium.label[1] - side) / 2
    cell.set("transform", f"translate({x:.4f} {top:.4f}) scale({module:.6f})")
    path = "".join(
        f"M{column + code.quiet} {row + code.quiet}h1v1h-1z"
        for row, bits in enumerate(code.made.matrix)
        for column, bit in enumerate(bits)
        if bit
    )
    ElementTree.SubElement(cell, "path", {"d": path, "fill": "black", "shape-rendering": "crispEdges"})


def _page(size: tuple[float, float], drawn: Sequence[_Placed], label: Label | None = None) -> str:
    wide, high = size
    attributes = {
        "xmlns": "http://www.w3.org/2000/svg",
        "viewBox": f"0 0 {wide:g} {high:g}",
        "width": f"{wide:g}mm",
        "height": f"{high:g}mm",
        "role": "img",
        "font-family": FONT,
    }
    root = ElementTree.Element("svg", attributes)
    texts = [label.text] if label else [one.label.text for _, _, one in drawn]
    ElementTree.SubElement(root, "title").text = "; ".join(text.replace("\n", ", ") for text in texts)
    for x, y, one in drawn:
        one.draw(root, x, y, wide if one.medium.growing else one.medium.label[0])
    return as_text(root)
