"""`minisim check --fix` from the command line: what is written, what is refused, what is said."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path

import jsonschema
import pytest
from putting import KITTIWAKE, ROOT, RULES

from minisim.cli import main
from minisim.fixing import propose, write
from minisim.fixing.forms import JSON_SHAPE
from minisim.problems import InputError

GAP = RULES / "GRANT-001" / "bad-two-behind.yaml"
NO_ROM = RULES / "BOOT-001" / "bad-no-rom.yaml"


@pytest.fixture
def gap(tmp_path: Path) -> Path:
    """A copy of a loadout with two empty places in the grant chain."""
    return Path(shutil.copy(GAP, tmp_path / "desk.yaml"))


def test_without_write_nothing_is_written(gap: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = gap.read_bytes()
    assert main(["check", "--fix", str(gap)]) == 0
    shown = capsys.readouterr().out
    assert gap.read_bytes() == before and sorted(gap.parent.iterdir()) == [gap]
    assert "1. put a grant card (M9047) into main/a/2CD, and\n" in shown
    assert "puts right: fault GRANT-001 bus-grant-gap at main/a/3AB\n" in shown
    assert "\n+      2CD: {board: grant-card}\n" in shown
    assert "Nothing is written" in shown and "power off" in shown


def test_write_puts_exactly_the_diff_into_the_file(gap: Path, capsys: pytest.CaptureFixture[str]) -> None:
    proposal = propose(gap)
    assert main(["check", "--fix", "--write", str(gap)]) == 0
    assert "The file is written." in capsys.readouterr().out
    assert gap.read_bytes() == proposal.data
    assert main(["check", str(gap)]) == 0


def test_writing_twice_changes_nothing_the_second_time(gap: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", "--fix", "--write", str(gap)])
    once, stamp = gap.read_bytes(), gap.stat().st_mtime_ns
    capsys.readouterr()
    assert main(["check", "--fix", "--write", str(gap)]) == 0
    assert (gap.read_bytes(), gap.stat().st_mtime_ns) == (once, stamp)
    assert "nothing to put right" in capsys.readouterr().out


@pytest.mark.skipif(shutil.which("git") is None, reason="git is not there")
@pytest.mark.parametrize("fixture", ["GRANT-001/bad-two-behind", "SLOT-006/bad-sep", "CONSOLE-001/bad-mux"])
@pytest.mark.parametrize("style", ["plain", "crlf", "no-last-end", "bom"])
def test_the_diff_applied_by_another_tool_gives_the_same_bytes(fixture: str, style: str, tmp_path: Path) -> None:
    text = (RULES / f"{fixture}.yaml").read_bytes()
    changed = {
        "plain": text,
        "crlf": text.replace(b"\n", b"\r\n"),
        "no-last-end": text.rstrip(b"\n"),
        "bom": b"\xef\xbb\xbf" + text,
    }[style]
    (tmp_path / "desk.yaml").write_bytes(changed)
    proposal = propose(tmp_path / "desk.yaml")
    assert proposal.diff
    diff = proposal.diff.replace(str(tmp_path / "desk.yaml"), "desk.yaml")
    (tmp_path / "change.diff").write_bytes(diff.encode())
    subprocess.run(["git", "apply", "-p0", "--whitespace=nowarn", "change.diff"], cwd=tmp_path, check=True)
    assert (tmp_path / "desk.yaml").read_bytes() == proposal.data


def test_a_record_as_found_is_proposed_for_but_never_written(gap: Path, capsys: pytest.CaptureFixture[str]) -> None:
    gap.write_text(gap.read_text("utf-8").replace("loadout: 1\n", "loadout: 1\nstate: as-found\n"), "utf-8")
    before = gap.read_bytes()
    assert main(["check", "--fix", str(gap)]) == 0
    assert "Copy it, write state: planned in the copy" in capsys.readouterr().out
    assert main(["check", "--fix", "--write", str(gap)]) == 2
    assert gap.read_bytes() == before
    error = capsys.readouterr().err
    assert "desk.yaml:1:1: state: as-found is a record and is never written over; copy the file" in error


def test_a_record_with_nothing_to_put_right_needs_no_refusal(tmp_path: Path) -> None:
    good = tmp_path / "good.yaml"
    text = (RULES / "GRANT-001" / "good-card-in-the-gap.yaml").read_text("utf-8")
    good.write_text(text.replace("loadout: 1\n", "loadout: 1\nstate: as-found\n"), "utf-8")
    assert main(["check", "--fix", "--write", str(good)]) == 0


def test_a_file_changed_meanwhile_is_left_alone(gap: Path) -> None:
    proposal = propose(gap)
    gap.write_bytes(gap.read_bytes() + b"# a late thought\n")
    late = gap.read_bytes()
    with pytest.raises(InputError, match="changed meanwhile; nothing is written"):
        write(proposal)
    assert gap.read_bytes() == late


def test_a_file_gone_meanwhile_is_told(gap: Path) -> None:
    proposal = propose(gap)
    gap.unlink()
    with pytest.raises(InputError, match="can't read"):
        write(proposal)


def test_a_read_only_file_is_left_alone(gap: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = gap.read_bytes()
    gap.chmod(0o444)
    assert main(["check", "--fix", "--write", str(gap)]) == 2
    assert gap.read_bytes() == before
    assert "can't write the file: it is set to read-only" in capsys.readouterr().err


@pytest.mark.skipif(os.geteuid() == 0, reason="nothing is forbidden to this user")
def test_a_folder_that_takes_no_files_is_told(gap: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = gap.read_bytes()
    gap.parent.chmod(0o555)
    try:
        assert main(["check", "--fix", "--write", str(gap)]) == 2
    finally:
        gap.parent.chmod(0o755)
    assert gap.read_bytes() == before
    assert "can't write the file: permission denied" in capsys.readouterr().err


def test_a_disk_that_takes_nothing_is_told(
    gap: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    before = gap.read_bytes()
    monkeypatch.setattr("os.fsync", lambda _: (_ for _ in ()).throw(OSError(28, "No space left on device")))
    assert main(["check", "--fix", "--write", str(gap)]) == 2
    assert gap.read_bytes() == before and sorted(gap.parent.iterdir()) == [gap]
    assert "can't write the file: no space left on device" in capsys.readouterr().err


def test_a_link_is_followed_and_the_permissions_stay(gap: Path) -> None:
    gap.chmod(0o640)
    link = gap.with_name("link.yaml")
    link.symlink_to(gap.name)
    assert main(["check", "--fix", "--write", str(link)]) == 0
    assert link.is_symlink() and gap.stat().st_mode & 0o777 == 0o640
    assert b"grant-card" in gap.read_bytes()


def test_several_files_have_each_its_diff_and_one_bad_file_stops_none(
    gap: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = Path(shutil.copy(RULES / "MEM-001" / "bad-mux.yaml", tmp_path / "memory.yaml"))
    bad = tmp_path / "bad.yaml"
    bad.write_text("loadout: 2\n", "utf-8")
    assert main(["check", "--fix", "--write", str(gap), str(bad), str(other)]) == 2
    shown = capsys.readouterr()
    assert shown.out.count("\n--- ") == 2 and "bad.yaml:1:10:" in shown.err
    assert main(["check", str(gap), str(other)]) == 0


def test_what_no_change_helps_is_said_and_leaves_with_1(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--fix", str(NO_ROM)]) == 1
    shown = capsys.readouterr().out
    assert "No change of this file puts right:\n  fault BOOT-001 no-boot-path at main: no ROM answers" in shown
    assert "the machine needs one boot ROM" in shown and "\n--- " not in shown


def test_the_exit_code_is_that_of_a_check_after_the_changes() -> None:
    mixed = str(RULES / "GRANT-007" / "bad-before-a-board.yaml")  # a doubt about a terminator stays
    assert main(["check", "--fix", mixed]) == 0
    assert main(["check", "--fix", "--fail-on", "doubt", mixed]) == 1


def test_notes_are_left_alone_unless_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    halt = str(RULES / "CONSOLE-004" / "bad-mux.yaml")
    assert main(["check", "--fix", halt]) == 0
    assert "1 note is left alone; with --fail-on note notes are put right too." in capsys.readouterr().out
    assert main(["check", "--fix", "--fail-on", "note", halt]) == 0
    assert "switch the halt switch off" in capsys.readouterr().out


def test_the_data_hold_the_published_shape(gap: Path, capsys: pytest.CaptureFixture[str]) -> None:
    names = ["MEM-001/bad-mux", "BOOT-001/bad-no-rom", "SLOT-006/bad-sep", "INT-002/bad-nothing-there"]
    files = [str(RULES / f"{name}.yaml") for name in names]
    assert main(["check", "--fix", "--json", "--fail-on", "note", *files, "nowhere.yaml"]) == 2
    data = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator.check_schema(JSON_SHAPE)
    jsonschema.validate(data, JSON_SHAPE)
    first = data["files"][0]["steps"][0]
    assert first["changes"][0]["details"]["value"] == "100000"
    assert [one["rule"] for one in first["puts_right"]] == ["MEM-001"]
    assert data["unusable"][0]["file"] == "nowhere.yaml"


def test_the_shape_refuses_a_spoiled_object() -> None:
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({"fix": 1, "files": [{"name": "x"}], "unusable": []}, JSON_SHAPE)


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["--write", str(GAP)], "--write stands beside --fix"),
        (["--fix", "--format", "sarif", str(GAP)], "--fix prints text or json, not sarif"),
        (["--fix"], "name at least one loadout"),
    ],
)
def test_words_that_do_not_go_together_are_refused(
    words: list[str], message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", *words]) == 2
    assert message in capsys.readouterr().err


def test_the_demo_machines_need_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    files = sorted(str(path) for path in KITTIWAKE.glob("*.yaml"))
    assert main(["check", "--fix", *files]) == 0
    assert capsys.readouterr().out.count("nothing to put right") == len(files)


def test_a_plain_check_loads_nothing_of_the_repairs() -> None:
    code = (
        "import sys; from minisim.cli import main; main(['check', sys.argv[1]]);"
        "print([name for name in sys.modules if name.startswith('minisim.fixing') or name == 'difflib'])"
    )
    done = subprocess.run(
        [ROOT / ".venv" / "bin" / "python", "-c", code, KITTIWAKE / "desk.yaml"],
        capture_output=True, text=True, check=True, cwd=ROOT,
    )  # fmt: skip
    assert done.stdout.splitlines()[-1] == "[]"
