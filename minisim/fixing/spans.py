"""The text of a loadout with the place of every piece of it: where a word, a mapping, a list begins and ends.

A round trip through a YAML library writes the whole file anew and can't promise that what it did not touch stays the
same, byte for byte; so the owner's text is cut at the places the parser names, and everything else is never touched.
Positions count characters of the text without its byte-order mark.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import yaml

_EVENTS: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
_LINE_END = re.compile("\r\n|[\r\n\x85\u2028\u2029]")


@dataclass(slots=True)
class Piece:
    """A scalar, mapping or list; `end` is behind its last character, `flow` says that it stands between brackets."""

    kind: str  # scalar | map | list
    start: int
    end: int
    text: str = ""
    flow: bool = False
    quote: str = ""  # of a scalar: ' or " or | or >, empty for a plain one
    entries: list[Entry] = field(default_factory=list)
    items: list[Piece] = field(default_factory=list)

    def entry(self, name: str) -> Entry | None:
        """The entry of a mapping under this key."""
        return next((one for one in self.entries if one.key.text == name), None)

    def value(self, name: str) -> Piece | None:
        """The value under this key."""
        found = self.entry(name)
        return found.value if found else None

    def word(self, name: str) -> str:
        """The text under this key; nothing where there is none."""
        found = self.value(name)
        return found.text if found is not None else ""

    @property
    def parts(self) -> int:
        """Number of its entries or items."""
        return len(self.entries) + len(self.items)


@dataclass(slots=True)
class Entry:
    """One key of a mapping with its value."""

    key: Piece
    value: Piece

    @property
    def end(self) -> int:
        """Behind its last character."""
        return max(self.key.end, self.value.end)


def pieces(text: str) -> Piece:
    """The tree of a text that the reader has accepted; yaml.YAMLError where it is none."""
    loader = _EVENTS(text)
    try:
        return _Tree(loader).root()
    finally:
        loader.dispose()


class _Tree:
    """Builds pieces from the events of the parser, without recursion."""

    def __init__(self, loader: Any) -> None:
        self.events: Iterator[Any] = iter(loader.get_event, None)
        self.open: list[tuple[Piece, list[Piece]]] = []

    def root(self) -> Piece:
        for event in self.events:
            done = self._take(event)
            if done is not None and not self.open:
                return done
            if done is not None:
                self.open[-1][1].append(done)
            if isinstance(event, yaml.StreamEndEvent):
                break
        return Piece("scalar", 0, 0)

    def _take(self, event: Any) -> Piece | None:
        """A finished piece, or None where one only begins."""
        start, end = event.start_mark.index, event.end_mark.index
        if isinstance(event, yaml.ScalarEvent):
            return Piece("scalar", start, end, event.value, quote=event.style or "")
        if isinstance(event, yaml.MappingStartEvent | yaml.SequenceStartEvent):
            kind = "map" if isinstance(event, yaml.MappingStartEvent) else "list"
            self.open.append((Piece(kind, start, end, flow=bool(event.flow_style)), []))
        elif isinstance(event, yaml.MappingEndEvent | yaml.SequenceEndEvent):
            return _closed(*self.open.pop(), end)
        return None


def _closed(piece: Piece, children: list[Piece], end: int) -> Piece:
    """A mapping or list with its children; one without brackets ends where its last child ends."""
    if piece.kind == "map":
        piece.entries = [Entry(key, value) for key, value in zip(children[::2], children[1::2], strict=True)]
    else:
        piece.items = children
    piece.end = end if piece.flow or not children else max(child.end for child in children)
    return piece


# ---- lines


def line_start(text: str, at: int) -> int:
    """Where the line that holds position `at` begins."""
    start = 0
    for match in _LINE_END.finditer(text, 0, at):
        start = match.end()
    return start


def line_stop(text: str, at: int) -> int:
    """Where the characters of that line end, before its line end."""
    match = _LINE_END.search(text, at)
    return match.start() if match else len(text)


def next_line(text: str, at: int) -> int:
    """Where the next line begins; the end of the text where there is none."""
    match = _LINE_END.search(text, at)
    return match.end() if match else len(text)


def line_end_of(text: str) -> str:
    """The line end this text uses (that of its first line)."""
    match = _LINE_END.search(text)
    return match[0] if match else "\n"


def column(text: str, at: int) -> int:
    """How many characters stand before position `at` on its line."""
    return at - line_start(text, at)
