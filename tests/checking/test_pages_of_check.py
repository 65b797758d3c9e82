"""The commands of the pages on editors and on stages are run, and what they show is what comes out."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PAGES = ("editors.md", "bring-up-in-stages.md")
BLOCK = re.compile(r"^```console\n(.*?)^```", re.M | re.S)
EDITORS = (ROOT / "docs" / "how-to" / "editors.md").read_text("utf-8")
HOLE = ROOT / "tests" / "rules" / "GRANT-001" / "bad-serpentine.yaml"


def shown_in(page: str) -> list[tuple[str, list[str]]]:
    """Each command with the lines under it."""
    found: list[tuple[str, list[str]]] = []
    for block in BLOCK.findall((ROOT / "docs" / "how-to" / page).read_text("utf-8")):
        for line in block.splitlines():
            if line.startswith("$ "):
                found.append((line[2:], []))
            else:
                found[-1][1].append(line)
    return found


COMMANDS = [one for page in PAGES for one in shown_in(page)]


def pattern_of(lines: list[str]) -> re.Pattern[str]:
    """`...` alone stands for lines, at an end or inside of a line for the rest or some words of it."""
    made = [r"(?:.*\n)*" if line == "..." else r".*".join(map(re.escape, line.split("..."))) + "\n" for line in lines]
    return re.compile("".join(made))


@pytest.mark.parametrize(("command", "lines"), COMMANDS, ids=lambda value: shlex.quote(str(value))[:50])
def test_a_command_of_the_page_gives_what_the_page_shows(command: str, lines: list[str]) -> None:
    (ROOT / "build").mkdir(exist_ok=True)
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    done = subprocess.run(
        ["sh", "-c", command],
        cwd=ROOT, env={**os.environ, "PATH": path}, text=True, capture_output=True, timeout=120, check=False,
    )  # fmt: skip
    assert "Traceback" not in done.stderr
    if lines:
        assert pattern_of(lines).fullmatch(done.stdout), done.stdout
    else:
        assert done.returncode == 0, done.stderr


def test_the_pages_show_commands() -> None:
    assert len(COMMANDS) >= 6


def test_the_expression_for_problem_matchers_reads_every_finding_and_nothing_else() -> None:
    expression = next(line.strip() for line in EDITORS.splitlines() if line.startswith("    ^(.+?)"))
    done = subprocess.run(
        [sys.executable, "-m", "minisim", "check", "--all", HOLE], text=True, capture_output=True, check=False
    )
    found = [match.groups() for line in done.stdout.splitlines() if (match := re.match(expression, line))]
    assert [(one[0], one[3], one[4]) for one in found] == [
        (str(HOLE), "fault", "GRANT-001"),
        (str(HOLE), "note", "GRANT-003"),
    ]
    assert all(line.isdigit() and column.isdigit() for _, line, column, *_ in found)


def test_the_expression_for_unusable_files_reads_their_errors(tmp_path: Path) -> None:
    second = re.search(r"second pattern `(.+?)`", EDITORS)
    assert second is not None
    wrong = tmp_path / "wrong.yaml"
    wrong.write_text("loadout: 1\nboxs: []\n", "utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "minisim", "check", wrong], text=True, capture_output=True, check=False
    )
    match = re.match(second[1], done.stderr.splitlines()[-1])
    assert match is not None and match.group(1, 2, 3) == (str(wrong), "2", "1")
