"""The small part of Markdown that lessons are written in: paragraphs, lists, *emphasis*, `code`, headings of steps."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from dataclasses import dataclass, field

from markdown_it import MarkdownIt
from markdown_it.token import Token

from minisim.findings import Mark
from minisim.lessons.model import Paragraph, Prose, Span, Style
from minisim.problems import Problem

ALLOWED = "paragraphs, lists, *emphasis*, `code`, headings of steps (##) and step blocks"
STEP = "step"


@dataclass(frozen=True, slots=True)
class Fence:
    """A ```step block: its text, and the line of the file on which the text begins (counted from 1)."""

    text: str
    line: int


@dataclass(slots=True)
class Section:
    """What stands under one heading; the first one has no title."""

    title: str
    line: int
    prose: list[Paragraph] = field(default_factory=list)
    fences: list[Fence] = field(default_factory=list)


def sections(text: str, file: str) -> tuple[list[Section], list[Problem]]:
    """The sections of a text and what can't stand in it.  Lines count in `text`."""
    reading = _Reading(file)
    for token in MarkdownIt("commonmark").parse(text):
        reading.take(token)
    return reading.sections, reading.problems


def plain(spans: tuple[Span, ...]) -> str:
    """Prose as plain text: what is to be typed stands between double quotes, a single word or number does without."""
    return "".join(_quoted(span.text) if span.style is Style.CODE else span.text for span in spans)


def as_plain(text: str) -> str:
    """One line of lesson text (a hint, what is said at the end of a step) as plain text."""
    return plain(spans_of(text))


def spans_of(text: str) -> tuple[Span, ...]:
    """One line of lesson text in its styles; what is no prose stays as it is written."""
    found, problems = sections(text, "")
    prose = found[0].prose
    return prose[0].spans if len(prose) == 1 and not problems and not prose[0].mark else (Span(text),)


def plain_lines(prose: Prose, columns: int) -> Iterator[str]:
    """Prose as lines of plain text, an empty line between paragraphs; items of one list stand together."""
    before: Paragraph | None = None
    for paragraph in prose:
        if before is not None and not (before.mark and paragraph.mark):
            yield ""
        first = f"{paragraph.mark} " if paragraph.mark else ""
        if is_quoted(paragraph):
            yield f"  {paragraph.spans[0].text}"
            before = paragraph
            continue
        yield from textwrap.wrap(
            plain(paragraph.spans), columns, initial_indent=first, subsequent_indent=" " * len(first),
            break_on_hyphens=False,
        )  # fmt: skip
        before = paragraph


def is_quoted(paragraph: Paragraph) -> bool:
    """A line quoted as it stands elsewhere, with its columns: an item of a list that is one piece of code with gaps."""
    (first, *rest) = paragraph.spans or (Span(""),)
    return bool(paragraph.mark) and not rest and first.style is Style.CODE and "  " in first.text


def count_words(prose: Prose) -> int:
    """How many words a reader reads."""
    return sum(len(plain(paragraph.spans).split()) for paragraph in prose)


def _quoted(code: str) -> str:
    one_word = " " not in code and (code.isupper() or not code.isalpha())
    is_figure = "  " in code
    return code if one_word or is_figure or '"' in code else f'"{code}"'


@dataclass(slots=True)
class _Reading:
    """Takes the tokens of a text one by one."""

    file: str
    sections: list[Section] = field(default_factory=lambda: [Section("", 1)])
    problems: list[Problem] = field(default_factory=list)
    line: int = 1
    lists: list[int | None] = field(default_factory=list)  # the number of the next item of each open list
    mark: str = ""
    is_heading: bool = False

    def take(self, token: Token) -> None:
        if token.map is not None:
            self.line = token.map[0] + 1
        if token.type == "inline":
            self._inline(token)
        elif token.type == "heading_open":
            self._heading(token)
        elif token.type in ("bullet_list_open", "ordered_list_open"):
            self._opens(token)
        elif token.type == "list_item_open":
            self._item()
        elif token.type == "fence":
            self._fence(token)
        elif token.type != "paragraph_open" and not token.type.endswith("_close"):
            self._refuse(token.type.removesuffix("_open").replace("_", " "))
        if token.type in ("bullet_list_close", "ordered_list_close"):
            self.lists.pop()

    def _heading(self, token: Token) -> None:
        self.is_heading = True
        if token.tag != "h2":
            self._refuse(f"a heading {token.markup}")

    def _opens(self, token: Token) -> None:
        self.lists.append(int(token.attrGet("start") or 1) if token.tag == "ol" else None)
        if len(self.lists) > 1:
            self._refuse("a list inside a list")

    def _item(self) -> None:
        number = self.lists[-1]
        self.mark = "-" if number is None else f"{number}."
        self.lists[-1] = None if number is None else number + 1

    def _fence(self, token: Token) -> None:
        if token.info.strip() == STEP:
            self.sections[-1].fences.append(Fence(token.content, self.line + 1))
        else:
            self._refuse(f'a block "{token.info.strip()}"')

    def _inline(self, token: Token) -> None:
        spans = tuple(self._spans(token.children or []))
        if self.is_heading:
            self.is_heading = False
            self.sections.append(Section(plain(spans), self.line))
            return
        if self.sections[-1].fences:
            self._say("prose stands before the step block, none behind it")
        self.sections[-1].prose.append(Paragraph(spans, self.mark))
        self.mark = ""

    def _spans(self, children: list[Token]) -> Iterator[Span]:
        style = Style.PLAIN
        for child in children:
            if child.type in ("softbreak", "hardbreak"):
                yield Span(" ")
            elif child.type == "code_inline":
                yield Span(child.content, Style.CODE)
            elif child.type in ("em_open", "em_close"):
                style = Style.EMPHASIS if child.type == "em_open" else Style.PLAIN
            elif child.type in ("text", "text_special"):
                if child.content:
                    yield Span(child.content, style)
            elif not child.type.endswith("_close"):
                self._refuse(child.type.removesuffix("_open").replace("_", " "))

    def _refuse(self, what: str) -> None:
        self._say(f"{what} can't stand in a lesson; there are {ALLOWED}")

    def _say(self, message: str) -> None:
        problem = Problem(Mark(self.file, self.line, 1), message)
        if problem not in self.problems:
            self.problems.append(problem)
