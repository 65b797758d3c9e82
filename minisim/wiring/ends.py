"""What ends the bus, and where it really stands: at the processor's end, at the far end, or inside.

What stands behind an open joint ends another bus: it counts as inside here.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.known import Known, Unknown
from minisim.wiring.model import GrantChain, WiredBoard, WiredTerminator, WiredUnit
from minisim.wiring.places import Layout

NEAR, FAR, INSIDE = "near", "far", "inside"
_NONE = ("no", "none")
BOTH_SEGMENTS = "both-segments"  # a repeater: it ends the segment before it and begins the one behind it


def wire_terminators(layout: Layout, chain: GrantChain) -> tuple[WiredTerminator, ...]:
    """Boards that end the bus, and terminators built into backplanes; unknown ones are among them."""
    return tuple(_boards(layout, chain)) + tuple(_built_in(layout))


def _boards(layout: Layout, chain: GrantChain) -> Iterator[WiredTerminator]:
    for board in layout.boards:
        figure = board.entry.terminates
        if isinstance(figure, Unknown) or (isinstance(figure, Known) and figure.peek not in _NONE):
            at = _mux_end(layout, chain, board) if layout.bus == "mux" else _sep_end(layout, board)
            yield WiredTerminator(board.index, board.unit, figure, board.entry.terminates_end or "unknown", at)


def last_unit(layout: Layout) -> int:
    """Index of the unit where the bus that begins in the first one really ends: before the first open joint."""
    open_joints = [unit.index for unit in layout.units if not unit.joined]
    return min(open_joints, default=len(layout.units)) - 1


def _built_in(layout: Layout) -> Iterator[WiredTerminator]:
    for unit in layout.units:
        figure = unit.entry.termination
        if isinstance(figure, Known) and figure.peek == "sockets":
            figure = Unknown(f"resistor packs in the sockets of backplane {unit.box}/{unit.id}")
        if isinstance(figure, Unknown) or (isinstance(figure, Known) and figure.peek not in _NONE):
            yield WiredTerminator(
                None, unit.index, figure, unit.entry.termination_end or "unknown", _unit_end(layout, unit)
            )


def _unit_end(layout: Layout, unit: WiredUnit) -> str:
    """Where a terminator of the backplane stands: by its own end, and whether the bus goes on there."""
    end = unit.entry.termination_end
    last = unit.index == last_unit(layout)
    if end == NEAR:
        return NEAR if unit.index == 0 else INSIDE
    if end == BOTH_SEGMENTS:
        return INSIDE
    return FAR if last else INSIDE


def _mux_end(layout: Layout, chain: GrantChain, board: WiredBoard) -> str:
    """Along the order of the grants: near before or at the processor, far where no board stands behind it."""
    hops = chain.hops
    own = [hop.number for hop in hops if hop.board == board.index]
    if board.entry.processor is not None:
        return NEAR
    if not own:
        return INSIDE
    processor = _last_processor(layout, chain)
    if own[-1] < processor:
        return NEAR
    end = last_unit(layout)
    later = [hop.board for hop in hops if hop.number > own[-1] and hop.board not in (None, board.index)]
    on_this_bus = [index for index in later if index is not None and layout.boards[index].unit <= end]
    return FAR if board.unit == end and not on_this_bus else INSIDE


def _last_processor(layout: Layout, chain: GrantChain) -> int:
    """Number of the last position of the first processor; 0 where there is none."""
    owners = [hop.board for hop in chain.hops if hop.board is not None and layout.boards[hop.board].entry.processor]
    return max((hop.number for hop in chain.hops if owners and hop.board == owners[0]), default=0)


def _sep_end(layout: Layout, board: WiredBoard) -> str:
    """By slots: near at the processor or right behind it, far in the last slot of the last unit."""
    if board.entry.processor is not None:
        return NEAR
    unit = layout.units[board.unit]
    slot = board.place.slots[0]
    last = max(unit.entry.slots, default=slot)
    if unit.index == last_unit(layout) and slot == last and unit.entry.slots:
        return FAR
    if unit.index == 0 and slot <= _first_behind_processor(layout):
        return NEAR
    return INSIDE


def _first_behind_processor(layout: Layout) -> int:
    """The first slot of the first unit that no board of the processor holds."""
    held = {
        slot
        for board in layout.in_unit(0)
        if board.entry.processor is not None or board.entry.option_adds
        for slot in board.place.slots
    }
    return next(slot for slot in range(1, len(held) + 2) if slot not in held)
