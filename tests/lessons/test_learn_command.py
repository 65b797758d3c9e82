"""`minisim learn`: the list, a lesson as lines, its test, its slip, its hand-out, its exit codes."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from minisim.cli import main

from .samples import DATA, lessons

SOUND = str(DATA / "sound.md")


def learn(*words: str, typed: str = "", monkeypatch: pytest.MonkeyPatch) -> int:
    monkeypatch.setattr("sys.stdin", io.StringIO(typed))
    return main(["learn", *words])


def test_the_list_names_every_lesson_with_its_goal(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert learn("--list", monkeypatch=monkeypatch) == 0
    text = " ".join(capsys.readouterr().out.split())
    for lesson in lessons():
        assert f"{lesson.name} {lesson.time} {lesson.title} {lesson.goal}" in text


def test_the_list_as_json(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    assert learn("--list", "--json", monkeypatch=monkeypatch) == 0
    rows = json.loads(capsys.readouterr().out)["lessons"]
    assert [row["name"] for row in rows] == [lesson.name for lesson in lessons()]
    assert [row["number"] for row in rows] == list(range(1, len(rows) + 1))


def test_a_lesson_of_ones_own_is_done_as_lines_and_gives_a_slip(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    slip = tmp_path / "slip.txt"
    words = (SOUND, "--plain", "--slip", str(slip), "--date", "2026-05-30")
    assert learn(*words, typed="hint\nchange r0 10\nchange r0 12\nrun\n", monkeypatch=monkeypatch) == 0
    said = capsys.readouterr().out
    for line in ("Step 1 of 2: A register", "Ten is one eight and two.", "Not yet: R0 holds 000010.", "Step 2 of 2"):
        assert line in said
    assert "on 2026-05-30" in slip.read_text()


def test_at_the_end_of_a_lesson_a_slip_is_offered(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    typed = "show\nshow\nslip\nslip again.svg\nslip none/such.txt\nwhat\nleave\n"
    assert learn(SOUND, "--plain", "--date", "2026-05-30", typed=typed, monkeypatch=monkeypatch) == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["2026-05-30-sound.txt", "again.svg"]
    assert "there is no folder" in capsys.readouterr().out


def test_whoever_leaves_before_the_end_gets_1_and_no_slip(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    slip = tmp_path / "slip.txt"
    assert learn(SOUND, "--plain", "--slip", str(slip), typed="change r0 12\n", monkeypatch=monkeypatch) == 1
    assert learn(SOUND, "--plain", typed="leave\n", monkeypatch=monkeypatch) == 1
    assert not slip.exists()


def test_the_self_test_of_one_lesson(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    assert learn(SOUND, "--self-test", monkeypatch=monkeypatch) == 0
    assert capsys.readouterr().out == "sound: 2 steps, 3 wrong ways: sound\n"
    assert learn(str(DATA / "passes-when-wrong.md"), "--self-test", "--json", monkeypatch=monkeypatch) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["sound"] is False
    assert "the wrong way passes" in told["lessons"][0]["problems"][0]


@pytest.mark.parametrize("ending", [".html", ".txt"])
def test_a_hand_out_is_written(ending: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    out = tmp_path / f"paper{ending}"
    assert learn(SOUND, "--hand-out", str(out), "--date", "2026-05-30", monkeypatch=monkeypatch) == 0
    assert "A lesson for tests" in out.read_text()


def test_without_a_name_the_list_is_shown_and_one_is_asked_for(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert learn("--plain", typed="", monkeypatch=monkeypatch) == 0
    assert learn("--plain", typed="nothing-such\n1\nleave\n", monkeypatch=monkeypatch) == 1
    said = capsys.readouterr().out
    assert 'There is no lesson "nothing-such"' in said
    assert "Step 1 of" in said


@pytest.mark.parametrize(
    "words",
    [
        ("no-such-lesson",),
        ("none.md",),
        ("0",),
        (SOUND, "--slip", "slip.doc"),
        (SOUND, "--hand-out", "paper.doc"),
        (SOUND, "--date", "yesterday"),
        ("--list", "--self-test"),
        (SOUND, "--json"),
        (SOUND, "--hand-out", "/none/such/paper.txt"),
    ],
)
def test_what_cant_be_used_is_told_in_words_with_2(
    words: tuple[str, ...], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert learn(*words, monkeypatch=monkeypatch) == 2
    assert capsys.readouterr().err.strip()


def test_a_spoiled_lesson_is_told_with_every_place(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    spoiled = tmp_path / "spoiled.md"
    spoiled.write_text(Path(SOUND).read_text().replace("check: r0", "check: r9").replace("goal:", "gaol:"))
    assert learn(str(spoiled), monkeypatch=monkeypatch) == 2
    assert [line.split(":")[1] for line in capsys.readouterr().err.splitlines()] == ["2", "4", "25"]


def test_lines_out_of_a_pipe_are_shown_behind_their_label(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert learn("key-in", "--plain", typed="1000/12700\n", monkeypatch=monkeypatch) == 1
    said = capsys.readouterr().out.splitlines()
    at = said.index("console: 1000/12700")
    assert said[at + 1].startswith("console prints: 1000/ 052525 12700")
