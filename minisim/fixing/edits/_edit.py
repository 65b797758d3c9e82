"""What all changes share.

Costs count what a hand has to do at the machine and what the owner gives up by it.  A jumper, a switch, a wire, a cable
or a line of the list is 1, a board moved within its slot and a grant card moved too; a grant card put in is 2, because
one must be found; a board moved to another slot is 3, because its cables and neighbours go with it; less memory is 4;
a board or an option given up is 6, so that two boards are moved rather than one lost.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping
from typing import ClassVar

from minisim.fixing.sheet import Sheet
from minisim.fixing.splices import Splice


class Edit(ABC):
    """One change."""

    kind: ClassVar[str]

    @property
    @abstractmethod
    def cost(self) -> int:
        """What it costs the owner (see the top of this file)."""

    @abstractmethod
    def words(self) -> str:
        """The change as an act, without a full stop."""

    @abstractmethod
    def splices(self, sheet: Sheet) -> list[Splice]:
        """What to cut and paste; CannotEdit where the text is written in a way that is not handled."""

    def moves(self) -> Mapping[str, str]:
        """Old place -> new place of the boards it moves."""
        return {}

    def handles(self) -> tuple[str, ...]:
        """What it takes in the hand: boards by their places, switches by name and place."""
        return tuple(self.moves())
