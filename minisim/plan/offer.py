"""What is wanted and what can be given away, as a list to send: 72 columns, no places and no names of pieces.

Pieces that are of use only together stand together: the boards of a set, a drive with a board that drives it and the
cable between them.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from minisim.catalogue import Catalogue
from minisim.plan.pile import Thing
from minisim.plan.report import HEIGHTS, Report, conditions, title_of

WIDTH = 72


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


def text(report: Report, catalogue: Catalogue) -> str:
    """The whole list."""
    return "".join(f"{line}\n" for line in _lines(report, catalogue))


def _lines(report: Report, catalogue: Catalogue) -> Iterator[str]:
    yield "WANTED"
    wanted = [one for gap in report.gaps for one in gap.to_find]
    for one in wanted:
        others = "".join(f"; or {title_of(other, catalogue)}" for other in one.instead)
        yield from _item(f"{one.count} x {title_of(one.thing, catalogue)}{others}")
    if not wanted:
        yield "  nothing"
    yield ""
    yield "TO GIVE AWAY OR SWAP"
    for group in groups(report.plan.left, catalogue):
        yield from _item(f"keep together ({group.because}):")
        for thing, count in group.things:
            yield from _item(f"{count} x {title_of(thing, catalogue)}", "      ")
    yield from _by_height(report, catalogue)
    yield ""
    yield from textwrap.wrap("Conditions are those of our list; nobody promises that an untested piece works.", WIDTH)


def _by_height(report: Report, catalogue: Catalogue) -> Iterator[str]:
    together = {thing for group in groups(report.plan.left, catalogue) for thing, _ in group.things}
    spoken = {title_of(thing, catalogue) for thing in together}
    names = [*HEIGHTS, *sorted({one.group for one in report.leftovers} - set(HEIGHTS))]
    for name in names:
        many = [one for one in report.leftovers if one.group == name]
        if many:
            yield f"  {name}"
        for one in many:
            count = one.count - (one.title in spoken)
            if count > 0:
                yield from _item(f"{count} x {one.title} ({conditions(one.rows)})", "    ")


def _item(line: str, indent: str = "  ") -> Iterable[str]:
    plain = line.encode("ascii", "replace").decode()
    return textwrap.wrap(plain, WIDTH, initial_indent=indent, subsequent_indent=f"{indent}    ")
