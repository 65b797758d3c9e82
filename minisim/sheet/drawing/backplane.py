"""The drawing of one backplane from the board side, with the way of the grants."""

from __future__ import annotations

from collections.abc import Iterator

from minisim.sheet.blocks import Drawing
from minisim.sheet.drawing import svg
from minisim.sheet.drawing.backplane_lines import backplane_lines
from minisim.sheet.drawing.content import (
    UnitView,
    board_side,
    built_in_says,
    comes_from,
    evidence_says,
    goes_to,
    grant_says,
    orientation,
    part_says,
    unit_view,
)
from minisim.sheet.drawing.grant_lines import draw_grants, legend, legend_height
from minisim.sheet.drawing.plate import GUTTER, MARGIN, SMALL, Cell, Frame, Plate, Row, plate_of, tick_width
from minisim.sheet.drawing.svg import Said
from minisim.sheet.messages import say
from minisim.wiring.model import Wired

_LETTERS = 30  # height of the line of column letters
_EDGE = 10
_JOINT = 52  # room for a joint that is open
_FOOT = 20  # below the last slot, for the arrow to the next unit


def backplane_drawing(wired: Wired, unit: int) -> Drawing:
    """One backplane as a drawing; `unit` is an index into `wired.units` (IndexError: there is none)."""
    view = unit_view(wired, unit)
    title = say("drawing-backplane-caption", unit=view.name, kind=view.unit.entry.kind)
    described = description(view)
    picture = svg.picture(backplane_height(view), title, described)
    draw_backplane(picture, view)
    id_ = f"backplane-{view.unit.box}-{view.unit.id}"
    return Drawing(id_, title, svg.as_text(picture), described, tuple(backplane_lines(view)))


def description(view: UnitView) -> str:
    """What the drawing shows, for those who can't see it."""
    state = " ".join(said.text for said in grant_says(view) if said.bold) or say("drawing-grants-closed")
    boards, slots = str(len(view.boards)), str(len(view.slots))
    return say("drawing-backplane-description", unit=view.name, boards=boards, slots=slots, state=state)


def backplane_height(view: UnitView) -> float:
    """How tall the drawing of one backplane is, in the units of a picture 1000 wide."""
    plate = plate_of(view)
    return _head_height(view) + plate.height + _foot_height(plate) + _EDGE


def draw_backplane(parent: svg.Element, view: UnitView) -> None:
    """Draw a backplane from the top of `parent` on."""
    plate = plate_of(view)
    head = svg.group(parent, part="head")
    svg.write(head, _EDGE, _EDGE, _head(view))
    top = _head_height(view)
    _letters(head, plate, top)
    slots = svg.moved(parent, top)
    for row in plate.rows:
        _row(slots, row)
    for cell in plate.cells:
        _cell(slots, cell)
    for frame in plate.frames:
        _frame(slots, frame, plate)
    draw_grants(slots, plate, top=-_LETTERS - (_JOINT / 2 if _open_joint(view) else 4))
    foot = svg.moved(svg.group(parent, part="foot"), top + plate.height + _FOOT)
    at = legend(foot, plate, 0)
    svg.write(foot, _EDGE, at, _foot(view))


# ---- head and foot


def _open_joint(view: UnitView) -> bool:
    return any(hop.joint for path in view.paths for hop in view.hops(path))


def _head(view: UnitView) -> list[Said]:
    marks = getattr(view.unit.entry.markings, "peek", ())
    kind = ", ".join([*marks, view.unit.entry.kind])
    said = [
        Said(say("drawing-backplane-caption", unit=view.name, kind=kind), 18, bold=True),
        Said(board_side(view), 16, bold=True),
    ]
    said += [Said(comes_from(view), bold=not view.unit.joined)]
    said += [] if view.parts else [Said(say("drawing-no-slots"), bold=True)]
    return svg.fitted(said)


def _foot(view: UnitView) -> list[Said]:
    said = [Said(goes_to(view)), *map(Said, built_in_says(view))]
    said += grant_says(view)
    said += [Said(orientation(view)), *(Said(text, SMALL) for text in evidence_says(view))]
    return svg.fitted(said)


