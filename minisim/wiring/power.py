"""What every box has to feed: rails with rating, least load and the sum of boards and drives, and the power of all."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal

from minisim.catalogue.model import SupplyEntry
from minisim.known import Evidence, Figure, Known, NotApplicable, Part, Total, Unknown, total
from minisim.loadout.model import Box, Loadout
from minisim.wiring.cables import is_from
from minisim.wiring.model import WiredBoard, WiredBox, WiredRail
from minisim.wiring.places import Layout, label
from minisim.wiring.source import Catalogue

RAILS = ("+5", "+5 standby", "+12", "-12", "+15", "-15", "+20", "-5")
"""All rails, in the order in which they are printed."""

Eater = tuple[str, Mapping[str, Figure[Decimal]]]
"""What takes current in a box: its name ("main/a/3CF M0000", "main/a/3:0 fixed-disk-30mb") and amperes by rail."""

_PAIR = "-pair"  # a drive of two units is one thing to feed, though each unit may have a line among the cables
_NOTHING = NotApplicable()


def volts(rail: str) -> Decimal:
    """Volts of a rail without their sign: 5 for "+5 standby"."""
    return Decimal(rail.split()[0].lstrip("+-"))


def wire_boxes(loadout: Loadout, layout: Layout, catalogue: Catalogue) -> tuple[WiredBox, ...]:
    """All boxes in the order of the loadout."""
    return tuple(_box(box, loadout, layout, catalogue) for box in loadout.boxes)


def dc_loads(layout: Layout) -> Total:
    """DC loads of all boards over the whole bus; those of backplanes stand in their entries."""
    return total(Part(label(board), board.entry.dc) for board in layout.boards)


def _box(box: Box, loadout: Loadout, layout: Layout, catalogue: Catalogue) -> WiredBox:
    supply = catalogue.supply(box.supply) if box.supply else None
    boards = [board for board in layout.boards if layout.units[board.unit].box == box.id]
    eaters: list[Eater] = [
        (label(board), _amps(board, _ratings(box, supply), _memory_rail(board, layout))) for board in boards
    ]
    eaters += _drives(boards, loadout, catalogue)
    rails = tuple(_rail(box, rail, supply, eaters) for rail in _rails_of(box, supply, eaters))
    return WiredBox(box.id, supply, rails, _watts_rating(box, supply), _watts(eaters), box.supply_mark)


def _rails_of(box: Box, supply: SupplyEntry | None, eaters: list[Eater]) -> list[str]:
    """Rails that the supply has or something asks for; +5 always."""
    asked = {rail for _, amps in eaters for rail in amps}
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
    rail = layout.units[board.unit].memory_volts
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


def _drives(boards: list[WiredBoard], loadout: Loadout, catalogue: Catalogue) -> list[Eater]:
    """Drives that sit in a box and live on its supply: in the box of the board they hang on, each once."""
    found: dict[tuple[int, str, int | None], Eater] = {}
    for end in loadout.cables:
        board = next((board for board in boards if is_from(end, board)), None)
        if board is None or end.to == "terminal":
            continue
        drive = catalogue.drive(end.to)
        unit = end.unit // 2 if end.unit is not None and drive.id.endswith(_PAIR) else end.unit
        if drive.rails:
            name = f"{board.place}:{end.unit or 0} {drive.id}"
            found.setdefault((board.index, drive.id, unit), (name, dict(drive.rails)))
    return list(found.values())


def _rail(box: Box, rail: str, supply: SupplyEntry | None, eaters: list[Eater]) -> WiredRail:
    parts = [Part(name, amps[rail]) for name, amps in eaters if rail in amps]
    return WiredRail(box.id, rail, _rating(box, supply, rail), _minimum(box, supply, rail), total(parts))


def _watts(eaters: list[Eater]) -> Total:
    """Power over all rails of a box: amperes times volts of every board and drive."""
    return total(part for name, amps in eaters for part in _watts_of(name, amps))


def _watts_of(name: str, amps: Mapping[str, Figure[Decimal]]) -> Iterator[Part]:
    for rail, figure in amps.items():
        if isinstance(figure, Known):
            figure = Known(figure.peek * volts(rail), figure.evidence, figure.sources, figure.note)
        yield Part(f"{name} at {rail}", figure)
