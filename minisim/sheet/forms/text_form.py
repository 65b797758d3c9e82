"""A document as plain text of 72 columns: it says all that the other forms say."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from minisim.sheet.blocks import (
    BLANK,
    Block,
    Document,
    Drawing,
    Fields,
    Heading,
    ItemKind,
    Items,
    Page,
    Photos,
    Quoted,
    Role,
    Table,
    Words,
)
from minisim.sheet.messages import say

COLUMNS = 72
_NARROWEST = 6  # columns; a table that would need narrower ones is shown row by row
_GAP = 2
_HEAD_ROOM = 2  # columns that the table library leaves beside each head


def text_of(document: Document) -> str:
    """The whole document."""
    lines = [*_wrapped(document.title), "=" * min(len(document.title), COLUMNS), *_wrapped(document.foot)]
    for page in document.pages:
        lines += ["", "", *_page(page)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _page(page: Page) -> Iterator[str]:
    yield from _wrapped(page.title)
    yield "-" * min(len(page.title), COLUMNS)
    for block in page.blocks:
        yield ""
        yield from block_lines(block)


def block_lines(block: Block) -> Iterator[str]:
    """One block, without an empty line before or behind it."""
    match block:
        case Heading(text):
            yield from _wrapped(text)
            yield "." * min(len(text), COLUMNS)
        case Words(text, role):
            yield from _wrapped(text, *_frame(role))
        case Items(items, kind):
            for number, item in enumerate(items, 1):
                first = {ItemKind.BULLETS: "- ", ItemKind.STEPS: f"{number}. ", ItemKind.BOXES: "[ ] "}[kind]
                yield from _wrapped(item, first, " " * len(first))
        case Quoted(lines):
            yield from lines
        case Fields(rows):
            for name, value in rows:
                yield from _wrapped(f"{name}: {_written_in(value, 24)}", "", "  ")
        case Table():
            yield from _table(block)
        case Drawing():
            yield from _wrapped(block.caption)
            yield from block.lines
        case Photos(captions):
            for caption in captions:
                yield from _wrapped(say("form-photo", caption=caption), "[ ] ", "    ")


def _frame(role: Role) -> tuple[str, str]:
    return {Role.CAUTION: ("!! ", "!! "), Role.STRONG: ("** ", "   ")}.get(role, ("", ""))


def _wrapped(text: str, first: str = "", then: str = "") -> list[str]:
    return textwrap.wrap(
        text, COLUMNS, initial_indent=first, subsequent_indent=then, break_on_hyphens=False
    ) or [first.rstrip()]  # fmt: skip


def _written_in(cell: str, width: int) -> str:
    return "_" * width if cell == BLANK else cell


# ---- tables


def _table(table: Table) -> Iterator[str]:
    yield from _wrapped(table.caption)
    if not table.rows:
        return
    widths = _widths([tuple(head + " " * _HEAD_ROOM for head in table.head), *table.rows])
    yield from _as_records(table) if widths is None else _as_columns(table, widths)


def _widths(rows: Sequence[tuple[str, ...]]) -> list[int] | None:
    """Columns as wide as their longest cell, the widest made narrower until all fit; None where they can't."""
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    words = [max(_longest_word(row[column]) for row in rows) for column in range(len(rows[0]))]
    over = sum(widths) + _GAP * (len(widths) - 1) - COLUMNS
    while over > 0:
        able = [index for index, width in enumerate(widths) if width > max(_NARROWEST, words[index])]
        if not able:
            return None
        widest = max(able, key=lambda index: widths[index])
        widths[widest] -= 1
        over -= 1
    return widths


def _longest_word(cell: str) -> int:
    room = len(cell) - len(cell.rstrip())
    return max((len(word) for word in cell.split()), default=0) + room


def _as_columns(table: Table, widths: list[int]) -> Iterator[str]:
    from tabulate import tabulate

    rows = [[_written_in(cell, width) for cell, width in zip(row, widths, strict=True)] for row in table.rows]
    yield from tabulate(
        rows, table.head, tablefmt="simple", maxcolwidths=widths,
        maxheadercolwidths=[width - _HEAD_ROOM for width in widths],
        disable_numparse=True, break_on_hyphens=False,
    ).splitlines()  # fmt: skip


def _as_records(table: Table) -> Iterator[str]:
    """Every row as lines `head: cell`, its first cell before them."""
    for row in table.rows:
        yield from _wrapped(f"{table.head[0]}: {_written_in(row[0], 24)}", "* ", "  ")
        for head, cell in zip(table.head[1:], row[1:], strict=True):
            if cell:
                yield from _wrapped(f"{head}: {_written_in(cell, 24)}", "    ", "      ")
