"""Every board: place, number on the handle, what it is, the owner's item, height, how it stands."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from minisim.sheet.blocks import BLANK, Block, Heading, ItemKind, Items, Page, Table, Words
from minisim.sheet.messages import say
from minisim.sheet.numbers import figure_text, handle

if TYPE_CHECKING:
    from minisim.wiring.model import Wired, WiredBoard

Where = Callable[[str], str]
"""Gives the box or shelf of an item of the stock; "" where it is not known."""


def boards_page(wired: Wired, where: Where) -> Page:
    """One row a board, in the order of the places."""
    names = ("place", "handle", "what", "height", "item", "shelf", "in")
    head = tuple(say(f"boards-{name}") for name in names)
    rows = tuple(_row(board, where) for board in wired.boards)
    table = Table("board-list", say("boards-caption"), head, rows)
    orientation = tuple(_orientation(board) for board in wired.boards)
    blocks = (Words(say("boards-order")), table, Words(say("boards-orientation-head")))
    return Page("boards", say("boards-title"), (*blocks, Items(orientation, ItemKind.BOXES), *_notes(wired)))


def _row(board: WiredBoard, where: Where) -> tuple[str, ...]:
    item = board.placed.item
    shelf = where(item) if item else ""
    height = say("boards-described", height=figure_text(board.entry.height)) if board.assumed else ""
    return (
        str(board.place),
        handle(board.entry),
        board.entry.kind,
        height or figure_text(board.entry.height),
        item or BLANK,
        shelf or BLANK,
        BLANK,
    )


def _orientation(board: WiredBoard) -> str:
    return say("boards-orientation", place=str(board.place), board=handle(board.entry))


def _notes(wired: Wired) -> Iterator[Block]:
    """What the catalogue has to say of a kind of board, once each."""
    entries = {board.entry.id: board.entry for board in wired.boards if board.entry.notes}
    notes = {name: f"{handle(entry)}, {entry.kind}: {entry.notes}" for name, entry in entries.items()}
    if notes:
        yield Heading(say("boards-notes"))
        yield Items(tuple(notes.values()))
