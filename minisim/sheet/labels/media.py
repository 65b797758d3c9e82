"""What labels are printed on; all lengths in millimetres."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Medium:
    """A sheet of labels, or a band of which each label is a piece.

    `page` is the paper, `label` one label on it, `grid` columns and rows, `corner` where the first label begins.  On a
    band (`growing`) a label is as long as its text needs, at least its own width.
    """

    page: tuple[float, float]
    label: tuple[float, float]
    grid: tuple[int, int] = (1, 1)
    corner: tuple[float, float] = (0, 0)
    margin: float = 3
    largest: float = 7  # letters of the first line
    smallest: float = 2
    growing: bool = False

    @property
    def each_page(self) -> int:
        """Labels on one page."""
        return self.grid[0] * self.grid[1]


A4 = (210.0, 297.0)
MEDIA = {
    "a4": Medium(A4, (70, 37), (3, 8), (0, 0.5)),
    "roll-62": Medium((62, 44), (62, 44)),
    "tape-12": Medium((60, 12), (60, 12), margin=1, largest=4, smallest=2.2, growing=True),
}
LEAST_MODULE = 0.33
"""The smallest square of a code that a telephone reads with ease (common practice)."""
