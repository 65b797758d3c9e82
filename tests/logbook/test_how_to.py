"""The commands of the page about the log work as written."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest

from minisim.cli import main

ROOT = Path(__file__).parents[2]
COMMANDS = re.findall(r"^    minisim (.+)$", (ROOT / "docs" / "how-to" / "keep-a-log.md").read_text(), re.MULTILINE)


def test_every_command_of_the_page_works(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert len(COMMANDS) >= 7
    shutil.copytree(ROOT / "loadouts" / "kittiwake", tmp_path / "kittiwake")
    monkeypatch.chdir(tmp_path / "kittiwake")
    for command in COMMANDS:
        assert main(shlex.split(command)) == 0, command
