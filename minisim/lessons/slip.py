"""The slip that a visitor takes home: what they did, in octal, with the date, the machine and the one true thing."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.lessons.handling import as_sent
from minisim.lessons.model import At
from minisim.lessons.prose import as_plain

if TYPE_CHECKING:
    from minisim.lessons.teacher import Teacher

STATION = "Kittiwake Point Tide Station"
COLUMNS = 72
ENDINGS = (".txt", ".svg")
_MOST_LINES = 6  # of one step
_MARGIN, _SIZE = 36, 19


@dataclass(frozen=True, slots=True)
class Did:
    """One step on the slip."""

    title: str
    lines: tuple[str, ...]
    shown: bool
    typed: bool = False  # the lines went to the machine's console, letter by letter


@dataclass(frozen=True, slots=True)
class Slip:
    """Everything that stands on it."""

    lesson: str
    title: str
    machine: str
    made: date
    did: tuple[Did, ...]
    truth: str


def slip_of(teacher: Teacher, made: date) -> Slip:
    """The slip of what a learner has done so far."""
    did = tuple(Did(deed.step.title, deed.lines, deed.shown, deed.step.at is At.CONSOLE) for deed in teacher.deeds)
    truth = as_plain(teacher.deeds[-1].step.done) if teacher.deeds else ""
    lesson = teacher.lesson
    return Slip(lesson.name, lesson.title, teacher.rig.name, made, did, truth)


def default_name(slip: Slip, ending: str = ".txt") -> str:
    """What its file is called when nothing is said: date and lesson."""
    return f"{slip.made.isoformat()}-{slip.lesson}{ending}"


def slip_lines(slip: Slip) -> list[str]:
    """The slip as lines of at most 72 columns."""
    lines = [STATION, "=" * len(STATION), "", *_wrapped(slip.title)]
    lines += [*_wrapped(f"on the machine: {slip.machine}"), f"on {slip.made.isoformat()}", "", "What you did"]
    for number, did in enumerate(slip.did, 1):
        lines += _done(number, did)
    lines += ["", "What is true", *_wrapped(slip.truth, "  ")] if slip.truth else []
    return lines


def slip_bytes(slip: Slip, ending: str) -> bytes:
    """The slip as the bytes of a file: text, or a picture."""
    return slip_svg(slip).encode() if ending == ".svg" else ("\n".join(slip_lines(slip)) + "\n").encode()


def write_slip(slip: Slip, path: str | Path) -> None:
    """Write it; the ending says how.  InputError: it can't be written, or has another ending."""
    from minisim.files import write_atomically
    from minisim.findings import Mark
    from minisim.problems import InputError, Problem

    ending = Path(path).suffix.lower()
    if ending not in ENDINGS:
        message = f'a slip ends in {" or ".join(ENDINGS)}, not "{ending}"'
        raise InputError([Problem(Mark(str(path), 1, 1), message)])
    write_atomically(path, slip_bytes(slip, ending))


def slip_svg(slip: Slip) -> str:
    """The same as a picture: black on white, a line around it."""
    from minisim.sheet.drawing import svg

    lines = slip_lines(slip)
    height = len(lines) * _SIZE * svg.LINE + 2 * _MARGIN
    described = f"What a visitor did in the lesson {slip.title}, on {slip.made.isoformat()}. {slip.truth}"
    picture = svg.picture(height, f"{STATION}: {slip.title}", described)
    svg.rectangle(picture, 8, 8, svg.WIDTH - 16, height - 16, fill="none", stroke="black")
    for number, line in enumerate(lines):
        is_head = number == 0 or line in ("What you did", "What is true")
        text = line.lstrip()  # a picture drops spaces in front
        x = _MARGIN + (len(line) - len(text)) * _SIZE * svg.EM
        svg.words(picture, x, _MARGIN + (number + 0.8) * _SIZE * svg.LINE, text, _SIZE, bold=is_head)
    return svg.as_text(picture) + "\n"


def _done(number: int, did: Did) -> Iterator[str]:
    yield from _wrapped(did.title, f"  {number}. ", "     ")
    for line in did.lines[-_MOST_LINES:]:
        yield from _wrapped(line, "     ", "       ")
        if did.typed and line:
            octal = " ".join(f"{byte:03o}" for byte in as_sent(line))
            yield from _wrapped(f"in octal: {octal}", "       ")
    if did.shown:
        yield "     (shown by the teacher)"


def _wrapped(text: str, first: str = "", then: str | None = None) -> Sequence[str]:
    return textwrap.wrap(
        text, COLUMNS, initial_indent=first, subsequent_indent=first if then is None else then, break_on_hyphens=False
    )
