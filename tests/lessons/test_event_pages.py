"""The pages of event mode on screens of several sizes."""

from __future__ import annotations

from datetime import date

import pytest

from minisim.lessons.event.model import groups_of
from minisim.lessons.event.pages import choice_lines
from minisim.lessons.event.screen import without_gaps
from minisim.lessons.slip import slip_lines, slip_of
from minisim.lessons.teacher import Teacher
from minisim.screen.spans import plain

from .samples import lessons

DAY = date(2026, 5, 30)


def slip(name: str) -> tuple[str, ...]:
    teacher = Teacher(next(lesson for lesson in lessons() if lesson.name == name))
    while not teacher.finished:
        teacher.show()
    return tuple(slip_lines(slip_of(teacher, DAY)))


@pytest.mark.parametrize(("width", "room"), [(56, 11), (76, 19), (196, 55)])
def test_the_end_of_a_slip_is_seen_on_every_screen(width: int, room: int) -> None:
    for name in ("key-in", "unplugged", "panel"):
        rows = [plain(row) for row in without_gaps(slip(name), width, room)]
        assert len(rows) <= room
        assert " ".join(" ".join(rows).split()).endswith(" ".join(slip(name)[-1].split()))
        assert rows[-1].startswith("  ")  # the true thing stands in


def test_where_there_is_room_a_slip_keeps_its_empty_lines() -> None:
    rows = [plain(row) for row in without_gaps(slip("eight"), 76, 55)]
    assert rows[0] == "" or rows[0] == "What comes after seven?"
    assert "" in rows


@pytest.mark.parametrize("room", [5, 11, 14, 19, 55])
def test_every_key_of_the_list_is_seen_on_every_screen(room: int) -> None:
    groups = groups_of(lessons())
    keys = [one.key for group in groups for one in group.activities]
    rows = [plain(row)[12:].split() for row in choice_lines(groups, room)]
    assert len(rows) <= room
    seen = [word for row in rows for word in (row[:1] if "more" not in row else row[: row.index("more")])]
    assert seen == keys
