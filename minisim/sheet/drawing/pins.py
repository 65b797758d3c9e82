"""Drawings from the pin side, mirrored: where a wire must be looked at or moved.

Two kinds: the DMA-grant wire CA1-CB1 of each slot of the separate-line bus, and the four wires that widen an 18-bit
backplane of the multiplexed bus to 22 bits, where this machine needs them.
"""

from __future__ import annotations

from minisim.sheet.blocks import Drawing
from minisim.sheet.drawing.grant_wires import grant_wires_drawing
from minisim.sheet.drawing.pin_advice import grant_wires, widening
from minisim.sheet.drawing.widening import widening_drawing
from minisim.wiring.model import Wired


def pin_drawings(wired: Wired) -> tuple[Drawing, ...]:
    """One drawing for each unit in which a wire must be looked at or moved."""
    drawings = []
    for unit in wired.units:
        wires = grant_wires(wired, unit)
        if wires:
            drawings.append(grant_wires_drawing(unit, wires))
        way = widening(wired, unit)
        if way is not None:
            drawings.append(widening_drawing(unit, way))
    return tuple(drawings)
