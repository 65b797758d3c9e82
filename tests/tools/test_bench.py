"""The bench compares like with like, finds out who is wrong, and prints what it measured.  No time is asserted here."""

from __future__ import annotations

import ctypes
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent / "tools"))

from bench import calls, layout, main, mapping, mix, process, race, report, station, targets
from bench.engines import (
    CORES,
    FAST,
    LIBRARY,
    NATIVE,
    REFERENCE,
    BenchError,
    Engine,
    Guest,
    Library,
    MixGuest,
    Native,
    compiled,
    compiler,
    library,
    passes_for,
)
from bench.race import Figures
from bench.targets import Target
from bench.workloads import LOOP, LOOPS, Workload

ROOT = Path(__file__).resolve().parent.parent.parent
PASSES = 2
BY_NAME = pytest.mark.parametrize("workload", LOOPS, ids=lambda workload: workload.name)


@pytest.fixture(scope="module")
def native() -> ctypes.CDLL:
    """The loops in C."""
    command = compiler()
    if command is None:
        pytest.skip("no C compiler")
    return compiled(command)


@pytest.fixture(scope="module")
def module() -> Any:
    """The library, where it is installed."""
    found = library()
    if found is None:
        pytest.skip("unicorn is not installed")
    return found


def done(engine: Engine, passes: int = PASSES) -> bytes:
    """What comes out of a little work."""
    engine.prepare(passes)
    engine.run()
    return engine.result()


def word(result: bytes, address: int) -> int:
    """A word of a result."""
    at = address - layout.PASSES
    return int.from_bytes(result[at : at + 2], "little")


# --- the loops --------------------------------------------------------------------------------------------------------


@BY_NAME
def test_both_cores_do_the_same_work_in_the_same_guest_time(workload: Workload) -> None:
    guests = [Guest(name, workload) for name in CORES]
    results = [done(guest) for guest in guests]
    assert results[0] == results[1]
    assert guests[0].inside() == guests[1].inside()
    assert guests[0].machine.counters().traps == {}


@BY_NAME
def test_native_c_does_the_work_of_the_guest(workload: Workload, native: ctypes.CDLL) -> None:
    assert done(Native(native, workload)) == done(Guest(REFERENCE, workload))


@BY_NAME
@pytest.mark.parametrize("apart", [False, True])
def test_the_library_does_the_work_of_the_guest(workload: Workload, apart: bool, module: Any) -> None:
    assert done(Library(module, workload, apart=apart)) == done(Guest(REFERENCE, workload))


@BY_NAME
def test_every_pass_changes_the_result_so_that_none_can_be_left_out(workload: Workload) -> None:
    guest = Guest(REFERENCE, workload)
    results = [done(guest, passes) for passes in (1, 2, 3)]
    assert len(set(results)) == 3
    assert all(word(result, layout.PASSES) == 0 for result in results)


def test_the_sieve_finds_the_odd_primes_below_16384() -> None:
    primes = [n for n in range(3, 2 * 8191 + 2, 2) if all(n % d for d in range(3, int(n**0.5) + 1, 2))]
    assert word(done(Guest(FAST, LOOPS[0]), 1), layout.FIRST_RESULT) == len(primes)


def test_the_multiplication_gives_products() -> None:
    result = done(Guest(FAST, LOOP["mul"]), 1)
    data = layout.fresh(1)
    for number in (0, 1, 199):
        left, right = (word(data, layout.DATA + 4 * number + half) for half in (0, 2))
        assert word(result, layout.SECOND_DATA + 2 * number) == left * right & 0o177777


def test_passes_are_chosen_by_the_instructions_they_take() -> None:
    passes, instructions = passes_for("copy", 100_000)
    guest = Guest(FAST, LOOP["copy"])
    guest.prepare(passes)
    guest.run()
    assert guest.instructions() == instructions
    assert 50_000 < instructions <= 100_000


# --- the mix ----------------------------------------------------------------------------------------------------------


def test_the_mix_is_the_same_text_for_the_same_seed() -> None:
    assert mix.text() == mix.text()
    assert mix.text(1) != mix.text(2)


@pytest.mark.parametrize("seed", [mix.SEED, 1, 2, 3])
def test_the_mix_runs_on_and_never_traps(seed: int) -> None:
    guest = MixGuest(FAST, mix.text(seed))
    guest.prepare(200_000)
    guest.run()
    counters = guest.machine.counters()
    assert counters.instructions == 200_000
    assert counters.traps == {} and counters.interrupts == {}


