"""Wires, joints and regulators of a backplane."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from minisim.fixing.edits._edit import Edit
from minisim.fixing.edits._words import key_in, last_entry, word_in
from minisim.fixing.sheet import Sheet, covers
from minisim.fixing.spans import Piece
from minisim.fixing.splices import CannotEdit, Splice, added, replaced


@dataclass(frozen=True, slots=True)
class SetWire(Edit):
    """The wire CA1-CB1 of one slot, put in or taken out."""

    unit: str  # box/unit
    slot: int
    fitted: bool
    kind: ClassVar[str] = "wire"

    @property
    def cost(self) -> int:
        """One wire on the pin side."""
        return 1

    def words(self) -> str:
        """`take the DMA-grant wire CA1-CB1 out at slot 5 of main/a`."""
        act = "put the DMA-grant wire CA1-CB1 in" if self.fitted else "take the DMA-grant wire CA1-CB1 out"
        return f"{act} at slot {self.slot} of {self.unit}"

    def splices(self, sheet: Sheet) -> list[Splice]:
        """The slot's own word replaced or added: a single slot goes before a range."""
        owner = sheet.unit(*self.unit.split("/"))
        word = "in" if self.fitted else "out"
        wires = owner.value("wires")
        states = wires.value("dma-grant") if wires is not None else None
        if states is not None and states.kind == "map":
            return self._state(sheet, states, word)
        if wires is not None and wires.kind == "map":
            return added(sheet.text, wires, "dma-grant", f"{{{self.slot}: {word}}}", after=last_entry(wires))
        return key_in(sheet, owner, "wires", f"{{dma-grant: {{{self.slot}: {word}}}}}", ("id", "supply", "backplane"))

    def _state(self, sheet: Sheet, states: Piece, word: str) -> list[Splice]:
        own = next((one for one in states.entries if one.key.text == str(self.slot)), None)
        if own is not None:
            return replaced(sheet.text, own.value, word)
        if any(covers(one.key.text, self.slot) and one.value.text == word for one in states.entries):
            return []
        return added(sheet.text, states, str(self.slot), word, after=last_entry(states))


@dataclass(frozen=True, slots=True)
class PlugJoint(Edit):
    """The bus cable between two backplanes, plugged in."""

    unit: str
    kind: ClassVar[str] = "plug"

    @property
    def cost(self) -> int:
        """One cable."""
        return 1

    def words(self) -> str:
        """`plug in the bus cable that leads to lower/a`."""
        return f"plug in the bus cable that leads to {self.unit}"

    def splices(self, sheet: Sheet) -> list[Splice]:
        """connected: yes."""
        joint = sheet.unit(*self.unit.split("/")).value("joined-by")
        if joint is None:
            raise CannotEdit("no cable is named")
        return word_in(sheet, joint, "connected", "yes")


@dataclass(frozen=True, slots=True)
class SetRegulator(Edit):
    """Which +5 regulator feeds a slot."""

    unit: str
    slot: int
    regulator: str
    kind: ClassVar[str] = "regulator"

    @property
    def cost(self) -> int:
        """A harness is moved, with the box open."""
        return 3

    def words(self) -> str:
        """`feed slot 2 of main/a from the +5 regulator first`."""
        return f"feed slot {self.slot} of {self.unit} from the +5 regulator {self.regulator}"

    def splices(self, sheet: Sheet) -> list[Splice]:
        """The slot's own word."""
        feeds = sheet.unit(*self.unit.split("/")).value("regulators")
        if feeds is None:
            raise CannotEdit("no regulators are named")
        return word_in(sheet, feeds, str(self.slot), self.regulator)
