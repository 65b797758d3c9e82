"""Parts of a view one under the other: a name and some lines each, sharing the rows there are.

How many rows a part gets depends on the size of the screen alone, never on what it shows, so that nothing jumps while
a machine runs.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from minisim.screen.canvas import Canvas
from minisim.screen.spans import Line, bold, line

NARROW = 11  # columns of the names where they stand beside their lines


@dataclass(frozen=True, slots=True)
class Section:
    """One part.  `lines` gives its lines for a width and a number of rows; it gets `least` to `most` rows."""

    title: str
    lines: Callable[[int, int], Sequence[Line]]
    least: int = 1
    most: int = 1000


def shares(rows: int, wants: Sequence[tuple[int, int]]) -> list[int]:
    """Rows for parts that want (least, most): least first, what is left one by one in their order.

    Where not even the least is there, the last ones get nothing.
    """
    found = []
    for least, _ in wants:
        found.append(min(least, max(rows, 0)))
        rows -= found[-1]
    while rows > 0:
        hungry = [at for at, (least, most) in enumerate(wants) if found[at] >= least and found[at] < most]
        for at in hungry[:rows]:
            found[at] += 1
        if not hungry:
            break
        rows -= min(len(hungry), rows)
    return found


def stacked(canvas: Canvas, x: int, y: int, width: int, height: int, parts: Sequence[Section], *, ruled: bool) -> None:
    """Draw the parts into a rectangle: each under a rule with its name, or with the name beside its first line."""
    extra = 1 if ruled else 0
    wants = [(part.least + extra, part.most + extra) for part in parts]
    for part, rows in zip(parts, shares(height, wants), strict=True):
        if ruled and rows > 1:
            canvas.rule(x, y, width, part.title)
            canvas.put_lines(x + 1, y + 1, part.lines(width - 1, rows - 1), width - 1, rows - 1)
        elif not ruled and rows:
            canvas.put(x, y, line(bold(part.title)), NARROW - 1)
            canvas.put_lines(x + NARROW, y, part.lines(width - NARROW, rows), width - NARROW, rows)
        y += rows
