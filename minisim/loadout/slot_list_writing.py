"""A loadout as a slot list for a mail: 72 columns of plain characters, which `slot_list_reader` reads back."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator

from minisim.catalogue.model import BackplaneEntry, BoardEntry
from minisim.catalogue.reader import Catalogue
from minisim.known import Known
from minisim.loadout import fields as f
from minisim.loadout.build import ONLY_UNIT
from minisim.loadout.model import Box, Described, Loadout, Placed, Unit
from minisim.loadout.places import PlaceText, rows_of
from minisim.loadout.settings import setting_field
from minisim.loadout.slot_list_lines import plain
from minisim.loadout.slot_list_numbers import Numbers, short_kind
from minisim.loadout.writer import _by_slot
from minisim.problems import InputError
from minisim.wiring.model import Hop, Passes, Wired

WIDTH = 72
_SLOT, _NUMBER, _WHAT = 8, 12, 26
_REMARK = _SLOT + _NUMBER + _WHAT
_TOGETHER = "\u00a0"  # a blank at which no line is broken: a setting stays on one line
_GAP = "gap: no grant passes"


def slot_list_text(loadout: Loadout, catalogue: Catalogue) -> str:
    """The text of a mail."""
    lines = _Writer(loadout, catalogue).lines()
    return "\n".join(line.replace(_TOGETHER, " ").rstrip() for line in lines) + "\n"


class _Writer:
    """One loadout on its way into text."""

    def __init__(self, loadout: Loadout, catalogue: Catalogue) -> None:
        self.loadout = loadout
        self.catalogue = catalogue
        self.numbers = Numbers(catalogue)
        self.wired = self._wire()
        self.left: list[str] = []  # what the text can't hold

    def _wire(self) -> Wired | None:
        from minisim.wiring.resolve import resolve

        try:
            return resolve(self.loadout, self.catalogue)
        except InputError:
            return None  # the list is written without the way of the grants

    def lines(self) -> Iterator[str]:
        """Every line."""
        yield from _label("Name", self.loadout.name)
        yield f"State: {self.loadout.state}"
        yield from self._panel()
        for one in self.loadout.modifications:
            yield from _label("Modified", one)
        for box in self.loadout.boxes:
            yield ""
            yield from self._box(box)
        for note in self.loadout.notes.splitlines():
            if note.strip():
                yield from _label("Notes", note)
        yield from self._not_held()

    def _panel(self) -> Iterator[str]:
        panel = self.loadout.switches
        if panel.halt:
            yield "Halt switch: on"
        if panel.register is not None:
            yield f"Switch register: {f.WORD.show(panel.register)}"

    def _not_held(self) -> Iterator[str]:
        for things, word in ((self.loadout.cables, "cable"), (self.loadout.accept, "accepted finding")):
            if things:
                self.left.insert(0, f"{len(things)} {word}{'' if len(things) == 1 else 's'}")
        if self.left:
            yield ""
            yield from _label("Not in this text", ", ".join(self.left))

    # ---- boxes and backplanes

    def _box(self, box: Box) -> Iterator[str]:
        yield f"Box {box.id}:"
        if box.supply is not None:
            yield from _label("Supply", f"{box.supply}{self._marking('supplies', box.supply)}")
        else:
            yield "Supply: unknown"
        if box.described is not None:
            self.left.append(f"the supply described for box {box.id}")
        alone = len(box.units) == 1 and box.units[0].id == ONLY_UNIT
        for number, unit in enumerate(box.units):
            if number:
                yield ""
            yield from self._unit(box, unit, alone=alone)

    def _unit(self, box: Box, unit: Unit, *, alone: bool) -> Iterator[str]:
        backplane = self.catalogue.backplane(unit.backplane)
        yield from _label(
            "Backplane" if alone else f"Backplane {unit.id}",
            f"{backplane.id}{self._marking('backplanes', backplane.id)}",
        )
        if unit.joined_by is not None:
            joint = unit.joined_by
            length = f", {f.METRES.show(joint.length_m)} m" if joint.length_m is not None else ""
            yield from _label("Joined by", f"{joint.cable}{length}{'' if joint.connected else ', not connected'}")
        for kind, states in unit.wires.items():
            if kind == "dma-grant" and states:
                yield from _label("DMA-grant wires", _by_slot(states, f.IN_OUT).strip("{}").replace(": ", " "))
        if unit.regulators:
            self.left.append(f"which regulator feeds the slots of {box.id}/{unit.id}")
        if backplane.bus == "mux" and backplane.grant_order:
            yield from _label("Grants", f"pass {' '.join(backplane.grant_order)}")
        yield ""
        yield f"{'Slot':{_SLOT}}{'Number':{_NUMBER}}{'What it is':{_WHAT}}Remark"
        yield from self._slots(box, unit, backplane)

    def _marking(self, folder: str, name: str) -> str:
        markings = getattr(self.catalogue.entry(folder, name), "markings", None)
        return f" ({', '.join(markings.peek)})" if isinstance(markings, Known) and markings.peek else ""

    # ---- slots

    def _slots(self, box: Box, unit: Unit, backplane: BackplaneEntry) -> Iterator[str]:
        hops = self._hops(box, unit)
        rows: list[tuple[tuple[int, str], list[str]]] = []
        covered: set[tuple[int, str]] = set()
        for placed in unit.placed:
            where = self._where(box, unit, placed)
            covered |= {(slot, row) for slot in where.slots for row in where.rows or rows_of(backplane, slot)}
            rows.append(((where.slots[0], where.rows), list(self._board(placed, where, hops))))
        for empty, remark in self._empties(backplane, covered, hops):
            rows.append(((empty.slots[0], empty.rows), [_row(str(empty), "-", "empty", remark)]))
        for _, lines in sorted(rows, key=lambda row: row[0]):
            yield from lines

    def _where(self, box: Box, unit: Unit, placed: Placed) -> PlaceText:
        """The place with its rows, where those are not the whole slot."""
        backplane = self.catalogue.backplane(unit.backplane)
        rows = placed.rows
        if not rows and self.wired is not None:
            for board in self.wired.boards:
                if board.placed is placed:
                    rows = board.rows
        return PlaceText(placed.slots, "" if set(rows_of(backplane, placed.slots[0])) <= set(rows) else rows)

    def _hops(self, box: Box, unit: Unit) -> dict[tuple[int, str], Hop]:
        """The positions of the grant chains in this unit, by slot and first row."""
        found: dict[tuple[int, str], Hop] = {}
        for chain in self.wired.chains if self.wired else ():
            for hop in chain.hops:
                if (hop.place.box, hop.place.unit) == (box.id, unit.id) and not hop.joint:
                    for row in hop.place.rows:
                        found.setdefault((hop.place.slots[0], row), hop)
        return found

    def _empties(
        self, backplane: BackplaneEntry, covered: set[tuple[int, str]], hops: dict[tuple[int, str], Hop]
    ) -> Iterator[tuple[PlaceText, str]]:
        """Empty places: whole slots, halves of slots with the bus on both; neighbours of one kind together."""
        run: list[tuple[int, str]] = []
        for slot in sorted(backplane.slots):
            rows = rows_of(backplane, slot)
            free = "".join(row for row in rows if (slot, row) not in covered)
            remark = self._gap(slot, rows, hops) if free == rows else ""
            if run and (free != rows or run[-1][1] != remark):
                yield PlaceText(tuple(one for one, _ in run), ""), run[-1][1]
                run = []
            if free == rows:
                run.append((slot, remark))
            elif backplane.bus == "mux":
                for half in ("AB", "CD"):
                    if half in free and (slot, half[0]) in hops:
                        yield PlaceText((slot,), half), self._gap(slot, half, hops)
        if run:
            yield PlaceText(tuple(one for one, _ in run), ""), run[-1][1]

    def _gap(self, slot: int, rows: str, hops: dict[tuple[int, str], Hop]) -> str:
        """Does a grant end here that a board behind needs?"""
        mine = [hops[slot, row] for row in rows if (slot, row) in hops]
        stops = [hop for hop in mine if hop.board is None and hop.passes is Passes.NO]
        return _GAP if any(self._needed_behind(hop) for hop in stops) else ""

    def _needed_behind(self, hop: Hop) -> bool:
        wired = self.wired
        assert wired is not None
        chain = next(chain for chain in wired.chains if any(one is hop for one in chain.hops))
        return any(
            one.number > hop.number and one.board is not None and _uses_bus(wired.boards[one.board].entry)
            for one in chain.hops
        )

    # ---- one board

    def _board(self, placed: Placed, where: PlaceText, hops: dict[tuple[int, str], Hop]) -> Iterator[str]:
        entry = self.catalogue.board(placed.board) if isinstance(placed.board, str) else None
        number = self._number(entry) if entry else "(unknown)"
        what = short_kind(entry.kind) if entry else ""
        remarks = self._remarks(placed, entry)
        if self._unreached(where, hops):
            remarks.append("[no grant arrives]")
        text = ", ".join(plain(one).replace(" ", _TOGETHER) for one in remarks)
        if len(number) >= _NUMBER:
            yield _row(str(where), number, "", "")
            yield from _continued(text, _SLOT + 2)
            return
        lines = textwrap.wrap(text, WIDTH - _REMARK, break_on_hyphens=False, break_long_words=False)
        if any(len(line) > WIDTH - _REMARK for line in lines):
            yield _row(str(where), number, what, "")
            yield from _continued(text, _SLOT + 2)
            return
        yield _row(str(where), number, what, lines[0] if lines else "")
        yield from (f"{'':{_REMARK}}{line}" for line in lines[1:])

    def _number(self, entry: BoardEntry) -> str:
        """The number on the handle where it means this board and no other, else the id of the catalogue."""
        markings = entry.markings.peek if isinstance(entry.markings, Known) else ()
        joined = "/".join(markings)
        sole = [one for one in markings if self._means(one, entry)]
        if len(sole) == len(markings) > 1 and len(joined) < _NUMBER:
            return joined
        return sole[0] if sole else entry.id

    def _means(self, marking: str, entry: BoardEntry) -> bool:
        found = self.numbers.found_in(marking)
        if len(found) != 1 or found[0].text != marking:
            return False
        return self.numbers.board_of(found[0], "")[0] == entry.id

    def _unreached(self, where: PlaceText, hops: dict[tuple[int, str], Hop]) -> bool:
        if self.wired is None:
            return False
        mine = [hop for (slot, _), hop in hops.items() if slot in where.slots and hop.board is not None]
        return any(
            hop.reached is Passes.NO and hop.board is not None and _uses_bus(self.wired.boards[hop.board].entry)
            for hop in mine
            if not where.rows or set(hop.place.rows) & set(where.rows)
        )

    def _remarks(self, placed: Placed, entry: BoardEntry | None) -> list[str]:
        said = list(placed.options)
        for name, setting in placed.settings.items():
            shown = setting_field(entry, name).show(setting.value) if entry else setting.text
            if re.fullmatch(r"[\w.-]{1,20}", shown, re.ASCII):
                said.append(f"{name} {shown}")
            else:
                self.left.append(f"{name} of {placed.place}")
        for rom in placed.roms:
            said.append(f"{f.show_register_address(rom.at)} {rom.rom}")
            if rom.image_text or rom.sha256:
                self.left.append(f"the image of the ROM in {placed.place}")
        if isinstance(placed.board, Described):
            said += _described(placed.board)
        if placed.item:
            if re.fullmatch(r"[A-Za-z0-9]([\w.-]{0,29}[\w-])?", placed.item, re.ASCII):
                said.append(f"item {placed.item}")
            else:
                self.left.append(f"the item name of {placed.place}")
        return said


def _uses_bus(entry: BoardEntry) -> bool:
    return any(isinstance(figure, Known) and figure.peek == "yes" for figure in (entry.interrupts, entry.dma))


def _described(board: Described) -> list[str]:
    words = [board.height] if board.height else []
    for name, value in (("interrupts", board.interrupts), ("DMA", board.dma), ("passes grants", board.passes_grant)):
        if value is not None:
            words.append(f"{name} {'yes' if value else 'no'}")
    if board.registers is not None:
        words.append(f"address {f.show_register_address(board.registers)}")
    words += [f"{board.words} words"] if board.words else []
    words += [f"vector {f.VECTOR.show(board.vector)}"] if board.vector is not None else []
    words += [f"{board.vectors} vectors"] if board.vectors else []
    words += [f"level {board.level}"] if board.level is not None else []
    words += [f"{f.LOADS.show(board.ac)} AC"] if board.ac is not None else []
    words += [f"{f.LOADS.show(board.dc)} DC"] if board.dc is not None else []
    return words + [f"{f.AMPERES.show(amps)} A from {rail}" for rail, amps in board.amps.items()]


# ---- lines


def _row(slot: str, number: str, what: str, remark: str) -> str:
    return f"{slot:{_SLOT}}{number:{_NUMBER}}{what:{_WHAT}}{remark}".rstrip()


def _continued(text: str, indent: int) -> Iterator[str]:
    yield from textwrap.wrap(
        text, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * indent,
        break_on_hyphens=False, break_long_words=False,
    )  # fmt: skip


def _label(label: str, text: str) -> Iterator[str]:
    yield from textwrap.wrap(
        f"{label}: {' '.join(plain(text).split())}", WIDTH, subsequent_indent="  ",
        break_on_hyphens=False, break_long_words=False,
    )  # fmt: skip
