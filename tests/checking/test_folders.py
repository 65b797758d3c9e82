"""Whole folders: which files are loadouts, and many of them in several processes."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from minisim import many
from minisim.cli import main
from minisim.findings import Mark
from minisim.many import check_files, find
from minisim.problems import Problem

TESTS = Path(__file__).parents[1]
GOOD = TESTS / "rules" / "GRANT-001" / "good-serpentine.yaml"
HOLE = TESTS / "rules" / "GRANT-001" / "bad-serpentine.yaml"


def run(capsys: pytest.CaptureFixture[str], *words: str | Path) -> tuple[int, str, str]:
    code = main(["check", *map(str, words)])
    captured = capsys.readouterr()
    return code, captured.out, captured.err


@pytest.fixture
def station(tmp_path: Path) -> Path:
    """Loadouts on two levels among other files."""
    (tmp_path / "b" / ".hidden").mkdir(parents=True)
    shutil.copy(GOOD, tmp_path / "z.yaml")
    shutil.copy(HOLE, tmp_path / "b" / "hole.yaml")
    shutil.copy(GOOD, tmp_path / "b" / ".hidden" / "kept.yaml")
    (tmp_path / "b" / "stock.yaml").write_text("stock: 1\nnotes: |\n  loadout: in a text\n", "utf-8")
    (tmp_path / "empty.yaml").write_text("", "utf-8")
    (tmp_path / "notes.txt").write_text("loadout: 1\n", "utf-8")
    return tmp_path


def test_a_folder_gives_its_loadouts_in_order_and_the_others_are_counted(
    station: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, err = run(capsys, station)
    assert code == 1
    named = list(dict.fromkeys(line.split(":")[0] for line in out.splitlines() if line.startswith(str(station))))
    assert named == [str(station / "z.yaml"), str(station / "b" / "hole.yaml")]
    assert err == "minisim check: left out 2 other YAML files that are no loadouts\n"


def test_a_file_named_beside_its_folder_is_checked_once(station: Path) -> None:
    found = find([str(station / "b" / "hole.yaml"), str(station)])
    assert found.files == (str(station / "b" / "hole.yaml"), str(station / "z.yaml"))


@pytest.mark.parametrize(
    ("text", "is_one"),
    [
        ("loadout: 1\n", True),
        ("# a remark\n\nname: x\nloadout: 1\n", True),
        ("\ufeffloadout: 1\n", True),
        ('"loadout": 1\n', True),
        ("{loadout: 1, name: x}\n", True),
        ("loadout : 1\n", True),
        ("trial: 1\nuses:\n  loadout: x.yaml\n", False),
        ("# loadout: 1\nstock: 1\n", False),
        ("loadouts: [a, b]\n", False),
    ],
)
def test_a_loadout_is_known_by_its_first_level(tmp_path: Path, text: str, is_one: bool) -> None:
    (tmp_path / "x.yaml").write_text(text, "utf-8")
    found = find([str(tmp_path)])
    assert (len(found.files), found.others) == ((1, 0) if is_one else (0, 1))


def test_a_folder_without_a_loadout_leaves_2_and_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, tmp_path, GOOD)
    assert code == 2
    assert "consistent on paper" in out
    assert err == f"{tmp_path}:1:1: no loadout in this folder or below it: no *.yaml file says loadout:\n"


def test_a_ring_of_links_is_not_followed(station: Path) -> None:
    (station / "b" / "ring").symlink_to(station, target_is_directory=True)
    assert len(find([str(station)]).files) == 2


def test_a_folder_that_cant_be_written_as_text_is_told_without_a_traceback(tmp_path: Path) -> None:
    folder = os.path.join(os.fsencode(tmp_path), b"\xff")  # noqa: PTH118  # a name that is no text
    os.mkdir(folder)  # noqa: PTH102
    shutil.copy(GOOD, os.path.join(folder, b"x.yaml"))  # noqa: PTH118
    for form in ("text", "json", "sarif", "junit", "github", "html"):
        command = [sys.executable, "-m", "minisim", "check", folder, "--format", form]
        done = subprocess.run(command, capture_output=True, check=False)
        assert b"Traceback" not in done.stderr, done.stderr
        assert done.returncode == 0


# ---- many files


@pytest.fixture
def hundreds(tmp_path: Path) -> list[str]:
    """300 loadouts; every seventh has a hole, every fiftieth can't be used."""
    files = []
    for number in range(300):
        file = tmp_path / f"{number:03}.yaml"
        shutil.copy(HOLE if number % 7 == 0 else GOOD, file)
        if number % 50 == 3:
            file.write_text("loadout: 1\nboxs: []\n", "utf-8")
        files.append(str(file))
    return files


