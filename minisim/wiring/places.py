"""Where everything stands: units in bus order, boards in their places, and the parts of every slot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from minisim.catalogue.model import BackplaneEntry, BoardEntry
from minisim.known import Evidence, Known, NotApplicable, Part, total
from minisim.loadout.model import Described, Loadout, Placed, Unit
from minisim.wiring.cables import length_of
from minisim.wiring.describe import entry_of
from minisim.wiring.model import Place, SlotPart, WiredBoard, WiredUnit
from minisim.wiring.source import Catalogue

ALL_ROWS = "ABCDEF"
_NOTHING_THERE = "none"  # the backplane's word for rows without a connector


@dataclass(frozen=True, slots=True)
class Layout:
    """Units, boards and slots of one machine; `written` are the units of the loadout, alike in order to `units`."""

    units: tuple[WiredUnit, ...]
    written: tuple[Unit, ...]
    boards: tuple[WiredBoard, ...]
    slots: tuple[SlotPart, ...]

    @property
    def bus(self) -> str:
        """mux or sep: the bus of the first unit."""
        return self.units[0].entry.bus if self.units else ""

    def in_unit(self, unit: int) -> tuple[WiredBoard, ...]:
        """The boards of one unit, in the order of the loadout."""
        return tuple(board for board in self.boards if board.unit == unit)

    def covering(self, unit: int, slot: int, rows: str) -> tuple[WiredBoard, ...]:
        """The boards that cover any of `rows` in one slot, in the order of the loadout."""
        return tuple(board for board in self.in_unit(unit) if slot in board.place.slots and set(rows) & set(board.rows))


def label(board: WiredBoard) -> str:
    """Place and marking, as parts of sums are named: "main/a/3CF M0000"."""
    marks = board.entry.markings
    name = "/".join(getattr(marks, "peek", ())) or board.entry.id
    return f"{board.place} {name}"


def lay_out(loadout: Loadout, catalogue: Catalogue) -> Layout:
    """Look everything up and put it in its place."""
    written = [(box.id, unit) for box in loadout.boxes for unit in box.units]
    entries = [catalogue.backplane(unit.backplane) for _, unit in written]
    boards = tuple(_boards(written, entries, catalogue))
    units = tuple(
        _unit(index, box, unit, entries[index], boards, catalogue) for index, (box, unit) in enumerate(written)
    )
    slots = tuple(part for unit in units for part in _parts(unit, boards))
    return Layout(units, tuple(unit for _, unit in written), boards, slots)


def _unit(
    index: int, box: str, unit: Unit, entry: BackplaneEntry, boards: tuple[WiredBoard, ...], catalogue: Catalogue
) -> WiredUnit:
    loads = total(Part(label(board), board.entry.ac) for board in boards if board.unit == index)
    joined = index == 0 or (unit.joined_by is not None and unit.joined_by.connected)
    length = length_of(unit.joined_by, f"{box}/{unit.id}", catalogue)
    kind = unit.joined_by.cable if unit.joined_by else ""
    return WiredUnit(
        index, box, unit.id, entry, joined, loads, unit.mark, length, kind, unit.regulators, unit.regulators_marks,
        catalogue.cable(kind).address_bits if kind else NotApplicable(),
        Known(unit.memory_volts, Evidence.OWNER) if unit.memory_volts else entry.memory_rail,
    )  # fmt: skip


def _boards(
    written: list[tuple[str, Unit]], entries: list[BackplaneEntry], catalogue: Catalogue
) -> Iterator[WiredBoard]:
    index = 0
    for number, (box, unit) in enumerate(written):
        for placed in unit.placed:
            yield _board(
                index, number, Place(box, unit.id, placed.slots, placed.rows), placed, entries[number], catalogue
            )
            index += 1


def _board(
    index: int, unit: int, place: Place, placed: Placed, backplane: BackplaneEntry, catalogue: Catalogue
) -> WiredBoard:
    assumed = isinstance(placed.board, Described)
    entry = (
        entry_of(placed.board, backplane.bus) if isinstance(placed.board, Described) else catalogue.board(placed.board)
    )
    rows = placed.rows or entry.rows or _rows_there(backplane, place.slots)
    kinds = _kinds(backplane, place.slots, rows, entry)
    return WiredBoard(index, place, placed, entry, unit, kinds, assumed, rows)


def _rows_there(backplane: BackplaneEntry, slots: tuple[int, ...]) -> str:
    """Every row of the slots, for a board whose own rows nobody knows."""
    there = {row for slot in slots for rows in _slot(backplane, slot) for row in rows}
    return "".join(row for row in ALL_ROWS if row in there or (not there and row in backplane.rows))


def _slot(backplane: BackplaneEntry, slot: int) -> Mapping[str, str]:
    """Kinds of one slot by rows, without the rows where there is no connector; empty where unknown."""
    return {rows: kind for rows, kind in backplane.slots.get(slot, {}).items() if kind != _NOTHING_THERE}


# ---- slot kinds under a board


def _kinds(backplane: BackplaneEntry, slots: tuple[int, ...], rows: str, entry: BoardEntry) -> tuple[str, ...]:
    """The kinds a board may be judged by, each once (see WiredBoard.kinds)."""
    look = _hex_kinds if backplane.bus == "sep" and len(rows) == len(ALL_ROWS) else _plain_kinds
    return tuple(dict.fromkeys(kind for slot in slots for kind in look(_slot(backplane, slot), rows)))


def _plain_kinds(slot: Mapping[str, str], rows: str) -> list[str]:
    """Kinds of the entries the rows touch; an entry over all rows counts only where nothing finer is there."""
    touched = {own: kind for own, kind in slot.items() if set(own) & set(rows)}
    fine = [kind for own, kind in touched.items() if own != ALL_ROWS]
    return fine or list(touched.values())


def _hex_kinds(slot: Mapping[str, str], _rows: str) -> list[str]:
    """A hex board is judged by an entry over all six rows, or by A-B with what lies beneath for smaller boards."""
    return [kind for own, kind in slot.items() if "A" in own]


# ---- parts of slots


def _parts(unit: WiredUnit, boards: tuple[WiredBoard, ...]) -> Iterator[SlotPart]:
    """The parts of every slot of a unit, cut where entries or boards begin and end."""
    here = [board for board in boards if board.unit == unit.index]
    for slot in sorted({*unit.entry.slots, *(slot for board in here for slot in board.place.slots)}):
        kinds = _slot(unit.entry, slot)
        inside = [board for board in here if slot in board.place.slots]
        for rows in _cut(kinds, inside):
            covering = {own: kind for own, kind in kinds.items() if set(rows) <= set(own)}
            claimed = tuple(board.index for board in inside if set(rows) & set(board.rows))
            yield SlotPart(Place(unit.box, unit.id, (slot,), rows), covering, claimed)


def _cut(kinds: Mapping[str, str], boards: list[WiredBoard]) -> list[str]:
    """Runs of rows that the same entries and the same boards cover."""
    runs: list[tuple[object, str]] = []
    for row in ALL_ROWS:
        under = tuple(own for own in kinds if row in own)
        over = tuple(board.index for board in boards if row in board.rows)
        if not under and not over:
            continue
        key = (under, over)
        if runs and runs[-1][0] == key and ord(runs[-1][1][-1]) + 1 == ord(row):
            runs[-1] = (key, runs[-1][1] + row)
        else:
            runs.append((key, row))
    return [rows for _, rows in runs]
