"""Cables, panel switches, accepted findings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from minisim.fixing.edits._edit import Edit
from minisim.fixing.edits._words import items_out, word_in
from minisim.fixing.sheet import Sheet
from minisim.fixing.splices import CannotEdit, Splice


@dataclass(frozen=True, slots=True)
class SetCable(Edit):
    """One word of one cable: `number` counts the cables of the file from 0."""

    number: int
    what: str  # the cable in words: the cable from main/a/2AB to terminal
    key: str
    value: str
    was: str = ""
    kind: ClassVar[str] = "cable"

    @property
    def cost(self) -> int:
        """A cable or a switch at what hangs on it."""
        return 1

    def words(self) -> str:
        """`set the far end of the cable from main/a/2CD to terminal to 9600 baud, not 300`."""
        act = _CABLE_ACTS.get(self.key, _FAR_END).format(key=self.key, value=self.value, what=self.what)
        return f"{act}, not {self.was}" if self.was else act

    def splices(self, sheet: Sheet) -> list[Splice]:
        """The word replaced or added."""
        return word_in(sheet, sheet.cables()[self.number], self.key, self.value)


_FAR_END = "set {key} at the far end of {what} to {value}"
_CABLE_ACTS = {
    "from": "plug {what} into {value}",
    "cable": "take {value} as {what}",
    "unit": "set the drive on {what} to unit {value}",
    "baud": "set the far end of {what} to {value} baud",
    "line": "plug {what} into line {value}",
}


@dataclass(frozen=True, slots=True)
class HaltOff(Edit):
    """The halt switch of the panel, off."""

    kind: ClassVar[str] = "switch"

    @property
    def cost(self) -> int:
        """One switch."""
        return 1

    def words(self) -> str:
        """`switch the halt switch off`."""
        return "switch the halt switch off"

    def splices(self, sheet: Sheet) -> list[Splice]:
        """halt: off."""
        panel = sheet.root.value("switches")
        if panel is None:
            raise CannotEdit("no switches are named")
        return word_in(sheet, panel, "halt", "off")


@dataclass(frozen=True, slots=True)
class SetAcceptance(Edit):
    """An entry under `accept` that matches nothing: taken out, or its rule or place spelt as the finding prints it."""

    number: int
    rule: str
    at: str
    key: str = ""  # rule or at; nothing: take the entry out
    value: str = ""
    kind: ClassVar[str] = "accept"

    @property
    def cost(self) -> int:
        """Another spelling keeps what the owner decided."""
        return 1 if self.key else 2

    def words(self) -> str:
        """`take the acceptance of POWER-002 at main +5 out: nothing matches it`."""
        if self.key:
            return f"write {self.key}: {self.value} in the acceptance of {self.rule} at {self.at}"
        return f"take the acceptance of {self.rule} at {self.at} out: nothing matches it"

    def splices(self, sheet: Sheet) -> list[Splice]:
        """The word replaced, or the item out."""
        item = sheet.acceptances()[self.number]
        if self.key:
            return word_in(sheet, item, self.key, self.value)
        return items_out(sheet, "accept", [item])
