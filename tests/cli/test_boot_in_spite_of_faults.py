"""A machine that was built in spite of faults says so before the guest starts."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pexpect
import pytest

from minisim.cli import main

ROOT = Path(__file__).resolve().parent.parent.parent
HOLE = str(ROOT / "docs" / "tutorial" / "desk-with-a-hole.yaml")
MEDIA = str(ROOT / "loadouts" / "kittiwake")
NOTE = "main/a/2AB: built in spite of fault GRANT-001 bus-grant-gap."


def test_a_fault_that_was_allowed_is_told_before_the_guest(capfd: pytest.CaptureFixture[str]) -> None:
    assert main(["boot", HOLE, "--media-root", MEDIA, "--allow", "fault", "--limit", "10"]) == 1
    assert capfd.readouterr().err.splitlines()[1] == NOTE


def test_it_stands_in_the_json_too(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["boot", HOLE, "--media-root", MEDIA, "--allow", "fault", "--limit", "10", "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["notes"][0] == NOTE


def test_the_acceptance_of_the_how_to_page_is_taken(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    page = (ROOT / "docs" / "how-to" / "read-a-finding.md").read_text("utf-8")
    example = page.split("    accept:\n")[1].split("\n\n")[0]
    copy = tmp_path / "hole.yaml"
    copy.write_text(Path(HOLE).read_text("utf-8") + f"\naccept:\n{example}\n", "utf-8")
    assert main(["check", str(copy), "--media-root", MEDIA]) == 0
    out = capsys.readouterr().out
    assert "    Accepted: grant card comes on Saturday\n" in out and "1 accepted" in out


def test_a_machine_without_console_line_runs_by_itself_at_a_terminal(tmp_path: Path) -> None:
    text = (ROOT / "loadouts" / "kittiwake" / "desk.yaml").read_text("utf-8")
    board, rest = text.index("      2CD:"), text.index("      4:")
    mute = tmp_path / "mute.yaml"
    mute.write_text(
        text[:board] + "      2CD: {board: grant-card}\n" + text[rest : text.index("cables:")], encoding="utf-8"
    )
    child = pexpect.spawn(
        sys.executable,
        ["-m", "minisim", "boot", str(mute), "--allow", "fault", "--media-root", MEDIA],
        encoding="utf-8",
        timeout=30,
    )
    child.expect(pexpect.EOF)
    child.close()
    assert "built in spite of fault CONSOLE-002" in child.before and "halted the processor" in child.before
    assert "Traceback" not in child.before and child.exitstatus == 0
