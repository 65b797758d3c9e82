"""What the wiring asks of a catalogue: entries by id, and which there are."""

from __future__ import annotations

from typing import Protocol

from minisim.catalogue.model import BackplaneEntry, BoardEntry, CableEntry, DriveEntry, Profile, RomEntry, SupplyEntry


class Catalogue(Protocol):
    """Gives typed entries by id; the reader of the loadout has already seen to it that they exist."""

    def ids(self, kind: str) -> tuple[str, ...]:
        """The ids of all entries of a kind: boards, backplanes and so on."""

    def board(self, name: str) -> BoardEntry:
        """A board kind."""

    def backplane(self, name: str) -> BackplaneEntry:
        """A backplane kind."""

    def supply(self, name: str) -> SupplyEntry:
        """A supply kind."""

    def drive(self, name: str) -> DriveEntry:
        """A drive kind."""

    def cable(self, name: str) -> CableEntry:
        """A cable kind."""

    def profile(self, name: str) -> Profile:
        """The documented behaviour of a group of processors."""

    def rom(self, name: str) -> RomEntry:
        """The contents of a ROM."""
