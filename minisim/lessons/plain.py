"""A lesson as lines, for screen readers, pipes and terminals that can do no more: labelled, nothing drawn."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from datetime import date

from minisim.lessons.prose import plain_lines
from minisim.lessons.teacher import Teacher
from minisim.problems import InputError, printable
from minisim.terminal import visible

TEACHERS_WORDS = "Words of the teacher: hint, show (does it for you), start over, leave."
SLIP = "slip FILE writes a slip to take home (.txt or .svg; without FILE a name is made of the date); leave ends."


def run_plain(
    teacher: Teacher, made: date, *, ask: Callable[[str], str] | None = None, columns: int = 78, offer: bool = True
) -> bool:
    """Take a learner through a lesson, line by line; True: it was finished."""
    ask = ask or asked
    for line in head(teacher, columns):
        print(line)
    while not (teacher.finished or teacher.left):
        for line in step_lines(teacher, columns):
            print(line)
        _one_step(teacher, ask)
    if teacher.finished:
        print(f"\nThe lesson is finished: {teacher.lesson.title}")
        if offer:
            _offer_slip(teacher, made, ask)
    return teacher.finished


def asked(label: str) -> str:
    """A line of the learner; one that comes out of a pipe or a file is shown behind its label.  EOFError: the end."""
    while True:
        try:
            if sys.stdin.isatty():
                return input(label)
            line = sys.stdin.readline()
        except UnicodeDecodeError:
            print("This line is no text.")
            continue
        if not line:
            raise EOFError
        print(f"{label}{printable(line.rstrip())}", flush=True)
        return line.rstrip("\r\n")


def head(teacher: Teacher, columns: int) -> Iterator[str]:
    """What stands before the first step."""
    lesson = teacher.lesson
    yield f"{lesson.title} ({lesson.time}, {len(lesson.steps)} step{'s' * (len(lesson.steps) > 1)})"
    yield from plain_lines(lesson.opening, columns)
    yield TEACHERS_WORDS


def step_lines(teacher: Teacher, columns: int) -> Iterator[str]:
    """The step the learner is at."""
    step = teacher.step
    assert step is not None
    yield ""
    yield f"Step {teacher.number + 1} of {len(teacher.lesson.steps)}: {step.title}"
    yield from plain_lines(step.prose, columns)
    yield from console_lines(teacher)


def console_lines(teacher: Teacher) -> Iterator[str]:
    """What the console has printed since the last time, without empty lines at the ends."""
    text = visible(teacher.take_printed()).decode("ascii").replace("\r", "").strip("\n")
    for line in text.split("\n") if text.strip() else ():
        yield f"console prints: {printable(line)}"


def _one_step(teacher: Teacher, ask: Callable[[str], str]) -> None:
    """Until it is passed, or the learner leaves."""
    number, step = teacher.number, teacher.step
    assert step is not None
    while teacher.number == number and not teacher.left:
        try:
            line = ask(f"{step.at}: ")
        except EOFError:
            print()
            teacher.left = True
            return
        reply = teacher.do(line)
        for shown in (*console_lines(teacher), *reply.lines):
            print(shown)


def _offer_slip(teacher: Teacher, made: date, ask: Callable[[str], str]) -> None:
    """A slip, as often as it is wanted, until the learner leaves."""
    print(SLIP)
    while True:
        try:
            words = ask("slip or leave: ").split()
        except EOFError:
            print()
            return
        if words[:1] != ["slip"]:
            if words in ([], ["leave"]):
                return
            print(SLIP)
            continue
        print(given_slip(teacher, made, " ".join(words[1:])))


def given_slip(teacher: Teacher, made: date, path: str) -> str:
    """Write the slip; gives what is said of it."""
    from minisim.lessons.slip import default_name, slip_of, write_slip

    slip = slip_of(teacher, made)
    path = path or default_name(slip)
    try:
        write_slip(slip, path)
    except InputError as error:
        return str(error)
    return f"The slip is in {path}."
