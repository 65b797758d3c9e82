"""Pictures of lines, boxes and words.  Attributes only, so that several pictures stand in one page without a clash."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from textwrap import wrap
from xml.etree import ElementTree

Element = ElementTree.Element

WIDTH = 1000
FONT = "DejaVu Sans Mono, monospace"
EM = 0.6021  # width of a character of this font, by its size
LINE = 1.25  # from line to line, by the size
THIN, PLAIN, HEAVY = 1.5, 2, 4
_HATCH = 11  # between two lines of a hatching


@dataclass(frozen=True, slots=True)
class Said:
    """One paragraph, or one line of it once it is folded."""

    text: str
    size: float = 14
    bold: bool = False


def picture(height: float, title: str, description: str) -> Element:
    """An empty picture of the full width."""
    root = Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"0 0 {WIDTH} {_number(height)}",
            "role": "img",
            "font-family": FONT,
        },
    )
    ElementTree.SubElement(root, "title").text = title
    ElementTree.SubElement(root, "desc").text = description
    rectangle(root, 0, 0, WIDTH, height, fill="white", stroke="none")
    return root


def as_text(root: Element) -> str:
    """The picture as one line of XML."""
    return ElementTree.tostring(root, encoding="unicode")


def group(parent: Element, **data: object) -> Element:
    """A group that says by `data-` attributes what it shows."""
    return ElementTree.SubElement(
        parent, "g", {f"data-{name.replace('_', '-')}": str(value) for name, value in data.items()}
    )


def moved(parent: Element, down: float) -> Element:
    """A group whose own zero stands `down` units lower."""
    return ElementTree.SubElement(parent, "g", {"transform": f"translate(0 {_number(down)})"})


def words(
    parent: Element, x: float, y: float, text: str, size: float = 14, *, bold: bool = False, fill: str = "black",
    anchor: str = "start",
) -> None:  # fmt: skip
    """One line of text with its base line at y."""
    attributes = {"x": _number(x), "y": _number(y), "font-size": _number(size), "fill": fill}
    attributes |= {"font-weight": "bold"} if bold else {}
    attributes |= {"text-anchor": anchor} if anchor != "start" else {}
    ElementTree.SubElement(parent, "text", attributes).text = text


def width_of(text: str, size: float) -> float:
    """How wide a line of text is."""
    return len(text) * size * EM


def folded(text: str, width: float, size: float) -> list[str]:
    """A text in lines that fit into `width`; words are divided only where one is too long for a line."""
    columns = max(int(width / (size * EM)), 1)
    too_long = any(len(word) > columns for word in text.split())
    return wrap(text, columns, break_on_hyphens=too_long) or [""]


def fitted(said: Iterable[Said], width: float = WIDTH - 20) -> list[Said]:
    """Paragraphs in lines that fit into `width`."""
    return [Said(text, one.size, one.bold) for one in said for text in folded(one.text, width, one.size)]


def height_of(lines: Iterable[Said]) -> float:
    """How much room lines need under each other."""
    return sum(one.size * LINE for one in lines)


def write(parent: Element, x: float, y: float, lines: Iterable[Said], *, on_white: bool = False) -> float:
    """Lines under each other from y on; gives the y under the last one.  `on_white`: each on a white ground."""
    for one in lines:
        if on_white:
            rectangle(parent, x - 3, y, width_of(one.text, one.size) + 6, one.size * LINE, fill="white", stroke="none")
        y += one.size * LINE
        words(parent, x, y - one.size * 0.25, one.text, one.size, bold=one.bold)
    return y


def rectangle(
    parent: Element, x: float, y: float, width: float, height: float, *, stroke: str = "black", fill: str = "none",
    weight: float = PLAIN, dash: str = "", round_by: float = 0,
) -> Element:  # fmt: skip
    """A box."""
    attributes = {"x": x, "y": y, "width": width, "height": height}
    box = ElementTree.SubElement(parent, "rect", {name: _number(value) for name, value in attributes.items()})
    box.attrib |= {"fill": fill, "stroke": stroke} | _pen(weight, dash)
    if round_by:
        box.attrib["rx"] = _number(round_by)
    return box


def circle(
    parent: Element, x: float, y: float, radius: float, *, fill: str = "white", weight: float = PLAIN, dash: str = ""
) -> None:
    """A circle around x, y."""
    attributes = {"cx": _number(x), "cy": _number(y), "r": _number(radius), "fill": fill, "stroke": "black"}
    ElementTree.SubElement(parent, "circle", attributes | _pen(weight, dash))


def line(parent: Element, points: list[tuple[float, float]], *, weight: float = PLAIN, dash: str = "") -> None:
    """A line through points."""
    shown = " ".join(f"{_number(x)},{_number(y)}" for x, y in points)
    pen = _pen(weight, dash) | ({"stroke-linecap": "round"} if dash == DOTTED else {})
    ElementTree.SubElement(parent, "polyline", {"points": shown, "fill": "none", "stroke": "black"} | pen)


def arrow_head(parent: Element, x: float, y: float) -> None:
    """A small arrow head that points down to x, y."""
    points = " ".join(f"{_number(px)},{_number(py)}" for px, py in ((x - 7, y - 12), (x + 7, y - 12), (x, y)))
    ElementTree.SubElement(parent, "polygon", {"points": points, "fill": "black"})


def cross(parent: Element, x: float, y: float, reach: float) -> None:
    """A heavy cross."""
    for sign in (1, -1):
        ends = [(x - reach, y - sign * reach), (x + reach, y + sign * reach)]
        _stroke(parent, ends, "white", 11)
        _stroke(parent, ends, "black", 6)


def hatching(parent: Element, x: float, y: float, width: float, height: float) -> None:
    """Slanted lines over a box, drawn one by one: a pattern is not shown alike by every reader of pictures."""
    strokes = "".join(
        f"M{_number(x + x1)} {_number(y + y1)}L{_number(x + x2)} {_number(y + y2)}"
        for x1, y1, x2, y2 in _slants(width, height)
    )
    ElementTree.SubElement(parent, "path", {"d": strokes, "fill": "none", "stroke": "black"} | _pen(THIN, ""))


def _slants(width: float, height: float) -> Iterator[tuple[float, float, float, float]]:
    """Both ends of every line x + y = n that crosses the box."""
    for n in range(_HATCH, int(width + height), _HATCH):
        yield min(n, width), max(n - width, 0), max(n - height, 0), min(n, height)


DOTTED = "1 9"
DASHED = "13 7"


def _pen(weight: float, dash: str) -> dict[str, str]:
    return {"stroke-width": _number(weight)} | ({"stroke-dasharray": dash} if dash else {})


def _stroke(parent: Element, ends: list[tuple[float, float]], colour: str, weight: float) -> None:
    (x1, y1), (x2, y2) = ends
    attributes = {"x1": x1, "y1": y1, "x2": x2, "y2": y2}
    stroke = ElementTree.SubElement(parent, "line", {name: _number(value) for name, value in attributes.items()})
    stroke.attrib |= {"stroke": colour, "stroke-width": _number(weight), "stroke-linecap": "round"}


def _number(value: float) -> str:
    return f"{round(value, 1):g}"
