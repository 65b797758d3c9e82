"""Lines that lessons quote from a build sheet are lines of that sheet, and keep their columns everywhere."""

from __future__ import annotations

from datetime import date

import pytest

from minisim.catalogue import Catalogue
from minisim.lessons.handout import hand_out, hand_out_bytes
from minisim.lessons.model import Paragraph, Style
from minisim.lessons.prose import is_quoted, plain_lines
from minisim.lessons.reader import MACHINES
from minisim.lessons.screen import LessonScene
from minisim.lessons.teacher import Teacher
from minisim.loadout.reader import read_loadout
from minisim.logbook import Log
from minisim.sheet.blocks import Quoted
from minisim.sheet.build import sheet_of
from minisim.sheet.forms.text_form import text_of

from .samples import lessons
from .test_lesson_screen import picture

DAY = date(2026, 5, 30)


def is_code(paragraph: Paragraph) -> bool:
    (first, *rest) = paragraph.spans
    looks_quoted = " " in first.text or "_" in first.text
    return bool(paragraph.mark) and not rest and first.style is Style.CODE and looks_quoted


def quotes(name: str) -> list[str]:
    (lesson,) = (one for one in lessons() if one.name == name)
    return [each.spans[0].text for step in lesson.steps for each in step.prose if is_code(each)]


@pytest.mark.parametrize(("name", "machine"), [("build-sheet", "desk"), ("bring-up", "visitor")])
def test_what_a_lesson_quotes_from_a_sheet_stands_on_it(name: str, machine: str) -> None:
    catalogue = Catalogue()
    loadout = read_loadout(MACHINES / f"{machine}.yaml", catalogue=catalogue)
    lines = set(text_of(sheet_of(loadout, catalogue, made=DAY, log=Log())).splitlines())
    assert quotes(name)
    assert [line for line in quotes(name) if line not in lines] == []


def test_quoted_lines_keep_their_columns_on_every_paper_and_on_the_screen() -> None:
    (lesson,) = (one for one in lessons() if one.name == "build-sheet")
    document = hand_out((lesson,), DAY)
    quoted = [
        line for page in document.pages for block in page.blocks if isinstance(block, Quoted) for line in block.lines
    ]
    assert quoted == quotes("build-sheet")
    text = hand_out_bytes(document, ".txt").decode().splitlines()
    assert [line for line in quoted if line not in text] == []
    assert "<pre>Place       On the handle    Item    In, initials\n" in hand_out_bytes(document, ".html").decode()
    seen = picture(LessonScene(Teacher(lesson), DAY)).splitlines()
    assert [line for line in quotes("build-sheet")[:5] if line not in (row.rstrip() for row in seen)] == []


def test_lines_alone_quote_them_without_a_mark_and_never_break_them() -> None:
    (lesson,) = (one for one in lessons() if one.name == "build-sheet")
    lines = list(plain_lines(lesson.steps[0].prose, 40))
    assert "  main/a/1CD  M8044            ______  ______________" in lines
    assert max(len(line) for line in lines if not line.startswith("  ")) <= 40


def test_an_item_of_one_word_is_an_item() -> None:
    (octal,) = (one for one in lessons() if one.name == "octal")
    assert not any(is_quoted(each) for step in octal.steps for each in step.prose)
