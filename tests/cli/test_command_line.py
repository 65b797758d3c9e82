"""The command line around the commands: options, streams, exit codes, nothing heavy at the start."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from minisim import cli
from minisim.cli import command_names, main, parser_of
from minisim.cli._help import reflowed

ROOT = Path(__file__).resolve().parent.parent.parent
GAUGE = str(ROOT / "loadouts" / "kittiwake" / "gauge.yaml")
TAPE = str(ROOT / "loadouts" / "kittiwake" / "media" / "tides.papertape")
LIGHT = (("--help",), ("check", GAUGE), ("map", GAUGE), ("schema",), ("sources",), ("tape", "list", TAPE))
HEAVY = ("minisim.cpu._core", "_cffi_backend", "cbor2", "minisim.machine.machine", "shutil", "html", "xml", "difflib")


def shell(command: str) -> subprocess.CompletedProcess[str]:
    """A command with the streams a shell gives it; {m} is the program."""
    program = f"{sys.executable} -m minisim"
    return subprocess.run(
        ["sh", "-c", command.format(m=program, gauge=GAUGE, tape=TAPE)],
        cwd=ROOT, text=True, capture_output=True, timeout=60, check=False,
    )  # fmt: skip


def test_the_version_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--version"]) == 0
    assert capsys.readouterr().out == f"minisim {cli.version()}\n"


def test_no_command_at_all_is_an_error_and_help_is_not(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 2
    nothing = capsys.readouterr()
    assert main(["help"]) == 0
    assert (nothing.out, nothing.err) == ("", capsys.readouterr().out)


@pytest.mark.parametrize("name", command_names())
def test_help_of_a_command_comes_in_three_ways_and_fits_a_terminal(
    name: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    texts = []
    for words in ([name, "--help"], [name, "-h"], ["help", name]):
        assert main(words) == 0
        texts.append(capsys.readouterr().out)
    assert texts[0] == texts[1] == texts[2]
    assert max(map(len, texts[0].splitlines())) < 80


def test_the_list_of_commands_fits_a_terminal() -> None:
    assert max(map(len, cli.overview().splitlines())) < 80


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["check", "x", "--jsn"], 'minisim check: there is no option "--jsn"; did you mean "--json"?'),
        (["check", "x", "--expl", "A"], 'minisim check: there is no option "--expl"; did you mean "--explain"?'),
        (["map", "a", "b"], 'minisim map: nothing more is expected at "b"'),
        (["boot", "x", "--limit", "abc"], 'minisim boot: --limit: "abc" is no decimal count of instructions'),
        (["asm", "x", "--start", "1001"], "minisim asm: --start: 001001 is odd; instructions lie at even addresses"),
        (["dis", "0", "--at", "1001"], "minisim dis: --at: 001001 is odd; instructions lie at even addresses"),
    ],
)
def test_a_wrong_option_is_told_in_one_line(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(words) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.splitlines() == [said, f"minisim {words[0]} --help tells the rest"]


@pytest.mark.parametrize("words", [["check", ""], ["map", ""], ["tape", "list", ""], ["asm", ""]])
def test_an_empty_file_name_is_said_to_be_empty(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(words) == 2
    assert "the name of the file is empty" in capsys.readouterr().err


def test_a_file_name_can_not_act_on_the_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["tape", "list", "a\n\x1b[31m"]) == 2
    assert capsys.readouterr().err == "a\\012\\033[31m:1:1: can't read the file: no such file or directory\n"


@pytest.mark.parametrize("command", ["check {gauge}", "map {gauge}", "tape list {tape}", "boot {gauge} --limit 9", ""])
def test_a_closed_output_is_no_traceback(command: str) -> None:
    done = shell(f"{{m}} {command} >&- </dev/null")
    assert "Traceback" not in done.stderr
    assert done.returncode in (0, 1, 2)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
@pytest.mark.parametrize("command", ["check {gauge}", "map --help", "--help", "sources", "boot {gauge}"])
def test_a_full_disk_is_one_line(command: str) -> None:
    done = shell(f"{{m}} {command} >/dev/full </dev/null")
    assert "Traceback" not in done.stderr
    assert done.returncode == 2 or command == "map --help"
    assert "no space left on device" in done.stderr or command == "map --help"


@pytest.mark.parametrize("command", ["dis", "boot {gauge} --feed - --limit 9"])
def test_a_closed_input_is_an_empty_one(command: str) -> None:
    closed, empty = shell(f"{{m}} {command} <&-"), shell(f"{{m}} {command} </dev/null")
    assert (closed.returncode, closed.stdout, closed.stderr) == (empty.returncode, empty.stdout, empty.stderr)


@pytest.mark.parametrize("words", LIGHT, ids=lambda words: words[0])
def test_a_light_command_imports_nothing_heavy(words: tuple[str, ...]) -> None:
    script = (
        "import sys, os\nbefore = set(sys.modules)\nfrom minisim.cli import main\n"
        f"code = main({list(words)!r})\nprint(code, *(set(sys.modules) - before), file=sys.stderr)"
    )
    environment = {**os.environ, "COLUMNS": "80"}
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, text=True, capture_output=True, env=environment, check=True
    )
    code, *imported = done.stderr.split()
    assert code == "0"
    assert not set(imported) & set(HEAVY)


def test_a_text_is_laid_out_again_for_a_narrower_terminal() -> None:
    text = "Head\n    one two three\n    four five\n\n- item that is long\n  and goes on\n- next\n"
    assert reflowed(text, 16) == (
        "Head\n    one two\n    three four\n    five\n\n- item that is\n  long and goes\n  on\n- next\n"
    )


def test_every_option_has_help() -> None:
    for name in command_names():
        assert all(action.help for action in parser_of(name)._actions if action.nargs != "A..."), name
