"""The report as lines of text, from figures alone."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from bench import calls, mapping, process, station, targets
from bench.engines import CORES, FAST, LIBRARY, LIBRARY_APART, NATIVE, REFERENCE
from bench.race import Figures
from bench.targets import Target

NO_LIBRARY = "no unicorn"
NO_COMPILER = "no C compiler"


def table(rows: Sequence[Sequence[str]], *, left: bool = False) -> list[str]:
    """Columns in line: the first to the left, the others to the right unless `left`."""
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    lines, side = [], "<" if left else ">"
    for row in rows:
        others = [f"{cell:{side}{width}}" for cell, width in zip(row[1:], widths[1:], strict=True)]
        lines.append("  ".join([f"{row[0]:{widths[0]}}", *others]).rstrip())
    return lines


def number(value: float | None, unit: str = "", places: int = 2) -> str:
    """A figure, or a dash where there is none."""
    return "-" if value is None else f"{value:.{places}f}{unit}"


def mean(ratios: Iterable[float | None]) -> float | None:
    """The geometric mean, None where a ratio is missing."""
    logs: list[float] = []
    for ratio in ratios:
        if ratio is None:
            return None
        logs.append(math.log(ratio))
    return math.exp(sum(logs) / len(logs)) if logs else None


# --- workloads --------------------------------------------------------------------------------------------------------


def times_lines(figures: Mapping[str, Figures]) -> list[str]:
    """Nanoseconds for each of our instructions."""
    names = (*CORES, LIBRARY, LIBRARY_APART, NATIVE)
    rows = [("ns a guest instruction", *names)]
    rows += [(workload, *(number(each.of(name)) for name in names)) for workload, each in figures.items()]
    return table(rows)


RATIOS = (
    ("fast against reference core", REFERENCE, FAST),
    ("fast core against unicorn", LIBRARY, FAST),
    ("fast core to native C", FAST, NATIVE),
    ("reference core to native C", REFERENCE, NATIVE),
)


def ratio_lines(figures: Mapping[str, Figures]) -> list[str]:
    """Against: how many times faster; to: how many times longer."""
    rows = [("ratios", *(title for title, _, _ in RATIOS))]
    for workload, each in figures.items():
        rows.append((workload, *(number(each.ratio(slow, fast), "x") for _, slow, fast in RATIOS)))
    return table(rows)


def means(figures: Mapping[str, Figures], library: str = LIBRARY) -> float | None:
    """Geometric mean of our fast core against the library over the loops that both run."""
    return mean(each.ratio(library, FAST) for workload, each in figures.items() if workload != "mix")


def summary_lines(figures: Mapping[str, Figures]) -> list[str]:
    """The lines that are looked for."""
    lines = []
    if (ratio := means(figures)) is not None:
        lines.append(f"geometric mean against unicorn: {number(ratio, 'x')} (the five loops)")
    if (ratio := means(figures, LIBRARY_APART)) is not None:
        lines.append(f"the same with its code apart, where no program can change it: {number(ratio, 'x')}")
    lines.append(f"fast core against reference core on mix: {number(figures['mix'].ratio(REFERENCE, FAST), 'x')}")
    if (ratio := figures["sieve"].ratio(REFERENCE, NATIVE)) is not None:
        lines.append(f"reference core to native C on sieve: {number(ratio, 'x')} longer")
    return lines


# --- the rest ---------------------------------------------------------------------------------------------------------

CALL_PAIRS = (
    (calls.LIMITED, calls.LIBRARY_LIMITED, calls.SLICE),
    (calls.ONE, calls.LIBRARY_ONE, 1),
    (calls.STEP, calls.LIBRARY_ONE, 1),
)


def call_lines(figures: Figures) -> list[str]:
    """Slices and single steps from Python."""
    rows = [("from Python, sieve", "us a call", "ns an instruction", "unicorn: us", "ns", "against unicorn")]
    for way, other, each in CALL_PAIRS:
        ours, theirs = figures.of(way), figures.of(other)
        ratio = number(figures.ratio(other, way), "x")
        rows.append((way, *call_cells(ours, each), *call_cells(theirs, each), ratio))
    return table(rows)


def call_cells(ns: float | None, each: int) -> tuple[str, str]:
    """Microseconds a call and nanoseconds an instruction."""
    return ("-", "-") if ns is None else (number(ns / 1e3), number(ns / each))


def clock_lines(figures: Figures) -> list[str]:
    """What the line clock costs."""
    ratio = figures.ratio(station.WITH, station.WITHOUT)
    return [
        f"cost of a 60 Hz line clock and its service routine, mix, fast core: {number(ratio, 'x', 3)}"
        f" ({number(figures.of(station.WITH))} ns an instruction against {number(figures.of(station.WITHOUT))})"
    ]


def mapping_lines(figures: Figures) -> list[str]:
    """What memory management costs."""
    return [
        f"cost of memory management, mix, fast core: {number(figures.ratio(mapping.MAPPED, FAST), 'x')}"
        f" ({number(figures.of(mapping.MAPPED))} ns an instruction against {number(figures.of(FAST))})"
    ]


def console_lines(rates: Mapping[tuple[str, str], float]) -> list[str]:
    """Characters a second."""
    line = station.BAUD / 10
    rows = [(f"console at {station.BAUD} baud, polled", "characters a second", "times the line's own speed")]
    for (core, way), rate in rates.items():
        rows.append((f"{way}, {core}", f"{rate:,.0f}", f"{rate / line:,.0f}"))
    return table(rows)


def process_lines(start: Figures, memory: float | None) -> list[str]:
    """Start-up and memory."""
    names = (process.COMMAND, process.PLAIN)
    shown = ", ".join(f"{name} {number(start.of(name), ' ms', 0)}" for name in names)
    return [f"start-up: {shown}; a machine with 4 MB of memory: {number(memory, ' MB resident', 0)}"]


LATER_CALLS = (targets.spike("sieve"), targets.ONLY_PYTHON, targets.ONLY_PYTHON)

# --- targets ----------------------------------------------------------------------------------------------------------


def speed_targets(figures: Mapping[str, Figures]) -> list[Target]:
    """Those on the workloads."""
    found = [
        Target(
            f"fast core against unicorn, {name}",
            bound,
            figures[name].ratio(LIBRARY, FAST),
            why=NO_LIBRARY,
            later=targets.spike(name),
        )
        for name, bound in targets.AGAINST_LIBRARY.items()
    ]
    wanted = targets.MEAN_AGAINST_LIBRARY
    found.append(Target("fast core against unicorn, geometric mean", wanted, means(figures), why=NO_LIBRARY))
    for name, bound in targets.AGAINST_NATIVE.items():
        value = figures[name].ratio(FAST, NATIVE)
        what, later = f"fast core to native C, {name}", targets.spike(name)
        found.append(Target(what, bound, value, at_least=False, why=NO_COMPILER, later=later))
    for core, bound, later in (
        (FAST, targets.TABLE_AGAINST_NATIVE, targets.spike("sieve")),
        (REFERENCE, targets.REFERENCE_AGAINST_NATIVE, targets.NO_PLAIN_INTERPRETER),
    ):
        stage = ", with a table of handlers" if core == FAST else ""
        what, value = f"{core} to native C, sieve{stage}", figures["sieve"].ratio(core, NATIVE)
        found.append(Target(what, bound, value, at_least=False, why=NO_COMPILER, later=later))
    value = figures["mix"].ratio(REFERENCE, FAST)
    found.append(Target("fast against reference core, mix, with a table of handlers", targets.TABLE_MIX, value))
    found.append(Target("fast against reference core, mix, in the end", targets.MIX, value, later=targets.spike("mix")))
    return found


def other_targets(
    called: Figures, clock: Figures, mapped: Figures, start: Figures, memory: float | None
) -> list[Target]:
    """Those on everything else."""
    bound = targets.CALLS_AGAINST_LIBRARY
    found = [
        Target(f"{way} against {other}", bound, called.ratio(other, way), why=NO_LIBRARY, later=later)
        for (way, other, _), later in zip(CALL_PAIRS, LATER_CALLS, strict=True)
    ]
    ratio, command = clock.ratio(station.WITH, station.WITHOUT), start.of(process.COMMAND)
    times = start.ratio(process.COMMAND, process.PLAIN)
    found += [
        Target("cost of a 60 Hz clock", targets.CLOCK, ratio, at_least=False),
        Target("memory management on, mix", targets.MAPPED, mapped.ratio(mapping.MAPPED, FAST), at_least=False),
        Target("start-up of a command", targets.START_MS, command, at_least=False, unit=" ms"),
        Target("start-up against python with yaml", targets.START_RATIO, times, at_least=False),
        Target("memory of a machine with 4 MB", targets.MEMORY_MB, memory, at_least=False, unit=" MB", why="no /proc"),
    ]
    return found


def target_lines(rows: Sequence[Target]) -> list[str]:
    """Each with its figure and verdict, the verdict to the left."""
    columns = table([("target", "wanted", "measured"), *((row.what, row.wanted, row.measured) for row in rows)])
    width = max(len(line) for line in columns)
    return [columns[0], *(f"{line:{width}}  {row.verdict}" for line, row in zip(columns[1:], rows, strict=True))]
