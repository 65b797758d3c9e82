"""What the bench answers, and what may stand next on its input line."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from minisim.problems import Problem


@dataclass(frozen=True, slots=True)
class Answer:
    """What a line brought; not `done`: nothing was changed, and the lines say why and what is allowed."""

    lines: tuple[str, ...] = ()
    done: bool = True


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A whole word that may stand from `start` of the line on, and one line about it."""

    text: str
    start: int
    what: str


class Refused(Exception):  # noqa: N818  # an answer, no failure
    """A line that can't be done; its lines are the answer."""

    def __init__(self, *lines: str) -> None:
        super().__init__("\n".join(lines))
        self.lines = lines


class Words(tuple[str, ...]):
    """The words behind a verb, in small letters; `text` has them as they were typed."""

    text: str = ""


def words_of(text: str) -> Words:
    """The words of the rest of a line."""
    words = Words(text.lower().split())
    words.text = text
    return words


def said(*lines: str) -> Answer:
    """An answer to what was done."""
    return Answer(lines)


def listed(words: Iterable[str], joint: str = "and") -> str:
    """Words as a sentence has them: `a`, `a and b`, `a, b and c`."""
    found = list(words)
    return found[0] if len(found) == 1 else f"{', '.join(found[:-1])} {joint} {found[-1]}" if found else ""


def about_file(problem: Problem) -> str:
    """What is wrong with a file that was named at the bench: always with the whole of it."""
    file = problem.mark.file
    return problem.message if problem.message.startswith(file) else f"{file}: {problem.message}"
