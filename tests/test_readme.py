"""Every command of the README is run, and what the README shows is what comes out."""

from __future__ import annotations

import re
import shlex
import subprocess
from pathlib import Path
from typing import NamedTuple

import pytest

ROOT = Path(__file__).resolve().parent.parent
BLOCK = re.compile(r"^```console\n(.*?)^```", re.M | re.S)
# These two set the project up and run the tests themselves; .ci/run calls them on a clean clone.
SET_UP = ("make demo", "make test")


class Shown(NamedTuple):
    """A command of a document and the output printed under it; a line `...` stands for any number of lines."""

    command: str
    output: list[str]


def shown_in(path: Path) -> list[Shown]:
    """The commands of all console blocks of a document."""
    found: list[Shown] = []
    for block in BLOCK.findall(path.read_text("utf-8")):
        for line in block.splitlines():
            if line.startswith("$ "):
                found.append(Shown(line[2:], []))
            elif found:
                found[-1].output.append(line.rstrip())
    return found


def run(command: str) -> subprocess.CompletedProcess[str]:
    """Run one command as a reader would, in the project's folder, without a terminal."""
    return subprocess.run(
        ["sh", "-c", command],
        cwd=ROOT,
        text=True,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        stdin=subprocess.DEVNULL,
        timeout=120,
        check=False,
    )


def pattern_of(lines: list[str]) -> re.Pattern[str]:
    """The expected output as a pattern."""
    return re.compile("".join(r"(?:.*\n)*" if line == "..." else re.escape(line) + r"[ \t]*\n" for line in lines))


COMMANDS = [shown for shown in shown_in(ROOT / "README.md") if shown.command not in SET_UP]


def test_the_readme_shows_commands() -> None:
    assert len(COMMANDS) >= 5


def test_the_readme_starts_with_the_job_and_the_two_commands_in_ci() -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    assert all(f"$ {command}" in text for command in SET_UP)
    ci = (ROOT / ".ci" / "run").read_text("utf-8")
    assert all(command in ci for command in SET_UP)


@pytest.mark.parametrize("shown", COMMANDS, ids=lambda shown: shlex.quote(shown.command)[:60])
def test_a_command_of_the_readme_gives_what_the_readme_shows(shown: Shown) -> None:
    done = run(shown.command)
    if shown.output:
        assert pattern_of(shown.output).fullmatch(done.stdout), done.stdout
    else:
        assert done.returncode == 0, done.stdout
