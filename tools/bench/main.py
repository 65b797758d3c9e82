"""Measures and prints.  Exit code 0 whatever the figures are; 1 when an engine does not do the work it is timed for."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterable
from typing import Any

import minisim
from bench import calls, checking, mapping, mix, planning, process, race, report, station, storage
from bench.engines import CORES, PROFILE, BenchError, compiled, compiler, compiler_name, library
from bench.workloads import LOOPS

NO_LIBRARY_LINE = "unicorn can't be imported: its columns stay empty (pip install -e '.[bench]' brings it)"
NO_COMPILER_LINE = "no C compiler: the columns of native C stay empty (CC names one)"


def show(lines: Iterable[str]) -> None:
    """Print at once: the next part takes seconds."""
    print("\n".join(lines), flush=True)


def heading() -> list[str]:
    """How it is measured."""
    timing = minisim.bare(profile=PROFILE).timing
    return [
        f"medians of {race.ROUNDS} interleaved rounds in one process, about {race.INSTRUCTIONS:,} instructions a run;",
        "ratios are medians of the ratios of the rounds, and what came out of each run was compared",
        f"profile {PROFILE}, every option it can have; guest time: {timing.text}",
    ]


def workloads() -> list[str]:
    """What each does."""
    mixed = f"{mix.GROUPS} random groups of instructions, all modes, words and bytes, branches on the data"
    return report.table([*((loop.name, loop.does) for loop in LOOPS), ("mix", mixed)], left=True)


def parts() -> tuple[Any | None, Any | None]:
    """Native C and the library, as far as they are there; says what is missing."""
    command, module = compiler(), library()
    show([f"native C: {compiler_name(command)}, -O2" if command else NO_COMPILER_LINE])
    show([f"unicorn {module.__version__}, x86-16 code that does the same work" if module else NO_LIBRARY_LINE])
    return (compiled(command) if command else None), module


def measure() -> None:
    """Everything, printed as it comes."""
    show(heading())
    native, module = parts()
    show(["", *workloads()])
    figures = race.run(race.races(native, module))
    for lines in (report.times_lines, report.ratio_lines, report.summary_lines):
        show(["", *lines(figures)])
    called = calls.measure(module)
    show(["", *report.call_lines(called)])
    clock = station.clock_cost()
    show(["", *report.clock_lines(clock)])
    mapped = mapping.cost()
    show(report.mapping_lines(mapped))
    show(["", *report.console_lines(station.console(tuple(CORES)))])
    show(["", *storage.lines()])
    start, memory = process.start_up(), process.memory_mb()
    show(["", *report.process_lines(start, memory)])
    large, checked = checking.large(), checking.start_up()
    show(checking.lines(large, checked))
    rows = report.speed_targets(figures) + report.other_targets(called, clock, mapped, start, memory)
    rows += checking.targets(large, checked)
    made = planning.plans()
    show(planning.lines(made))
    rows += planning.targets(made)
    show(["", *report.target_lines(rows)])


def main() -> int:
    """The whole bench; its exit code."""
    began = time.monotonic()
    try:
        measure()
    except BenchError as error:
        print(f"bench: {error}", file=sys.stderr)
        return 1
    show(["", f"measured in {time.monotonic() - began:.0f} s"])
    return 0