def _head_height(view: UnitView) -> float:
    return (_JOINT if _open_joint(view) else 0) + _EDGE + svg.height_of(_head(view)) + 8 + _LETTERS


def _foot_height(plate: Plate) -> float:
    return _FOOT + legend_height(plate) + svg.height_of(_foot(plate.view))


def _letters(parent: svg.Element, plate: Plate, top: float) -> None:
    for letter in plate.columns:
        svg.words(parent, plate.x(letter) + plate.width / 2, top - 8, letter, 22, bold=True, anchor="middle")


# ---- slots, boards, empty parts


def _row(parent: svg.Element, row: Row) -> None:
    group = svg.group(parent, slot=row.slot, **({"again": "yes"} if row.again else {}))
    svg.rectangle(group, 5, row.y, svg.WIDTH - 10, row.height, weight=svg.THIN)
    svg.write(group, 9, row.y + 2, row.label)


def _cell(parent: svg.Element, cell: Cell) -> None:
    group = svg.group(parent, empty=cell.part.place)
    svg.rectangle(group, cell.x, cell.y, cell.width, cell.height, weight=svg.THIN, dash="2 4")
    if cell.card:
        _card(svg.group(group, grant_card=cell.card_at), cell, *cell.card)
    svg.write(group, cell.text_x, cell.y + MARGIN, cell.text, on_white=cell.card is not None)


def _card(parent: svg.Element, cell: Cell, left: float, width: float) -> None:
    x, y = left + GUTTER, cell.y + 4
    width, height = width - GUTTER - 4, cell.height - 8 - cell.strip
    svg.hatching(parent, x, y, width, height)
    svg.rectangle(parent, x, y, width, height)
    text = say("drawing-grant-card")
    label = svg.width_of(text, SMALL)
    svg.write(parent, x + (width - label) / 2, y + height - 20, [Said(text, SMALL, bold=True)], on_white=True)


def _frame(parent: svg.Element, frame: Frame, plate: Plate) -> None:
    board = frame.board
    group = svg.group(parent, board=board.index, place=board.place, kind=board.entry.id, rows=board.rows)
    svg.rectangle(group, frame.x, frame.y, frame.width, frame.height, fill="white", weight=3, round_by=4)
    svg.write(group, frame.text_at[0], frame.y + MARGIN - 3, frame.text)
    _tick(group, frame)
    for row, slot in _parts(frame, plate):
        part = svg.group(group, part_of_set=slot)
        if slot != board.place.slots[0]:
            _divide(part, frame, row.y)
        x, width = frame.parts_at
        if width:
            svg.write(part, x, row.y + MARGIN, svg.fitted([Said(part_says(board, slot))], width))


def _divide(parent: svg.Element, frame: Frame, y: float) -> None:
    """A line between two parts of a set, left and right of the text."""
    x, width = frame.text_at
    for left, right in ((frame.x, x - 4), (x + width + 4, frame.x + frame.width)):
        svg.line(parent, [(left, y), (max(left, right), y)], weight=svg.THIN, dash="6 4")


def _parts(frame: Frame, plate: Plate) -> Iterator[tuple[Row, int]]:
    """The rows of a set with their slots."""
    if len(frame.board.place.slots) > 1 and not frame.again:
        for slot in frame.board.place.slots:
            yield next(row for row in plate.rows if row.slot == slot and not row.again), slot


def _tick(parent: svg.Element, frame: Frame) -> None:
    """The box to tick beside the number, with words before it where there is room."""
    taken = svg.width_of(frame.text[0].text, frame.text[0].size)
    x, width = frame.text_at
    with_words = taken + tick_width(words=True) + 20 <= width
    right, y = x + width, frame.y + MARGIN + 15
    if with_words:
        svg.words(parent, right - tick_width(words=True), y, say("drawing-looked-at"), SMALL)
    svg.rectangle(parent, right - 14, y - 11, 13, 13)
