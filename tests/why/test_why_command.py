"""`minisim why` as people and other programs call it: words in several arguments, exit codes, screen and JSON."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from pathlib import Path

import jsonschema
import pytest
from why_machines import DEMO, RULES

from minisim.cli import main
from minisim.why.as_json import why_schema
from minisim.why.reader import heads

DESK, GAUGE = DEMO / "desk.yaml", DEMO / "gauge.yaml"


@pytest.fixture(autouse=True)
def eighty_columns(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")


def run(capsys: pytest.CaptureFixture[str], *words: str | Path) -> tuple[int, str, str]:
    code = main(["why", *map(str, words)])
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def test_the_symptom_may_be_one_text_or_several_words(capsys: pytest.CaptureFixture[str]) -> None:
    one = run(capsys, DESK, "halted 000104")
    several = run(capsys, DESK, "halted", "000104")
    assert one == several
    assert one[0] == 0
    assert " 1. The line clock of M8186 (main/a/1AB) interrupted through 100" in one[1]


def test_options_may_stand_anywhere_among_the_words(capsys: pytest.CaptureFixture[str]) -> None:
    orders = [
        ["--all", DESK, "halted", "104"],
        [DESK, "--all", "halted", "104"],
        [DESK, "halted", "--all", "104"],
        [DESK, "halted", "104", "--all"],
    ]
    answers = [run(capsys, *words) for words in orders]
    assert answers == [answers[0]] * 4
    assert answers[0][0] == 0


def test_the_gauge_without_terminator_shows_the_places_in_order(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, GAUGE, "runs only without the terminator")
    places = [line.split()[1].rstrip(":") for line in out.splitlines() if line.startswith("    - main/a/")]
    assert code == 0
    assert places == [f"main/a/{slot}" for slot in ("3CF", "4CF", "5CF", "6CF", "7CF", "8CF", "9CF", "9AB")] + [
        "main/a/3AB", "main/a/9AB",
    ]  # fmt: skip
    assert "Before a hand goes in: power off" in out


def test_the_first_screen_has_five_causes_and_counts_the_rest(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, DESK, "nothing on the console")
    assert " 5. " in out
    assert " 6. " not in out
    rest = "8 more causes; 4 causes ruled out for this machine; 1 more question (--all shows them)."
    assert rest in " ".join(out.split())
    _, whole, _ = run(capsys, DESK, "nothing on the console", "--all")
    assert "13. " in whole
    assert whole.count("Ruled out: ") == 4
    assert whole.count("Look first: ") == 2


@pytest.mark.parametrize("head", heads(), ids=lambda head: head.id)
def test_no_line_is_wider_than_the_terminal(head: object, capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, GAUGE, heads()[list(heads()).index(head)].examples[0], "--all")  # type: ignore[arg-type]
    assert max(len(line) for line in out.splitlines()) <= 79


def test_cautions_stand_only_where_a_hand_goes_in(capsys: pytest.CaptureFixture[str]) -> None:
    assert "Before a hand" not in run(capsys, DESK, "rom 043127")[1]
    assert "Before a hand" in run(capsys, DESK, "fuse blows")[1]


def test_a_symptom_that_nothing_here_can_cause_leaves_with_1_and_says_what_to_measure(
    capsys: pytest.CaptureFixture[str],
) -> None:
    code, out, _ = run(capsys, DESK, "parity error")
    assert code == 1
    assert "Nothing in this machine, as its loadout tells it, can cause this." in out
    assert "look what else uses vector 114" in " ".join(out.split())


def test_an_unknown_symptom_leaves_with_2_and_names_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, DESK, "the", "console", "smiles")
    assert (code, out) == (2, "")
    assert err.startswith('symptom:1:1: "the console smiles": no symptom is known by these words\n  near: "')
    assert err.endswith("minisim why --list shows every symptom, with an example of how to say it\n")


def test_a_number_that_is_not_octal_leaves_with_2_and_its_column(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, DESK, "halted 000189")
    assert (code, out) == (2, "")
    assert err == "symptom:1:8: 000189 is not octal: octal numbers have digits 0 to 7 only\n"


def test_a_symptom_with_control_characters_is_shown_by_their_codes(capsys: pytest.CaptureFixture[str]) -> None:
    code, _, err = run(capsys, DESK, "\x1b[31m purple")
    assert code == 2
    assert "\x1b" not in err
    assert "\\033" in err


def test_a_loadout_that_cannot_be_used_leaves_with_2(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "x.yaml"
    file.write_text("loadout: 1\nname: X\nbocks: []\n")
    code, out, err = run(capsys, file, "halted 104")
    assert (code, out) == (2, "")
    assert f"{file}:3:1: " in err
    assert run(capsys, tmp_path / "none.yaml", "halted 104")[0] == 2


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], "minisim why: name a loadout and a symptom; minisim why --list shows what is known\n"),
        ([DESK], "minisim why: name a symptom; minisim why --list shows what is known\n"),
        ([DESK, "  "], "minisim why: name a symptom; minisim why --list shows what is known\n"),
    ],
)
def test_a_missing_operand_is_told(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(capsys, *words) == (2, "", said)


def test_the_list_has_every_symptom_with_words_that_are_understood(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "--list")
    assert code == 0
    assert all(f'"{head.examples[0]}": ' in out for head in heads())
    code, out, _ = run(capsys, "--list", "--json")
    assert [one["symptom"] for one in json.loads(out)["symptoms"]] == [head.id for head in heads()]


def test_json_fits_its_published_schema(capsys: pytest.CaptureFixture[str]) -> None:
    hole = RULES / "GRANT-001" / "bad-serpentine.yaml"
    for file, words in ((DESK, "halted 104"), (hole, "hangs at the first read of the disk"), (DESK, "parity error")):
        code, out, _ = run(capsys, file, words, "--json")
        data = json.loads(out)
        jsonschema.validate(data, why_schema())
        assert code == (0 if data["causes"] else 1)
    code, out, _ = run(capsys, DESK, "halted 104", "--json")
    assert json.loads(out)["values"] == {"stop": "000104"}


def test_the_schemas_are_printed_by_minisim_schema(capsys: pytest.CaptureFixture[str]) -> None:
    for what in ("why", "symptom"):
        assert main(["schema", what]) == 0
        jsonschema.Draft202012Validator.check_schema(json.loads(capsys.readouterr().out))


def test_a_machine_with_damage_is_told_so_before_anything_else(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, RULES / "SLOT-001" / "bad-twin-bus-slot.yaml", "boots sometimes")
    assert code == 0
    assert "FIRST: damage SLOT-001" in out
    assert out.index("FIRST: damage") < out.index(" 1. ")
    assert "Do not switch on." in " ".join(out.split())


def test_a_finding_is_shown_under_its_cause_with_the_act(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, RULES / "GRANT-001" / "bad-serpentine.yaml", "hangs at the first read of the disk")
    text = " ".join(out.split())
    assert "FOUND: fault GRANT-001 [main/a/2AB]: no grant reaches the board" in text
    assert "Put right: fit a grant card in" in text


def test_an_accepted_finding_keeps_the_reason_of_the_owner(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, DEMO / "chart.yaml", "time stands still")
    assert "Accepted: nothing in this machine waits for the clock." in " ".join(out.split())


def test_an_answer_takes_a_moment_only() -> None:
    """The whole command; the bound is wide, for machines that do other work as well (aim: 0.3 s)."""
    command = [sys.executable, "-m", "minisim", "why", str(GAUGE), "halted 000104"]
    times = []
    for _ in range(3):
        begun = time.perf_counter()
        assert subprocess.run(command, capture_output=True, check=False).returncode == 0
        times.append(time.perf_counter() - begun)
    assert min(times) < 1.5
