"""Lessons on paper: prose, programs, lines to write into, and the solutions on a page of their own at the end."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from itertools import groupby

from minisim.lessons.model import Lesson, Paragraph, Prose, Step
from minisim.lessons.prose import as_plain, is_quoted, plain
from minisim.sheet.blocks import (
    BLANK,
    Block,
    Document,
    Fields,
    Heading,
    ItemKind,
    Items,
    Page,
    Quoted,
    Role,
    Table,
    Words,
)

TITLE = "minisim: lessons"
_WHERE = {
    "bench": "Type at the bench.",
    "console": "Type at the console; press Return behind each line.",
    "panel": "Say what your hand does at the front panel.",
    "plan": "Type at the desk with the plan of the machine.",
}


def hand_out(lessons: tuple[Lesson, ...], made: date) -> Document:
    """The hand-out of some lessons."""
    from minisim.cli import version

    title = f"minisim: {lessons[0].title}" if len(lessons) == 1 else TITLE
    foot = f"{title}, minisim {version()}, {made.isoformat()}"
    pages = [_page(lesson) for lesson in lessons]
    facts = {"version": version(), "date": made.isoformat()}
    return Document(title, foot, (*pages, _solutions(lessons)), facts=facts)


def hand_out_bytes(document: Document, ending: str, paper: str = "") -> bytes:
    """As .html, .pdf or .txt."""
    from minisim.sheet.forms.html_form import html_of
    from minisim.sheet.forms.pdf_form import pdf_of
    from minisim.sheet.forms.text_form import text_of

    if ending == ".pdf":
        return pdf_of(document, paper)
    return (html_of(document, paper) if ending == ".html" else text_of(document)).encode()


def _page(lesson: Lesson) -> Page:
    facts = (("Time", lesson.time), ("Goal", lesson.goal), ("Begin", f"minisim learn {lesson.name}"))
    blocks: list[Block] = [Fields(facts)]
    blocks += _prose(lesson.opening)
    for number, step in enumerate(lesson.steps, 1):
        blocks += _step(lesson, number, step)
    return Page(lesson.name, lesson.title, tuple(blocks))


def _step(lesson: Lesson, number: int, step: Step) -> Iterator[Block]:
    yield Heading(f"{number}. {step.title}")
    yield from _prose(step.prose)
    if step.program is not None:
        yield _listing(lesson, number, step)
    yield Words(_WHERE[step.at], Role.SMALL)
    yield Fields((("I typed", BLANK), ("I saw", BLANK)))


def _prose(prose: Prose) -> Iterator[Block]:
    """Paragraphs; items that follow each other as one list, quoted lines as one piece."""
    for _, group in groupby(prose, lambda one: (bool(one.mark), is_quoted(one))):
        paragraphs = list(group)
        if paragraphs[0].mark:
            yield from _list(paragraphs)
        else:
            yield from (Words(plain(each.spans)) for each in paragraphs)


def _list(items: list[Paragraph]) -> Iterator[Block]:
    if is_quoted(items[0]):
        yield Quoted(tuple(plain(item.spans) for item in items))
    else:
        kind = ItemKind.BULLETS if items[0].mark == "-" else ItemKind.STEPS
        yield Items(tuple(plain(item.spans) for item in items), kind)


def _listing(lesson: Lesson, number: int, step: Step) -> Table:
    """The program with its addresses and words, in octal."""
    assert step.program is not None
    rows = [
        (f"{line.address:06o}" if line.data and line.address is not None else "", _octal(line.data, line.in_words),
         " ".join(line.source.split()))
        for line in step.program.listing
        if line.source.strip()
    ]  # fmt: skip
    return Table(f"program-{lesson.name}-{number}", "The program", ("Address", "Words", "Line"), tuple(rows))


def _octal(data: bytes, in_words: bool) -> str:
    """Up to three words, or bytes, as a listing shows them."""
    if in_words:
        found = [f"{int.from_bytes(data[at : at + 2], 'little'):06o}" for at in range(0, len(data), 2)]
    else:
        found = [f"{byte:03o}" for byte in data]
    return " ".join(found[:3]) + (" ..." if len(found) > 3 else "")


def _solutions(lessons: tuple[Lesson, ...]) -> Page:
    """What can be typed, and the true thing of each step: on new paper, so that it can be kept back."""
    blocks: list[Block] = [Words("Other ways may do as well: the machine says whether a step is done.")]
    for lesson in lessons:
        rows = tuple(
            (f"{number}. {step.title}", "; ".join(step.solution), as_plain(step.done))
            for number, step in enumerate(lesson.steps, 1)
        )
        blocks.append(Table(f"solutions-{lesson.name}", lesson.title, ("Step", "Type", "What is true"), rows))
    return Page("solutions", "Solutions", tuple(blocks))
