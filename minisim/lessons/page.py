"""The generated page about the format of lesson files."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from minisim.lessons.check_reader import FORMS
from minisim.lessons.plan import WORDS as PLAN_WORDS
from minisim.lessons.prose import ALLOWED
from minisim.lessons.reader import HEAD, HEAD_REQUIRED, STEP, STEP_REQUIRED, machine_names
from minisim.lessons.teacher import WORDS

TOP = f"""# The format of a lesson

A lesson is one file, `minisim/lessons/NAME.md`, or a file of your own: `minisim learn path/to/own.md`. Short ones for
event mode stand in `minisim/lessons/short/`. The file is read as text in UTF-8; every mistake in it is told with line
and column, all at once.

It begins with its head between two lines `---`. Then comes a small part of Markdown, what paper can show as well:
{ALLOWED}. What stands before the first heading opens the lesson. Each heading `## Title` begins a step; its prose
stands before its one block ` ```step `, which is YAML.
"""
RUNS = """
`program` is put into memory first, then the lines of `set-up` are done; the learner sees neither. Its lines must
stand in by a space at least; labels may stand left of the first line. From step to step the machine goes on as it
stands.

- **bench**: the lines are words of the bench. What was begun with `run` or `until` runs until the machine stops, or
  for 5,000,000 instructions; then it is paused.
- **console**: each line is typed at the machine's console with Return behind it. With a `program`, that program runs
  and gets the keys; so does a program that was at work before and only paused. Else the octal console of the
  processor does, if it has one. Behind a G or P that ends a line for the octal console no Return is sent.
- **panel**: each line is what a hand does at the front panel (`load address 001000`, `deposit 012700`, `examine`,
  `start`).
- **plan**: each line is done to a copy of the machine's loadout, in memory. `boot` switches that machine on: it
  stands before its first instruction then, and the next steps are at it.

A step is passed as soon as `check` holds behind a line; whoever gets there another way has passed as well. The
self-test (`minisim learn --self-test`) types every wrong way first, starts over behind each, then the solution up to
the line that passes, and does the whole lesson once more by `show`. It fails where a wrong way passes, where the
solution does not, where the check holds before anything was done, and where a line of the lesson itself can't be
done. A wrong way `""` is Return alone.
"""


def pages() -> dict[Path, str]:
    """Relative path under docs/ -> text."""
    machines = ", ".join(f"`{name}`" for name in machine_names())
    parts = [
        TOP, _table("The head", "key", HEAD, HEAD_REQUIRED), f"\nMachines of the lessons: {machines}.\n",
        _table("A step", "key", STEP, STEP_REQUIRED), RUNS, _checks(), _words("Words at a plan", PLAN_WORDS.values()),
        _words("Words of the teacher, understood everywhere", WORDS.values()),
    ]  # fmt: skip
    return {Path("reference/lessons-format.md"): "".join(parts)}


def _table(title: str, head: str, rows: dict[str, str], required: Iterable[str]) -> str:
    lines = [f"| `{key}` | {'yes' if key in required else ''} | {what} |" for key, what in rows.items()]
    return "\n".join([f"\n## {title}\n", f"| {head} | must be there | what it says |", "|---|---|---|", *lines]) + "\n"


def _checks() -> str:
    lines = [f"| `{form}` | {what} |" for form, what in FORMS]
    text = "Conditions are joined by `and` and `or`; `and` binds closer. Numbers are octal.\n"
    return "\n".join([f"\n## Checks\n\n{text}", "| form | it holds when |", "|---|---|", *lines]) + "\n"


def _words(title: str, uses: Iterable[str]) -> str:
    return "\n".join([f"\n## {title}\n", "```", *uses, "```"]) + "\n"