def test_300_files_in_several_processes_give_what_one_process_gives(
    hundreds: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(many, "_processors", lambda: 2)
    told: list[tuple[int, int]] = []
    reports, problems = check_files(hundreds, tell=lambda done, whole: told.append((done, whole)))
    assert [report.file for report in reports] == [file for file in hundreds if int(Path(file).stem) % 50 != 3]
    assert [problem.mark.file for problem in problems if problem.mark.line == 2] == hundreds[3::50]
    assert told == [(number, 300) for number in range(1, 301)]
    monkeypatch.setattr(many, "WORTH_IT", 1000)
    assert check_files(hundreds[:60]) == (
        reports[:58],
        [problem for problem in problems if int(Path(problem.mark.file).stem) < 60],
    )


def _dies(task: object) -> None:
    os._exit(1)


def test_files_whose_process_was_ended_are_checked_all_the_same(
    hundreds: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(many, "_processors", lambda: 2)
    monkeypatch.setattr(many, "_check_task", _dies)
    reports, problems = check_files(hundreds[:120])
    assert len(reports) == 117 and {one.mark.file for one in problems} == {hundreds[3], hundreds[53], hundreds[103]}


def test_an_interrupt_ends_a_long_check_with_130_and_says_nothing_else(hundreds: list[str]) -> None:
    files = [file for _ in range(4) for file in hundreds]  # named four times each
    script = (
        "import sys, minisim.many as m, minisim.cli.check as c; from minisim.cli import main;"
        "c._name_files = lambda arguments: []; m._processors = lambda: 2;"
        "print('begun', file=sys.stderr, flush=True); sys.exit(main(['check', *sys.argv[1:]]))"
    )
    with subprocess.Popen(
        [sys.executable, "-c", script, *files], stdout=subprocess.PIPE, stderr=subprocess.PIPE, start_new_session=True
    ) as process:
        assert process.stderr is not None
        assert process.stderr.readline() == b"begun\n"
        time.sleep(0.8)
        os.killpg(process.pid, signal.SIGINT)  # as a terminal does it: to all of them
        out, err = process.communicate(timeout=60)
    assert process.returncode == 130, err.decode()
    assert (out, err) == (b"", b"")


def test_one_problem_of_a_file_takes_nothing_from_the_others(tmp_path: Path) -> None:
    reports, problems = check_files([str(tmp_path / "nowhere.yaml"), str(GOOD)])
    assert len(reports) == 1
    assert isinstance(problems[0], Problem) and problems[0].mark == Mark(str(tmp_path / "nowhere.yaml"), 1, 1)


def test_progress_is_shown_on_a_terminal_when_work_is_long(capsys: pytest.CaptureFixture[str]) -> None:
    from minisim.cli import _progress

    progress = _progress.Progress("files checked")
    with progress:
        progress._tell(1, 300)
        progress.next = 0.0
        progress._tell(2, 300)
        progress._tell(3, 300)
    err = capsys.readouterr().err
    assert err == "\r2 of 300 files checked\r" + " " * len("2 of 300 files checked") + "\r"
    assert progress.tell is None  # the error stream of a test is no terminal


def test_json_of_a_folder_holds_every_report(station: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, station, "--json")
    assert [Path(one["file"]).name for one in json.loads(out)["files"]] == ["z.yaml", "hole.yaml"]
