"""Coverage goals follow from the instruction table, and only what ran counts as reached."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import minisim
from minisim.cpu import Record, records
from minisim.problems import InputError
from minisim.trials.goals import Watcher, goals
from minisim.trials.goals_page import Coverage
from minisim.trials.open_goals import Reason, open_goals

ROOT = Path(__file__).resolve().parents[2]


def record(mnemonic: str) -> Record:
    return next(each for each in records() if each.mnemonic == mnemonic)


def watched(program: str, steps: int, **registers: int) -> dict[str, set[str]]:
    """What a program of our assembler reaches."""
    machine, watcher = minisim.bare("late-single-chip-sep"), Watcher()
    for block in minisim.assemble(f" . = 1000\n{program}\n").blocks:
        machine.memory[block.address : block.address + len(block.data)] = block.data
    machine.cpu.pc, machine.cpu.sp = 0o1000, 0o700
    for name, value in registers.items():
        machine.cpu.r[int(name[1])] = value
    for _ in range(steps):
        watcher.step(machine._raw)
    return watcher.reached


def test_every_instruction_has_goals_for_each_operand_code_and_trap() -> None:
    add = goals(record("ADD"))
    assert {"source R", "source @X(R)", "source #n", "destination @#a", "destination through SP"} <= set(add)
    assert {"source is 100000", "V becomes 1", "V becomes 0", "both operands through one register"} <= set(add)
    assert "N stays 1" in goals(record("SOB")) and "taken" in goals(record("SOB"))
    assert "operand is 000200" in goals(record("TSTB"))
    assert "trap through 10" in goals(record("TSTSET"))
    assert goals(record("WAIT")) == tuple(f"{code} stays {value}" for code in "NZVC" for value in "01")


def test_what_runs_is_seen() -> None:
    reached = watched(" ADD (R1)+, R2\n ADD #1, R2\n BR .+4", 3, r1=0o2000, r2=0o177777)
    assert {"source (R)+", "destination R", "destination is 177777", "N becomes 1"} <= reached["ADD"]
    assert {"source is 000000", "source #n"} <= reached["ADD"]
    assert {"source #n", "source is 000001", "Z becomes 1", "C becomes 1"} <= reached["ADD"]
    assert "source is 100000" not in reached["ADD"]
    assert {"taken", "N stays 0", "Z stays 1"} <= reached["BR"]


def test_an_instruction_that_is_given_up_reaches_nothing_but_that() -> None:
    assert watched(" TST @#160000", 1)["TST"] == {"operand where nobody answers"}
    assert watched(" TST (R1)", 1, r1=0o2001)["TST"] == {"operand at an odd address"}


def test_a_first_word_that_is_not_there_belongs_to_no_instruction() -> None:
    machine, watcher = minisim.bare("late-single-chip-sep"), Watcher()
    machine.cpu.pc, machine.cpu.sp = 0o160000, 0o700
    watcher.step(machine._raw)
    assert not any(watcher.reached.values())


def test_an_open_goal_needs_a_reason_and_a_reason_needs_an_open_goal() -> None:
    everything = {each.mnemonic: set(goals(each)) for each in records()}
    nothing: dict[str, set[str]] = {each.mnemonic: set() for each in records()}
    everything["SOB"].discard("taken")
    assert Coverage(everything, nothing, nothing, ()).unexplained == [("SOB", "taken")]
    reasons = (Reason(("SO*",), "taken", "for this test"), Reason(("BR",), "*", "nothing is open there"))
    coverage = Coverage(everything, nothing, nothing, reasons)
    assert not coverage.unexplained and coverage.needless == [reasons[1]]
    assert "1 open, 0 of them without a reason" in coverage.summary


def test_the_reasons_can_be_read_and_mistakes_in_them_have_a_place(tmp_path: Path) -> None:
    assert all(reason.why for reason in open_goals())
    wrong = tmp_path / "open-goals.yaml"
    wrong.write_text("open:\n  - {instructions: SOB, goal: taken}\n", encoding="utf-8")
    with pytest.raises(InputError) as caught:
        open_goals(wrong)
    assert "open-goals.yaml:2" in str(caught.value)


@pytest.mark.slow
def test_no_goal_is_open_without_a_reason_and_the_page_is_current() -> None:
    done = subprocess.run([sys.executable, "tools/coverage_goals.py"], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr
