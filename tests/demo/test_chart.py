"""The tide chart: every line that is printed, against the same fit in exact fractions, and what the processor did."""

from __future__ import annotations

import math
import random
import subprocess
import sys
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import minisim
from minisim import cpu
from minisim.cpu.assembler import Program, assemble

from .chart_oracle import MP, Day, chart, exact, fit, read_day, write_day
from .workshop import KITTIWAKE, machine, source, tape_of

LIMIT = 50_000_000
NAME, CHART = source("chart.s")
READINGS = source("readings.s")[1]
HERE = read_day(READINGS)
FPP = {record.mnemonic for record in cpu.records() if record.module == "fpp"}
WAITING = "put:    TSTB @#transmit         ; the character in R0\n        BPL  put\n"
MOON, SUN, SHALLOW = HERE.parts


def made(readings: str, text: str = CHART) -> Program:
    """The program with these readings."""
    return assemble([(NAME, text), ("readings.s", readings)])


def booted(folder: Path, program: Program | None = None) -> minisim.Machine:
    """The machine with the tape of the folder in its reader, or one of this program."""
    return machine("chart", folder, None if program is None else tape_of(program), "readings.papertape")


def lines_of(demo: minisim.Machine) -> list[str]:
    """What the machine prints before it halts, line by line."""
    stop = demo.run(LIMIT)
    assert str(stop.reason) == "HALTED"
    text = demo.console.take().decode("ascii").rstrip("\0")
    assert text.endswith("\r\n")
    return text[:-2].split("\r\n")


def printed(folder: Path, day: Day) -> list[str]:
    """What the machine prints for other readings."""
    return lines_of(booted(folder, made(write_day(day))))


def invented(seed: int, parts: list[tuple[tuple[int, str], float, float]], every: int, count: int, noise: float) -> Day:
    """A day of readings: constituents with amplitude and lag, and noise."""
    dice = random.Random(seed)
    heights = []
    for at in range(count):
        hours = at * every / 60
        tide = sum(size * math.cos(math.radians(part[0] / 1000 * hours - lag)) for part, size, lag in parts)
        heights.append(round(1000 + tide + dice.gauss(0, noise)))
    return Day("North Slip", "4 April 1977", tuple(part for part, _, _ in parts), every, tuple(heights))


OTHERS = {
    "hourly, below datum": invented(1, [(MOON, 1800, 200), (SUN, 90, 15)], 60, 25, 10),
    "every ten minutes": invented(2, [(MOON, 2000, 350), (SUN, 400, 179), (SHALLOW, 150, 91)], 10, 145, 20),
    "half hours, four constituents": invented(
        3, [(MOON, 900, 271), (SUN, 300, 44), (SHALLOW, 50, 3), ((43476, "moon, three times"), 20, 99)], 30, 49, 5
    ),
    "once a day": invented(4, [(SUN, 700, 123)], 60, 25, 30),
    "two hours": invented(5, [(MOON, 1200, 225)], 120, 40, 15),
}


def test_every_line_of_the_shipped_day_is_the_one_of_the_exact_fit(tmp_path: Path) -> None:
    lines = lines_of(booted(tmp_path))
    assert lines == chart(HERE)
    assert len(HERE.heights) == 97 and len(lines) == 41
    assert lines[-1].startswith("TOTAL 97 READINGS, RMS ERROR ")


@pytest.mark.parametrize("name", OTHERS)
def test_another_day_gives_another_chart_that_the_exact_fit_gives_too(name: str, tmp_path: Path) -> None:
    lines = printed(tmp_path, OTHERS[name])
    assert lines == chart(OTHERS[name])
    assert lines[-1] != chart(HERE)[-1]


def test_one_changed_reading_changes_the_answer_as_it_should(tmp_path: Path) -> None:
    heights = list(HERE.heights)
    heights[40] += 500
    changed = replace(HERE, heights=tuple(heights))
    lines = printed(tmp_path, changed)
    assert lines == chart(changed)
    assert lines[-2].endswith("at 10:00") and lines[6:10] != chart(HERE)[6:10]


