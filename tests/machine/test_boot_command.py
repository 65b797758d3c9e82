"""`minisim boot` without a terminal: output, JSON, exit codes, bad input."""

from __future__ import annotations

import json
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

import minisim

KITTIWAKE = Path(__file__).parents[2] / "loadouts" / "kittiwake"
BOTH = pytest.mark.parametrize("name", ["gauge", "desk"])


def boot(*words: str, typed: bytes = b"") -> subprocess.CompletedProcess[bytes]:
    """Run the command with nothing but this on its input."""
    command = [sys.executable, "-m", "minisim", "boot", *words]
    return subprocess.run(command, input=typed, capture_output=True, timeout=60, check=False)


def demo(name: str) -> str:
    """A demo loadout."""
    return str(KITTIWAKE / f"{name}.yaml")


@BOTH
def test_json_tells_what_happened(name: str) -> None:
    done = boot(demo(name), "--until", "HIGH", "--limit", "50000000", "--json")
    assert (done.returncode, done.stderr) == (0, b"")
    told = json.loads(done.stdout)
    assert (told["reason"], told["exit"]) == ("REACHED", 0)
    assert told["console"].endswith("HIGH")
    assert told["interrupts"]["100"] > 100
    assert "773000" <= "7" + told["first_pc"][1:] <= "773776"
    data = "777552" if name == "gauge" else "777562"
    frames = (KITTIWAKE / "media" / "tides.papertape").read_bytes().rstrip(b"\0")
    assert told["reads"][data] >= len(frames)
    assert told["writes"]["777546"] > 0
    assert (told["never_granted"], told["traps"]) == ({}, {})
    assert len(told["sha256"]) == 64


@BOTH
def test_the_program_halts_by_itself_and_the_table_stands_in_the_output(name: str) -> None:
    done = boot(demo(name), "--limit", "50000000")
    assert done.returncode == 0
    assert done.stdout.count(b"HIGH") == 2
    assert done.stdout.rstrip().endswith(b"End of the table")
    first, *notes, last = done.stderr.decode().splitlines()
    profile = {"gauge": "two-board-ttl-mmu", "desk": "chipset-four-level"}[name]
    assert first.startswith(f"{demo(name)}: ")
    assert first.endswith(f"processor {profile}")
    assert "halted the processor after" in last
    assert all("not modelled" in note for note in notes)


def test_the_same_run_twice_prints_the_same() -> None:
    first, second = (boot(demo("gauge"), "--limit", "2000000", "--json") for _ in range(2))
    assert first.stdout == second.stdout
    assert first.returncode == 1


@BOTH
def test_the_limit_before_the_text_is_a_no(name: str) -> None:
    done = boot(demo(name), "--until", "HIGH", "--limit", "1000")
    assert done.returncode == 1
    assert b"not finished after 1000 instructions" in done.stderr


def test_a_halt_before_the_text_is_a_no() -> None:
    done = boot(demo("gauge"), "--until", "NEVER", "--json")
    assert done.returncode == json.loads(done.stdout)["exit"] == 1
    assert json.loads(done.stdout)["reason"] == "HALTED"


def test_typed_text_and_a_fed_file_reach_the_guest(tmp_path: Path) -> None:
    """An echo program on a tape of its own, which halts at a full stop."""
    from minisim.cpu.assembler import assemble
    from minisim.tape import make_tape

    program = assemble(
        """
            . = 1000
    1$:     TSTB @#177560
            BPL  1$
            MOVB @#177562,R0
    2$:     TSTB @#177564
            BPL  2$
            MOVB R0,@#177566
            CMPB R0,#56
            BNE  1$
            HALT
    """
    )
    shutil.copytree(KITTIWAKE, tmp_path / "k")
    blocks = [(block.address, block.data) for block in program.blocks]
    (tmp_path / "k" / "media" / "tides.papertape").write_bytes(make_tape(blocks, 0o1000))
    (tmp_path / "fed").write_bytes(b"er.")
    for name in ("gauge", "desk"):
        done = boot(str(tmp_path / "k" / f"{name}.yaml"), "--type", r"ti\144e wat", "--feed", str(tmp_path / "fed"))
        assert (done.stdout, done.returncode) == (b"tide water.", 0)
        done = boot(str(tmp_path / "k" / f"{name}.yaml"), "--feed", "-", typed=b"ebb.")
        assert (done.stdout, done.returncode) == (b"ebb.", 0)


