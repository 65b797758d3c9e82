"""Switches, jumpers and options of a board."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from minisim.fixing.edits._edit import Edit
from minisim.fixing.edits._words import key_in, word_in
from minisim.fixing.sheet import Sheet
from minisim.fixing.spans import Piece, line_start
from minisim.fixing.splices import CannotEdit, Splice, below, replaced, without_entry, without_item
from minisim.loadout.writer import text as scalar_text


@dataclass(frozen=True, slots=True)
class SetSetting(Edit):
    """A switch or jumper of a board; `was` is what is written now, nothing where it is not."""

    name: str
    place: str
    setting: str
    value: str
    was: str = ""
    kind: ClassVar[str] = "set"

    @property
    def cost(self) -> int:
        """One jumper or a row of switches.  Less memory is no such thing, and another crystal must be found first."""
        return {"kb": 4, "crystal": 2}.get(self.setting, 1)

    def handles(self) -> tuple[str, ...]:
        """The one switch."""
        return (f"{self.setting} of {self.place}",)

    def words(self) -> str:
        """`set start of M8044 (main/a/2AB) from 200000 to 100000`."""
        was = f" from {self.was}" if self.was else ""
        less = ": the machine has less memory then" if self.setting == "kb" else ""
        return f"set {self.setting} of {self.name} ({self.place}){was} to {self.value}{less}"

    def splices(self, sheet: Sheet) -> list[Splice]:
        """The word replaced, or one more under settings."""
        board = sheet.board(self.place)
        settings = board.value("settings")
        if settings is None or settings.kind != "map":
            value = f"{{{self.setting}: {scalar_text(self.value)}}}"
            return key_in(sheet, board, "settings", value, ("board", "item", "options"))
        return word_in(sheet, settings, self.setting, self.value)


@dataclass(frozen=True, slots=True)
class SetDescribed(Edit):
    """A figure of a board described in place: its address or vector."""

    name: str
    place: str
    key: str
    value: str
    was: str
    kind: ClassVar[str] = "set-described"

    @property
    def cost(self) -> int:
        """Dearer than a known board's switch: nobody knows whether this one has such a switch."""
        return 2

    def words(self) -> str:
        """`set address of the described board ..., if it has switches for it`."""
        act = f"set {self.key} of {self.name} ({self.place}) from {self.was} to {self.value}"
        return f"{act}, if the board has switches for it"

    def splices(self, sheet: Sheet) -> list[Splice]:
        """The word replaced."""
        board = sheet.board(self.place).value("board")
        facts = board.value("describe") if board is not None else None
        if facts is None:
            raise CannotEdit("no described board")
        return word_in(sheet, facts, self.key, self.value)


@dataclass(frozen=True, slots=True)
class SetOption(Edit):
    """An option of a processor named, or no longer named."""

    name: str
    place: str
    option: str
    named: bool
    kind: ClassVar[str] = "option"

    @property
    def cost(self) -> int:
        """Naming is a line of the list; no longer naming one gives up what the owner asked for."""
        return 1 if self.named else 6

    def words(self) -> str:
        """`name option fis of M8186 (main/a/1AB)`."""
        if self.named:
            return f"name option {self.option} of {self.name} ({self.place}) as well"
        return f"take {self.option} out of the options of {self.name} ({self.place}): the machine does without it"

    def splices(self, sheet: Sheet) -> list[Splice]:
        """One word more, or less, in the list."""
        board = sheet.board(self.place)
        listed = board.value("options")
        if not self.named:
            return self._out(sheet, board, listed)
        if listed is None:
            return key_in(sheet, board, "options", f"[{self.option}]", ("board", "item"))
        if listed.flow:
            at, comma = (listed.items[-1].end, ", ") if listed.items else (listed.start + 1, "")
            return [Splice(at, at, f"{comma}{self.option}")]
        indent = listed.items[-1].start - line_start(sheet.text, listed.items[-1].start)
        dashed = sheet.text[line_start(sheet.text, listed.items[-1].start) : listed.items[-1].start]
        return [below(sheet.text, listed.end, f"{dashed}{self.option}", indent)]

    def _out(self, sheet: Sheet, board: Piece, listed: Piece | None) -> list[Splice]:
        whole = board.entry("options")
        item = next((one for one in (listed.items if listed else ()) if one.text == self.option), None)
        if whole is None or listed is None or item is None:
            raise CannotEdit(f"no option {self.option}")
        if len(listed.items) == 1:
            return without_entry(sheet.text, board, whole)
        return without_item(sheet.text, listed, item)


@dataclass(frozen=True, slots=True)
class SetOrder(Edit):
    """The boards of a set in another order over their slots."""

    place: str
    order: tuple[str, ...]
    first: int
    kind: ClassVar[str] = "order"

    @property
    def cost(self) -> int:
        """Boards are taken out and put in again, but nothing else moves."""
        return 2

    def words(self) -> str:
        """`put X0013 into slot 4 and X0014 into slot 5`."""
        places = [f"{name} into slot {self.first + index}" for index, name in enumerate(self.order)]
        return f"at {self.place}, put {' and '.join(places)}"

    def handles(self) -> tuple[str, ...]:
        """Its place."""
        return (self.place,)

    def splices(self, sheet: Sheet) -> list[Splice]:
        """Every word of the list replaced by the one that belongs there."""
        listed = sheet.board(self.place).value("order")
        if listed is None or len(listed.items) != len(self.order):
            raise CannotEdit("the order is not stated")
        pairs = zip(listed.items, self.order, strict=True)
        return [splice for item, name in pairs if item.text != name for splice in replaced(sheet.text, item, name)[:1]]