def test_readings_without_noise_give_back_the_tide_they_were_made_of(tmp_path: Path) -> None:
    day = invented(0, [(MOON, 1500, 40), (SUN, 200, 300)], 15, 97, 0)
    lines = printed(tmp_path, day)
    for line, size, lag in ((lines[7], 1500, 40), (lines[8], 200, 300)):
        found = [float(word) for word in line.split()[-2:]]
        assert abs(found[0] - size) < 0.3 and abs(found[1] - lag) < 0.1  # readings are whole mm
    assert float(lines[-1].split()[-2]) < 0.35


def number(memory: bytes) -> Fraction:
    """What four words of a floating point number stand for [processor-handbooks-1972-81]."""
    words = [int.from_bytes(memory[at : at + 2], "little") for at in range(0, 8, 2)]
    bits = sum(word << shift for word, shift in zip(words, (48, 32, 16, 0), strict=True))
    exponent = bits >> 55 & 0o377
    if not exponent:
        return Fraction(0)
    size = Fraction((1 << 55) + bits % (1 << 55), 1 << 56) * Fraction(2) ** (exponent - 128)
    return -size if bits >> 63 else size


def numbers(demo: minisim.Machine, program: Program, name: str, count: int = 1) -> list[Fraction]:
    """Numbers behind a label."""
    at = program.symbols[name]
    return [number(demo.memory[each : each + 8]) for each in range(at, at + 8 * count, 8)]


@pytest.mark.parametrize("day", [HERE, *OTHERS.values()], ids=["here", *OTHERS])
def test_the_unknowns_in_memory_are_right_to_forty_five_bits(day: Day, tmp_path: Path) -> None:
    program = made(write_day(day))
    demo = booted(tmp_path, program)
    lines_of(demo)
    found = fit(day)
    unknowns = numbers(demo, program, "answers", len(found.unknowns))
    scale = max(map(abs, found.unknowns))
    for ours, theirs in zip(found.unknowns, unknowns, strict=True):
        assert abs(ours - theirs) < scale / 2**45
    [error] = numbers(demo, program, "error")
    mean = sum(each * each for each in found.differences) / len(found.curve)
    assert abs(error**2 - mean) < max(mean, scale) / 2**40


def test_the_quarter_turn_of_the_program_is_the_nearest_number_there_is(tmp_path: Path) -> None:
    program = made(READINGS)
    demo = booted(tmp_path, program)
    lines_of(demo)
    [quarter] = numbers(demo, program, "quarter")
    assert abs(quarter - exact(MP.pi / 2)) <= Fraction(1, 1 << 56)  # half a unit of the last place of a number below 2


DAYS = st.builds(
    invented,
    st.integers(0, 10**6),
    st.lists(
        st.tuples(st.sampled_from(HERE.parts), st.floats(10, 2500), st.floats(0, 359)),
        min_size=1,
        max_size=3,
        unique_by=lambda each: each[0],
    ),
    st.sampled_from([20, 30, 60]),
    st.integers(25, 73),
    st.floats(0.5, 200),
).filter(lambda day: day.every * (len(day.heights) - 1) >= 1440)


@settings(max_examples=8, deadline=None)
@given(DAYS)
def test_any_day_gives_the_chart_of_the_exact_fit(tmp_path_factory: pytest.TempPathFactory, day: Day) -> None:
    lines = printed(tmp_path_factory.mktemp("chart"), day)
    expected = chart(day)
    drawn = expected.index("x reading  o curve  * both    levels in mm") + 2
    assert lines[:drawn] == expected[:drawn] and lines[-3:] == expected[-3:]
    # The drawing is reckoned with 32 bits: where a place is half-way between two columns it may take the other one.
    assert sum(ours != theirs for ours, theirs in zip(lines[drawn:-3], expected[drawn:-3], strict=True)) <= 1


def with_parts(*parts: tuple[int, str]) -> Day:
    """The shipped day with other constituents."""
    return replace(HERE, parts=parts)


