"""All backplanes of a machine in one picture, in the order of the bus."""

from __future__ import annotations

from minisim.sheet.drawing import svg
from minisim.sheet.drawing.backplane import backplane_height, description, draw_backplane
from minisim.sheet.drawing.content import unit_view
from minisim.sheet.messages import say
from minisim.wiring.model import Wired

_BETWEEN = 24


def machine_svg(wired: Wired) -> str:
    """One `svg` element, 1000 units wide, with every unit under the one before it."""
    views = [unit_view(wired, unit.index) for unit in wired.units]
    heights = [backplane_height(view) + _BETWEEN for view in views]
    described = " ".join(description(view) for view in views)
    picture = svg.picture(sum(heights), say("drawing-machine-title", name=wired.loadout.name), described)
    down = 0.0
    for view, height in zip(views, heights, strict=True):
        draw_backplane(svg.group(svg.moved(picture, down), unit=view.name), view)
        down += height
    return svg.as_text(picture)
