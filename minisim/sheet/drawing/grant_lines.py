"""The way of the grants over a drawing of slots: lines from hop to hop, numbers, the cross at the first broken hop.

Whole line and circles: interrupts (or both kinds together).  Broken line and squares: DMA.  Black number: a grant
arrives.  White number, thin line: none does.  Dotted, with a question mark: not known.
"""

from __future__ import annotations

from dataclasses import dataclass

from minisim.sheet.drawing import svg
from minisim.sheet.drawing.content import UnitView, hop_letter
from minisim.sheet.drawing.grants import GrantPath
from minisim.sheet.drawing.plate import GUTTER, SMALL, Plate
from minisim.sheet.messages import say
from minisim.wiring.model import GrantKind, Hop, Passes

_RADIUS = 13
_LEGEND = 36  # height of one line of the legend


@dataclass(frozen=True, slots=True)
class _Stop:
    """A hop at its place on paper."""

    hop: Hop
    x: float
    y: float


def draw_grants(parent: svg.Element, plate: Plate, top: float) -> None:
    """Draw every path of a unit; it comes in at `top` and leaves at the foot of the slots where the bus goes on."""
    for path in plate.view.paths:
        group = svg.group(parent, grants=path.kind)
        stops = _stops(plate, path, top)
        _lines(group, plate, path, stops, top)
        for stop in stops:
            _number(svg.group(group, hop=stop.hop.number, at=stop.hop.place), path, stop)
        for stop in stops:
            if stop.hop is path.broken:
                _broken(svg.group(group, broken=stop.hop.number), stop)


def _stops(plate: Plate, path: GrantPath, top: float) -> list[_Stop]:
    stops = []
    for hop in plate.view.hops(path):
        if hop.joint:
            stops.append(_Stop(hop, _first_x(plate, path), top))
        else:
            stops.append(_Stop(hop, *plate.spot(path, hop)))
    return stops


def _first_x(plate: Plate, path: GrantPath) -> float:
    first = next((hop for hop in plate.view.hops(path) if not hop.joint), None)
    letter = hop_letter(plate.view, path, first) if first else plate.columns[0]
    return plate.x(letter) + GUTTER / 2


def _lines(parent: svg.Element, plate: Plate, path: GrantPath, stops: list[_Stop], top: float) -> None:
    """The line into each hop; across before down, so that it stays in the free strips."""
    if not stops:
        return
    before = stops[0]
    if before.hop.number > 1 and not before.hop.joint:
        _line(parent, path, before.hop, [(before.x, top), (before.x, before.y)])
        svg.arrow_head(parent, before.x, 0)
    for stop in stops[1:]:
        _line(parent, path, stop.hop, [(before.x, before.y), (stop.x, before.y), (stop.x, stop.y)])
        before = stop
    after = next((hop for hop in path.chain.hops if hop.number == before.hop.number + 1), None)
    if after is not None:
        _line(parent, path, after, [(before.x, before.y), (before.x, plate.height + 6)])
        svg.arrow_head(parent, before.x, plate.height + 16)


def _line(parent: svg.Element, path: GrantPath, into: Hop, points: list[tuple[float, float]]) -> None:
    dma = path.kinds == (GrantKind.DMA,)
    arrives = _arrives(path, into) if into.number > path.start else Passes.NO  # nothing comes to where it starts
    if arrives is Passes.UNKNOWN:
        svg.line(parent, points, weight=svg.HEAVY, dash=svg.DOTTED)
    elif arrives is Passes.NO:
        svg.line(parent, points, weight=svg.THIN, dash="6 5" if dma else "")
    else:
        svg.line(parent, points, weight=svg.HEAVY, dash=svg.DASHED if dma else "")


def _arrives(path: GrantPath, hop: Hop) -> Passes:
    """Does a grant come to the hop?  None does before the processor, where it starts."""
    return Passes.NO if hop.number < path.start else hop.reached


def _number(parent: svg.Element, path: GrantPath, stop: _Stop) -> None:
    arrives = _arrives(path, stop.hop)
    unsure = stop.hop.passes is Passes.UNKNOWN and arrives is not Passes.NO
    _node(parent, stop.x, stop.y, path.kind, arrives)
    text = f"{stop.hop.number}{'?' if unsure or arrives is Passes.UNKNOWN else ''}"
    colour = "white" if arrives is Passes.YES else "black"
    svg.words(parent, stop.x, stop.y + 4.5, text, SMALL, bold=True, fill=colour, anchor="middle")


