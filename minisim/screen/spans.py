"""Text with emphasis: spans, lines of spans, cut and broken to a width.

The only emphasis is bold, reverse and underline; a screen is black and white.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from wcwidth import wcwidth

BOLD = "bold"
REVERSE = "reverse"
UNDERLINE = "underline"


@dataclass(frozen=True, slots=True)
class Span:
    """Some text in one style: "" or "bold", "reverse", "underline", with spaces between several."""

    text: str
    style: str = ""


Line = tuple[Span, ...]
EMPTY: Line = ()


def line(*parts: str | Span) -> Line:
    """A line of texts and spans."""
    return tuple(Span(part) if isinstance(part, str) else part for part in parts)


def bold(text: str) -> Span:
    """A bold span."""
    return Span(text, BOLD)


def underlined(text: str) -> Span:
    """An underlined span."""
    return Span(text, UNDERLINE)


def reverse(text: str) -> Span:
    """A span in reverse."""
    return Span(text, REVERSE)


def clean(text: str) -> str:
    """Every character one cell wide: what has no place on a screen becomes a question mark."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(each if wcwidth(each) == 1 else "?" for each in text)


def width_of(spans: Iterable[Span]) -> int:
    """Cells it takes."""
    return sum(len(span.text) for span in spans)


def clip(spans: Line, width: int) -> Line:
    """The first `width` cells."""
    found: list[Span] = []
    for span in spans:
        part = span.text[: max(width, 0)]
        width -= len(part)
        if part:
            found.append(Span(part, span.style))
    return tuple(found)


def plain(spans: Iterable[Span]) -> str:
    """Its text alone."""
    return "".join(span.text for span in spans)


def wrap(spans: Line | str, width: int, indent: int = 0) -> list[Line]:
    """Broken between words to lines of at most `width`; all but the first stand in by `indent`.

    A word longer than a line is cut; spaces in front of the first word stay, so that a table keeps its columns.
    """
    spans = line(spans) if isinstance(spans, str) else spans
    width = max(width, indent + 1, 1)
    if width_of(spans) <= width:
        return [spans]
    lines: list[list[Span]] = [[]]
    used = 0
    for word in _words(spans):
        size = width_of(word)
        blank = not plain(word).strip()
        if used + size > width and not blank and used > (indent if len(lines) > 1 else 0):
            used = _new_line(lines, indent)
        for piece in _pieces(word, width - used, width - indent):
            if used + width_of(piece) > width:
                if blank:
                    used = width  # what comes next begins a line
                    break
                used = _new_line(lines, indent)
            lines[-1] += piece
            used += width_of(piece)
    return [_stripped(each) for each in lines]


def _new_line(lines: list[list[Span]], indent: int) -> int:
    lines.append([Span(" " * indent)] if indent else [])
    return indent


def _stripped(spans: Sequence[Span]) -> Line:
    """Without the spaces at its end."""
    rest = list(spans)
    while rest and not rest[-1].text.strip():
        rest.pop()
    return tuple(rest)


def _words(spans: Line) -> Iterator[list[Span]]:
    """Words and the blanks between them; a word may change its style inside."""
    found: list[Span] = []
    was_blank = False
    for span in spans:
        for run, blank in _runs(span.text):
            if found and blank != was_blank:
                yield found
                found = []
            found.append(Span(run, span.style))
            was_blank = blank
    if found:
        yield found


def _runs(text: str) -> Iterator[tuple[str, bool]]:
    start = 0
    for at in range(1, len(text) + 1):
        if at == len(text) or (text[at] == " ") != (text[start] == " "):
            yield text[start:at], text[start] == " "
            start = at


def _pieces(word: list[Span], first: int, most: int) -> Iterator[list[Span]]:
    """A word in pieces that fit on a line."""
    if width_of(word) <= max(first, most):
        yield word
        return
    cells = [Span(character, span.style) for span in word for character in span.text]
    for at in range(0, len(cells), most):
        yield cells[at : at + most]
