"""Cutting and pasting in the owner's text: replace a word, add an entry, take one out, and nothing else.

Every function gives splices, (start, end, new text), for the text as it is; `spliced` carries them out together.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from minisim.fixing.spans import Entry, Piece, column, line_end_of, line_start, line_stop, next_line
from minisim.loadout.writer import text as scalar_text


class Splice(NamedTuple):
    """Put `new` where the characters from `start` to `end` stand."""

    start: int
    end: int
    new: str


class CannotEdit(Exception):  # noqa: N818  # no error of the program: this way of writing the file is not handled
    """The text is written in a way in which this change can't be made."""


def spliced(text: str, splices: Iterable[Splice]) -> str:
    """The text with all changes made; they must not overlap."""
    done, at = [], 0
    for one in sorted(splices):
        if one.start < at:
            raise CannotEdit("two changes at one place")
        done += [text[at : one.start], one.new]
        at = one.end
    return "".join([*done, text[at:]])


# ---- words


def replaced(text: str, piece: Piece, new: str) -> list[Splice]:
    """Another word in the place of a scalar, between the same quotes; a comment behind it keeps its column."""
    if piece.quote in "|>" and piece.quote:
        raise CannotEdit("a text over several lines")
    if piece.start == piece.end:
        return [Splice(piece.start, piece.end, f" {scalar_text(new)}")]
    shown = _as_quoted(new, piece.quote)
    splice = Splice(piece.start, piece.end, shown)
    return [splice, *_kept_column(text, piece.end, len(shown) - (piece.end - piece.start))]


def _as_quoted(new: str, quote: str) -> str:
    if quote == "'" and "'" not in new:
        return f"'{new}'"
    plain = scalar_text(new)
    return f'"{new}"' if quote == '"' and plain == new else plain


def _kept_column(text: str, end: int, grown: int) -> list[Splice]:
    """Take from, or add to, the run of spaces before a comment on the same line."""
    stop = line_stop(text, end)
    hash_at = text.find("#", end, stop)
    while hash_at > 0 and text[hash_at - 1] not in " \t":  # a # inside a word is none
        hash_at = text.find("#", hash_at + 1, stop)
    if hash_at < 0 or grown == 0 or _inside_quotes(text[end:hash_at]):
        return []
    spaces = len(text[end:hash_at]) - len(text[end:hash_at].rstrip(" "))
    if spaces < 2:
        return []
    start = hash_at - spaces
    return [Splice(start, hash_at, " " * max(2, spaces - grown))]


def _inside_quotes(between: str) -> bool:
    return between.count('"') % 2 == 1 or between.count("'") % 2 == 1


# ---- entries of mappings


def added(text: str, owner: Piece, key: str, value: str, *, after: Entry | None = None) -> list[Splice]:
    """One more entry of a mapping, behind `after` or, where that is None, before the first; `value` is YAML already.

    Comments above the first entry speak of it or of all: then the new one goes behind the first.
    """
    shown = f"{scalar_text(key)}: {value}"
    if owner.flow:
        return [_into_flow(text, owner, shown, after)]
    if after is None and _comments_above(text, line_start(text, owner.start)) < line_start(text, owner.start):
        after = owner.entries[0]
    if after is None:
        at = line_start(text, owner.start)
        if text[at : owner.start].strip():
            raise CannotEdit("the mapping begins behind a dash")
        return [Splice(at, at, f"{text[at : owner.start]}{shown}{line_end_of(text)}")]
    indent = " " * column(text, owner.start)
    return [below(text, after.end, f"{indent}{shown}", len(indent))]


def _into_flow(text: str, owner: Piece, shown: str, after: Entry | None) -> Splice:
    if not owner.entries:
        return Splice(owner.start + 1, owner.end - 1, shown)
    if after is None:
        first = owner.entries[0].key.start
        return Splice(first, first, f"{shown}, ")
    return Splice(after.end, after.end, f", {shown}")


def below(text: str, end: int, lines: str, indent: int) -> Splice:
    """`lines` (without the last line end) under the line on which something ends, and under its deeper comments."""
    at = end if end > 0 and text[end - 1] == "\n" else next_line(text, end)
    while at < len(text) and _is_comment(text, at) and _indent(text, at) > indent:
        at = next_line(text, at)
    newline = line_end_of(text)
    if at == len(text) and not text.endswith(("\n", "\r")):
        return Splice(at, at, f"{newline}{lines}")  # a file without a last line end stays one
    return Splice(at, at, f"{lines}{newline}")


def _is_comment(text: str, at: int) -> bool:
    return text[at : line_stop(text, at)].lstrip(" ").startswith("#")


def _indent(text: str, at: int) -> int:
    line = text[at : line_stop(text, at)]
    return len(line) - len(line.lstrip(" "))


def without_entry(text: str, owner: Piece, entry: Entry) -> list[Splice]:
    """A mapping without one entry; its comment lines directly above go with it."""
    if owner.flow:
        starts = [(one.key.start, one.end) for one in owner.entries]
        return [_out_of_flow(starts, owner.entries.index(entry))]
    start, end = entry_lines(text, owner, entry)
    return [_cut(text, start, end)]


def without_item(text: str, owner: Piece, item: Piece) -> list[Splice]:
    """A list without one item."""
    if owner.flow:
        return [_out_of_flow([(one.start, one.end) for one in owner.items], owner.items.index(item))]
    start = line_start(text, item.start)
    if text[start : item.start].strip() != "-":
        raise CannotEdit("a list written in an unusual way")
    first = item is owner.items[0]
    return [_cut(text, start if first else _comments_above(text, start), _after(text, item.end))]


def _out_of_flow(spans: list[tuple[int, int]], index: int) -> Splice:
    """Cut one of several parts between brackets, with the comma that divides it from its neighbour."""
    start, end = spans[index]
    if index + 1 < len(spans):
        return Splice(start, spans[index + 1][0], "")
    return Splice(spans[index - 1][1] if index else start, end, "")


def entry_lines(text: str, owner: Piece, entry: Entry) -> tuple[int, int]:
    """The lines of one entry of a mapping without brackets: from its comments to where the next line begins."""
    start = line_start(text, entry.key.start)
    if text[start : entry.key.start].strip():
        raise CannotEdit("the entry begins behind a dash")
    first = entry is owner.entries[0]
    return (start if first else _comments_above(text, start)), _after(text, entry.end)


def _after(text: str, end: int) -> int:
    return end if end > 0 and text[end - 1] in "\r\n" else next_line(text, end)


def _comments_above(text: str, start: int) -> int:
    """Where the comment lines directly above, indented alike, begin.  Above the first entry they may speak of all."""
    indent = _indent(text, start)
    at = start
    while at > 0:
        above = line_start(text, at - 1 if text[at - 2 : at] != "\r\n" else at - 2)
        if not _is_comment(text, above) or _indent(text, above) != indent:
            return at
        at = above
    return at


def _cut(text: str, start: int, end: int) -> Splice:
    """Whole lines out; where they were the last and had no line end, the line before loses its own."""
    if end == len(text) and start > 0 and not text.endswith(("\n", "\r")):
        start -= 2 if text[start - 2 : start] == "\r\n" else 1
    return Splice(start, end, "")
