"""Lines of the pages of event mode: what there is to choose, what was counted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from minisim.lessons.event.diary import Counts, Kind
from minisim.lessons.event.model import Group
from minisim.screen import EMPTY, Line, bold, line


def choice_lines(groups: Sequence[Group], room: int) -> list[Line]:
    """Activities beside their length, each with its key; a line between the lengths where there is room for it.

    Where there is no room for all, the keys of the last ones stand on one line.
    """
    rows = [list(_choices(group)) for group in groups if group.activities]
    gaps = len(rows) - 1 + sum(map(len, rows)) <= room
    found = [row for number, group in enumerate(rows) for row in ([EMPTY] if gaps and number else []) + group]
    if len(found) <= room:
        return found
    keys = [one.key for group in groups for one in group.activities][room - 1 :]
    return [*found[: room - 1], line(f"{'':12}", bold(" ".join(keys)), "  more lessons")]


def _choices(group: Group) -> Iterator[Line]:
    for number, one in enumerate(group.activities):
        length = "" if number else group.title
        yield line(bold(f"{length:12}"), bold(one.key), f"  {one.lesson.title}")


def volunteer_lines(today: Counts, ever: Counts, path: Path, trouble: str) -> Iterator[Line]:
    """The counters, what went wrong, where it is kept."""
    yield line(bold(f"{'':32}{'today':>14}{'in all':>16}"))
    yield line(bold(f"{'activity':32}{'begun':>7}{'done':>7}{'begun':>9}{'done':>7}"))
    for name in sorted(ever.started):
        counts = (today.started[name], today.finished[name], ever.started[name], ever.finished[name])
        yield line(f"{name:32}{counts[0]:>7}{counts[1]:>7}{counts[2]:>9}{counts[3]:>7}")
    yield EMPTY
    for kind, text in _SAID.items():
        yield line(f"{text:32}{today.kinds[kind]:>7}{ever.kinds[kind]:>16}")
    yield line(f"{'ended without a volunteer':32}{today.cut_off:>7}{ever.cut_off:>16}")
    yield EMPTY
    yield line(f"kept in {path}")
    if trouble:
        yield line(bold(f"nothing can be written down: {trouble}"))
    yield line("after a journey: minisim sheet LOADOUT --after-transport prints the check list")


_SAID = {
    Kind.GIVEN_UP: "started over",
    Kind.WENT_AWAY: "went away",
    Kind.SLIP: "slips kept for printing",
    Kind.UPSET: "went wrong on our side",
}