def test_the_mix_leaves_its_program_and_its_table_alone() -> None:
    guest = MixGuest(FAST, mix.text())
    guest.prepare(50_000)
    before = guest.machine.memory[: mix.DATA], guest.machine.memory[mix.TABLE : mix.STIRRER]
    guest.run()
    below_stack, code = slice(0, 0o700), slice(layout.CODE, mix.DATA)
    assert guest.machine.memory[below_stack] == before[0][below_stack]
    assert guest.machine.memory[code] == before[0][code]
    assert guest.machine.memory[mix.TABLE : mix.STIRRER] == before[1]


def test_the_mix_comes_to_the_same_on_both_cores() -> None:
    text = mix.text()
    assert done(MixGuest(FAST, text), 100_000) == done(MixGuest(REFERENCE, text), 100_000)


def test_the_mix_has_all_addressing_modes_and_branches_that_go_both_ways() -> None:
    guest = MixGuest(FAST, mix.text())
    guest.prepare(100_000)
    guest.run()
    modes: set[tuple[int, bool]] = set()
    ways: dict[int, set[bool]] = {}
    for _ in range(10_000):
        step = guest.machine.step()
        first = step.words[0]
        if 0o010000 <= first & 0o077777 < 0o070000:  # two operands
            modes |= {(first >> 9 & 7, first >> 6 & 7 == 7), (first >> 3 & 7, first & 7 == 7)}
        if step.text.startswith("B") and step.text[1:3] not in ("IC", "IS", "IT"):
            ways.setdefault(step.pc, set()).add(step.after.r[7] == step.pc + 2)
    assert {(mode, False) for mode in range(8)} | {(mode, True) for mode in (2, 3, 6, 7)} <= modes
    assert sum(len(seen) == 2 for seen in ways.values()) >= 20


# --- who is wrong -----------------------------------------------------------------------------------------------------


def test_an_engine_that_differs_from_the_others_is_named() -> None:
    results = {FAST: b"abx", REFERENCE: b"abc", NATIVE: b"abc"}
    with pytest.raises(BenchError, match=r"sieve: wrong result: the fast core \(from byte 2 on\)"):
        race.agree("sieve", results)


def test_native_c_can_be_wrong_too() -> None:
    with pytest.raises(BenchError, match=r"wrong result: the native C"):
        race.agree("copy", {FAST: b"a", REFERENCE: b"a", NATIVE: b""})


def test_between_our_two_cores_the_reference_core_is_believed() -> None:
    with pytest.raises(BenchError, match=r"wrong result: the fast core"):
        race.agree("mix", {FAST: b"a", REFERENCE: b"b"})


def test_equal_results_are_no_error() -> None:
    race.agree("reg", {FAST: b"a", REFERENCE: b"a"})


