"""What the wiring asks of a catalogue: entries by id, nothing else."""

from __future__ import annotations

from typing import Protocol

from minisim.catalogue.model import BackplaneEntry, BoardEntry, RomEntry, SupplyEntry


class Catalogue(Protocol):
    """Gives typed entries by id; the reader of the loadout has already seen to it that they exist."""

    def board(self, name: str) -> BoardEntry:
        """A board kind."""

    def backplane(self, name: str) -> BackplaneEntry:
        """A backplane kind."""

    def supply(self, name: str) -> SupplyEntry:
        """A supply kind."""

    def rom(self, name: str) -> RomEntry:
        """The contents of a ROM."""
