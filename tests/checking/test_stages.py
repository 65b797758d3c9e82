"""`minisim check --stage`: the machine as built so far, on both buses."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path

import pytest
from few import few

from minisim.catalogue import Catalogue
from minisim.checking import check
from minisim.cli import main
from minisim.findings import Severity
from minisim.loadout.reader import read_loadout
from minisim.staging import StageReport, Staging, check_stage
from minisim.staging.budget import budgets

ROOT = Path(__file__).parents[2]
VALID = sorted((ROOT / "tests" / "rules" / "valid").glob("*.yaml"))
CATALOGUE = Catalogue()

# Processor, two boards that interrupt, then the console behind them: a mail-order of slots as people have it.
MUX = """loadout: 1
name: Console behind others
boxes:
  - id: main
    supply: mux-nine-slot-box-18bit
    backplane: mux-twin-9-hex-18bit
    slots:
      1AB: {board: mid-cpu-dual}
      1CD: {board: mos-memory-dual, settings: {start: 0, kb: 32}}
      2CD: {board: parallel-16-bit, settings: {address: 767770, vector: 300}}
      2AB: {board: mos-memory-dual, settings: {start: 100000, kb: 16}}
      3AB: {board: serial-line-single, settings: {address: 777560, vector: 60, console: yes, baud: 9600}}
cables:
  - {from: main/a/3AB, line: 0, to: terminal, baud: 9600}
"""
SEP = """loadout: 1
name: Console at the end
boxes:
  - id: main
    supply: sep-large-box
    backplane: sep-two-board-mmu-processor-unit
    wires: {dma-grant: {3-6: in, 7: out, 8-9: in}}
    slots:
      1-2: {board: sep-cpu-two-boards-mmu-later}
      3AB: {board: sep-boot-terminator}
      4: {board: mos-memory-hex-modified, settings: {start: 0, kb: 64}}
      5CF: {board: sep-paper-tape}
      6D: {board: sep-grant-card-interrupts}
      7CF: {board: sep-floppy-double-density}
      8CF: {board: sep-serial-line-and-clock, settings: {address: 777560, vector: 60, console: yes, baud: 9600}}
      9D: {board: sep-grant-card-interrupts}
      9AB: {board: sep-plain-terminator}
cables:
  - {from: main/a/8CF, line: 0, to: terminal, baud: 9600}
