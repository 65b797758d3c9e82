"""The commands of the page about media work as written."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from minisim.cli import main

PAGE = (Path(__file__).parents[2] / "docs" / "how-to" / "keep-media-safe.md").read_text()
COMMANDS = re.findall(r"^    minisim (.+)$", PAGE, re.MULTILINE)


def test_every_command_of_the_page_works(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert len(COMMANDS) == 9
    monkeypatch.chdir(tmp_path)
    (tmp_path / "old.raw").write_bytes(b"dues" * (252_928 // 4))
    for command in COMMANDS:
        assert main(shlex.split(command)) in ((1,) if "compare" in command else (0,)), command
