"""What beginners do: a wrong way that stays, a board left out, the same line again; the lesson goes on all the same."""

from __future__ import annotations

from pathlib import Path

import pytest

from minisim.lessons.model import Step
from minisim.lessons.reader import read_lesson
from minisim.lessons.selftest import prove
from minisim.lessons.teacher import Teacher

from .samples import FILES, lessons, of_text, with_step

TAKES_THE_MEMORY_OUT = """---
title: Two
minutes: 3
goal: Two steps.
machine: desk
---
## At the desk

Take it out.

```step
at: plan
solution: |
  take out 2CD
  boot anyway
wrong: |
  take out 1CD
check: said boot anyway
hints:
  - Two lines.
done: It is on.
```

## At the bench

Run it.

```step
program: |
          . = 1000
          MOV     #7,R0
          HALT
solution: |
  run
wrong: |
  one 0.
check: r0 000007
hints:
  - One word.
done: R0 holds 7.
```
"""


def typed(teacher: Teacher, lines: tuple[str, ...]) -> bool:
    """Lines one by one; True: the step was passed with one of them."""
    number = teacher.number
    for line in lines:
        teacher.do(line)
        if teacher.number != number:
            return True
    return False


def passes(teacher: Teacher, step: Step, which: int) -> bool:
    """A wrong way, then the right one; only if that does not do it, all over and the right one again."""
    if typed(teacher, step.wrong[which]) or typed(teacher, step.solution):
        return True
    teacher.do("start over")
    return typed(teacher, step.solution)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_what_a_wrong_way_leaves_behind_is_not_in_the_way_of_later_steps(path: Path) -> None:
    for which in (0, -1):
        teacher = Teacher(read_lesson(path))
        for step in teacher.lesson.steps:
            assert passes(teacher, step, which), f"{step.mark}: {step.title}"
        teacher.close()


def test_a_machine_that_cant_hold_the_next_program_is_made_anew_and_it_is_said() -> None:
    teacher = Teacher(of_text(TAKES_THE_MEMORY_OUT))
    teacher.do("take out 1CD")
    reply = teacher.do("boot anyway")
    assert reply.passed
    assert reply.lines[-1].startswith("As the machine stood, the next step could not be done")
    assert teacher.troubles == []
    assert teacher.do("run").passed


def test_show_goes_on_where_the_machine_is_spoiled_beyond_starting_over() -> None:
    teacher = Teacher(next(lesson for lesson in lessons() if lesson.name == "toggle"))
    teacher.do("show")
    teacher.do("show")
    teacher.machine.memory[0o1000:0o1002] = bytes(2)
    teacher._start = teacher.rig.keep()  # as if the step had begun so
    assert teacher.do("show").passed
    assert teacher.troubles == []
    assert teacher.machine.memory.word(0o1000) == 0o12700


def test_starting_over_twice_brings_the_machine_as_the_steps_before_leave_it() -> None:
    teacher = Teacher(next(lesson for lesson in lessons() if lesson.name == "dues"))
    teacher.do("change r0 000005")
    teacher.do("change r1 000014")
    teacher.do("change r0 000001")
    teacher._start = teacher.rig.keep()
    teacher.do("start over")
    assert teacher.machine.cpu.r[0] == 1
    teacher.do("start over")
    assert (teacher.machine.cpu.r[0], teacher.machine.cpu.r[1]) == (5, 0o14)
    assert teacher.do("one").passed


def test_a_line_refused_in_a_wrong_way_is_no_trouble_though_the_solution_has_it() -> None:
    step = """at: plan
solution: |
  take out 2CD
  put in 2CD serial-line-single
wrong: |
  put in 2CD serial-line-single
check: said take out and consistent
"""
    assert prove(of_text(with_step(step, machine="desk"))).problems == ()


def test_a_line_of_the_solution_that_is_refused_is_told() -> None:
    step = "solution: |\n  change r9 000012\n  change r0 000012\n"
    (problem, *_) = prove(of_text(with_step(step))).problems
    assert '"change r9 000012" could not be done' in problem


def test_behind_a_run_that_reached_its_end_the_console_talks_to_the_program() -> None:
    boot = Teacher(next(lesson for lesson in lessons() if lesson.name == "boot"))
    for _ in range(4):
        boot.do("show")
    assert boot.do("until printed tide:").passed
    assert boot.do("list").passed
    assert "welcome" in boot.take_printed().decode()


def test_how_a_run_ended_is_one_whole_sentence_without_a_place() -> None:
    teacher = Teacher(of_text(with_step("program: |\n          . = 1000\n          HALT\n", machine="desk")))
    (said,) = teacher.do("run").lines[:1]
    assert said == "The instruction at 001000 halted the processor after 1 instruction; next would be 001002."


def test_switched_on_holds_only_for_the_boards_as_they_stand() -> None:
    step = "at: plan\nsolution: |\n  set 1CD kb 16\n  boot\nwrong: |\n  boot\n  set 1CD kb 16\n"
    teacher = Teacher(of_text(with_step(f"{step}check: switched on and said set\n", machine="desk")))
    assert not typed(teacher, ("boot", "set 1CD kb 16"))
    assert teacher.do("look").passed is False
    assert teacher.do("boot").passed
