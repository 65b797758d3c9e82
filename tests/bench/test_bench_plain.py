"""The bench as lines, in a pipe and at a terminal."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pexpect
import pytest
from benches import KITTIWAKE, done, planned

from minisim.console import at_the_panel


def piped(lines: str, *options: str, loadout: str = "desk") -> subprocess.CompletedProcess[str]:
    """The command with lines from a pipe."""
    command = [sys.executable, "-m", "minisim", "boot", str(KITTIWAKE / f"{loadout}.yaml"), "--bench", *options]
    return subprocess.run(command, input=lines, capture_output=True, text=True, timeout=60, check=False)


@pytest.fixture
def terminal() -> Iterator[Any]:
    """The command at a simple terminal."""
    command = f"-m minisim boot {KITTIWAKE / 'desk.yaml'} --bench --pace full"
    child = pexpect.spawn(
        sys.executable, command.split(), env={**os.environ, "TERM": "dumb"}, encoding="latin-1", timeout=20
    )
    yield child
    child.close(force=True)


def test_lines_from_a_pipe_are_answered_and_leave_ends_it() -> None:
    result = piped("look ps\nlok\none\nleave\nlook\n", "--plain")
    assert result.returncode == 0
    assert "bench: look ps\nPS 000340: " in result.stdout
    assert 'bench: lok\n"lok" is no word of the bench' in result.stdout
    assert "bench: one\n173000  MOV #001000,SP: " in result.stdout
    assert result.stdout.rstrip().endswith("bench: leave")
    assert "stopped on request after 1 instruction" in result.stderr


def test_a_run_shows_what_the_guest_prints_and_how_it_ended() -> None:
    result = piped("run\n")  # then the input ends, which leaves
    assert result.returncode == 0
    assert "HIGH  03:37   4.43 m\n" in result.stdout and "End of the table\n" in result.stdout
    assert "halted the processor after" in result.stdout and result.stdout.count("bench: ") == 1


def test_leave_in_the_past_goes_to_the_present_and_says_so() -> None:
    result = piped("one 5.\nback 2.\nlook\n")
    assert "state    stands, in the past" in result.stdout
    assert "left in the present" in result.stderr and "after 5 instructions" in result.stderr


def test_a_trace_and_the_bench_do_not_share_the_output() -> None:
    result = piped("", "--trace-words", "-")
    assert result.returncode == 2 and "name a file for the trace" in result.stderr


def test_the_front_panel_of_a_halted_processor_opens_the_bench(capsys: pytest.CaptureFixture[str]) -> None:
    bench = planned("gauge")
    done(bench, "halt")
    bench.finish()
    done(bench, "enable")
    typed = iter(["bench", "look", "bench"])

    def opened() -> None:
        bench.wants_console = True
        if next(ways) == "run":
            bench.start()

    ways = iter(["console", "run"])
    assert at_the_panel(bench, lambda label: next(typed), opened)
    said = capsys.readouterr().out
    assert "bench                    open the bench" in said and said.count("address") > 2
    assert bench.running and not bench.wants_console
    bench.machine.close()


def test_nothing_stands_beside_the_bench_that_runs_by_itself() -> None:
    result = piped("", "--until", "tide")
    assert result.returncode == 2 and "--bench and --until do not go together" in result.stderr


def test_ctrl_c_pauses_a_run_and_the_console_leads_there_and_back(terminal: Any) -> None:
    terminal.expect_exact("bench: ")
    terminal.sendline("change 1000 5200 776")  # INC R0; BR 1000
    terminal.expect_exact("001002: 000000 becomes 000776")
    terminal.expect_exact("bench: ")
    terminal.sendline("change pc 1000")
    terminal.expect_exact("bench: ")
    terminal.sendline("run")
    terminal.expect_exact("The machine runs.")
    terminal.sendintr()
    terminal.expect("stopped on request after")
    terminal.expect_exact("bench: ")
    terminal.sendintr()
    terminal.expect_exact("Nothing runs")
    terminal.sendline("console")
    terminal.send("\x1d")
    terminal.expect_exact("bench: ")
    terminal.sendline("look r0")
    terminal.expect("R0 [0-7]{6}")
    terminal.sendline("leave")
    terminal.expect("stopped on request after")
    terminal.expect(pexpect.EOF)
    terminal.wait()
    assert terminal.exitstatus == 0


def test_a_machine_goes_on_where_it_was_kept(tmp_path: Path) -> None:
    first = piped(f"until printed HIGH\nkeep {tmp_path / 'desk.kept'}\n")
    assert "is kept in" in first.stdout
    second = piped(f"recall {tmp_path / 'desk.kept'}\nrun\n")
    assert "End of the table" in second.stdout and "HIGH  03:37" not in second.stdout


def test_what_is_done_at_the_bench_is_recorded_and_replayed(tmp_path: Path) -> None:
    file = tmp_path / "bench.rec"
    lines = "one 3.\nchange 1000 12700 321\nchange r2 12\nchange ps 340\nchange ps 0\nuntil printed HIGH\nback\n"
    result = piped(f"{lines}until 0.2 seconds\nhalt\nrun\n", "--record", str(file))
    assert "a recording or a trace is being made" in result.stdout and result.returncode == 0
    command = [sys.executable, "-m", "minisim", "boot", str(KITTIWAKE / "desk.yaml"), "--replay", str(file)]
    again = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    assert again.returncode == 0 and "ended as recorded" in again.stderr, again.stderr
