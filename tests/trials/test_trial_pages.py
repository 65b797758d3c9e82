"""The commands of docs/how-to/run-test-programs.md are run, and what the page shows is what comes out."""

from __future__ import annotations

import re
import shlex
import subprocess
from pathlib import Path

import pytest

from minisim.cli import main
from minisim.trials.running.sheet_page import EXAMPLE, PAGE, pages
from minisim.trials.running.sheets import VERSION_KEYS, read_sheets

ROOT = Path(__file__).parents[2]
TEXT = (ROOT / "docs" / "how-to" / "run-test-programs.md").read_text("utf-8")
BLOCK = re.compile(r"^```console\n(.*?)^```", re.M | re.S)


def shown() -> list[tuple[str, list[str]]]:
    """Each command with the lines under it."""
    found: list[tuple[str, list[str]]] = []
    for block in BLOCK.findall(TEXT):
        for line in block.splitlines():
            if line.startswith("$ "):
                found.append((line[2:], []))
            else:
                found[-1][1].append(line)
    return found


def pattern_of(lines: list[str]) -> re.Pattern[str]:
    """`...` alone stands for lines, inside of a line for some words of it."""
    made = [r"(?:.*\n)*" if line == "..." else r".*".join(map(re.escape, line.split("..."))) + "\n" for line in lines]
    return re.compile("".join(made))


def test_the_commands_of_the_page_give_what_it_shows(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """In their order: a later one works on what an earlier one wrote."""
    (tmp_path / "build").mkdir()
    (tmp_path / "loadouts").symlink_to(ROOT / "loadouts")
    monkeypatch.chdir(tmp_path)
    commands = shown()
    assert len(commands) >= 8
    for command, lines in commands:
        name, *words = shlex.split(command)
        if name == "minisim":
            code = main(words)
            out, err = capsys.readouterr()
        else:
            done = subprocess.run(["sh", "-c", command], text=True, capture_output=True, timeout=60, check=False)
            code, out, err = done.returncode, done.stdout, done.stderr
        assert err == "", command
        if lines:
            assert pattern_of(lines).fullmatch(out), out
        else:
            assert code == 0, command


@pytest.mark.parametrize("word", re.findall(r"`(--[a-z-]+)", TEXT))
def test_every_option_the_page_names_is_there(word: str) -> None:
    from minisim.cli import parser_of

    parser = parser_of("trial")
    seconds = next(one for one in parser._actions if one.choices)
    assert isinstance(seconds.choices, dict)
    assert any(word in child._option_string_actions for child in seconds.choices.values())


def test_the_example_of_the_reference_page_is_read(tmp_path: Path) -> None:
    path = tmp_path / "a.papertape.trial.yaml"
    path.write_text(EXAMPLE)
    sheet = next(iter(read_sheets(path).versions.values()))
    assert (sheet.start, sheet.passes, sheet.halts) == (0o200, 2, {0o3412: "page 14: the carry into bit 15 is lost"})
    assert sheet.replies[0].reply == "0\r"
    text = pages()[PAGE]
    assert all(f"| `{name}` |" in text for name in VERSION_KEYS)
    assert shlex.quote("trial-image: 1").strip("'") in text
