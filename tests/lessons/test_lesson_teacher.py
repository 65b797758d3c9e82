"""The teacher: passes, tries that went wrong, hints, and never a dead end."""

from __future__ import annotations

from pathlib import Path

import pytest

from minisim.lessons.reader import read_lesson
from minisim.lessons.teacher import Teacher
from minisim.problems import InputError

from .samples import of_text, sample, with_step

TYPED = """program: |
          . = 1000
  key:    TSTB    @#177560
          BPL     key
          MOVB    @#177562,R1
          BIC     #177600,R1
          HALT
at: console
solution: |
  A
wrong: |
  B
check: r1 000101 and read 177562
"""


def test_a_right_line_passes_and_says_the_true_thing() -> None:
    teacher = Teacher(sample("sound"))
    reply = teacher.do("change r0 000012")
    assert reply.passed
    assert reply.lines[-1] == "R0 holds 000012, which is ten."
    assert teacher.number == 1


def test_another_way_that_brings_the_same_state_passes() -> None:
    teacher = Teacher(sample("sound"))
    for line in ("change 001000 012700 000012", "change pc 001000", "one"):
        reply = teacher.do(line)
    assert reply.passed


def test_a_wrong_try_is_told_what_was_found_and_not_the_solution() -> None:
    teacher = Teacher(sample("sound"))
    reply = teacher.do("change r0 000010")
    assert not reply.passed
    assert reply.lines[-1] == "Not yet: R0 holds 000010."
    assert teacher.do("look registers").lines[-1] != reply.lines[-1]  # nothing has changed, nothing is said again


def test_hints_come_one_by_one_and_the_last_one_stays() -> None:
    teacher = Teacher(sample("sound"))
    said = [teacher.do("hint").lines for _ in range(3)]
    assert said == [
        ("Ten is one eight and two.",), ('Type "change r0 000012".',), ('Type "change r0 000012".',),
    ]  # fmt: skip


def test_starting_over_puts_the_machine_back() -> None:
    teacher = Teacher(sample("sound"))
    begin = teacher.machine.state_hash()
    for line in ("change r3 000001", "change 001000 000000", "one 3."):
        teacher.do(line)
    assert teacher.machine.state_hash() != begin
    teacher.do("start over")
    assert teacher.machine.state_hash() == begin


def test_a_program_that_touches_an_address_and_traps_is_seen() -> None:
    teacher = Teacher(sample("sound"))
    teacher.do("show")
    assert not teacher.do("one 2.").passed
    assert not teacher.touched(0o2000, write=False)
    assert teacher.touched(0o2000, write=True)
    assert not teacher.trapped(0o34)
    assert teacher.do("run").passed
    assert teacher.finished


def test_what_the_learner_writes_into_memory_is_not_what_the_program_writes() -> None:
    teacher = Teacher(sample("sound"))
    teacher.do("show")
    teacher.do("change 002000 000005")
    assert not teacher.touched(0o2000, write=True)


def test_at_a_console_step_the_keys_are_for_the_program_that_was_put_in() -> None:
    teacher = Teacher(of_text(with_step(TYPED, machine="desk")))
    reply = teacher.do("B")
    assert reply.lines == ("Not yet: R1 holds 000102; nothing has read 177562 in this step.",) or not reply.passed
    teacher.do("start over")
    assert teacher.do("A").passed


def test_single_keys_count_as_lines_do() -> None:
    teacher = Teacher(of_text(with_step(TYPED, machine="desk")))
    assert teacher.keys(b"A").passed


def test_without_a_program_a_console_step_begins_at_the_octal_console() -> None:
    step = "at: console\nsolution: |\n  R0/12\nwrong: |\n  R0/10\ncheck: r0 000012 and looked r0\n"
    teacher = Teacher(of_text(with_step(step, machine="desk")))
    assert not teacher.do("R1/12").passed
    assert teacher.do("R0/12").passed
    assert b"R0/" in teacher.take_printed()


def test_front_panel_lines_go_to_the_panel() -> None:
    step = (
        "at: panel\nsolution: |\n  load address 001000\n  deposit 012700\n  load address 001000\n  examine\n"
        "wrong: |\n  load address 001002\n  deposit 012700\ncheck: word 001000 012700 and looked 001000\n"
    )
    teacher = Teacher(of_text(with_step(step, machine="gauge")))
    for line in teacher.lesson.steps[0].solution:
        reply = teacher.do(line)
    assert reply.passed


def test_a_plan_that_was_put_right_is_switched_on_and_runs() -> None:
    step = (
        "at: plan\nset-up: |\n  take out 2CD\nsolution: |\n  put in 2CD serial-line-single\n  boot\n"
        "wrong: |\n  put in 2AB serial-line-single\n  boot\ncheck: consistent and said boot\n"
    )
    more = 'solution: |\n  run\nwrong: |\n  one\ncheck: printed "End of the table"\n'
    second = with_step(more).partition("## Only one")[2]
    teacher = Teacher(of_text(with_step(step, machine="desk") + "\n## Two" + second))
    for line in ("put in 2AB serial-line-single", "boot", "take out 2AB", "put in 2CD serial-line-single"):
        assert not teacher.do(line).passed
    assert teacher.do("boot").passed
    assert teacher.do("run").passed


def test_behind_a_plan_that_would_do_damage_the_lesson_goes_on_with_the_machine_of_its_file() -> None:
    step = "at: plan\nsolution: |\n  take out 1AB\nwrong: |\n  look\ncheck: empty main/a/1AB\n"
    second = with_step("").partition("## Only one")[2]
    teacher = Teacher(of_text(with_step(step, machine="desk") + "\n## Two" + second))
    assert teacher.do("take out 1AB").passed
    assert teacher.do("change r0 000012").passed


def test_a_machine_that_would_do_damage_is_told_as_a_problem_of_the_lesson(tmp_path: Path) -> None:
    (tmp_path / "none.yaml").write_text(
        "loadout: 1\nname: None\nboxes:\n  - {id: main, supply: mux-four-slot-box, backplane: mux-twin-4-18bit}\n"
    )
    own = tmp_path / "own.md"
    own.write_text(with_step("", machine="none.yaml"))
    with pytest.raises(InputError, match=r"own\.md:2:1: machine .* can't be built"):
        Teacher(read_lesson(own))


def test_a_learner_who_leaves_has_left() -> None:
    teacher = Teacher(sample("sound"))
    teacher.do("leave")
    assert teacher.left
    assert not teacher.finished


@pytest.mark.parametrize("line", ["hint", "show", "start over", "change r0 000000", "\x00\udcff"])
def test_behind_the_end_every_word_says_that_it_is_finished(line: str) -> None:
    teacher = Teacher(sample("sound"))
    while not teacher.finished:
        teacher.show()
    assert teacher.do(line).lines == ("The lesson is finished.",)
