"""Lessons for the tests, read once."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from minisim.lessons.model import Lesson
from minisim.lessons.reader import all_lessons, lesson_files, read_lesson, read_lesson_bytes

DATA = Path(__file__).parent / "data"
FILES = lesson_files()


@cache
def lessons() -> tuple[Lesson, ...]:
    """All lessons of the package, in their order."""
    return all_lessons()


@cache
def sample(name: str) -> Lesson:
    """A lesson of the tests."""
    return read_lesson(DATA / f"{name}.md")


def of_text(text: str) -> Lesson:
    """A lesson from its text."""
    return read_lesson_bytes(text.encode(), "own.md")


def with_step(step: str, machine: str = "bare", head: str = "") -> str:
    """The text of a lesson with one step; what it needs beside `step` is filled in."""
    rest = {
        "solution": "solution: |\n  change r0 000012\n",
        "wrong": "wrong: |\n  change r0 000010\n",
        "check": "check: r0 000012\n",
        "hints": "hints:\n  - Ten.\n",
        "done": "done: R0 holds ten.\n",
    }
    filled = step + "".join(text for key, text in rest.items() if f"{key}:" not in step)
    front = f"---\ntitle: One\nminutes: 3\ngoal: One step.\nmachine: {machine}\n{head}---\n"
    return f"{front}## Only one\n\nDo it.\n\n```step\n{filled}```\n"
