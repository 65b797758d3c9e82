"""What is wanted and what can be given away, as a list to send: 72 columns, no places and no names of pieces.

Pieces that are of use only together stand together: the boards of a set, a drive with a board that drives it and the
cable between them.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from minisim.catalogue import Catalogue
from minisim.plan.report import HEIGHTS, Report, conditions, title_of
from minisim.plan.together import groups

WIDTH = 72


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
