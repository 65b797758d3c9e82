"""docs/how-to/talk-to-a-bare-machine.md: its commands run, and what it shows is what comes."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import minisim
from minisim.cli import main
from minisim.machine.panel import KEYS

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "how-to" / "talk-to-a-bare-machine.md").read_text("utf-8")
SHOWN = re.compile(r"^```text\n(.*?)^```", re.MULTILINE | re.DOTALL)
COMMANDS = [line.strip().split()[1:] for line in PAGE.splitlines() if line.startswith("    minisim ")]


def test_the_conversation_with_the_octal_console_is_the_one_shown() -> None:
    machine = minisim.build(minisim.read_loadout(ROOT / "loadouts" / "kittiwake" / "chart.yaml"))
    machine.run(20_000_000)
    machine.console.take()
    machine.enter_octal_console()
    machine.console.feed(b"1000/12700\n123\n0\r1000GR0/")
    machine.run(1_000_000)
    said = machine.console.take().decode("ascii").replace("\r\n", "\n").strip("\n")
    assert [line.rstrip() for line in said.splitlines()] == SHOWN.findall(PAGE)[0].splitlines()


@pytest.mark.parametrize("words", COMMANDS, ids=[" ".join(words[:3]) for words in COMMANDS])
def test_its_commands_run(words: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "media").mkdir()
    monkeypatch.chdir(tmp_path)
    assert main(words) == 0
    assert (tmp_path / words[-1]).stat().st_size > 0


def test_it_names_the_keys_of_the_panel() -> None:
    assert len(COMMANDS) == 4
    assert all(key in PAGE for key in KEYS)
