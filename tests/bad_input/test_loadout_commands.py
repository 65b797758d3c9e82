"""Commands that are given a bad loadout leave with 2, say why with the place, print no result and write nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from minisim.cli import command_names, main

READERS = [name for name in ("check", "map", "boot") if name in command_names()]
BAD = {
    "octal digit": (b"loadout: 1\nname: x\nboxes: []\nswitches: {register: 888}\n", ":4:22: register "),
    "stock list": (b"stock: 1\nboards: []\n", ":1:1: this is a stock list"),
    "syntax": (b"loadout: 1\nname: [\n", "not valid YAML"),
    "bytes": (b"loadout: \xff\n", ":1:10: not UTF-8"),
    "large": (b"# padding\n" * 1_000_001, ":1:1: "),
    "missing medium": (
        b"loadout: 1\nname: x\n"
        b"boxes: [{id: m, backplane: mux-twin-4-18bit, slots: {2CD: {board: serial-line-single}}}]\n"
        b"cables: [{from: m/a/2CD, line: 0, to: terminal, media: none.papertape}]\n",
        "the medium is missing",
    ),
}


@pytest.mark.parametrize("command", READERS)
@pytest.mark.parametrize("bad", BAD)
def test_a_bad_loadout_ends_a_command_with_2(
    command: str, bad: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    data, part = BAD[bad]
    monkeypatch.chdir(tmp_path)
    Path("machine.yaml").write_bytes(data)
    assert main([command, "machine.yaml"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert part in err
    assert all(line.startswith("machine.yaml:") for line in err.splitlines())
    assert [path.name for path in tmp_path.iterdir()] == ["machine.yaml"]


@pytest.mark.parametrize("command", READERS)
def test_a_file_that_is_not_there_and_a_folder_end_a_command_with_2(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for path in (tmp_path / "none.yaml", tmp_path):
        assert main([command, str(path)]) == 2
        said = "no loadout in this folder" if path == tmp_path and command == "check" else "can't read"
        assert capsys.readouterr().err.startswith(f"{path}:1:1: {said}")
