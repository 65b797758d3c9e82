"""What is of use only together: a drive with what drives it, boards of a set, a processor with its option boards."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from minisim.catalogue import Catalogue
from minisim.catalogue.model import BoardEntry
from minisim.plan.pile import Thing
from minisim.plan.traits import peek


@dataclass(frozen=True, slots=True)
class Group:
    """Things that go together, with how many of each are left."""

    because: str
    things: tuple[tuple[Thing, int], ...]


def groups(left: Mapping[Thing, int], catalogue: Catalogue) -> list[Group]:
    """What is left and of use only together; no thing stands in two groups."""
    there = {thing: left[thing] for thing in sorted(left, key=lambda one: (one.kind, one.entry)) if left[thing] > 0}
    found: list[Group] = []
    for group in (*_drives(there, catalogue), *_options(there, catalogue), *_sets(there, catalogue)):
        taken = {thing for one in found for thing, _ in one.things}
        if not taken & {thing for thing, _ in group.things}:
            found.append(group)
    return found


def _drives(there: Mapping[Thing, int], catalogue: Catalogue) -> Iterator[Group]:
    """A drive, a board that drives it, and the cable between them."""
    for thing in there:
        if thing.kind == "drives":
            drive = catalogue.drive(thing.entry)
            boards = [one for one in there if one.kind == "boards" and _carries(one, drive.controller, catalogue)]
            cables = [one for one in there if one.kind == "cables" and one.entry in drive.cables]
            if boards:
                members = (thing, *boards[:1], *cables[:1])
                because = f"a {drive.controller} drive with what drives it"
                yield Group(because, tuple((one, 1) for one in members))


def _options(there: Mapping[Thing, int], catalogue: Catalogue) -> Iterator[Group]:
    """A processor and the option boards that are made for it alone."""
    boards = {thing: catalogue.board(thing.entry) for thing in there if thing.kind == "boards"}
    for host, entry in boards.items():
        profile = entry.processor.profile if entry.processor is not None else ""
        options = [one for one, other in boards.items() if profile and profile in other.option_to]
        if options:
            yield Group("a processor with the boards made for it", tuple((one, there[one]) for one in (host, *options)))


def _sets(there: Mapping[Thing, int], catalogue: Catalogue) -> Iterator[Group]:
    """Boards that are one thing in several parts."""
    for thing, count in there.items():
        if thing.kind == "boards" and (boards := _parts(catalogue.board(thing.entry))) > 1:
            yield Group(f"a set of {boards} boards that work only with each other", ((thing, count),))


def _parts(entry: BoardEntry) -> int:
    return int(peek(entry.boards, 1))


def _carries(board: Thing, device: str, catalogue: Catalogue) -> bool:
    return any(one.device == device for one in catalogue.board(board.entry).registers)
