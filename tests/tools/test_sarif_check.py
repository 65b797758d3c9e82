"""`tools/sarif_check.py` accepts our logs and refuses spoiled ones, whether its own or a file."""

from __future__ import annotations

import copy
import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tools"))
import sarif_check  # noqa: E402  # a script, not a package

LOG = sarif_check.log_of("tests/rules/GRANT-001/bad-*.yaml")


def test_our_log_is_valid_and_has_results() -> None:
    assert sarif_check.problems_of(LOG) == []
    assert len(LOG["runs"][0]["results"]) >= 2


@pytest.mark.parametrize("name", sarif_check.SPOILERS)
def test_a_spoiled_copy_is_refused(name: str) -> None:
    spoiled = copy.deepcopy(LOG)
    sarif_check.SPOILERS[name](spoiled)
    assert spoiled != LOG
    assert sarif_check.problems_of(spoiled)


@pytest.mark.parametrize(("spoil", "code"), [(False, 0), (True, 1), (None, 2)])
def test_a_file_is_judged_by_the_exit_code(spoil: bool | None, code: int, tmp_path: Path) -> None:
    file = tmp_path / "check.sarif"
    text = json.dumps({**LOG, "version": "3"} if spoil else LOG)
    file.write_text("no json" if spoil is None else text, "utf-8")
    command = [sys.executable, ROOT / "tools" / "sarif_check.py", file]
    assert subprocess.run(command, capture_output=True, check=False).returncode == code


def test_a_schema_that_accepts_anything_is_noticed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "any.json").write_text("{}", "utf-8")
    monkeypatch.setattr(sarif_check, "SCHEMA", tmp_path / "any.json")
    monkeypatch.setattr(sarif_check, "BAD", ("tests/rules/GRANT-001/bad-*.yaml",))
    monkeypatch.setattr(sarif_check, "_broken_links", lambda log: iter(()))
    assert sarif_check.check_own() == 1
    assert "not refused: another version" in capsys.readouterr().err