"""


def staging_of(tmp_path: Path, text: str) -> Staging:
    file = tmp_path / "machine.yaml"
    file.write_text(text, "utf-8")
    return Staging(read_loadout(file, catalogue=CATALOGUE), CATALOGUE)


def stage_of(file: Path, number: int) -> StageReport:
    return check_stage(read_loadout(file, catalogue=CATALOGUE), number, CATALOGUE)


def places(staging: Staging, number: int) -> list[str]:
    return [str(board.place) for board in staging.stage(number).wired.boards]


# ---- which boards, in which order


def test_the_multiplexed_bus_starts_with_processor_memory_and_console_and_cards_for_the_others(tmp_path: Path) -> None:
    staging = staging_of(tmp_path, MUX)
    assert staging.last == 3
    assert places(staging, 0) == []
    assert sorted(places(staging, 1)) == ["main/a/1AB", "main/a/1CD", "main/a/2AB", "main/a/2CD", "main/a/3AB"]
    assert staging.stage(1).cards == ("grant-card in main/a/2CD", "grant-card in main/a/2AB")
    assert staging.stage(2).added == ("M7941 (main/a/2CD)",)
    assert staging.stage(2).cards == ("grant-card in main/a/2AB",)
    assert staging.stage(3).cards == () and staging.stage(3).waits == ()


def test_on_the_separate_line_bus_a_card_passes_the_dma_grant_where_no_wire_does(tmp_path: Path) -> None:
    staging = staging_of(tmp_path, SEP)
    assert staging.stage(1).cards == (
        "sep-grant-card-interrupts in main/a/5D",
        "sep-grant-card-interrupts-and-dma in main/a/7CD",
    )
    assert staging.stage(2).added == ("M7810 (main/a/5CF)",)
    assert staging.stage(2).cards == ("sep-grant-card-interrupts-and-dma in main/a/7CD",)


@pytest.mark.parametrize("file", VALID, ids=lambda path: path.stem)
def test_every_stage_adds_boards_and_the_last_is_the_plan(file: Path) -> None:
    loadout = read_loadout(file, catalogue=CATALOGUE)
    staging = Staging(loadout, CATALOGUE)
    inside: set[int] = set()
    for group in staging.groups:
        new = {board.index for board in group}
        assert new and not new & inside
        inside |= new
    assert inside == set(range(len(staging.plan.boards)))
    assert staging.stage(staging.last).loadout == loadout
    whole = check_stage(loadout, staging.last, CATALOGUE).report
    plain = check(loadout, CATALOGUE)
    assert (whole.findings, whole.outcomes) == (plain.findings, plain.outcomes)


@pytest.mark.parametrize("file", few(VALID, 3), ids=lambda path: path.stem)
def test_no_stage_of_a_valid_machine_has_a_fault(file: Path) -> None:
    loadout = read_loadout(file, catalogue=CATALOGUE)
    for number in range(Staging(loadout, CATALOGUE).last + 1):
        report = check_stage(loadout, number, CATALOGUE).report
        bad = [(one.rule, one.place) for one in report.findings if one.severity.rank < Severity.DOUBT.rank]
        assert bad == [], number


# ---- what is said of it


def test_what_only_waits_for_a_board_is_a_note_that_names_the_stage() -> None:
    report = stage_of(ROOT / "loadouts" / "kittiwake" / "gauge.yaml", 1).report
    assert [(one.rule, one.severity) for one in report.findings] == [("BOOT-001", Severity.NOTE)]
    assert report.findings[0].fix == "nothing now: stage 2 brings it, with M7810 (main/a/5CF)"
    assert report.name == "Tide gauge logger, stage 1 of 3"


def test_what_is_real_at_the_bench_keeps_its_severity_and_says_how_long(tmp_path: Path) -> None:
    report = stage_of(next(one for one in VALID if one.stem == "three-box-network"), 0).report
    assert {(one.rule, one.severity) for one in report.findings} == {("POWER-004", Severity.DOUBT)}
    assert all(", until stage " in one.fix and "load board" in one.fix for one in report.findings)


def test_a_hole_of_the_plan_is_a_fault_at_its_stage_too(tmp_path: Path) -> None:
    file = tmp_path / "hole.yaml"
    hole = "\n".join(line for line in MUX.splitlines() if not line.startswith("      2CD")) + "\n"
    file.write_text(hole, "utf-8")
    report = stage_of(file, 1).report
    assert ("GRANT-001", "main/a/3AB") in {(one.rule, one.place) for one in report.findings}


def test_an_acceptance_for_an_absent_board_is_not_called_idle(tmp_path: Path) -> None:
    file = tmp_path / "accepted.yaml"
    overlap = MUX.replace("start: 100000, kb: 16", "start: 60000, kb: 16")
    file.write_text(overlap + "accept:\n  - {rule: MEM-002, at: main/a/2AB, because: later}\n", "utf-8")
    loadout = read_loadout(file, catalogue=CATALOGUE)
    assert [one.rule for one in check(loadout, CATALOGUE).findings if one.accepted] == ["MEM-002"]
    assert "INT-002" not in {one.rule for one in check_stage(loadout, 1, CATALOGUE).report.findings}


# ---- power


def test_power_is_budgeted_anew_at_each_stage(tmp_path: Path) -> None:
    staging = staging_of(tmp_path, MUX)
    amps = []
    for stage in staging:
        rail = next(one for one in stage.wired.boxes[0].rails if one.rail == "+5")
        amps.append(rail.load.least)
        assert f"+5 {rail.load.least:f}".rstrip("0").rstrip(".") in budgets(stage)[0].rails[0].replace("at least ", "")
    assert amps[0] == 0 and amps == sorted(set(amps))
    assert amps[-1] == sum(
        (board.entry.amps["+5"].peek for board in staging.plan.boards),  # type: ignore[union-attr]
        Decimal(0),
    )


def test_the_supply_alone_is_told_a_dummy_load_like_the_first_boards(tmp_path: Path) -> None:
    staging = staging_of(tmp_path, MUX)
    first = staging.stage(1)
    dummies = {one.rail: one for one in budgets(staging.stage(0), first)[0].dummies}
    rail = next(one for one in first.wired.boxes[0].rails if one.rail == "+5")
    assert dummies["+5"].amps == max(rail.load.least, getattr(rail.minimum, "peek", Decimal(0)))
    assert dummies["+5"].ohms * dummies["+5"].amps == pytest.approx(Decimal(5))  # Ohm's law
    assert dummies["+5"].watts == 5 * dummies["+5"].amps


# ---- the command


def run(capsys: pytest.CaptureFixture[str], *words: str | Path) -> tuple[int, str, str]:
    code = main(["check", *map(str, words)])
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def test_stage_without_a_number_lists_the_stages(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    staging_of(tmp_path, MUX)
    file = tmp_path / "machine.yaml"
    for words in (("--stage", file), (file, "--stage"), (file, "--stage", "list")):
        code, out, err = run(capsys, *words)
        assert (code, err) == (0, "")
        assert [line for line in out.splitlines() if line.startswith("stage ")][:2] == [
            "stage 0 of 3: supply alone, no board in any slot",
            "stage 1 of 3: the least that can talk",
        ]
        words = " ".join(out.split())
        assert "second person stands by" in words and "Power off and plug out for every card" in words


def test_the_list_as_data_names_boards_cards_and_power(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    staging_of(tmp_path, MUX)
    _, out, _ = run(capsys, tmp_path / "machine.yaml", "--stage", "--json")
    stages = json.loads(out)["files"][0]["stages"]
    assert [stage["number"] for stage in stages] == [0, 1, 2, 3]
    assert stages[1]["cards"] == ["grant-card in main/a/2CD", "grant-card in main/a/2AB"]
    assert Decimal(stages[0]["power"][0]["dummies"][0]["amps"]) > 0


def test_one_stage_prints_its_head_and_then_its_findings(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    staging_of(tmp_path, MUX)
    file = tmp_path / "machine.yaml"
    code, out, _ = run(capsys, file, "--stage", "1", "--fail-on", "damage")  # the plan has no boot ROM
    assert code == 0
    assert out.startswith(f"{file}: stage 1 of 3: the least that can talk\n    In now: ")
    assert "For now also: grant-card in main/a/2CD; grant-card in main/a/2AB" in out


def test_a_stage_beyond_the_last_leaves_2(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    staging_of(tmp_path, MUX)
    code, out, err = run(capsys, tmp_path / "machine.yaml", "--stage", "4")
    assert (code, out) == (2, "")
    assert err.endswith(":1:1: no stage 4: the bring-up has stages 0 to 3\n")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--stage", "1", "--fix"), "--fix works on the whole plan"),
        (("--watch", "--fix"), "--fix works on the whole plan"),
        (("--watch", "--json"), "--watch prints text, not json"),
        (("--watch", "--stage", "list"), "--watch checks one stage"),
        (("--stage", "list", "--format", "sarif"), "text or json, not sarif"),
    ],
)
def test_options_that_dont_go_together_are_refused(
    words: tuple[str, ...], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    staging_of(tmp_path, MUX)
    code, out, err = run(capsys, tmp_path / "machine.yaml", *words)
    assert (code, out) == (2, "")
    assert said in err


def test_a_loadout_without_a_board_has_stage_0_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    staging = staging_of(tmp_path, MUX.split("    slots:")[0] + "    slots: {}\n")
    assert staging.last == 0
    assert run(capsys, tmp_path / "machine.yaml", "--stage", "0")[0] in (0, 1)
    assert run(capsys, tmp_path / "machine.yaml", "--stage", "1")[0] == 2
