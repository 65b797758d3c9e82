"""A loadout on the desk: boards are taken out, put in and set, the rules asked, the machine switched on.

The file of the machine stays as it is; what changes is a copy in memory.  A board that was taken out lies beside the
machine with its settings and its cables, and has them again where it is put in.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.bench.answer import Answer
from minisim.problems import InputError, nearest, printable

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue
    from minisim.findings import Finding, Report
    from minisim.fixing.situation import Situation
    from minisim.loadout.model import Box, CableEnd, Loadout, Placed, Unit
    from minisim.machine.machine import Machine

WORDS = {
    "look": "look                         the slots with their boards, and the boards that lie beside the machine",
    "take out": "take out PLACE               a board out of its place",
    "put in": "put in PLACE BOARD           a board by its id or number; one beside the machine keeps its settings",
    "set": "set PLACE KEY VALUE          a switch or jumper of the board in a place",
    "check": "check                        what the rules find",
    "boot": "boot                         switch the machine on; boot anyway: in spite of faults, never of damage",
}


@dataclass(frozen=True, slots=True)
class Lying:
    """A board beside the machine, with the cables that hang on it."""

    board: Placed
    cables: tuple[CableEnd, ...]

    @property
    def name(self) -> str:
        """The id of the board."""
        return self.board.board if isinstance(self.board.board, str) else "described"


@dataclass(frozen=True, slots=True)
class Desk:
    """The loadout as it stands, read, resolved and checked, and what lies beside the machine."""

    situation: Situation
    beside: tuple[Lying, ...] = ()

    @property
    def loadout(self) -> Loadout:
        """The loadout as it stands."""
        return self.situation.wired.loadout

    @property
    def report(self) -> Report:
        """What the rules find."""
        return self.situation.report

    def board_at(self, place: str) -> str:
        """The board at a place such as main/a/2CD; "" where it is empty."""
        found = self.situation.board(place)
        return found.entry.id if found is not None else ""


class _Refusal(Exception):  # noqa: N818  # an answer, no failure
    """A line that can't be done; the message says why."""


