"""What is wrong with an input, as values.  The command line prints it and leaves with 2; nobody else exits."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from minisim.findings import Mark

if TYPE_CHECKING:
    from minisim.yamltext import Mapping, Node


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with an input file: place, and a message with what was seen and what is allowed."""

    mark: Mark
    message: str

    def __str__(self) -> str:
        return f"{self.mark}: {self.message}"


_UNPRINTABLE = r"[\x00-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]"


def printable(text: str) -> str:
    """A text that quotes what a user wrote: what a terminal would act on is shown by its octal code."""
    return re.sub(_UNPRINTABLE, lambda match: f"\\{ord(match[0]):03o}", text)


class InputError(Exception):
    """An input can't be used; `problems` lists everything wrong with it, in file order.  Exit code 2."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(problems, key=lambda problem: problem.mark))
        super().__init__("\n".join(str(problem) for problem in self.problems))


def nearest(seen: str, allowed: Iterable[str]) -> str:
    """`; did you mean "..."?` for the nearest legal spelling, or nothing where none is near."""
    import difflib  # only errors need it

    close = difflib.get_close_matches(seen, list(allowed), n=1, cutoff=0.6)
    return f'; did you mean "{close[0]}"?' if close else ""


@dataclass(slots=True)
class Problems:
    """What is wrong with a file, so far."""

    found: list[Problem] = field(default_factory=list)

    def say(self, node: Node, message: str) -> None:
        """One more, at a node."""
        self.found.append(Problem(node.mark, message))

    def keys(self, node: Mapping, allowed: Iterable[str], required: Iterable[str] = ()) -> None:
        """Refuse unknown keys, miss required ones."""
        allowed = tuple(allowed)
        for key, _ in node:
            if key.text not in allowed:
                message = f'unknown key "{key.text}"{nearest(key.text, allowed)}; keys are {", ".join(allowed)}'
                self.say(key, message)
        for name in required:
            if name not in node:
                self.say(node, f'key "{name}" is missing')
