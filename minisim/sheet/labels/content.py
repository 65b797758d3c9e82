"""What stands on each label."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from minisim.sheet.messages import say
from minisim.sheet.numbers import handle

if TYPE_CHECKING:
    from minisim.wiring.model import Wired, WiredBoard, WiredCable


@dataclass(frozen=True, slots=True)
class Label:
    """One label: `title` in the largest letters, `lines` under it.  `kind`: box, place, board, cable."""

    kind: str
    title: str
    lines: tuple[str, ...]

    @property
    def text(self) -> str:
        """All that stands on it: what the code holds."""
        return "\n".join((self.title, *self.lines))

    @property
    def short(self) -> str:
        """Title and first line: what a band has room for."""
        return " ".join((self.title, *self.lines[:1]))


def labels_of(wired: Wired) -> tuple[Label, ...]:
    """Boxes, then every slot of every backplane, then the boards, then both ends of every cable."""
    return (*_boxes(wired), *_places(wired), *_boards(wired), *_cables(wired), *_joints(wired))


def _boxes(wired: Wired) -> Iterator[Label]:
    for box in wired.boxes:
        units = ", ".join(f"{unit.box}/{unit.id}" for unit in wired.units if unit.box == box.id)
        supply = box.supply.id if box.supply else say("figure-unknown")
        lines = (wired.loadout.name, say("label-units", units=units), say("label-supply", supply=supply))
        yield Label("box", say("label-box", box=box.id), lines)


def _places(wired: Wired) -> Iterator[Label]:
    for unit in wired.units:
        parts = [part for part in wired.slots if (part.place.box, part.place.unit) == (unit.box, unit.id)]
        for slot in sorted({part.place.slots[0] for part in parts}):
            inside = dict.fromkeys(index for part in parts if part.place.slots[0] == slot for index in part.boards)
            boards = tuple(f"{_rows(wired.boards[index])}: {handle(wired.boards[index].entry)}" for index in inside)
            lines = boards or (say("label-empty"),)
            yield Label("place", say("label-slot", unit=f"{unit.box}/{unit.id}", slot=str(slot)), lines)


def _rows(board: WiredBoard) -> str:
    return str(board.place).rpartition("/")[2]


def _boards(wired: Wired) -> Iterator[Label]:
    for board in wired.boards:
        settings = [f"{name} {setting.text}" for name, setting in board.placed.settings.items()]
        item = [say("label-item", item=board.placed.item)] if board.placed.item else []
        options = [say("label-options", options=", ".join(board.placed.options))] if board.placed.options else []
        set_ = [", ".join(settings)] if settings else []
        lines = (handle(board.entry), *item, board.entry.kind, *options, *set_, wired.loadout.name)
        yield Label("board", str(board.place), lines)


def _cables(wired: Wired) -> Iterator[Label]:
    for cable in wired.cables:
        here, there = _port(cable), cable.drive.id
        kind = cable.cable.kind if cable.cable else ""
        yield _end(here, there, kind)
        yield _end(there, here, kind)


def _joints(wired: Wired) -> Iterator[Label]:
    for before, unit in zip(wired.units, wired.units[1:], strict=False):
        here, there = f"{before.box}/{before.id}", f"{unit.box}/{unit.id}"
        yield _end(here, there, unit.cable)
        yield _end(there, here, unit.cable)


def _end(here: str, there: str, kind: str) -> Label:
    lines = (say("label-other-end", there=there), *([kind] if kind else []))
    return Label("cable", say("label-this-end", here=here), lines)


def _port(cable: WiredCable) -> str:
    end = cable.end
    if end.line is not None:
        return f"{end.board} {say('cables-line-number', number=str(end.line))}"
    if end.unit is not None:
        return f"{end.board} {say('cables-unit-number', number=str(end.unit))}"
    return end.board