@dataclass(slots=True)
class PlanDesk:
    """The conversation about one loadout.  `booted` is the machine that was switched on last."""

    path: Path
    desk: Desk = field(init=False)
    booted: Machine | None = None
    catalogue: Catalogue = field(init=False)

    def __post_init__(self) -> None:
        from minisim.catalogue import Catalogue
        from minisim.loadout.reader import read_bytes_of_loadout

        self.catalogue = Catalogue().beside(self.path)
        self.desk = Desk(self._read(read_bytes_of_loadout(self.path)))

    def do(self, line: str) -> Answer:
        """What a line asks for."""
        words = line.split()
        acts: dict[str, Callable[[list[str]], Answer]] = {
            "look": self._look, "take out": self._take_out, "put in": self._put_in, "set": self._set,
            "check": self._check, "boot": self._boot,
        }  # fmt: skip
        count = 2 if " ".join(words[:2]).lower() in acts else 1
        act = acts.get(" ".join(words[:count]).lower())
        try:
            if act is None:
                word = words[0] if words else ""
                near = nearest(" ".join(words[:2]), acts) or nearest(word, acts)
                raise _Refusal(f'"{word}" is no word here{near}; there are: {", ".join(acts)}')
            return act(words[count:])
        except _Refusal as error:
            return Answer((printable(str(error)),), done=False)
        except InputError as error:
            return Answer(tuple(problem.message for problem in error.problems[:3]), done=False)

    def machine(self, allow: tuple[str, ...] = ()) -> Machine:
        """A machine of the loadout as it stands, its media copies in memory.  NotBuildableError: findings forbid it."""
        from minisim.machine.build import approved

        return approved(self.desk.loadout, allow=allow, catalogue=self.catalogue).machine(in_memory=True)

    # ---- the words

    def _look(self, words: list[str]) -> Answer:
        from minisim.loadout.slot_list_writing import slot_list_text

        lines = slot_list_text(self.desk.loadout, self.catalogue).rstrip("\n").split("\n")
        if self.desk.beside:
            lines += ["", f"Beside the machine: {', '.join(lying.name for lying in self.desk.beside)}"]
        return Answer(tuple(lines))

    def _take_out(self, words: list[str]) -> Answer:
        place = self._place(words, "take out PLACE")
        box, unit, placed = self._placed(place)
        cables = tuple(end for end in self.desk.loadout.cables if end.board == place)
        lying = Lying(placed, cables)
        rest = replace(unit, placed=tuple(one for one in unit.placed if one is not placed))
        left = replace(
            self._with(box, rest),
            cables=tuple(end for end in self.desk.loadout.cables if end.board != place),
            accept=tuple(one for one in self.desk.loadout.accept if one.at != place),
        )
        self._lay(left, (*self.desk.beside, lying))
        return self._told(f"{lying.name} is out of {place} and lies beside the machine")

    def _put_in(self, words: list[str]) -> Answer:
        place = self._place(words[:-1], "put in PLACE BOARD")
        name = self._board(words[-1])
        if self.desk.board_at(place):
            raise _Refusal(f"{place} holds {self.desk.board_at(place)}; take it out first")
        lying = next((one for one in self.desk.beside if one.name == name), None)
        box, unit = self._unit(place)
        where = place.rpartition("/")[2]
        placed = self._new(name, where, unit) if lying is None else replace(lying.board, place=where)
        cables = () if lying is None else tuple(replace(end, board=place) for end in lying.cables)
        more = replace(unit, placed=_sorted((*unit.placed, placed)))
        beside = tuple(one for one in self.desk.beside if one is not lying)
        self._lay(replace(self._with(box, more), cables=(*self.desk.loadout.cables, *cables)), beside)
        hung = f", with {len(cables)} cable{'s' * (len(cables) > 1)}" if cables else ""
        return self._told(f"{name} is in {place}{hung}")

    def _set(self, words: list[str]) -> Answer:
        from minisim.loadout.model import Setting

        place = self._place(words[:-2], "set PLACE KEY VALUE")
        key, value = words[-2].lower(), words[-1]
        box, unit, placed = self._placed(place)
        setting = Setting(key, value, value, placed.mark)
        changed = replace(placed, settings={**placed.settings, key: setting})
        self._lay(self._with(box, _exchanged(unit, placed, changed)), self.desk.beside)
        return self._told(f"{key} of {self.desk.board_at(place)} in {place} is set to {value}")

    def _check(self, words: list[str]) -> Answer:
        open_ones = [one for one in self.desk.report.findings if not one.accepted]
        lines = [in_words(one) for one in open_ones] or ["consistent on paper: the rules find nothing"]
        return Answer(tuple(lines))

    def _boot(self, words: list[str]) -> Answer:
        from minisim.machine.errors import NotBuildableError

        if words not in ([], ["anyway"]):
            raise _Refusal("the forms are: boot, boot anyway")
        try:
            self.booted = self.machine(("fault",) if words else ())
        except NotBuildableError as error:
            lines = [in_words(one) for one in error.findings] or [str(error).removeprefix(f"{self.path}: ")]
            hint = "The machine is not switched on; `boot anyway` does it in spite of faults, never of damage."
            return Answer((*lines, hint.replace("`", '"')), done=False)
        return Answer((f"{self.desk.loadout.name} is switched on, and stands before its first instruction.",))

    # ---- places

    def _place(self, words: list[str], form: str) -> str:
        """A place as findings print it, from main/a/2CD or 2CD."""
        from minisim.fixing.sheet import printed

        if len(words) != 1:
            raise _Refusal(f"the form is {form}; a place is written like main/a/2CD")
        *before, where = words[0].split("/")
        if not before:
            units = [f"{box.id}/{unit.id}" for box in self.desk.loadout.boxes for unit in box.units]
            if len(units) > 1:
                listed = ", ".join(units)
                raise _Refusal(f"there is more than one backplane: {listed}; write {units[0]}/{where.upper()}")
            before = [units[0]]
        return printed("/".join([*before, where.upper()]))

    def _unit(self, place: str) -> tuple[Box, Unit]:
        for box in self.desk.loadout.boxes:
            for unit in box.units:
                if place.startswith(f"{box.id}/{unit.id}/"):
                    return box, unit
        raise _Refusal(f"there is no backplane for {place}; a place is written like main/a/2CD")

    def _placed(self, place: str) -> tuple[Box, Unit, Placed]:
        """The board in a place, also where the place was given with its rows or without."""
        box, unit = self._unit(place)
        where = place.rpartition("/")[2]
        for placed in unit.placed:
            if placed.place == where or f"{box.id}/{unit.id}/{placed.place}" == place:
                return box, unit, placed
        places = ", ".join(placed.place for placed in unit.placed)
        raise _Refusal(f"there is no board in {place}; boards are in {places}")

    def _board(self, word: str) -> str:
        """The id of a board, from the id or from the number on its handle."""
        from minisim.loadout.slot_list_numbers import Numbers

        name = word.lower()
        if self.catalogue.has("boards", name):
            return name
        meant = Numbers(self.catalogue).identify(word).candidates
        found = {one.entry for one in meant if one.kind == "boards" and one.score == 1}
        if len(found) != 1:
            raise _Refusal(f'there is no board "{name}"{nearest(name, self.catalogue.ids("boards"))}')
        return found.pop()

    # ---- the loadout

    def _new(self, name: str, where: str, unit: Unit) -> Placed:
        """A board from the shelf, as it comes."""
        from minisim.loadout.fields import FieldError
        from minisim.loadout.model import Placed
        from minisim.loadout.places import read_place

        try:
            place = read_place(where)
        except FieldError as error:
            raise _Refusal(f'"{where}": {error}') from None
        return Placed(where, place.slots, place.rows, name, "", (), {}, (), unit.mark)

    def _with(self, box: Box, unit: Unit) -> Loadout:
        """The loadout with another state of one backplane."""
        units = tuple(unit if one.id == unit.id else one for one in box.units)
        boxes = tuple(replace(box, units=units) if one.id == box.id else one for one in self.desk.loadout.boxes)
        return replace(self.desk.loadout, boxes=boxes)

    def _lay(self, loadout: Loadout, beside: tuple[Lying, ...]) -> None:
        """Read the changed loadout again, as if its file had come in; LoadoutError where it can't be used."""
        from minisim.loadout.writer import write_loadout

        self.desk = Desk(self._read(write_loadout(loadout).encode()), beside)

    def _read(self, data: bytes) -> Situation:
        from minisim.fixing.situation import Source, begin

        return begin(data, Source(str(self.path), self.catalogue))

    def _told(self, what: str) -> Answer:
        return Answer((f"{what}.",))


def in_words(finding: Finding) -> str:
    """A finding without the place in the file, which nobody sees here."""
    from minisim.formatters.text_form import message

    return message(finding).removeprefix(f"{finding.mark}: ")


def _exchanged(unit: Unit, old: Placed, new: Placed) -> Unit:
    return replace(unit, placed=tuple(new if one is old else one for one in unit.placed))


def _sorted(placed: tuple[Placed, ...]) -> tuple[Placed, ...]:
    from minisim.fixing.sheet import order_of
    from minisim.loadout.places import read_place

    return tuple(sorted(placed, key=lambda one: order_of(read_place(one.place))))
