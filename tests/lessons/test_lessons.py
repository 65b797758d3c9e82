"""Every lesson, run by its own solution, and refused where it is wrong; the list has what it must have."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from minisim.lessons.model import At, Step
from minisim.lessons.prose import count_words
from minisim.lessons.reader import read_lesson
from minisim.lessons.selftest import prove
from minisim.lessons.teacher import WORDS, Teacher

from .samples import FILES, lessons, sample

TOPICS = {
    "octal": r"octal", "registers": r"register", "modes": r"mode", "branches": r"branch", "stack": r"stack",
    "subroutines": r"subroutine", "traps": r"trap", "interrupts": r"interrupt", "console": r"console",
    "panel": r"panel|toggle|switches", "boot": r"boot", "memory management": r"memory management",
    "floating point": r"floating",
    "decimal": r"decimal|commercial", "grants": r"grant|bus", "build sheet": r"sheet|bring",
}  # fmt: skip
_RANDOM = st.lists(
    st.one_of(
        st.sampled_from(
            ("run", "one", "one 100.", "halt", "change pc 000000", "change ps 000340", "change sp 000001", "back",
             "change 001000 000000", "until pc 000000", "look", "hint", "start over", "take out 2CD", "boot", "P", "0G",
             "change 000004 000001", "type x", "", "panel start", "leave it")
        ),
        st.text(max_size=8),
    ),
    max_size=4,
)  # fmt: skip


def ids(path: Path) -> str:
    return path.stem


@pytest.mark.parametrize("path", FILES, ids=ids)
def test_a_lesson_is_finished_by_its_own_solution_and_refuses_its_wrong_ways(path: Path) -> None:
    tested = prove(read_lesson(path))
    assert tested.problems == ()
    assert tested.wrong_ways >= tested.steps


@pytest.mark.parametrize("path", FILES, ids=ids)
def test_a_lesson_has_hints_time_and_prose_of_the_right_length(path: Path) -> None:
    lesson = read_lesson(path)
    assert lesson.event or len(lesson.steps) >= 3
    assert lesson.order > 0
    for step in lesson.steps:
        words = count_words(step.prose)
        most = 40 if lesson.minutes < 3 else 140
        assert 3 <= words <= most, f"{step.mark}: {words} words"
        assert len(step.hints) >= 2 or lesson.minutes < 3, step.mark
        assert step.done.endswith("."), step.mark


@pytest.mark.parametrize("path", FILES, ids=ids)
def test_every_word_of_the_bench_that_a_lesson_uses_is_there(path: Path) -> None:
    from minisim.bench.verbs import split

    for step in read_lesson(path).steps:
        for line in bench_lines(step):
            assert split(line)[0], f'{step.mark}: "{line}"'


def bench_lines(step: Step) -> list[str]:
    lines = list(step.set_up) if step.at is not At.PLAN else []
    return lines + list(step.solution) if step.at is At.BENCH else lines


@settings(max_examples=4, suppress_health_check=[HealthCheck.too_slow])
@given(lines=_RANDOM)
@pytest.mark.parametrize("path", FILES, ids=ids)
def test_show_works_whatever_the_learner_has_done(path: Path, lines: list[str]) -> None:
    teacher = Teacher(read_lesson(path))
    number = teacher.number
    for line in lines:
        teacher.do(line)
        if teacher.number != number or teacher.left:
            return
    assert teacher.do("show").passed
    assert teacher.troubles == []


def test_there_are_lessons_on_all_that_was_asked_for() -> None:
    assert len([lesson for lesson in lessons() if lesson.minutes >= 3]) >= 14
    texts = [f"{lesson.name} {lesson.title} {lesson.goal}".lower() for lesson in lessons()]
    assert [topic for topic, words in TOPICS.items() if not any(re.search(words, text) for text in texts)] == []


def test_names_and_places_in_the_list_are_given_once() -> None:
    found = lessons()
    assert len({lesson.name for lesson in found}) == len(found)
    assert len({lesson.order for lesson in found}) == len(found)
    assert not {lesson.name for lesson in found} & set(WORDS)


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("passes-when-wrong", "the wrong way passes: change r0 12"),
        ("does-not-pass", "the solution does not pass: "),
    ],
)
def test_a_lesson_that_is_not_sound_is_told(name: str, said: str) -> None:
    tested = prove(sample(name))
    assert not tested.sound
    assert any(said in problem for problem in tested.problems)


def test_a_check_that_holds_from_the_start_is_told() -> None:
    lesson = sample("does-not-pass")
    alone = replace(lesson, steps=lesson.steps[1:])
    assert any("holds before the learner" in problem for problem in prove(alone).problems)
