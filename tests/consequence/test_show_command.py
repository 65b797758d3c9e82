"""`minisim check LOADOUT --show RULE`, end to end."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest

from minisim.cli import main
from minisim.consequence import served
from minisim.consequence.forms import JSON_SHAPE

from .machines import HERE, fixture

HOLE = str(fixture("GRANT-001", "two-behind"))
LINES = str(fixture("ADDR-001", "mux"))


def run(words: list[str], capsys: pytest.CaptureFixture[str]) -> tuple[int, str, str]:
    code = main(["check", *words])
    said = capsys.readouterr()
    return code, said.out, said.err


def test_the_command_itself_shows_a_hole_in_the_grants() -> None:
    words = [sys.executable, "-m", "minisim", "check", HOLE, "--show", "bus-grant-gap"]
    done = subprocess.run(words, capture_output=True, text=True, timeout=60, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    text = " ".join(done.stdout.split())
    assert "fault GRANT-001 bus-grant-gap [main/a/3AB]" in text
    assert "Interrupts: 0. It asked 1 time, and no grant ever reached it." in text
    assert "Step by step, with the time of the machine: 2.9 us 002000 mov #2000, sp" in text


@pytest.mark.parametrize("word", ["GRANT-001", "grant-001", "bus-grant-gap"])
def test_a_rule_is_named_by_id_or_name_and_data_say_the_same(word: str, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run([HOLE, "--show", word, "--json"], capsys)
    data = json.loads(out)
    jsonschema.validate(data, JSON_SHAPE)
    assert (code, err, data["show"], data["not_shown"]) == (0, "", 1, "")
    assert (data["finding"]["rule"], data["finding"]["place"]) == ("GRANT-001", "main/a/3AB")
    assert data["consequences"][0]["facts"]["interrupts"] == 0
    assert data["consequences"][0]["program"][0].split() == ["mov", "#2000,", "sp", ";", "a", "stack"]


def test_a_place_chooses_among_several(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = Path(LINES).read_text("utf-8")
    two = tmp_path / "two.yaml"
    two.write_text(text.replace("vector: 310}}", "vector: 310}}\n      3CD: {board: serial-line-single, "
                                "settings: {address: 776500, vector: 320}}"), "utf-8")  # fmt: skip
    code, out, _ = run([str(two), "--show", "ADDR-001"], capsys)
    assert code == 0 and "[main/a/3AB]" in out.replace("\n  ", " ")
    assert "The same is found at main/a/3CD; --at PLACE shows it." in out
    code, out, _ = run([str(two), "--show", "ADDR-001", "--at", "main/a/3CD"], capsys)
    assert code == 0 and "[main/a/3CD]" in out.replace("\n  ", " ")


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        ([HOLE, "--show", "ADDR-001"], 1, "no ADDR-001 register-ranges-overlap is found"),
        ([HOLE, "--show", "GRANT-001", "--at", "main/a/9"], 1, "at main/a/9 is found; there is one at main/a/3AB"),
        ([HOLE, "--show", "GRANT-01"], 2, 'there is no rule "GRANT-01"'),
        ([HOLE, LINES, "--show", "GRANT-001"], 2, "--show works on one loadout"),
        ([HOLE, "--show", "GRANT-001", "--fix"], 2, "not with --fix"),
        ([HOLE, "--show", "GRANT-001", "--format", "html"], 2, "--show prints text or json, not html"),
        ([HOLE, "--at", "main/a/3AB"], 2, "--at PLACE stands beside --show RULE"),
        (["--show", "GRANT-001", "--explain", "GRANT-001"], 2, "two commands"),
        (["no-such-file.yaml", "--show", "GRANT-001"], 2, "no-such-file.yaml:1:1: can't read the file"),
        ([str(fixture("SLOT-008", "mux-in-sep")), "--show", "SLOT-008"], 2, "is damage"),
        ([str(fixture("POWER-002", "mux")), "--show", "POWER-002"], 2, "nothing shows POWER-002"),
    ],
)
def test_what_can_not_be_shown_says_why(
    words: list[str], code: int, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    found, out, err = run(words, capsys)
    assert (found, out) == (code, "")
    assert said in err


def test_data_of_what_can_not_be_shown_hold_the_reason(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run([str(fixture("POWER-002", "mux")), "--show", "POWER-002", "--json"], capsys)
    data = json.loads(out)
    jsonschema.validate(data, JSON_SHAPE)
    assert (code, data["consequences"]) == (2, [])
    assert data["not_shown"] in err
    assert all(rule in data["not_shown"] for rule in served())


def test_no_medium_of_the_owner_is_touched(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    image = tmp_path / "tides.disk"
    content = bytes(range(256)) * (2_494_464 // 256)  # 203 cylinders, 2 surfaces, 12 sectors of 512 bytes
    image.write_bytes(content)
    loadout = tmp_path / "disk.yaml"
    cable = "cables:\n  - {from: main/a/3AB, unit: 0, to: cartridge-disk-2mb-drive, media: tides.disk}\n"
    loadout.write_text((HERE / "disk-behind-a-hole.yaml").read_text("utf-8") + cable, "utf-8")
    before = sorted(path.name for path in tmp_path.iterdir())
    code, out, err = run([str(loadout), "--show", "GRANT-001"], capsys)
    assert (code, err) == (0, "")
    assert "Words in the buffer: 0" in " ".join(out.split())
    assert image.read_bytes() == content
    assert sorted(path.name for path in tmp_path.iterdir()) == before
