"""`minisim learn`: lessons at a machine, a step at a time; their list, their test, their hand-out."""

from __future__ import annotations

import argparse
import json
import os
import sys
import textwrap
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.problems import nearest

if TYPE_CHECKING:
    from minisim.lessons.model import Lesson
    from minisim.lessons.selftest import Tested
    from minisim.lessons.teacher import Teacher

HELP = "lessons: learn how such a machine works, a step at a time"
EXIT = """Without NAME the lessons are listed and you are asked which. In a lesson every line goes where its step says
(bench, console, panel, plan); hint, show, start over and leave are words of the teacher, and show does a step for you.
Nothing is remembered between two runs. Exit code: 0 the lesson was finished, or what was asked for is there; 1 you left
before the end, or a lesson does not pass its own test; 2 the input can't be used."""
HAND_OUTS = (".html", ".pdf", ".txt")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Operands and options."""
    parser.epilog = EXIT
    parser.add_argument("name", metavar="NAME", nargs="?", help="name or number of a lesson, or a lesson file (.md)")
    parser.add_argument("--list", action="store_true", help="list the lessons")
    parser.add_argument("--plain", action="store_true", help="lines only: for screen readers, pipes, simple terminals")
    parser.add_argument("--self-test", action="store_true", help="test the lessons, or one, by their own solutions")
    hand_out = "write the lessons, or one, as a page to print: .html, .pdf, .txt"
    parser.add_argument("--hand-out", metavar="FILE", help=hand_out)
    slip = "write a slip to take home when the lesson is finished: .txt, .svg"
    parser.add_argument("--slip", metavar="FILE", help=slip)
    parser.add_argument("--paper", choices=("a4", "letter"), default="", help="paper of the hand-out")
    parser.add_argument("--date", metavar="YYYY-MM-DD", default="", help="date on slip and hand-out (today)")
    event = "event mode: visitors come and go, a volunteer looks after it"
    parser.add_argument("--event", action="store_true", help=event)
    folder = "where event mode keeps its counters and slips (else a folder of yours)"
    parser.add_argument("--folder", metavar="FOLDER", help=folder)
    parser.add_argument("--json", action="store_true", help="with --list and --self-test: print it as JSON")


def run(arguments: argparse.Namespace) -> int:
    """Do what is asked for."""
    made = _date(arguments.date)
    wrong = _wrong_options(arguments, made)
    if wrong:
        print(f"minisim learn: {wrong}", file=sys.stderr)
        return 2
    assert made is not None
    if arguments.event:
        return _event(arguments.folder, made if arguments.date else None)
    if arguments.name is None:
        return _all(arguments, made)
    lesson = _lesson(arguments.name)
    if lesson is None:
        return 2
    if arguments.list:
        return _list((lesson,), arguments.json)
    if arguments.self_test:
        return _self_test((lesson,), arguments.json)
    if arguments.hand_out:
        return _hand_out((lesson,), arguments, made)
    return _learn(lesson, arguments, made)


def _wrong_options(arguments: argparse.Namespace, made: date | None) -> str:
    from minisim.lessons.slip import ENDINGS

    if made is None:
        return f'--date: "{arguments.date}" is no date like 2026-05-30'
    if sum(map(bool, (arguments.list, arguments.self_test, arguments.hand_out))) > 1:
        return "--list, --self-test and --hand-out: one at a time"
    if arguments.slip and Path(arguments.slip).suffix.lower() not in ENDINGS:
        return f"--slip: a slip ends in {' or '.join(ENDINGS)}"
    if arguments.hand_out and Path(arguments.hand_out).suffix.lower() not in HAND_OUTS:
        return f"--hand-out: a hand-out ends in {', '.join(HAND_OUTS)}"
    if arguments.json and not (arguments.list or arguments.self_test):
        return "--json belongs to --list or --self-test"
    if arguments.folder and not arguments.event:
        return "--folder belongs to --event"
    given = [name for name in ("list", "self_test", "hand_out", "slip", "name") if getattr(arguments, name)]
    if arguments.event and given:
        return f"--event offers all that is for visitors; it does not go with {given[0].replace('_', '-')}"
    return ""


def _event(folder: str | None, made: date | None) -> int:
    """Event mode, until a volunteer ends it."""
    from minisim.screen.scene import SMALLEST
    from minisim.terminal import can_be_drawn_on

    columns, rows = SMALLEST
    if not can_be_drawn_on(columns, rows):
        said = f"event mode needs a terminal of {columns} x {rows} at least that can be drawn on"
        print(f"minisim learn: {said}", file=sys.stderr)
        return 2
    from minisim.lessons.event.opening import open_event, usual_folder
    from minisim.lessons.event.screen import run_event

    run_event(*open_event(Path(folder) if folder else usual_folder(), made))
    return 0


def _date(text: str) -> date | None:
    try:
        return date.fromisoformat(text) if text else date.today()
    except ValueError:
        return None


def _all(arguments: argparse.Namespace, made: date) -> int:
    from minisim.lessons.reader import all_lessons

    lessons = all_lessons()
    if arguments.self_test:
        return _self_test(lessons, arguments.json)
    if arguments.hand_out:
        return _hand_out(lessons, arguments, made)
    _list(lessons, arguments.json)
    return 0 if arguments.list else _ask(lessons, arguments, made)


# ---- which lesson


def _lesson(name: str) -> Lesson | None:
    """A lesson by name, number or file; None after it was said that there is none."""
    from minisim.lessons.reader import all_lessons, lesson_files, read_lesson

    path = next((path for path in lesson_files() if path.stem == name), None)
    if path is not None or name.endswith(".md") or os.sep in name:
        return read_lesson(path or name)
    lessons = all_lessons()
    found = _found(name, lessons)
    if found is None:
        names = [lesson.name for lesson in lessons]
        print(f'minisim learn: there is no lesson "{name}"{nearest(name, names)}', file=sys.stderr)
        print(f"minisim learn: lessons are {', '.join(names)}, or a file that ends in .md", file=sys.stderr)
    return found


def _found(name: str, lessons: tuple[Lesson, ...]) -> Lesson | None:
    if name.isascii() and name.isdigit() and 1 <= int(name[:6]) <= len(lessons):
        return lessons[int(name[:6]) - 1]
    return next((lesson for lesson in lessons if lesson.name == name), None)


def _ask(lessons: tuple[Lesson, ...], arguments: argparse.Namespace, made: date) -> int:
    """Which one?  Nothing, or the end of the input: the list was all that was wanted."""
    while True:
        try:
            name = input("\nWhich lesson? Its name or number; Return alone ends: ").strip()
        except EOFError:
            print()
            return 0
        if not name:
            return 0
        lesson = _found(name, lessons)
        if lesson is not None:
            return _learn(lesson, arguments, made)
        print(f'There is no lesson "{name}"{nearest(name, [lesson.name for lesson in lessons])}')


def _list(lessons: tuple[Lesson, ...], as_json: bool) -> int:
    if as_json:
        rows = [
            {
                "number": number, "name": lesson.name, "minutes": float(lesson.minutes), "title": lesson.title,
                "goal": lesson.goal, "steps": len(lesson.steps), "event": lesson.event,
            }
            for number, lesson in enumerate(lessons, 1)
        ]  # fmt: skip
        print(json.dumps({"lessons": rows}, indent=2, ensure_ascii=False))
        return 0
    from minisim.cli._help import width

    widest = max((len(lesson.name) for lesson in lessons), default=0)
    for number, lesson in enumerate(lessons, 1):
        print(f"{number:3}  {lesson.name:{widest}}  {lesson.time:>10}  {lesson.title}")
        indent = " " * (widest + 19)
        columns = max(width(), widest + 40)
        print(textwrap.fill(lesson.goal, columns, initial_indent=indent, subsequent_indent=indent))
    return 0


# ---- what is done with it


def _learn(lesson: Lesson, arguments: argparse.Namespace, made: date) -> int:
    from minisim.lessons.teacher import Teacher
    from minisim.terminal import can_be_drawn_on

    teacher = Teacher(lesson)
    try:
        if arguments.plain or not can_be_drawn_on():
            from minisim.lessons.plain import run_plain

            finished = run_plain(teacher, made, offer=not arguments.slip)
        else:
            from minisim.lessons.screen import run_lesson

            finished = run_lesson(teacher, made)
            print(f"{lesson.title}: {'finished' if finished else _left_at(teacher)}.")
        if finished and arguments.slip:
            from minisim.lessons.slip import slip_of, write_slip

            write_slip(slip_of(teacher, made), arguments.slip)
            print(f"The slip is in {arguments.slip}.")
        return 0 if finished else 1
    finally:
        teacher.close()


def _left_at(teacher: Teacher) -> str:
    """Where somebody stopped, for the terminal that comes back."""
    return f"left at step {teacher.number + 1} of {len(teacher.lesson.steps)}"


def _self_test(lessons: tuple[Lesson, ...], as_json: bool) -> int:
    from minisim.lessons.selftest import prove_all

    tested = prove_all(lessons, (lambda one: None) if as_json else _tell)
    bad = [one for one in tested if not one.sound]
    if as_json:
        rows = [
            {
                "name": one.lesson.name, "steps": one.steps, "wrong_ways": one.wrong_ways, "sound": one.sound,
                "problems": list(one.problems),
            }
            for one in tested
        ]  # fmt: skip
        print(json.dumps({"lessons": rows, "sound": not bad}, indent=2, ensure_ascii=False))
    elif len(tested) > 1:
        print(f"{len(tested)} lessons, {len(bad)} with problems")
    return 1 if bad else 0


def _tell(one: Tested) -> None:
    """A line a lesson, as soon as it is tested."""
    verdict = "sound" if one.sound else "has problems"
    print(f"{one.lesson.name}: {one.steps} steps, {one.wrong_ways} wrong ways: {verdict}", flush=True)
    for problem in one.problems:
        print(f"  {problem}", flush=True)


def _hand_out(lessons: tuple[Lesson, ...], arguments: argparse.Namespace, made: date) -> int:
    from minisim.files import write_atomically
    from minisim.lessons.handout import hand_out, hand_out_bytes

    document = hand_out(lessons, made)
    ending = Path(arguments.hand_out).suffix.lower()
    write_atomically(arguments.hand_out, hand_out_bytes(document, ending, arguments.paper))
    return 0
