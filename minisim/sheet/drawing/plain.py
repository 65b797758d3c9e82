"""Drawings in plain characters: never wider than a mail in a font of fixed width."""

from __future__ import annotations

from textwrap import wrap

COLUMNS = 72


def folded(text: str, indent: str = "", further: str | None = None) -> list[str]:
    """A text in lines that fit; `further` is the indent of its second line on, the same where it is not given."""
    rest = indent if further is None else further
    return wrap(text, COLUMNS, initial_indent=indent, subsequent_indent=rest, break_on_hyphens=False)
