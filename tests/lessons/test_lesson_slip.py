"""The slip a visitor takes home, as text and as a picture."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from xml.etree import ElementTree

import pytest

from minisim.lessons.slip import COLUMNS, STATION, default_name, slip_bytes, slip_lines, slip_of, write_slip
from minisim.lessons.teacher import Teacher
from minisim.problems import InputError

from .samples import lessons, of_text, sample, with_step

DAY = date(2026, 5, 30)


def finished(name: str = "sound") -> Teacher:
    teacher = Teacher(sample(name))
    teacher.do("change r0 000012")
    teacher.do("show")
    return teacher


def test_the_slip_says_what_was_done_when_and_on_which_machine() -> None:
    assert slip_lines(slip_of(finished(), DAY)) == [
        STATION,
        "=" * len(STATION),
        "",
        "A lesson for tests",
        "on the machine: processor with memory",
        "on 2026-05-30",
        "",
        "What you did",
        "  1. A register",
        "     change r0 000012",
        "  2. A program",
        "     run",
        "     (shown by the teacher)",
        "",
        "What is true",
        "  The word at 002000 holds 5.",
    ]


def test_letters_that_were_typed_at_a_console_stand_in_octal_too() -> None:
    """The codes of the letters are those of ASCII (ISO 646): A 101, N 116."""
    teacher = Teacher(next(lesson for lesson in lessons() if lesson.name == "name"))
    teacher.do("ANNA")
    found = slip_lines(slip_of(teacher, DAY))
    assert "       in octal: 101 116 116 101" in found


def test_slips_of_lessons_fit_its_72_columns() -> None:
    for lesson in lessons()[1::3]:
        teacher = Teacher(lesson)
        while not teacher.finished:
            teacher.show()
        assert max(len(line) for line in slip_lines(slip_of(teacher, DAY))) <= COLUMNS == 72


def test_the_picture_holds_the_same_lines_and_says_what_it_shows() -> None:
    slip = slip_of(finished(), DAY)
    root = ElementTree.fromstring(slip_bytes(slip, ".svg"))
    name = "{http://www.w3.org/2000/svg}"
    texts = list(root.iter(f"{name}text"))
    assert [text.text or "" for text in texts] == [each.strip() for each in slip_lines(slip)]
    places = {
        len(each) - len(each.lstrip()): text.attrib["x"] for each, text in zip(slip_lines(slip), texts, strict=True)
    }
    assert len(set(places.values())) == len(places) > 1  # what stands in on the text does so here
    described = root.find(f"{name}desc")
    assert described is not None
    assert "A lesson for tests" in str(described.text)
    assert not any("#" in str(value) for element in root.iter() for value in element.attrib.values())  # no colours


def test_the_name_of_a_slip_is_made_of_date_and_lesson() -> None:
    assert default_name(slip_of(finished(), DAY)) == "2026-05-30-sound.txt"


def test_a_slip_is_written_whole_or_not_at_all(tmp_path: Path) -> None:
    slip = slip_of(finished(), DAY)
    write_slip(slip, tmp_path / "slip.txt")
    assert (tmp_path / "slip.txt").read_text() == "\n".join(slip_lines(slip)) + "\n"
    with pytest.raises(InputError, match=r"\.txt or \.svg"):
        write_slip(slip, tmp_path / "slip.doc")
    with pytest.raises(InputError, match="no folder"):
        write_slip(slip, tmp_path / "none" / "slip.txt")
    assert [path.name for path in tmp_path.iterdir()] == ["slip.txt"]


def test_what_a_visitor_typed_cant_spoil_the_picture() -> None:
    step = "at: console\nsolution: |\n  R0/12\nwrong: |\n  R0/10\n"
    teacher = Teacher(of_text(with_step(step, machine="desk")))
    teacher.do("<b>&\x1b[2J\udcff")
    assert teacher.do("R0/12").passed
    ElementTree.fromstring(slip_bytes(slip_of(teacher, DAY), ".svg"))
    slip_bytes(slip_of(teacher, DAY), ".txt").decode("utf-8")


def test_letters_that_a_line_cant_carry_stand_as_what_was_sent() -> None:
    step = "at: console\nsolution: |\n  R0/12\nwrong: |\n  R0/10\n"
    teacher = Teacher(of_text(with_step(step, machine="desk")))
    teacher.do("J\u00f6\u6f6e")
    teacher.do("R0/12")
    assert "       in octal: 112 157 077" in slip_lines(slip_of(teacher, DAY))  # J, o without its dots, question mark
