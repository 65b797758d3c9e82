"""From what the lines say to a loadout: rows are found, places are checked against the backplane."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import Any

from minisim.catalogue.model import BackplaneEntry, BoardEntry
from minisim.catalogue.reader import Catalogue
from minisim.findings import Mark
from minisim.loadout import fields as f
from minisim.loadout.build import ONLY_UNIT
from minisim.loadout.model import Box, Described, Joint, Loadout, Placed, RomFitted, Setting, Switches, Unit
from minisim.loadout.places import ALL_ROWS, PlaceText, read_slots, rows_of
from minisim.loadout.settings import setting_field
from minisim.loadout.slot_list import Entry, SlotList, UnitText
from minisim.loadout.slot_list_boards import HEIGHT_ROWS, height_of
from minisim.loadout.slot_list_sets import board_of, usual_cable

_DEFAULT_ROWS = {"mux": {"dual": "AB", "quad": "ABCD"}, "sep": {"single": "D", "quad": "CDEF", "hex": "ABCDEF"}}


@dataclass(frozen=True, slots=True)
class Choice:
    """What is supposed where the list does not say: backplanes and supplies by their place, rows by entry."""

    backplanes: Mapping[str, str] = field(default_factory=dict)
    rows: Mapping[int, str] = field(default_factory=dict)  # id(entry) -> rows
    joined: bool = False  # backplanes of which no cable is named are joined all the same


# ---- rows


def height_rows(entry: Entry, board: BoardEntry | None) -> int:
    """How many rows the board takes; 0 where nobody knows."""
    height = height_of(board) or entry.described.get("height", "")
    return HEIGHT_ROWS.get(height, 0)


def natural_rows(entry: Entry, board: BoardEntry | None, bus: str) -> str:
    """The rows of a board whose list says none: those of the catalogue, or of its height; "" for the whole slot."""
    if board is not None:
        return board.rows or ""
    return _DEFAULT_ROWS.get(bus, {}).get(entry.described.get("height", ""), "")


def may_stand_in_cd(entry: Entry, board: BoardEntry | None, backplane: BackplaneEntry) -> bool:
    """A dual board on a slot with the bus on both halves: the list must say in which half it stands.

    A processor in slot 1 is taken to stand in A and B, where the grants begin.
    """
    if entry.empty or entry.rows or backplane.bus != "mux" or height_rows(entry, board) != HEIGHT_ROWS["dual"]:
        return False
    if board is not None and board.processor is not None and entry.slots == (1,) and not entry.side:
        return False
    kinds = backplane.slots.get(entry.slots[0], {})
    return kinds.get("CD") == "twin-bus"


def rows_in(entry: Entry, board: BoardEntry | None, backplane: BackplaneEntry, choice: Choice) -> str:
    """The rows an entry stands in; "" for the whole slot."""
    rows = choice.rows.get(id(entry)) or entry.rows or natural_rows(entry, board, backplane.bus)
    if entry.rows and (high := height_rows(entry, board)) > len(entry.rows):
        first = ALL_ROWS.index(entry.rows[0])
        rows = ALL_ROWS[first : first + high]
    there = rows_of(backplane, entry.slots[0])
    return "" if rows and set(there) <= set(rows) else rows


# ---- the loadout


@dataclass(slots=True)
class Built:
    """A loadout, and the entries that found no place in it with the reason."""

    loadout: Loadout
    left_out: list[tuple[Entry, str]] = field(default_factory=list)
    places: dict[int, str] = field(default_factory=dict)  # id(entry) -> main/a/2AB


class Assembly:
    """Makes loadouts of one list for several choices."""

    def __init__(self, slot_list: SlotList, catalogue: Catalogue) -> None:
        self.list = slot_list
        self.catalogue = catalogue

    def build(self, choice: Choice) -> Built | None:
        """The loadout for a choice; None while a backplane is missing."""
        if any(not self.backplane(unit, choice) for unit in self.list.units):
            return None
        built = Built(self._empty())
        boxes = tuple(self._box(box.id, built, choice) for box in self.list.boxes if self.list.units_of(box.id))
        lines = [*self.list.modifications, *self._modifications(built)]
        notes = "\n".join([*self.list.notes, *self._remarks(built)])
        built.loadout = self._empty(boxes, tuple(lines), notes)
        return built

    def backplane(self, unit: UnitText, choice: Choice) -> str:
        """The backplane of a unit: as written, else as supposed."""
        return unit.backplane or choice.backplanes.get(unit.name, "")

    def mark(self, line: int) -> Mark:
        """The place of a line of the list."""
        return Mark(self.list.file, max(line, 1), 1)

    def _empty(self, boxes: tuple[Box, ...] = (), modifications: tuple[str, ...] = (), notes: str = "") -> Loadout:
        mark = self.mark(1)
        register = int(self.list.register, 8) if self.list.register else None
        return Loadout(
            name=self.list.name or "Slot list",
            state=self.list.state or "as-found",
            boxes=boxes,
            cables=(),
            switches=Switches(register, self.list.halt, mark),
            accept=(),
            modifications=modifications,
            notes=notes,
            file=self.list.file,
            path=Path(self.list.file),
            sha256="",
            mark=mark,
        )

    def _modifications(self, built: Built) -> Iterator[str]:
        for entry in self._entries():
            where = built.places.get(id(entry), _slots_text(entry))
            yield from (f"{where}: {what}" for what in entry.modifications)

    def _remarks(self, built: Built) -> Iterator[str]:
        for entry in self._entries():
            where = built.places.get(id(entry), _slots_text(entry))
            known = entry.board or not entry.number or entry.empty
            remark = "" if says_no_more(entry.remark, board_of(entry, self.catalogue)) else entry.remark
            words = [remark] if known else [f"number {entry.number}", remark]
            if entry.size_text:
                words.append(entry.size_text)
            text = ", ".join(dict.fromkeys(word for word in words if word))
            if text:
                yield f"{where}: {text}"

    def _entries(self) -> Iterator[Entry]:
        for unit in self.list.units:
            yield from unit.entries

    def _box(self, box_id: str, built: Built, choice: Choice) -> Box:
        box = next(one for one in self.list.boxes if one.id == box_id)
        units = tuple(self._unit(unit, built, choice) for unit in self.list.units_of(box_id))
        mark = self.mark(box.line)
        return Box(box.id, box.supply or None, None, units, mark, mark)

    def _unit(self, unit: UnitText, built: Built, choice: Choice) -> Unit:
        backplane = self.catalogue.backplane(self.backplane(unit, choice))
        wires = self._wires(unit, backplane)
        return Unit(
            id=unit.id or ONLY_UNIT,
            backplane=backplane.id,
            wires={"dma-grant": wires} if wires else {},
            joined_by=self._joint(unit, usual_cable(backplane.bus, self.catalogue) if choice.joined else ""),
            placed=self._placed(unit, backplane, built, choice),
            mark=self.mark(unit.line),
            backplane_mark=self.mark(unit.backplane_line),
            wires_marks=dict.fromkeys(wires, self.mark(unit.line)),
        )

    def _joint(self, unit: UnitText, supposed: str) -> Joint | None:
        if unit is self.list.units[0] or not (unit.joint or supposed):
            return None
        if not unit.joint:
            return Joint(supposed, None, True, self.mark(unit.line))
        length = unit.joint.get("length-m")
        return Joint(
            unit.joint["cable"], Decimal(length) if length else None, unit.joint.get("connected") != "no",
            self.mark(unit.line),
        )  # fmt: skip

    @staticmethod
    def _wires(unit: UnitText, backplane: BackplaneEntry) -> dict[int, bool]:
        wires: dict[int, bool] = {}
        if backplane.bus != "sep":
            return wires
        for slots, state in sorted(unit.wires.items(), key=lambda pair: "-" not in pair[0]):
            try:
                first, last = read_slots(slots)
            except f.FieldError:
                continue
            there = [slot for slot in range(first, last + 1) if not backplane.slots or slot in backplane.slots]
            wires.update(dict.fromkeys(there, state == "in"))
        return dict(sorted(wires.items()))

    def _placed(self, unit: UnitText, backplane: BackplaneEntry, built: Built, choice: Choice) -> tuple[Placed, ...]:
        taken: dict[tuple[int, str], Entry] = {}
        made = []
        for entry in unit.entries:
            if entry.empty or is_bare(entry):
                continue
            board = board_of(entry, self.catalogue)
            where = PlaceText(entry.slots, rows_in(entry, board, backplane, choice))
            if entry.rows == "" and (free := self._other_half(entry, board, backplane, where, taken)):
                where = PlaceText(entry.slots, free)
            why = place_refused(where, backplane) or _twice(where, backplane, taken)
            if why:
                built.left_out.append((entry, why))
                continue
            taken.update({(slot, row): entry for slot in where.slots for row in where.rows or rows_of(backplane, slot)})
            built.places[id(entry)] = f"{unit.name}/{where}"
            made.append(self._board(entry, board, where))
        return tuple(made)

    @staticmethod
    def _other_half(
        entry: Entry, board: BoardEntry | None, backplane: BackplaneEntry, where: PlaceText, taken: Mapping[Any, Entry]
    ) -> str:
        """Where two dual boards share a slot without rows, the second stands in the other half."""
        if not may_stand_in_cd(entry, board, backplane) or where.rows not in ("AB", "CD"):
            return ""
        if (entry.slots[0], where.rows[0]) not in taken:
            return ""
        other = "CD" if where.rows == "AB" else "AB"
        return other if (entry.slots[0], other[0]) not in taken else ""

    def _board(self, entry: Entry, board: BoardEntry | None, where: PlaceText) -> Placed:
        mark = self.mark(entry.line)
        settings = {
            name: Setting(name, text, setting_field(board, name).read(text), self.mark(line))
            for name, (text, line) in entry.settings.items() if board is not None
        }  # fmt: skip
        roms = tuple(
            RomFitted(f.REGISTER_ADDRESS.read(at), rom, None, None, mark)
            for at, rom in entry.roms.items()
            if board is not None
        )
        return Placed(
            place=str(where),
            slots=where.slots,
            rows=where.rows,
            board=board.id if board is not None else described(entry, mark),
            item=entry.item,
            options=tuple(entry.options) if board is not None else (),
            settings=settings,
            roms=roms,
            mark=mark,
        )


def is_bare(entry: Entry) -> bool:
    """A slot with nothing written behind it."""
    words = (entry.number, entry.remark, entry.described, entry.amps, entry.modifications, entry.item, entry.nobody)
    return entry.board == "" and not any(words)


_PLAIN_WORDS = frozenset(
    ["cpu", "the", "and", "with", "for", "card", "board", "module", "interface", "controller", "main", "unit"]
)


def says_no_more(remark: str, board: BoardEntry | None) -> bool:
    """Does a remark only call the board by words of its own description, such as `processor`?"""
    if board is None or re.search(r"[0-9]{2}|[0-9][A-Za-z]", remark):
        return False
    words = set(re.findall(r"[a-z]{3,}", remark.lower()))
    return words <= set(re.findall(r"[a-z]{3,}", board.kind.lower())) | _PLAIN_WORDS


def place_refused(where: PlaceText, backplane: BackplaneEntry) -> str:
    """Why the backplane has no such place, or nothing."""
    from minisim.loadout.places import why_not_in

    return why_not_in(where, backplane)


def _twice(where: PlaceText, backplane: BackplaneEntry, taken: Mapping[tuple[int, str], Entry]) -> str:
    for slot in where.slots:
        for row in where.rows or rows_of(backplane, slot):
            if (slot, row) in taken:
                other = taken[slot, row]
                return f"slot {slot} row {row} holds {other.number or 'the board'} of line {other.line} already"
    return ""


def described(entry: Entry, mark: Mark) -> Described:
    """A board nobody knows, with what the list says of it."""
    facts = entry.described

    def number(name: str, of: str) -> int:
        return int(facts[name]) if name in facts else int(of in facts)

    return Described(
        height=facts.get("height"),
        interrupts=_yes_no(facts.get("interrupts")),
        dma=_yes_no(facts.get("dma")),
        passes_grant=_yes_no(facts.get("passes-grant")),
        amps={rail: Decimal(amps) for rail, amps in entry.amps.items()},
        ac=Decimal(facts["ac"]) if "ac" in facts else None,
        dc=Decimal(facts["dc"]) if "dc" in facts else None,
        registers=f.REGISTER_ADDRESS.read(facts["address"]) if "address" in facts else None,
        words=number("words", "address"),
        vector=int(facts["vector"], 8) if "vector" in facts else None,
        vectors=number("vectors", "vector"),
        level=int(facts["level"]) if "level" in facts else None,
        mark=mark,
    )


def _yes_no(word: str | None) -> bool | None:
    return None if word is None else word == "yes"


def _slots_text(entry: Entry) -> str:
    return f"slot {slots_text(entry.slots)}"


def slots_text(slots: tuple[int, ...]) -> str:
    """`3`, `5-7`, `1, 3, 5-7`."""
    runs: list[list[int]] = []
    for slot in sorted(set(slots)):
        if runs and slot == runs[-1][-1] + 1:
            runs[-1].append(slot)
        else:
            runs.append([slot])
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs)
