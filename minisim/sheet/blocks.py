"""What a sheet is made of: pages of blocks, each a plain record.  The forms show blocks and add nothing."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from enum import StrEnum
from typing import Any

BLANK = "____"
"""A cell or a value that is filled in by hand."""


class Role(StrEnum):
    """How loud a text is."""

    PLAIN = "plain"
    STRONG = "strong"  # must be seen at arm's length
    CAUTION = "caution"  # in a frame
    SMALL = "small"  # sources and the like


class ItemKind(StrEnum):
    """What stands before each item."""

    BULLETS = "bullets"
    STEPS = "steps"  # numbered
    BOXES = "boxes"  # a box to tick


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading inside a page."""

    text: str


@dataclass(frozen=True, slots=True)
class Words:
    """A paragraph."""

    text: str
    role: Role = Role.PLAIN


@dataclass(frozen=True, slots=True)
class Items:
    """A list; every item is one paragraph."""

    items: tuple[str, ...]
    kind: ItemKind = ItemKind.BULLETS


@dataclass(frozen=True, slots=True)
class Quoted:
    """Lines as they stand elsewhere, whose columns count; at most 72 characters each."""

    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under heads.  `BLANK` cells are written in by hand; `id` names the table for readers of the page."""

    id: str
    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Fields:
    """Names with their values, a line each."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A picture: one `svg` element as text, what it shows in a sentence for those who can't see it, and the same in
    lines of plain characters of at most 72 columns.
    """

    id: str
    caption: str
    svg: str
    description: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Photos:
    """Empty frames with captions: photos are put in by hand."""

    captions: tuple[str, ...]


Block = Heading | Words | Items | Quoted | Table | Fields | Drawing | Photos


@dataclass(frozen=True, slots=True)
class Page:
    """One part of the sheet.  `starts_sheet`: it begins on new paper."""

    id: str
    title: str
    blocks: tuple[Block, ...]
    starts_sheet: bool = True


@dataclass(frozen=True, slots=True)
class Document:
    """A whole sheet; `foot` stands at the end of every page of paper (name, version, date, hash)."""

    title: str
    foot: str
    pages: tuple[Page, ...]
    language: str = "en"
    facts: dict[str, str] = field(default_factory=dict)  # file, sha256, version, date, state


def as_json(document: Document) -> dict[str, Any]:
    """The document as plain lists and dicts; every block has its `kind`."""
    pages = [
        {
            "id": page.id,
            "title": page.title,
            "starts_sheet": page.starts_sheet,
            "blocks": [_block_as_json(block) for block in page.blocks],
        }
        for page in document.pages
    ]
    return {
        "title": document.title,
        "language": document.language,
        "foot": document.foot,
        "facts": document.facts,
        "pages": pages,
    }


def _block_as_json(block: Block) -> dict[str, Any]:
    fields = asdict(block)
    if "kind" in fields:  # of a list; the kind of the block has that name
        fields["list"] = fields.pop("kind")
    return {"kind": type(block).__name__.lower(), **fields}
