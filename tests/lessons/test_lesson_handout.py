"""Lessons on paper: everything a learner needs without a screen, the solutions apart."""

from __future__ import annotations

from datetime import date

from minisim.lessons.handout import hand_out, hand_out_bytes
from minisim.sheet.blocks import Table

from .samples import lessons, sample

DAY = date(2026, 5, 30)


def test_a_hand_out_has_prose_programs_in_octal_and_lines_to_write_into() -> None:
    text = hand_out_bytes(hand_out((sample("sound"),), DAY), ".txt").decode()
    steps, _, solutions = text.partition("\nSolutions\n")
    assert "1. A register" in steps
    assert "I typed: ____" in steps
    assert "001004     012737 000005 002000" in steps  # MOV #5,@#2000 [handbook-1969]
    assert "change r0 000012" in solutions
    assert "R0 holds 000012, which is ten." not in steps


def test_all_lessons_make_one_hand_out_in_every_form() -> None:
    document = hand_out(lessons(), DAY)
    assert [page.id for page in document.pages] == [*(lesson.name for lesson in lessons()), "solutions"]
    assert max(len(line) for line in hand_out_bytes(document, ".txt").decode().splitlines()) <= 72
    html = hand_out_bytes(document, ".html").decode()
    assert all(lesson.title.replace("'", "&#39;") in html for lesson in lessons())


def test_tables_have_names_of_their_own() -> None:
    blocks = [block for page in hand_out(lessons(), DAY).pages for block in page.blocks]
    names = [block.id for block in blocks if isinstance(block, Table)]
    assert len(set(names)) == len(names)
