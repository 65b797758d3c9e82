"""Every command of the page about putting a loadout right is run, and what the page shows is what comes out."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest
from putting import ROOT
from test_readme import pattern_of, run, shown_in

PAGE = ROOT / "docs" / "how-to" / "put-a-loadout-right.md"


def test_the_commands_of_the_page_do_what_it_shows() -> None:
    shown = shown_in(PAGE)
    assert len(shown) == 4
    for one in shown:
        done = run(one.command)
        assert done.returncode == 0, done.stdout
        lines = [line.replace("...", "") if line != "..." else line for line in one.output if line]
        came = "".join(f"{line}\n" for line in done.stdout.splitlines() if line)
        if lines and lines[-1].endswith("consistent on paper"):
            assert came.startswith(lines[-1])
        else:
            assert pattern_of(lines).fullmatch(came), done.stdout


@pytest.mark.skipif(shutil.which("patch") is None, reason="patch is not there")
def test_what_is_printed_is_taken_by_patch_words_and_all(tmp_path: Path) -> None:
    copy = Path(shutil.copy(ROOT / "docs" / "tutorial" / "desk-with-a-hole.yaml", tmp_path / "mine.yaml"))
    words = [ROOT / ".venv" / "bin" / "minisim", "check", "--fix", "--media-root", ROOT / "loadouts" / "kittiwake"]
    printed = subprocess.run([*words, "mine.yaml"], cwd=tmp_path, capture_output=True, text=True, check=True).stdout
    (tmp_path / "change.diff").write_text(printed)
    subprocess.run(["patch", "-p0", "-i", "change.diff"], cwd=tmp_path, check=True, capture_output=True)
    text = copy.read_text("utf-8")
    assert "      2CD:   " in text and "  - from: main/a/2CD\n" in text
