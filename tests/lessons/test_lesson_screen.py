"""A lesson on the whole screen, drawn on a canvas, and driven by keys."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from minisim.lessons.screen import LessonScene
from minisim.lessons.teacher import Teacher
from minisim.screen import Canvas

from .samples import lessons, of_text, sample, with_step

DAY = date(2026, 5, 30)


def picture(scene: LessonScene, width: int = 80, height: int = 22) -> str:
    canvas = Canvas(width, height)
    scene.draw(canvas)
    return "\n".join(canvas.text())


def typed(scene: LessonScene, line: str) -> None:
    """As the machinery of the screen does it: a line closes what was open."""
    scene.pane = None
    scene.enter(line)


def test_the_step_the_machine_and_the_answer_are_seen_together() -> None:
    scene = LessonScene(Teacher(sample("sound")), DAY)
    assert "step 1 of 2" in picture(scene)
    typed(scene, "change r0 000010")
    seen = picture(scene)
    assert "Put ten into R0" in seen
    assert "R0 000010" in seen
    assert "Not yet: R0 holds 000010." in seen


def test_behind_the_last_step_a_slip_is_offered(tmp_path: Path) -> None:
    scene = LessonScene(Teacher(sample("sound")), DAY)
    typed(scene, "show")
    typed(scene, "show")
    assert "finished" in picture(scene)
    typed(scene, f"slip {tmp_path}/slip.svg")
    assert "The slip is in" in picture(scene, 200, 40)
    assert not scene.done
    typed(scene, "leave")
    assert scene.done


def test_a_long_answer_opens_over_the_view() -> None:
    scene = LessonScene(Teacher(of_text(with_step("at: plan\ncheck: empty main/a/2CD\n", machine="desk"))), DAY)
    picture(scene)
    typed(scene, "look")
    assert scene.pane is not None
    assert "Grants: pass 1AB 1CD" in picture(scene)


def test_read_shows_the_whole_text_of_a_step() -> None:
    scene = LessonScene(Teacher(sample("sound")), DAY)
    typed(scene, "read")
    assert scene.pane is not None
    assert "another thing" in picture(scene)


def test_keys_go_to_the_console_only_where_a_step_has_one() -> None:
    bare = LessonScene(Teacher(sample("sound")), DAY)
    bare.toggle()
    assert not bare.guest
    step = "at: console\nsolution: |\n  R0/12\nwrong: |\n  R0/10\n"
    scene = LessonScene(Teacher(of_text(with_step(step, machine="desk"))), DAY)
    scene.toggle()
    assert scene.guest
    for key in "R0/12\r":
        scene.to_machine(key.encode())
    assert scene.teacher.finished
    assert not scene.guest


def test_words_that_may_stand_next_are_those_of_the_teacher_and_of_the_place() -> None:
    scene = LessonScene(Teacher(of_text(with_step("at: plan\ncheck: empty main/a/2CD\n", machine="desk"))), DAY)
    assert [each.text for each in scene.complete("ta")] == ["take out"]
    assert [each.text for each in scene.complete("s")] == ["set", "show", "start over"]
    assert "hint" in [each.text for each in LessonScene(Teacher(sample("sound")), DAY).complete("")]


@pytest.mark.parametrize(("width", "height"), [(60, 14), (80, 22), (132, 41), (200, 60)])
def test_every_lesson_is_drawn_at_every_size(width: int, height: int) -> None:
    for lesson in lessons():
        scene = LessonScene(Teacher(lesson), DAY)
        text = picture(scene, width, height)
        assert lesson.steps[0].title.split()[0] in text


def test_the_whole_text_of_a_step_is_seen_or_said_to_be_longer() -> None:
    for lesson in lessons()[::3]:
        scene = LessonScene(Teacher(lesson), DAY)
        while not scene.teacher.finished:
            words = [word.strip(".") for word in lesson.steps[scene.teacher.number].prose[-1].spans[-1].text.split()]
            seen = picture(scene)
            assert "read shows all of it" in seen or all(word in seen for word in words[-3:])
            scene.teacher.show()


def test_what_comes_next_and_the_stack_stand_where_there_is_no_console() -> None:
    program = (
        "program: |\n          . = 1000\n          MOV #5,R0\n          INC R0\n          HALT\n          CLR R0\n"
    )
    set_up = "set-up: |\n  change sp 000776\n  change 000776 000123\n"
    seen = picture(LessonScene(Teacher(of_text(with_step(program + set_up))), DAY))
    assert "next 001000  MOV #000005,R0" in seen
    assert "then 001004  INC R0" in seen
    assert "then 001006  HALT" in seen
    assert "then 001010" not in seen  # behind a halt
    assert "000123" in seen.partition("top of the stack 000776")[2]


def test_on_a_small_screen_what_was_said_is_as_wide_as_the_screen() -> None:
    scene = LessonScene(Teacher(of_text(with_step("program: |\n          . = 1000\n          MOV #7,R0\n"))), DAY)
    picture(scene)
    typed(scene, "one")
    assert "001000  MOV #000007,R0: moves the word 000007 in the instruction to R0" in picture(scene)