class Lazy:
    """An engine that leaves half of the work out."""

    name, repeats = "lazy engine", 1

    def __init__(self, guest: Guest) -> None:
        self._guest = guest
        self.run, self.result = guest.run, guest.result

    def prepare(self, amount: int) -> None:
        """Half of it."""
        self._guest.prepare(amount // 2)


def test_a_race_with_wrong_work_is_stopped() -> None:
    guests: list[Engine] = [Guest(name, LOOP["copy"]) for name in CORES]
    wrong = race.Race("copy", [*guests, Lazy(Guest(FAST, LOOP["copy"]))], 4, 1)
    with pytest.raises(BenchError, match=r"copy: wrong result: the lazy engine"):
        wrong.warm_up()


def test_a_wrong_engine_ends_the_bench_with_1(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fails() -> None:
        raise BenchError("sieve: wrong result: the fast core")

    monkeypatch.setattr(main, "measure", fails)
    assert main.main() == 1
    assert capsys.readouterr().err == "bench: sieve: wrong result: the fast core\n"


def test_a_program_that_leaves_its_way_is_an_error() -> None:
    guest = MixGuest(FAST, "        . = 1000\n        HALT\n")
    guest.prepare(100)
    with pytest.raises(BenchError, match="the mix left its way on the fast core"):
        guest.run()


# --- the other measurements, small ------------------------------------------------------------------------------------


def test_a_small_race_gives_a_figure_for_each_round_and_engine(native: ctypes.CDLL) -> None:
    figures = race.run(race.races(native, None, 20_000), rounds=2)
    assert list(figures) == [*(loop.name for loop in LOOPS), "mix"]
    assert {name: len(rounds) for name, rounds in figures["reg"].rounds.items()} == {FAST: 2, REFERENCE: 2, NATIVE: 2}
    assert set(figures["mix"].rounds) == {FAST, REFERENCE}


def test_slices_and_steps_come_to_the_same_as_one_piece() -> None:
    figures = calls.measure(None, rounds=1)
    assert set(figures.rounds) == {calls.LIMITED, calls.ONE, calls.STEP}


def test_the_library_in_parts_comes_to_the_same(module: Any) -> None:
    calls.check_parts(module)


def test_the_clock_keeps_time_in_slices() -> None:
    figures = station.clock_cost(rounds=1, instructions=20_000)
    assert set(figures.rounds) == {station.WITH, station.WITHOUT}


def test_memory_management_changes_nothing_where_every_page_is_mapped_to_itself() -> None:
    figures = mapping.cost(rounds=1, instructions=20_000)
    assert set(figures.rounds) == {FAST, mapping.MAPPED}


def test_a_clock_that_loses_pulses_is_found() -> None:
    made = station.clocked(FAST, clock=True)
    made.run(limit=50_000)
    station.check_clock(made, 0)
    with pytest.raises(BenchError, match="the clock of the fast core is wrong"):
        station.check_clock(made, -1_000_000_000)


@pytest.mark.parametrize("work", [station.print_all, station.read_all])
def test_the_console_carries_every_character(work: Callable[[Any], float], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(station, "CHARACTERS", 200)
    for name in ("PRINT", "READ"):
        monkeypatch.setattr(station, name, getattr(station, name).replace("10000.", "200."))
    assert work(station.machine(FAST)) > 0


def test_what_is_missing_is_said_in_a_line_each(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(main, "compiler", lambda: None)
    monkeypatch.setattr(main, "library", lambda: None)
    assert main.parts() == (None, None)
    assert capsys.readouterr().out.splitlines() == [main.NO_COMPILER_LINE, main.NO_LIBRARY_LINE]


def prepared(folder: Path, python: str | None) -> subprocess.CompletedProcess[str]:
    """What `tools/prepare bench` does in a folder whose .venv has this for a Python."""
    (folder / "tools").mkdir()
    shutil.copy(ROOT / "tools" / "prepare", folder / "tools" / "prepare")
    if python is not None:
        fake = folder / ".venv" / "bin" / "python"
        fake.parent.mkdir(parents=True)
        fake.write_text(python)
        fake.chmod(0o755)
    command = [str(folder / "tools" / "prepare"), "bench"]
    return subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)


def test_preparing_the_bench_needs_an_environment(tmp_path: Path) -> None:
    ended = prepared(tmp_path, None)
    assert (ended.returncode, ended.stdout) == (2, "")
    assert ended.stderr.startswith("minisim: there is no .venv yet") and ended.stderr.count("\n") == 1


def test_a_library_that_cannot_be_installed_is_a_line_and_no_failure(tmp_path: Path) -> None:
    no_pip = '#!/bin/sh\ncase "$*" in *pip*) echo no such package; exit 1;; esac\necho "unicorn>=2.1"\n'
    ended = prepared(tmp_path, no_pip)
    assert (ended.returncode, ended.stdout) == (0, "")
    assert ended.stderr == (
        "minisim: unicorn>=2.1 could not be installed (see .venv/install-bench.log): the bench goes without\n"
    )
    assert (tmp_path / ".venv" / "install-bench.log").read_text() == "no such package\n"


def test_a_failing_command_is_an_error() -> None:
    with pytest.raises(BenchError, match="failed: no"):
        process.python("-c", "raise SystemExit('no')")


# --- what is printed, from invented numbers ---------------------------------------------------------------------------


def invented(**ns: float) -> Figures:
    names = {"fast": FAST, "reference": REFERENCE, "native": NATIVE, "library": LIBRARY}
    return Figures({names[key]: [value, value, value] for key, value in ns.items()})


FIVE = {
    name: invented(fast=2.0, reference=6.0, library=2.0 * times, native=0.2)
    for name, times in (("sieve", 4.0), ("copy", 4.0), ("rmw", 4.0), ("mul", 1.0), ("reg", 0.5))
} | {"mix": invented(fast=4.0, reference=12.0)}


def test_the_median_of_the_ratios_is_not_moved_by_one_slow_round() -> None:
    figures = Figures({"a": [2.0, 2.0, 90.0], "b": [1.0, 1.0, 1.0]})
    assert (figures.of("a"), figures.ratio("a", "b"), figures.ratio("a", "c")) == (2.0, 2.0, None)


def test_the_geometric_mean_is_taken_over_the_five_loops() -> None:
    lines = report.summary_lines(FIVE)
    assert lines[0].startswith("geometric mean against unicorn: 2.00x")  # (4 x 4 x 4 x 1 x 0.5) ** (1 / 5)
    assert "fast core against reference core on mix: 3.00x" in lines
    assert "reference core to native C on sieve: 30.00x longer" in lines


def test_columns_stand_in_line_and_a_missing_figure_is_a_dash() -> None:
    lines = report.times_lines(FIVE)
    assert len({len(line) for line in lines}) == 1
    assert lines[-1].split() == ["mix", "4.00", "12.00", "-", "-", "-"]
    assert report.ratio_lines(FIVE)[1].split() == ["sieve", "3.00x", "4.00x", "10.00x", "30.00x"]


def test_without_the_library_the_mean_is_left_out() -> None:
    without = {name: invented(fast=2.0, reference=6.0) for name in FIVE}
    assert not [line for line in report.summary_lines(without) if "unicorn" in line]
    rows = report.speed_targets(without)
    assert rows[0].verdict == "not measured: no unicorn"
    assert report.target_lines(rows)[1].endswith("not measured: no unicorn")


def test_each_target_says_whether_it_is_reached() -> None:
    said = {row.what: row.verdict for row in report.speed_targets(FIVE)}
    assert said["fast core against unicorn, sieve"].endswith("; " + targets.spike("sieve"))
    verdicts = {what: verdict.partition(";")[0] for what, verdict in said.items()}
    assert verdicts["fast core against unicorn, sieve"] == "not reached"
    assert verdicts["fast core against unicorn, copy"] == "reached"
    assert verdicts["fast core to native C, rmw"] == "not reached"
    assert verdicts["reference core to native C, sieve"] == "reached"
    assert verdicts["fast against reference core, mix, in the end"] == "not reached"


@pytest.mark.parametrize(("value", "at_least", "verdict"), [(3.0, True, "reached"), (3.1, False, "not reached")])
def test_a_bound_itself_counts_as_reached(value: float, at_least: bool, verdict: str) -> None:
    assert Target("x", 3.0, value, at_least).verdict == verdict
    assert Target("x", 3.0, 3.0, at_least).verdict == "reached"


def test_calls_clock_console_and_process_have_their_lines() -> None:
    called = Figures(
        {calls.LIMITED: [20_000.0], calls.ONE: [300.0], calls.STEP: [3_000.0],
         calls.LIBRARY_LIMITED: [200_000.0], calls.LIBRARY_ONE: [3_000.0]}
    )  # fmt: skip
    assert report.call_lines(called)[1].split() == [calls.LIMITED, "20.00", "2.00", "200.00", "20.00", "10.00x"]
    clock = Figures({station.WITH: [2.04], station.WITHOUT: [2.0]})
    assert report.clock_lines(clock)[0].endswith("1.020x (2.04 ns an instruction against 2.00)")
    console = report.console_lines({(FAST, station.PRINTED): 960_000.0})
    assert console[1].split() == ["printed,", "fast", "core", "960,000", "1,000"]
    start = Figures({process.COMMAND: [50.0], process.PLAIN: [40.0]})
    assert "28 MB resident" in report.process_lines(start, 28.4)[0]
    mapped = Figures({mapping.MAPPED: [2.4], FAST: [2.0]})
    assert report.mapping_lines(mapped)[0].endswith("1.20x (2.40 ns an instruction against 2.00)")
    told = report.other_targets(called, clock, mapped, start, None)
    rows = {row.what: row.verdict.partition(";")[0] for row in told}
    assert rows["memory management on, mix"] == "reached"
    assert rows["run(limit=1) against unicorn count=1"] == "reached"
    assert rows["step() against unicorn count=1"] == "not reached"
    assert rows["memory of a machine with 4 MB"].startswith("not measured")
