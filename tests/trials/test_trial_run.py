"""`minisim trial run` with programs made for these tests (tests/data/programs): verdicts, accounts, forms of reports.

What is expected of the programs is arithmetic (2 + 3 is not 6) and what their sources say; the forms are checked with
the JSON Schema library, the published schema of JUnit XML (tests/data/schemas) and the specification of TAP 14.
"""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

import jsonschema
import pytest
from lxml import etree

import minisim
from minisim.catalogue.reader import Catalogue
from minisim.cli import main
from minisim.machine.records import Reason
from minisim.trials import programs
from minisim.trials.own import Verdict, run_program
from minisim.trials.running.as_json import report_schema
from minisim.trials.running.bench import Bench
from minisim.trials.running.suite import Wishes, run_suite

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tools"))

import boot_all
from program_rig import SWITCHES, placement, rig

ROOT = Path(__file__).parents[2]
LEDGER = str(ROOT / "loadouts" / "kittiwake" / "ledger.yaml")
OURS = programs.FOLDER
LINES = [
    "alone: pass (1 pass, 0.036 ms of its own time)",
    "good: pass (2 passes, 3 cases, ... of its own time)",
    "lost: fail: it did not come to its end; 0 of 2 passes were made (0 passes, 0.006 ms of its own time)",
    "plug: needs a person: put the loop-back plug on",
    "scratch: not run: there is no cartridge-disk-2mb in this machine",
    "small-float: not run: the processor has no fis",
    "spoiled: fail: failed, case 2: 2 + 3 (0 passes, ... of its own time)",
    "trapping: fail: unexpected trap through 000004, PC 004036, PS 000344, case 1 (0 passes, ... of its own time)",
    "vast: not run: it needs 3000 KB of memory from address 0 on; there are 128",
    "2 programs passed, 3 failed, 3 not run, 1 needs a person; 3 cases, 3 passes",
]


@pytest.fixture
def made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """The programs of these tests instead of ours."""
    folder = tmp_path / "programs"
    shutil.copytree(ROOT / "tests" / "data" / "programs", folder)
    shutil.copy(OURS / "frame.s", folder)
    monkeypatch.setattr(programs, "FOLDER", folder)
    programs.program.cache_clear()
    yield folder
    programs.program.cache_clear()


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    code = main(["trial", "run", *words])
    shown = capsys.readouterr()
    return code, shown.out, shown.err


def pattern(line: str) -> re.Pattern[str]:
    return re.compile(".*".join(map(re.escape, line.split("..."))))


# --- verdicts and accounts --------------------------------------------------------------------------------------------