REFUSED = {
    "twice the same": (with_parts(MOON, SUN, (28984, "again")), "these readings can't tell the constituents apart"),
    "no speed worth it": (with_parts((1, "slow")), "these readings can't tell the constituents apart"),
    "five": (with_parts(MOON, SUN, SHALLOW, (30000, "sun"), (13943, "moon")), "too many readings or constituents"),
    "146": (replace(HERE, heights=(1,) * 146), "too many readings or constituents"),
    "six": (replace(HERE, heights=(1,) * 6), "too few readings"),
}


@pytest.mark.parametrize("what", REFUSED)
def test_what_can_not_be_fitted_is_refused_with_its_reason(what: str, tmp_path: Path) -> None:
    day, reason = REFUSED[what]
    assert printed(tmp_path, day)[6:] == [reason]


def test_level_water_has_a_curve_without_amplitude(tmp_path: Path) -> None:
    lines = printed(tmp_path, replace(HERE, parts=(MOON,), heights=(0,) * 25, every=60))
    assert lines[6] == "mean level" + "0.000".rjust(36)
    assert lines[7].endswith("28.984         0.000         0.000")
    assert lines[11] == "00:00  |*" + " " * 54 + "|"
    assert lines[-1] == "TOTAL 25 READINGS, RMS ERROR 0.000 MM"


def test_an_error_of_the_floating_point_processor_is_printed_with_its_place(tmp_path: Path) -> None:
    turn = "turn:   .word 329., 38656."
    assert CHART.count(turn) == 1
    program = made(READINGS, CHART.replace(turn, "turn:   .word 0, 0"))
    at = next(line.address for line in program.listing if line.source.split()[:2] == ["DIVD", "AC1,AC0"])
    demo = booted(tmp_path, program)
    assert lines_of(demo)[6:] == ["", f"the floating point processor stops: error 000004 at {at:06o}"]
    assert demo.counters().traps[0o244] == 1


def executed(folder: Path) -> Counter[str]:
    """Mnemonics, counted step by step; the printing does not wait for the line."""
    assert CHART.count(WAITING) == 1
    demo = booted(folder, made(READINGS, CHART.replace(WAITING, "put:    NOP\n")))
    demo.run(LIMIT, until=minisim.Address(0o1000))
    counts: Counter[int] = Counter()
    while True:
        step = demo.step()
        counts[step.words[0]] += 1
        if str(step.reason) == "HALTED":
            break
    names: Counter[str] = Counter()
    for word, count in counts.items():
        names[minisim.disassemble([word, 0, 0], 0)[0].text.split()[0]] += count
    return names


def test_the_chart_executes_more_than_twelve_floating_instructions(tmp_path: Path) -> None:
    counts = executed(tmp_path)
    used = {name for name in counts if name in FPP}
    assert used >= {"LDF", "STF", "ADDF", "SUBF", "MULF", "DIVF", "MODF", "CMPF", "TSTF", "NEGF", "ABSF", "CLRF"}
    assert used >= {"LDFPS", "CFCC", "SETF", "SETD", "SETI", "SETL", "LDCIF", "STCFI", "LDCDF", "LDEXP", "STEXP"}
    assert counts["DIVF"] > 97 * 3 * 10 and counts["MULF"] > 97 * 8 * 7  # series; equations


def test_the_loadout_has_no_finding_but_the_one_it_accepts() -> None:
    report = minisim.check(minisim.read_loadout(KITTIWAKE / "chart.yaml"))
    assert report.worst is None
    assert [finding.rule for finding in report.findings] == ["CLOCK-001"]


def test_the_command_of_the_readme_stops_at_the_total() -> None:
    words = ["boot", str(KITTIWAKE / "chart.yaml"), "--until", "TOTAL", "--limit", "200000000"]
    run = subprocess.run([sys.executable, "-m", "minisim", *words], stdin=subprocess.DEVNULL, capture_output=True)
    assert run.returncode == 0, run.stderr
    assert b"moon, twice a day" in run.stdout
