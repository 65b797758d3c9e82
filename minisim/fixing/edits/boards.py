"""Boards moved, put in, taken out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from minisim.fixing.edits._edit import Edit
from minisim.fixing.edits._words import items_out
from minisim.fixing.sheet import Sheet, order_of, split
from minisim.fixing.spans import Entry, Piece, line_start
from minisim.fixing.splices import CannotEdit, Splice, added, below, entry_lines, replaced, without_entry
from minisim.loadout.places import read_place


@dataclass(frozen=True, slots=True)
class Move:
    """One board on its way; `card` is true for a grant card."""

    name: str
    start: str
    end: str
    card: bool = False

    @property
    def cost(self) -> int:
        """A card is lighter than a board; other rows of the same slot are mostly a slip of the pen."""
        if self.card or (
            split(self.start)[:2] == split(self.end)[:2] and _first_slot(self.start) == _first_slot(self.end)
        ):
            return 1
        return 3


def _first_slot(place: str) -> int:
    return read_place(split(place)[2]).slots[0]


@dataclass(frozen=True, slots=True)
class MoveBoards(Edit):
    """Boards to other places, all at once, with their cables and accepted findings."""

    boards: tuple[Move, ...]
    kind: ClassVar[str] = "move"

    @property
    def cost(self) -> int:
        """The sum over the boards."""
        return sum(one.cost for one in self.boards)

    def words(self) -> str:
        """`move M7940 from main/a/2CD to main/a/2AB, and ...`."""
        first, *rest = self.boards
        return ", and ".join(
            [f"move {first.name} from {first.start} to {first.end}"]
            + [f"{one.name} from {one.start} to {one.end}" for one in rest]
        )

    def moves(self) -> Mapping[str, str]:
        """Where each went."""
        return {one.start: one.end for one in self.boards}

    def splices(self, sheet: Sheet) -> list[Splice]:
        """Another key for each board; a board that goes to another backplane takes its lines along."""
        done: list[Splice] = []
        for one in self.boards:
            done += _moved_board(sheet, one)
            done += _followed(sheet, one)
        return _joined(done)


def _moved_board(sheet: Sheet, move: Move) -> list[Splice]:
    slots, entry = sheet.slot(move.start)
    where = split(move.end)[2]
    if split(move.start)[:2] == split(move.end)[:2]:
        return replaced(sheet.text, entry.key, where)
    return [*_taken_out(sheet, slots, entry, move.start), *_carried(sheet, slots, entry, move.end)]


def _carried(sheet: Sheet, slots: Piece, entry: Entry, end: str) -> list[Splice]:
    """The lines of an entry in another backplane, with the indent of their new neighbours."""
    box, unit, where = split(end)
    there = sheet.slots(box, unit)
    if slots.flow or there is None or there.flow or not there.entries:
        return put_in(sheet, end, _on_one_line(sheet, entry))
    first, last = entry_lines(sheet.text, slots, entry)
    lines = (sheet.text[first : entry.key.start] + where + sheet.text[entry.key.end : last]).rstrip("\r\n")
    old = entry.key.start - line_start(sheet.text, entry.key.start)
    new = there.entries[0].key.start - line_start(sheet.text, there.entries[0].key.start)
    shifted = "\n".join(_shifted(line, new - old) for line in lines.split("\n"))
    after = _before(there, where) or there.entries[0]
    return [below(sheet.text, after.end, shifted, new)]


def _shifted(line: str, by: int) -> str:
    if not line.strip():
        return line
    return " " * by + line if by > 0 else line[min(-by, len(line) - len(line.lstrip(" "))) :]


def _on_one_line(sheet: Sheet, entry: Entry) -> str:
    """The value of an entry as it stands between braces; CannotEdit where it is written over several lines."""
    shown = sheet.text[entry.value.start : entry.value.end]
    if not entry.value.flow or "\n" in shown or "\r" in shown:
        raise CannotEdit("a board written over several lines goes into a list between braces")
    return shown


def _taken_out(sheet: Sheet, slots: Piece, entry: Entry, place: str) -> list[Splice]:
    """The entry out; where it was the last one, `slots` goes too."""
    if len(slots.entries) > 1 or slots.flow:
        return without_entry(sheet.text, slots, entry)
    box, unit, _ = split(place)
    owner = sheet.unit(box, unit)
    whole = owner.entry("slots")
    assert whole is not None
    return without_entry(sheet.text, owner, whole)


def _followed(sheet: Sheet, move: Move) -> list[Splice]:
    """Cables and accepted findings name the new place."""
    named = [one.value("from") for one in sheet.leaving(move.start)]
    named += [one.value("at") for one in sheet.accepted_at(move.start)]
    return [splice for piece in named if piece is not None for splice in replaced(sheet.text, piece, move.end)]


def _joined(splices: list[Splice]) -> list[Splice]:
    """Each stretch of text once: two boards of one line share the spaces before its comment."""
    return list({(one.start, one.end): one for one in reversed(splices)}.values())


def _before(slots: Piece, where: str) -> Entry | None:
    """The entry behind which a place is written so that slots rise: the last one that sorts before it."""
    wanted = order_of(read_place(where))
    earlier = [one for one in slots.entries if order_of(read_place(one.key.text)) < wanted]
    return earlier[-1] if earlier else None


def put_in(sheet: Sheet, place: str, value: str) -> list[Splice]:
    """A new entry under `slots`, in the order of the slots; `slots` itself where there is none."""
    box, unit, where = split(place)
    slots = sheet.slots(box, unit)
    if slots is not None and slots.entries:
        return added(sheet.text, slots, where, value, after=_before(slots, where))
    owner = sheet.unit(box, unit)
    empty = owner.entry("slots")
    if slots is not None:
        return added(sheet.text, slots, where, value)
    if empty is not None:
        raise CannotEdit("slots: is written without anything in it")
    return added(sheet.text, owner, "slots", f"{{{where}: {value}}}", after=owner.entries[-1])


@dataclass(frozen=True, slots=True)
class PutBoard(Edit):
    """A grant card in an empty place."""

    board: str
    name: str
    place: str
    kind: ClassVar[str] = "put"

    @property
    def cost(self) -> int:
        """Something must be found and plugged in."""
        return 2

    def words(self) -> str:
        """`put a grant card (M9047, grant-card) into main/a/2CD`."""
        return f"put a grant card ({self.name}) into {self.place}"

    def splices(self, sheet: Sheet) -> list[Splice]:
        """One more entry under slots."""
        return put_in(sheet, self.place, f"{{board: {self.board}}}")


@dataclass(frozen=True, slots=True)
class RemoveBoard(Edit):
    """A board out of the machine, with its cables and accepted findings."""

    name: str
    place: str
    card: bool = False
    set_of: str = ""  # the place under which the whole set stands now: nothing is lost then
    kind: ClassVar[str] = "remove"

    @property
    def cost(self) -> int:
        """The machine loses what the board does; a line that only says a set twice is nothing to the hand."""
        return 0 if self.set_of else 1 if self.card else 6

    def handles(self) -> tuple[str, ...]:
        """Its place."""
        return (self.place,)

    def words(self) -> str:
        """`take M7940 out of main/a/2CD`."""
        if self.set_of:
            return f"write the set once, at {self.set_of}, and no longer at {self.place}"
        return f"take {self.name} out of {self.place}"

    def splices(self, sheet: Sheet) -> list[Splice]:
        """Its entry out, and what hangs on it."""
        slots, entry = sheet.slot(self.place)
        done = _taken_out(sheet, slots, entry, self.place)
        if self.set_of:
            return [*done, *_followed(sheet, Move(self.name, self.place, self.set_of))]
        done += items_out(sheet, "cables", sheet.leaving(self.place))
        return [*done, *items_out(sheet, "accept", sheet.accepted_at(self.place))]