def test_every_verdict_is_told_in_a_line_and_the_last_line_counts(
    made: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, err = run(capsys, LEDGER)
    told = [line for line in out.splitlines()[1:] if not line.startswith(" ")]
    assert (code, err) == (1, "")
    assert out.startswith(f"{LEDGER}: Harbour dues ledger (")
    assert len(told) == len(LINES)
    assert [line for line, wanted in zip(told, LINES, strict=True) if not pattern(wanted).fullmatch(line)] == []


def test_what_passes_leaves_with_0_and_a_machine_on_which_nothing_runs_with_1(
    made: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, _ = run(capsys, LEDGER, "--only", "good", "--passes", "3")
    assert code == 0
    assert out.splitlines()[-1] == "1 program passed, 0 failed, 0 not run; 3 cases, 3 passes"
    code, out, _ = run(capsys, LEDGER, "--only", "small-float")
    assert code == 1
    assert out.splitlines()[-1] == "0 programs passed, 0 failed, 1 not run; 0 cases, 0 passes"


def test_a_failed_case_shows_what_it_printed_registers_last_instructions_and_its_code(
    made: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _, out, _ = run(capsys, LEDGER, "--only", "spoiled")
    lines = out.splitlines()
    assert lines[2:6] == [
        "  It printed last:",
        "    spoiled: wants a wrong sum",
        "    spoiled: failed, case 2: 2 + 3",
        "     expected 000006, found 000005, xor 000003, bits 0 1",
    ]
    assert any(line.startswith("  It ended: main/a/1-6: the instruction at ") and " halted " in line for line in lines)
    assert any(line.startswith("  Registers: R0 000005, ") for line in lines)
    last = lines[lines.index("  The last instructions:") + 1 : lines.index("  The code there:")]
    assert len(last) == 16
    assert any("reads 000006 from " in line and "MOV (R5)+" in line for line in last)  # the word that was wanted
    code = lines[lines.index("  The code there:") + 1 : -1]
    assert [line for line in code if line.lstrip().startswith(">")] == [line for line in code if "JSR R5,want" in line]
    assert any(line.endswith("MOV #2,R0   ; two and three") for line in code)


def test_an_unexpected_trap_shows_the_instruction_that_trapped(made: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, LEDGER, "--only", "trapping")
    marked = [line for line in out.splitlines() if line.lstrip().startswith(">")]
    assert [line.split()[-5:] for line in marked] == [["@#163776", ";", "nobody", "answers", "here"]]
    assert "TST @#163776 ; SP: " in out


def test_a_jump_to_itself_is_a_failure_with_its_sentence(made: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, LEDGER, "--only", "lost")
    assert code == 1
    assert "  It ended: main/a/1-6: the instruction at 001002 jumps to itself for ever; it came after 2 " in out
    assert "    > 001002  000777                BR .\n" in out


def test_a_limit_ends_a_program_that_is_not_at_its_end(made: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, LEDGER, "--only", "good", "--limit", "1000")
    assert code == 1
    assert "It ended: main/a/1-6: not finished after 1000 instructions, the limit; " in out


def test_both_cores_tell_the_same(made: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(capsys, LEDGER) == run(capsys, LEDGER, "--core", "reference")


def test_with_a_person_ready_the_program_runs(made: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(capsys, LEDGER, "--only", "plug")[0] == 1
    assert run(capsys, LEDGER, "--only", "plug", "--person-ready")[0] == 0


def test_the_list_says_what_can_run_here(made: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, LEDGER, "--list")
    assert code == 0
    assert "good: adds two words; can run" in out.splitlines()
    assert "plug: needs a person: put the loop-back plug on" in out.splitlines()
    assert "small-float: not here: the processor has no fis" in out.splitlines()


def test_a_medium_is_scratch_in_memory_and_the_image_is_not_touched(
    made: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, _ = boot_all.laid_out(ROOT / "tests" / "boot" / "sep-cartridge-disk-2mb.yaml", tmp_path)
    before = {one: hashlib.sha256(one.read_bytes()).digest() for one in tmp_path.rglob("media/*")}
    code, out, err = run(capsys, str(path), "--only", "scratch")
    assert (code, err) == (0, ""), out
    assert {one: hashlib.sha256(one.read_bytes()).digest() for one in tmp_path.rglob("media/*")} == before
    assert len(before) >= 2


def test_without_a_console_line_the_counters_in_memory_judge(made: Path) -> None:
    good = run_program(minisim.bare(), programs.program("good"), passes=2)
    spoiled = run_program(minisim.bare(), programs.program("spoiled"), passes=2, switches=0)
    assert (good.verdict, good.passes, good.cases) == (Verdict.PASS, 2, 3)
    assert (spoiled.verdict, spoiled.passes, spoiled.cases) == (Verdict.FAIL, 2, 2)


def test_where_a_board_is_strapped_so_that_halt_traps_the_end_is_seen_all_the_same(made: Path) -> None:
    machine = rig("late-ttl-commercial")
    machine._raw.halt_traps = 1
    ran = run_program(machine, programs.program("good"), passes=1)
    assert ran.verdict is Verdict.PASS
    assert ran.stop is not None
    assert ran.stop.reason is Reason.REACHED


def test_where_halt_starts_the_processor_again_a_failure_and_a_trap_are_told_all_the_same(made: Path) -> None:
    """Row D38: on this profile a HALT restarts the processor."""
    bench = Bench(lambda: rig("small-single-chip"))
    good, spoiled, trapping = run_suite(bench, ["good", "spoiled", "trapping"], Wishes())
    assert good.verdict is Verdict.PASS
    assert (spoiled.verdict, spoiled.because) == (Verdict.FAIL, "failed, case 2: 2 + 3")
    assert trapping.because.startswith("unexpected trap through 000004, ")
    assert trapping.stop is not None
    assert trapping.stop.instructions < 100_000


def test_switches_of_the_loadout_do_not_reach_the_program(made: Path) -> None:
    """A switch register that stands at 173030 would ask for what nobody asked for."""
    machine = rig("two-board-ttl-mmu", None, SWITCHES)
    machine.set_switches(0o173037)
    frozen = machine.freeze()
    outcomes = list(run_suite(Bench(lambda: minisim.thaw(frozen)), ["spoiled"], Wishes(switches=0, passes=1)))
    assert [one.verdict for one in outcomes] == [Verdict.FAIL]
    assert outcomes[0].passes == 1  # it went on after the failure: nobody asked it to halt


# --- forms ------------------------------------------------------------------------------------------------------------


def test_json_has_the_published_shape_and_a_spoiled_copy_is_refused(
    made: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, _ = run(capsys, LEDGER, "--json")
    data = json.loads(out)
    schema = jsonschema.Draft202012Validator(report_schema())
    assert code == 1
    assert [error.message for error in schema.iter_errors(data)] == []
    assert data["counts"] == {"pass": 2, "fail": 3, "not-run": 3, "needs-a-person": 1, "cases": 3, "passes": 3}
    spoiled = data["programs"][6]
    assert (spoiled["program"], spoiled["verdict"]) == ("spoiled", "fail")
    assert spoiled["account"]["registers"]["r0"] == "000005"
    del spoiled["account"]["registers"]["ps"]
    assert not schema.is_valid(data)


def test_junit_follows_the_schema(made: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, LEDGER, "--format", "junit")
    schema = etree.XMLSchema(etree.parse(ROOT / "tests" / "data" / "schemas" / "junit-10.xsd"))
    tree = etree.fromstring(out.encode())
    schema.assertValid(tree)
    assert [case.get("name") for case in tree.iter("testcase") if case.find("failure") is not None] == [
        "lost", "spoiled", "trapping",
    ]  # fmt: skip
    assert tree.find("testsuite").get("skipped") == "4"


def test_tap_has_version_plan_points_and_diagnostics(made: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """[TAP 14 specification]: version line, plan, numbered points, YAML blocks indented by two between --- and ..."""
    import yaml

    _, out, _ = run(capsys, LEDGER, "--format", "tap")
    lines = out.splitlines()
    assert lines[:2] == ["TAP version 14", "1..9"]
    points = [re.fullmatch(r"(ok|not ok) (\d+) - ([^#]+?)( # SKIP .+)?", line) for line in lines]
    found = [(one[1], int(one[2]), one[3]) for one in points if one]
    assert [number for _, number, _ in found] == list(range(1, 10))
    assert [name for state, _, name in found if state == "not ok"] == ["lost", "spoiled", "trapping"]
    blocks = re.findall(r"^  ---\n(.*?)^  \.\.\.$", out, re.M | re.S)
    assert len(blocks) == 5
    assert [yaml.safe_load(block)["passes"] for block in blocks] == [1, 2, 0, 0, 0]


# --- what can't be ----------------------------------------------------------------------------------------------------


def test_an_unknown_program_is_told_with_the_nearest(made: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, LEDGER, "--only", "god")
    assert (code, out) == (2, "")
    assert err.startswith('minisim trial run: there is no program "god"; did you mean "good"? (programs are alone, ')


def test_a_machine_that_findings_forbid_is_not_built(made: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = str(ROOT / "tests" / "rules" / "GRANT-001" / "bad-serpentine.yaml")
    code, out, err = run(capsys, path, "--only", "alone")
    assert (code, out) == (2, "")
    assert "fault GRANT-001" in err
    assert run(capsys, path, "--only", "alone", "--allow", "fault")[0] == 0


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--learn"], "--learn takes one image"),
        (["--output", "x"], "--output goes with --learn; reports go to the output"),
        (["x.papertape", "--list"], "--only and --list are about our own programs: name no image"),
        (["--start", "200"], "--start goes with one image"),
        (["--passes", "0"], "--passes: 0 is not 1 to 1000 passes"),
        (["--switches", "9"], '--switches: "9" is no octal number up to 177777'),
    ],
)
def test_options_that_mean_nothing_together_are_refused(
    words: list[str], told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, err = run(capsys, LEDGER, *words)
    assert (code, out) == (2, "")
    assert err.splitlines()[0] == f"minisim trial run: {told}"


# --- our own programs -------------------------------------------------------------------------------------------------


@pytest.mark.slow
def test_our_programs_pass_on_the_demo_machine(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, LEDGER)
    assert code == 0, out
    assert re.fullmatch(r"\d+ programs? passed, 0 failed, .*; [\d,]+ cases, [\d,]+ passes", out.splitlines()[-1])


@pytest.mark.slow
@pytest.mark.parametrize("profile", Catalogue().ids("profiles"))
def test_our_programs_pass_on_every_profile_that_has_the_modules(profile: str) -> None:
    clock = placement("line-clock", 0o17546, (0o100, 6), pulses=True)
    outcomes = list(run_suite(Bench(lambda: rig(profile, None, clock)), programs.names(), Wishes()))
    assert [(one.name, one.because) for one in outcomes if one.verdict is Verdict.FAIL] == []
    assert any(one.verdict is Verdict.PASS for one in outcomes)
