"""Every lesson tested by itself: it is finished by its own solutions, and none of its wrong ways passes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from minisim.lessons.model import Lesson, Step
from minisim.lessons.teacher import Reply, Teacher


@dataclass(frozen=True, slots=True)
class Tested:
    """What came of one lesson; it is sound where nothing is wrong."""

    lesson: Lesson
    steps: int
    wrong_ways: int
    problems: tuple[str, ...] = field(default=())

    @property
    def sound(self) -> bool:
        """Nothing is wrong with it."""
        return not self.problems


def prove(lesson: Lesson) -> Tested:
    """Run it as a learner would who makes every mistake first, and once more with `show` alone."""
    problems = [*_as_a_learner(lesson), *_by_showing(lesson)]
    wrong = sum(len(step.wrong) for step in lesson.steps)
    return Tested(lesson, len(lesson.steps), wrong, tuple(dict.fromkeys(problems)))


def prove_all(lessons: tuple[Lesson, ...], tell: Callable[[Tested], None] = lambda tested: None) -> tuple[Tested, ...]:
    """All of them; `tell` hears of each as soon as it is tested."""
    found = []
    for lesson in lessons:
        found.append(prove(lesson))
        tell(found[-1])
    return tuple(found)


def _as_a_learner(lesson: Lesson) -> Iterator[str]:
    """Each wrong way, then back to the start of the step, then the solution line by line until the step is passed."""
    teacher = Teacher(lesson)
    try:
        for number, step in enumerate(lesson.steps):
            yield from _step(teacher, number, step)
            if teacher.number != number + 1:
                return
        yield from teacher.troubles
    finally:
        teacher.close()


def _step(teacher: Teacher, number: int, step: Step) -> Iterator[str]:
    if step.check.holds(teacher):
        yield f'{step.mark}: "{step.title}": the check holds before the learner has done anything'
    for way in step.wrong:
        yield from _goes_wrong(teacher, step, way)
        if teacher.number != number:
            return
        teacher.start_over()
    replies = list(_typed(teacher, step.solution))
    for line, reply in zip(step.solution, replies, strict=False):
        if not reply.done:
            yield f'{step.mark}: "{line}" could not be done: {" ".join(reply.lines)}'
    if not replies or not replies[-1].passed:
        said = " / ".join(replies[-1].lines[-3:]) if replies else "there is no line in it"
        yield f'{step.mark}: "{step.title}": the solution does not pass: {said}'


def _goes_wrong(teacher: Teacher, step: Step, way: tuple[str, ...]) -> Iterator[str]:
    for reply in _typed(teacher, way):
        if reply.passed:
            yield f'{step.mark}: "{step.title}": the wrong way passes: {"; ".join(way)}'


def _typed(teacher: Teacher, lines: tuple[str, ...]) -> Iterator[Reply]:
    """Lines one by one, up to the one that passes."""
    for line in lines:
        reply = teacher.do(line)
        yield reply
        if reply.passed:
            return


def _by_showing(lesson: Lesson) -> Iterator[str]:
    """The teacher does every step."""
    teacher = Teacher(lesson)
    try:
        while not teacher.finished:
            teacher.show()
        yield from teacher.troubles
    finally:
        teacher.close()
