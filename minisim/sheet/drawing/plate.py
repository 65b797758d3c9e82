"""Where things lie in the drawing of a backplane: rows of paper for slots, columns for rows of connectors.

(The trade calls A to F rows; on paper they are columns, one beside the other.)  Boards keep their scale: each covers
the columns of its rows and the height of its slots.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from minisim.sheet.drawing.content import (
    UnitView,
    board_says,
    card_hop,
    card_rows,
    empty_says,
    hop_letter,
    kinds_of,
    wire_in,
)
from minisim.sheet.drawing.grants import GrantPath
from minisim.sheet.drawing.svg import WIDTH, Said, fitted, height_of, width_of
from minisim.sheet.messages import say
from minisim.wiring.model import Hop, SlotPart, WiredBoard

LEFT = 150  # of the first column; before it the slots are named
RIGHT = WIDTH - 10
WIDEST = 210  # of one column
GUTTER = 36  # free strip in which a way of grants runs down
STRIP = 34  # free strip at the foot of a slot in which it runs across
SMALL, MARGIN = 12, 8
_LEAST = 58
_SHARE = 0.6  # of a set that has no second stretch: what its text takes
_SMALLER: dict[float, float] = {20: 16, 14: SMALL}
_NARROW = 160  # a board that leaves less to write on gets small letters


@dataclass(frozen=True, slots=True)
class Row:
    """One slot on paper (or a board that wants a place already taken)."""

    slot: int
    again: bool
    label: tuple[Said, ...]
    y: float
    height: float
    strip: float  # free at the foot

    @property
    def foot(self) -> float:
        """Its lower edge."""
        return self.y + self.height


@dataclass(frozen=True, slots=True)
class Frame:
    """The rectangle of a board, and the free space inside to write on."""

    board: WiredBoard
    again: bool
    x: float
    y: float
    width: float
    height: float
    text: tuple[Said, ...]
    text_at: tuple[float, float]  # x and width of where it is written
    parts_at: tuple[float, float]  # the same of where the parts of a set are named; width 0: there is no room for it


@dataclass(frozen=True, slots=True)
class Cell:
    """A part of a slot that nobody fills."""

    part: SlotPart
    x: float
    y: float
    width: float
    height: float
    text_x: float
    text: tuple[Said, ...]
    strip: float  # free at the foot
    card: tuple[float, float] | None  # x and width of what wants a grant card
    card_at: str  # the place of the grants that the card closes


@dataclass(frozen=True, slots=True)
class Plate:
    """The whole drawing of slots; y counts from the top of the first slot."""

    view: UnitView
    columns: str
    width: float  # of one column
    gutters: str
    twice: tuple[WiredBoard, ...]  # boards that claim a place which another has: drawn apart
    rows: tuple[Row, ...]
    frames: tuple[Frame, ...]
    cells: tuple[Cell, ...]

    @property
    def height(self) -> float:
        """Of all rows."""
        return self.rows[-1].foot if self.rows else 0

    def x(self, letter: str) -> float:
        """Left edge of a column."""
        return LEFT + self.columns.index(letter) * self.width

    def spot(self, path: GrantPath, hop: Hop) -> tuple[float, float]:
        """Where a hop is drawn: in the gutter of its row, at the foot of its (last) slot."""
        row = next(row for row in self.rows if row.slot == hop.place.slots[-1])
        return self.x(hop_letter(self.view, path, hop)) + GUTTER / 2, row.foot - STRIP / 2


def plate_of(view: UnitView) -> Plate:
    """Lay a unit out."""
    columns = view.columns
    width = min((RIGHT - LEFT) / max(len(columns), 1), WIDEST)
    letters = {hop_letter(view, path, hop) for path in view.paths for hop in view.hops(path) if not hop.joint}
    bare = Plate(view, columns, width, "".join(sorted(letters & set(columns))), view.twice, (), (), ())
    rows = _rows(bare)
    return replace(bare, rows=rows, frames=tuple(_frames(bare, rows)), cells=tuple(_cells(bare, rows)))


# ---- rows of paper


def _rows(plate: Plate) -> tuple[Row, ...]:
    view = plate.view
    wanted: list[tuple[int, WiredBoard | None]] = [(slot, None) for slot in view.slots]
    wanted += [(board.place.slots[0], board) for board in plate.twice]
    rows: list[Row] = []
    for slot, board in wanted:
        label, strip = tuple(_label(view, slot, board)), 0 if board else _strip(view, slot)
        height = max(_LEAST, height_of(label) + MARGIN, _inside(plate, slot, board) + 2 * MARGIN + strip)
        rows.append(Row(slot, board is not None, label, rows[-1].foot if rows else 0, height, strip))
    return tuple(rows)


def _label(view: UnitView, slot: int, again: WiredBoard | None) -> Iterator[Said]:
    yield Said(str(slot), 26, bold=True)
    if again is not None:
        yield from fitted([Said(say("drawing-taken-twice"), SMALL, bold=True)], LEFT - 14)
        return
    kinds = kinds_of(view, slot) or (say("drawing-kinds-unknown"),)
    yield from fitted((Said(kind, SMALL) for kind in kinds), LEFT - 10)
    wire = wire_in(view, slot)
    if wire is not None:
        yield Said(say("drawing-wire-in" if wire else "drawing-wire-out"), SMALL, bold=not wire)


def _strip(view: UnitView, slot: int) -> float:
    """Room at the foot where a way of grants crosses from one row of connectors to another."""
    for path in view.paths:
        hops = [hop for hop in view.hops(path) if not hop.joint]
        for one, after in pairwise(hops):
            across = hop_letter(view, path, one) != hop_letter(view, path, after)
            if across and one.place.slots[-1] == slot:
                return STRIP
    return 0


def _inside(plate: Plate, slot: int, again: WiredBoard | None) -> float:
    """Height of the tallest text in one row."""
    if again is not None:
        return _board_height(plate, again)
    view = plate.view
    here = [board for board in view.boards if slot == board.place.slots[0] and board not in plate.twice]
    heights = [_board_height(plate, board) for board in here]
    heights += [_cell_height(plate, part) for part in view.parts if part.place.slots == (slot,) and not part.boards]
    return max(heights, default=0)


# ---- what lies in them


def _frames(plate: Plate, rows: tuple[Row, ...]) -> Iterator[Frame]:
    spare = {board.index: row for board, row in zip(plate.twice, (row for row in rows if row.again), strict=True)}
    of_slot = {row.slot: row for row in rows if not row.again}
    for board in plate.view.boards:
        again = spare.get(board.index)
        first = again or of_slot[board.place.slots[0]]
        last = again or of_slot[board.place.slots[-1]]
        x, width = _reach(plate, board.rows)
        text_at, parts_at = _stretches(plate, board)
        text, height = _fitted(board_says(plate.view, board), text_at[1]), last.foot - first.y - 6
        yield Frame(board, again is not None, x + 3, first.y + 3, width - 6, height, text, text_at, parts_at)


def _cells(plate: Plate, rows: tuple[Row, ...]) -> Iterator[Cell]:
    of_slot = {row.slot: row for row in rows if not row.again}
    for part in plate.view.parts:
        if part.boards:
            continue
        row = of_slot[part.place.slots[0]]
        x, width = _reach(plate, part.place.rows)
        text_x, text = _cell_text(plate, part)
        card = card_rows(plate.view, part)
        hop = card_hop(plate.view, part)
        reach, at = _reach(plate, card) if card else None, str(hop.place) if hop else ""
        yield Cell(part, x, row.y, width, row.height, text_x, text, row.strip, reach, at)


def _reach(plate: Plate, rows: str) -> tuple[float, float]:
    """Left edge and width of a run of rows."""
    shown = [row for row in rows if row in plate.columns] or [plate.columns[0]]
    return plate.x(shown[0]), plate.x(shown[-1]) + plate.width - plate.x(shown[0])


def _free(plate: Plate, rows: str) -> tuple[float, float]:
    """The widest stretch of a run of rows beside which no way of grants runs down: x and width."""
    return _free_stretches(plate, rows)[0]


def _free_stretches(plate: Plate, rows: str) -> list[tuple[float, float]]:
    """All of them, the widest first."""
    x, width = _reach(plate, rows)
    starts = [x] + [plate.x(letter) + GUTTER for letter in plate.gutters if letter in rows]
    ends = [plate.x(letter) for letter in plate.gutters if letter in rows] + [x + width]
    stretches = [(start + MARGIN, end - start - 2 * MARGIN) for start, end in zip(starts, ends, strict=True)]
    return sorted(stretches, key=lambda stretch: -stretch[1])


def _stretches(plate: Plate, board: WiredBoard) -> tuple[tuple[float, float], tuple[float, float]]:
    """Where the text of a board stands, and where the parts of a set are named: beside it."""
    free = _free_stretches(plate, board.rows)
    x, width = free[0]
    if len(board.place.slots) == 1:
        return free[0], free[0]
    if len(free) > 1 and free[1][1] >= _NARROW:
        return free[0], free[1]
    if width < 2 * _NARROW:
        return free[0], (x, 0)
    return (x, width * _SHARE - MARGIN), (x + width * _SHARE, width * (1 - _SHARE))


# ---- folding


def _board_height(plate: Plate, board: WiredBoard) -> float:
    """Of the text in a frame, as far as it has to stand in the first slot of a set."""
    height = height_of(_fitted(board_says(plate.view, board), _stretches(plate, board)[0][1]))
    further = 0 if board in plate.twice else len(board.place.slots) - 1
    return max(height - further * _LEAST, 0)


def tick_width(*, words: bool) -> float:
    """Of the box to tick, with the words `looked at:` before it or without."""
    return (width_of(say("drawing-looked-at"), SMALL) if words else 0) + 18


def _cell_text(plate: Plate, part: SlotPart) -> tuple[float, tuple[Said, ...]]:
    """x and lines of what stands in a part without a board: beside the place of a single card."""
    card = card_rows(plate.view, part)
    beside = part.place.rows.partition(card)[2] if card and card != part.place.rows else ""
    x, width = _free(plate, beside or part.place.rows)
    return x, _fitted(empty_says(plate.view, part), width)


def _cell_height(plate: Plate, part: SlotPart) -> float:
    label = 2 * SMALL if card_rows(plate.view, part) else 0
    return height_of(_cell_text(plate, part)[1]) + label


def _fitted(said: Iterable[Said], width: float) -> tuple[Said, ...]:
    """In lines; in small letters where there is little room."""
    sizes: dict[float, float] = _SMALLER if width < _NARROW else {}
    return tuple(fitted((Said(one.text, sizes.get(one.size, one.size), one.bold) for one in said), width))
