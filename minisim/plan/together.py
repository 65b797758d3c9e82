"""What is of use only together: a drive, a board that drives it, and the cable between them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from minisim.catalogue import Catalogue
from minisim.plan.pile import Thing


@dataclass(frozen=True, slots=True)
class Group:
    """Things that go together, with how many of each are left."""

    because: str
    things: tuple[tuple[Thing, int], ...]


def groups(left: Mapping[Thing, int], catalogue: Catalogue) -> list[Group]:
    """What is left and of use only together, by drive."""
    there = {thing: count for thing, count in left.items() if count > 0}
    found = []
    for thing in sorted(there, key=lambda one: one.entry):
        if thing.kind == "drives":
            drive = catalogue.drive(thing.entry)
            boards = [one for one in there if one.kind == "boards" and _drives(one, drive.controller, catalogue)]
            cables = [one for one in there if one.kind == "cables" and one.entry in drive.cables]
            if boards:
                members = (thing, *boards[:1], *cables[:1])
                because = f"a {drive.controller} drive with what drives it"
                found.append(Group(because, tuple((one, 1) for one in members)))
    return found


def _drives(board: Thing, device: str, catalogue: Catalogue) -> bool:
    return any(one.device == device for one in catalogue.board(board.entry).registers)
