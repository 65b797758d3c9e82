"""`minisim loadout read-text` and `write-text`: answers, exit codes, files that are never written over."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest

from minisim.cli import main
from minisim.files import is_as_found, write_atomically
from minisim.loadout.slot_list_schema import slot_list_schema
from minisim.problems import InputError

Capture = pytest.CaptureFixture[str]
FOUR_LINES = "1 M8186\n2 M8044\n3 empty\n4 M8043 console\n"
WHOLE = "Backplane H9270-A\nSupply: H780\n1AB M8186\n1CD M8044 32 KB start 0\n"


@pytest.fixture
def mail(tmp_path: Path) -> Path:
    """A mail with everything that is needed."""
    path = tmp_path / "mail.txt"
    path.write_text(WHOLE, "utf-8")
    return path


def test_four_lines_from_the_input() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "minisim", "loadout", "read-text", "-"],
        input=FOUR_LINES, text=True, capture_output=True, check=False,
    )  # fmt: skip
    assert done.returncode == 1
    assert done.stderr == ""
    assert (
        'line 4: "4 M8043 console"\n    slot 4: serial-lines-four: M8043, four serial lines; console yes' in done.stdout
    )
    assert "1. Which backplane is main/a? 11 fit" in done.stdout
    assert "main/a slot 3 is empty." in done.stdout
    assert "fault GRANT-001 bus-grant-gap [main/a/4]" in done.stdout


def test_a_complete_list_is_written_and_checked(mail: Path, tmp_path: Path, capsys: Capture) -> None:
    out = tmp_path / "found.yaml"
    assert main(["loadout", "read-text", str(mail), "--out", str(out), "--name", "Desk"]) == 0
    assert f"{out}: written. Next: minisim check {out}" in capsys.readouterr().out
    assert main(["check", str(out)]) in (0, 1)
    assert "as found" in capsys.readouterr().out.splitlines()[-2]
    assert main(["loadout", "write-text", str(out)]) == 0
    again = tmp_path / "again.txt"
    again.write_text(capsys.readouterr().out, "utf-8")
    assert main(["loadout", "read-text", str(again), "--out", str(tmp_path / "again.yaml")]) == 0
    assert (tmp_path / "again.yaml").read_text("utf-8") == out.read_text("utf-8")


def test_a_file_is_never_written_over(mail: Path, tmp_path: Path, capsys: Capture) -> None:
    out = tmp_path / "found.yaml"
    out.write_text("mine", "utf-8")
    assert main(["loadout", "read-text", str(mail), "--out", str(out)]) == 2
    assert "the file exists" in capsys.readouterr().err
    assert out.read_text("utf-8") == "mine"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["found.yaml", "mail.txt"]


def test_nothing_is_written_while_the_backplane_is_missing(tmp_path: Path, capsys: Capture) -> None:
    path = tmp_path / "mail.txt"
    path.write_text(FOUR_LINES, "utf-8")
    out = tmp_path / "found.yaml"
    assert main(["loadout", "read-text", str(path), "--out", str(out)]) == 1
    assert "not written yet; 3 facts missing" in capsys.readouterr().out
    assert not out.exists()


def test_answers_go_to_the_place_they_name(tmp_path: Path, capsys: Capture) -> None:
    path = tmp_path / "mail.txt"
    path.write_text("Box main:\n1 M8186\nBox lower:\n1 M8029\n", "utf-8")
    words = ["loadout", "read-text", str(path), "--json"]
    answers = [
        "--backplane",
        "main/a=H9276",
        "--backplane",
        "lower/a=mux-private-link-9-22bit",
        "--supply",
        "main=H7861",
    ]
    assert main([*words, *answers]) == 1
    data = json.loads(capsys.readouterr().out)
    assert [unit["backplane"] for unit in data["units"]] == ["mux-private-link-9-22bit"] * 2
    assert [unit["supply"] for unit in data["units"]] == ["mux-nine-slot-box-22bit", None]
    assert main([*words, "--backplane", "H9276"]) == 2
    assert "the list has main/a, lower/a; write --backplane main/a=ID" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        (["--backplane", "H9999"], 'no backplane "H9999" in the catalogue'),
        (["--backplane", "H9270"], "it may be mux-twin-4-18bit or mux-twin-4-22bit"),
        (["--backplane", "main/b=H9273"], 'there is no "main/b" in the list; it has main/a'),
        (["--supply", "mux-four-slot-bax"], 'did you mean "mux-four-slot-box"?'),
    ],
)
def test_a_wrong_answer_is_told(answer: list[str], said: str, mail: Path, capsys: Capture) -> None:
    assert main(["loadout", "read-text", str(mail), *answer]) == 2
    assert said in capsys.readouterr().err


@pytest.mark.parametrize("text", ["", "Hello, nothing here.\n"])
def test_a_text_without_slots_is_unusable(text: str, tmp_path: Path, capsys: Capture) -> None:
    path = tmp_path / "mail.txt"
    path.write_text(text, "utf-8")
    assert main(["loadout", "read-text", str(path)]) == 2
    assert "no slot is named" in capsys.readouterr().err


def test_json_is_what_its_schema_says(mail: Path, tmp_path: Path, capsys: Capture) -> None:
    jsonschema.Draft202012Validator.check_schema(slot_list_schema())
    four = tmp_path / "four.txt"
    four.write_text(FOUR_LINES, "utf-8")
    for path in (mail, four):
        main(["loadout", "read-text", str(path), "--json"])
        jsonschema.validate(json.loads(capsys.readouterr().out), slot_list_schema())


def test_an_owners_own_board_is_known(tmp_path: Path, capsys: Capture) -> None:
    text = (Path(__file__).parents[2] / "minisim/catalogue/boards/serial-line-single.yaml").read_text("utf-8")
    boards = tmp_path / "catalogue" / "boards"
    boards.mkdir(parents=True)
    (boards / "pier-line.yaml").write_text(
        text.replace("serial-line-single", "pier-line").replace("M7940", "M1234"), "utf-8"
    )
    path = tmp_path / "mail.txt"
    path.write_text("1 M8186\n2 M1234 console\n", "utf-8")
    main(["loadout", "read-text", str(path)])
    assert "slot 2: pier-line: M1234, one serial line" in capsys.readouterr().out


# ---- records


RECORD = "loadout: 1\nname: Found\nstate: as-found\nboxes: [{id: main, backplane: mux-twin-4-18bit}]\n"


def test_no_command_writes_over_the_record_of_a_machine_as_found(tmp_path: Path, capsys: Capture) -> None:
    record = tmp_path / "found.yaml"
    record.write_text(RECORD, "utf-8")
    with pytest.raises(InputError, match="the record of a machine as it was found"):
        write_atomically(record, b"anything")
    link = tmp_path / "link.yaml"
    link.symlink_to(record)
    with pytest.raises(InputError, match="as it was found"):
        write_atomically(link, b"anything")
    assert main(["asm", "-o", str(record), "/dev/null"]) == 2
    capsys.readouterr()
    assert record.read_text("utf-8") == RECORD


@pytest.mark.parametrize(
    ("text", "is_one"),
    [
        (RECORD, True),
        (RECORD.replace("as-found", '"as-found"'), True),
        ("{loadout: 1, name: x, state: as-found}", True),
        (RECORD.replace("as-found", "planned"), False),
        (RECORD.replace("state: as-found", 'notes: "state: as-found"'), False),
        ("state: as-found\n", False),
        (RECORD + "  broken: [\n", True),
    ],
)
def test_what_a_record_is(text: str, is_one: bool, tmp_path: Path) -> None:
    path = tmp_path / "x.yaml"
    path.write_text(text, "utf-8")
    assert is_as_found(path) is is_one


def test_every_verdict_shows_the_modifications(tmp_path: Path, capsys: Capture) -> None:
    record = tmp_path / "found.yaml"
    record.write_text(RECORD + "modifications: [green wire on slot 3, new fan]\n", "utf-8")
    for form in ("text", "json", "html", "sarif"):
        main(["check", str(record), "--format", form])
        out = capsys.readouterr().out
        assert "green wire on slot 3" in out, form
        assert "new fan" in out, form
    main(["check", str(record)])
    assert "as found, with 2 modifications: green wire on slot 3; new fan" in capsys.readouterr().out