def _node(parent: svg.Element, x: float, y: float, kind: str, arrives: Passes) -> None:
    fill = "black" if arrives is Passes.YES else "white"
    dash = "3 3" if arrives is Passes.UNKNOWN else ""
    weight = svg.THIN if arrives is Passes.NO else svg.PLAIN
    if kind == GrantKind.DMA:
        reach = _RADIUS - 1
        svg.rectangle(parent, x - reach, y - reach, 2 * reach, 2 * reach, fill=fill, weight=weight, dash=dash)
    else:
        svg.circle(parent, x, y, _RADIUS, fill=fill, weight=weight, dash=dash)


def _broken(parent: svg.Element, stop: _Stop) -> None:
    svg.cross(parent, stop.x, stop.y, 20)
    svg.circle(parent, stop.x, stop.y, 11, weight=svg.THIN)
    svg.words(parent, stop.x, stop.y + 4.5, str(stop.hop.number), SMALL, bold=True, anchor="middle")


# ---- legend


def legend_height(plate: Plate) -> float:
    """Of all its lines."""
    return _LEGEND * len(_legend_lines(plate.view))


def legend(parent: svg.Element, plate: Plate, top: float) -> float:
    """Draw what the signs mean, as far as they occur; the y under it."""
    group = svg.group(parent, part="legend")
    y = top + _LEGEND / 2
    for entries in _legend_lines(plate.view):
        x = 10.0
        for sign, text in entries:
            _sign(group, sign, x, y)
            svg.words(group, x + 48, y + 4.5, text, SMALL)
            x += 48 + svg.width_of(text, SMALL) + 18
        y += _LEGEND
    return y - _LEGEND / 2


def _legend_lines(view: UnitView) -> list[list[tuple[str, str]]]:
    """Signs with their words, as many to a line as fit."""
    lines: list[list[tuple[str, str]]] = [[]]
    used = 10.0
    for sign in _signs(view):
        text = say(f"drawing-legend-{sign}")
        wide = 48 + svg.width_of(text, SMALL) + 18
        if used + wide > svg.WIDTH and lines[-1]:
            lines.append([])
            used = 10.0
        lines[-1].append((sign, text))
        used += wide
    return lines


def _signs(view: UnitView) -> list[str]:
    arrivals = {_arrives(path, hop) for path in view.paths for hop in view.hops(path) if hop is not path.broken}
    doubts = any(view.here(hop) for path in view.paths for hop in path.doubtful)
    broken = any(view.here(path.broken) for path in view.paths)
    shown = [path.kind for path in view.paths]
    shown += ["arrives"] if Passes.YES in arrivals else []
    shown += ["none"] if Passes.NO in arrivals else []
    shown += ["unknown"] if Passes.UNKNOWN in arrivals or doubts else []
    shown += ["broken"] if broken else []
    shown += ["card"] if view.cards else []
    return shown + (["tick"] if view.boards else [])


def _sign(parent: svg.Element, sign: str, x: float, y: float) -> None:
    middle = x + 21
    if sign in ("both", "interrupt", "dma"):
        svg.line(parent, [(x, y), (x + 33, y)], weight=svg.HEAVY, dash=svg.DASHED if sign == "dma" else "")
    elif sign == "card":
        svg.hatching(parent, x, y - 12, 42, 24)
        svg.rectangle(parent, x, y - 12, 42, 24)
    elif sign == "tick":
        svg.rectangle(parent, middle - 7, y - 7, 14, 14)
    elif sign == "broken":
        svg.cross(parent, middle, y, 11)
    else:
        arrives = {"arrives": Passes.YES, "none": Passes.NO, "unknown": Passes.UNKNOWN}[sign]
        _node(parent, middle, y, "both", arrives)
        svg.words(parent, middle, y + 4.5, "1?" if sign == "unknown" else "1", SMALL, bold=True,
                  fill="white" if sign == "arrives" else "black", anchor="middle")  # fmt: skip
