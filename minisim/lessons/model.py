"""A lesson as values: its head, its prose, and its steps with what must hold at the end of each."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.findings import Mark

if TYPE_CHECKING:
    from minisim.cpu.assembler import Program
    from minisim.lessons.checks import Check

BARE = "bare"
"""The machine of a lesson that needs a processor with memory and nothing else."""


class At(StrEnum):
    """Where the lines of a learner go in a step."""

    BENCH = "bench"
    CONSOLE = "console"
    PANEL = "panel"
    PLAN = "plan"


class Style(StrEnum):
    """How a piece of prose is shown."""

    PLAIN = "plain"
    EMPHASIS = "emphasis"
    CODE = "code"  # to be typed, or as the machine shows it


@dataclass(frozen=True, slots=True)
class Span:
    """A piece of prose in one style."""

    text: str
    style: Style = Style.PLAIN


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A paragraph, or one item of a list: then `mark` stands before it (`-`, `1.`)."""

    spans: tuple[Span, ...]
    mark: str = ""


Prose = tuple[Paragraph, ...]


@dataclass(frozen=True, slots=True)
class Step:
    """One thing that a learner does.  `solution` and each of the `wrong` ways are lines a learner may type."""

    title: str
    prose: Prose
    at: At
    set_up: tuple[str, ...]
    source: str  # the program in assembler, as written; "": none
    program: Program | None
    solution: tuple[str, ...]
    wrong: tuple[tuple[str, ...], ...]
    check: Check
    hints: tuple[str, ...]
    done: str
    mark: Mark


@dataclass(frozen=True, slots=True)
class Lesson:
    """One lesson file.  `machine` is BARE or the file of a loadout; `opening` stands before the first step."""

    name: str
    title: str
    minutes: Decimal
    goal: str
    machine: Path | None
    profile: str  # of a bare machine
    options: tuple[str, ...]
    order: int
    event: bool
    opening: Prose
    steps: tuple[Step, ...]
    file: str
    mark: Mark

    @property
    def time(self) -> str:
        """How long it takes, in words: `5 minutes`, `30 seconds`."""
        if self.minutes < 1:
            return f"{self.minutes * 60:.0f} seconds"
        return f"{self.minutes:f} minute{'' if self.minutes == 1 else 's'}"