def test_findings_stop_the_boot_with_the_lines_of_check(tmp_path: Path) -> None:
    shutil.copytree(KITTIWAKE, tmp_path / "k")
    path = tmp_path / "k" / "desk.yaml"
    text = path.read_text(encoding="utf-8").replace("      2CD:  ", "      2AB:  ").replace("main/a/2CD", "main/a/2AB")
    path.write_text(text, encoding="utf-8")
    done = boot(str(path), "--until", "HIGH")
    assert (done.returncode, done.stdout) == (2, b"")
    checked = subprocess.run(
        [sys.executable, "-m", "minisim", "check", str(path)], capture_output=True, text=True, check=False
    )
    finding = next(line for line in checked.stdout.splitlines() if "GRANT-001" in line)
    assert finding in done.stderr.decode()
    allowed = boot(str(path), "--until", "HIGH", "--allow", "fault")
    assert allowed.returncode == 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--until", ""], "1 to 256 ASCII characters"),
        (["--until", "Kärn"], "ASCII"),
        (["--limit", "-1"], "no decimal count"),
        (["--limit", "777e3"], "no decimal count"),
        (["--type", r"\q"], "means nothing"),
        (["--feed", "no-such-file"], "can't read the file"),
        (["--pace", "slow"], "invalid choice"),
        (["--allow", "damage"], "invalid choice"),
    ],
)
def test_options_that_can_not_be_used(words: list[str], said: str) -> None:
    done = boot(demo("gauge"), *words)
    assert (done.returncode, done.stdout) == (2, b"")
    assert said in done.stderr.decode()
    assert b"Traceback" not in done.stderr


def test_a_loadout_that_can_not_be_read(tmp_path: Path) -> None:
    (tmp_path / "x.yaml").write_text("loadout: 1\nnme: x\n", encoding="utf-8")
    for path in (tmp_path / "x.yaml", tmp_path / "none.yaml", tmp_path):
        done = boot(str(path))
        assert (done.returncode, done.stdout) == (2, b"")
        assert str(path) in done.stderr.decode()
        assert b"Traceback" not in done.stderr


def test_an_interrupt_leaves_with_130_soon_and_says_where_it_was() -> None:
    command = [sys.executable, "-m", "minisim", "boot", demo("desk"), "--pace", "real"]
    with subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stderr is not None
        process.stderr.readline()
        time.sleep(0.3)
        process.send_signal(signal.SIGINT)
        began = time.monotonic()
        _, said = process.communicate(timeout=10)
    assert process.returncode == 130
    assert time.monotonic() - began < 2
    assert b"stopped on request after" in said


def test_at_real_pace_guest_time_is_real_time() -> None:
    began = time.monotonic()
    done = boot(demo("desk"), "--pace", "real", "--limit", "120000", "--json")
    took = time.monotonic() - began
    told = json.loads(done.stdout)
    assert told["time_ns"] / 1e9 - 0.1 <= took < told["time_ns"] / 1e9 + 3
    full = json.loads(boot(demo("desk"), "--limit", "120000", "--json").stdout)
    assert {k: full[k] for k in ("instructions", "pc", "reads", "time_ns")} == {
        k: told[k] for k in ("instructions", "pc", "reads", "time_ns")
    }


def test_a_processor_that_starts_from_memory_has_nothing_to_start_from(tmp_path: Path) -> None:
    shutil.copytree(KITTIWAKE, tmp_path / "k")
    path = tmp_path / "k" / "desk.yaml"
    text = path.read_text(encoding="utf-8").replace("power-up: 2", "power-up: 0")
    path.write_text(text, encoding="utf-8")
    done = boot(str(path), "--allow", "fault")
    assert (done.returncode, done.stdout) == (2, b"")
    assert b"takes PC and PS from memory at 24 and 26" in done.stderr


def test_the_reference_page_lists_every_key_of_the_json() -> None:
    page = (KITTIWAKE.parents[1] / "docs" / "reference" / "boot-json.md").read_text(encoding="utf-8")
    rows = [line.split("|")[1] for line in page.splitlines() if line.startswith("| `")]
    named = [key.strip(" `") for row in rows for key in row.split(",")]
    told = json.loads(boot(demo("gauge"), "--limit", "10", "--json").stdout)
    assert named == [*told, "state", "verdict"]  # the last two come with --replay


def test_what_is_not_modelled_is_one_line_or_with_all_every_sentence() -> None:
    words = ("--limit", "10"), ("--limit", "10", "--all")
    brief, whole = (boot(demo("gauge"), *each).stderr.decode().splitlines() for each in words)
    told = minisim.build(minisim.read_loadout(demo("gauge"))).not_modelled
    sentences = [f"{name}, not modelled: {one}" for name, many in told.items() for one in many]
    assert [line for line in whole if ", not modelled: " in line] == sentences
    assert [line for line in brief if "--all" in line] == [
        f"{len(sentences)} things are not modelled of {', '.join(told)}; --all lists them."
    ]
