"""What every box has to feed: rails with rating, least load and the sum of the boards, and the power over all rails."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal

from minisim.catalogue.model import SupplyEntry
from minisim.known import Evidence, Figure, Known, NotApplicable, Part, Total, Unknown, total
from minisim.loadout.model import Box, Loadout
from minisim.wiring.model import WiredBoard, WiredBox, WiredRail
from minisim.wiring.places import Layout, label
from minisim.wiring.source import Catalogue

RAILS = ("+5", "+5 standby", "+12", "-12", "+15", "-15", "+20", "-5")
"""All rails, in the order in which they are printed."""

_NOTHING = NotApplicable()


def volts(rail: str) -> Decimal:
    """Volts of a rail without their sign: 5 for "+5 standby"."""
    return Decimal(rail.split()[0].lstrip("+-"))


def wire_boxes(loadout: Loadout, layout: Layout, catalogue: Catalogue) -> tuple[WiredBox, ...]:
    """All boxes in the order of the loadout."""
    return tuple(_box(box, layout, catalogue) for box in loadout.boxes)


def dc_loads(layout: Layout) -> Total:
    """DC loads of all boards over the whole bus; those of backplanes stand in their entries."""
    return total(Part(label(board), board.entry.dc) for board in layout.boards)


def _box(box: Box, layout: Layout, catalogue: Catalogue) -> WiredBox:
    supply = catalogue.supply(box.supply) if box.supply else None
    boards = [board for board in layout.boards if layout.units[board.unit].box == box.id]
    loads = {board.index: _amps(board, _ratings(box, supply), _memory_rail(board, layout)) for board in boards}
    rails = tuple(_rail(box, rail, supply, boards, loads) for rail in _rails_of(box, supply, loads))
    return WiredBox(box.id, supply, rails, _watts_rating(box, supply), _watts(boards, loads), box.supply_mark)


def _rails_of(box: Box, supply: SupplyEntry | None, loads: Mapping[int, Mapping[str, object]]) -> list[str]:
    """Rails that the supply has or a board asks for; +5 always."""
    asked = {rail for amps in loads.values() for rail in amps}
    return [rail for rail in RAILS if rail == "+5" or rail in asked or rail in _ratings(box, supply)]


# ---- what the supply gives


def _ratings(box: Box, supply: SupplyEntry | None) -> Mapping[str, Figure[Decimal]]:
    """Rails the supply has; figures of the owner stand above those of the catalogue."""
    stated = box.described.rails if box.described else {}
    owner = {rail: Known(amps, Evidence.OWNER) for rail, amps in stated.items()}
    return {**(supply.rails if supply else {}), **owner}


def _rating(box: Box, supply: SupplyEntry | None, rail: str) -> Figure[Decimal]:
    """Amperes of one rail; NotApplicable where a stated supply has no such rail."""
    if supply is None and box.described is None:
        return Unknown(f"supply of box {box.id}")
    return _ratings(box, supply).get(rail, _NOTHING)


def _minimum(box: Box, supply: SupplyEntry | None, rail: str) -> Figure[Decimal]:
    """Least load of one rail; NotApplicable where none is stated."""
    stated = box.described.minimum if box.described else {}
    if rail in stated:
        return Known(stated[rail], Evidence.OWNER)
    if supply is None:
        return _NOTHING if box.described else Unknown(f"supply of box {box.id}")
    return supply.minimum.get(rail, _NOTHING)


def _watts_rating(box: Box, supply: SupplyEntry | None) -> Figure[Decimal]:
    if box.described and box.described.watts is not None:
        return Known(box.described.watts, Evidence.OWNER)
    if supply is not None:
        return supply.watts
    return _NOTHING if box.described else Unknown(f"supply of box {box.id}")


# ---- what the boards take


def _memory_rail(board: WiredBoard, layout: Layout) -> str:
    """Volts on the memory pins of the backplane, 12 or 15; nothing where unknown."""
    rail = layout.units[board.unit].entry.memory_rail
    return rail.peek if isinstance(rail, Known) else ""


def _amps(board: WiredBoard, ratings: Mapping[str, Figure[Decimal]], memory_rail: str) -> dict[str, Figure[Decimal]]:
    """Amperes of one board by rail: of rails it may take one way or another, only the way it takes here."""
    if not board.entry.amps_known:
        return {"+5": Unknown("current of the board")}
    used = _group(board.entry.either, ratings, memory_rail)
    unused = {rail for group in board.entry.either for rail in group} - set(used)
    return {rail: figure for rail, figure in board.entry.amps.items() if rail not in unused}


def _group(
    groups: tuple[tuple[str, ...], ...], ratings: Mapping[str, Figure[Decimal]], memory_rail: str
) -> tuple[str, ...]:
    """The group of rails the place feeds: by the memory pins, else the first that the supply has, else the first."""
    if not groups:
        return ()
    wired = [group for group in groups if memory_rail and group[0] == f"+{memory_rail}"]
    fed = [group for group in groups if all(rail in ratings for rail in group)]
    part_fed = [group for group in groups if group[0] in ratings]
    return (wired + fed + part_fed + list(groups))[0]


def _rail(
    box: Box,
    rail: str,
    supply: SupplyEntry | None,
    boards: list[WiredBoard],
    loads: Mapping[int, Mapping[str, Figure[Decimal]]],
) -> WiredRail:
    parts = [Part(label(board), loads[board.index][rail]) for board in boards if rail in loads[board.index]]
    return WiredRail(box.id, rail, _rating(box, supply, rail), _minimum(box, supply, rail), total(parts))


def _watts(boards: list[WiredBoard], loads: Mapping[int, Mapping[str, Figure[Decimal]]]) -> Total:
    """Power over all rails of a box: amperes times volts of every board."""
    return total(part for board in boards for part in _watts_of(board, loads[board.index]))


def _watts_of(board: WiredBoard, amps: Mapping[str, Figure[Decimal]]) -> Iterator[Part]:
    for rail, figure in amps.items():
        if isinstance(figure, Known):
            figure = Known(figure.peek * volts(rail), figure.evidence, figure.sources, figure.note)
        yield Part(f"{label(board)} at {rail}", figure)
