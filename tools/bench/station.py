"""Machines built from a loadout: what a line clock costs, and how fast the console is.

The machine is the tide gauge logger of the demo, with and without its line clock, and with our programs in its memory.
"""

from __future__ import annotations

import shutil
import statistics
import tempfile
from collections.abc import Sequence
from pathlib import Path

import minisim
from bench import mix
from bench.engines import CORES, FAST, FOR_EVER, BenchError, begin, put, set_core
from bench.race import ROUNDS, Figures, timed

LOADOUTS = Path(__file__).resolve().parent.parent.parent / "loadouts" / "kittiwake"
HERTZ = 60
CLOCK, CLOCK_VECTOR = 0o177546, 0o100
WITH, WITHOUT = "60 Hz clock", "no clock"
CLOCK_INSTRUCTIONS, TURNS = 2_000_000, 4  # turns of each machine in one round, one after the other
TICKS = 0o430
SERVICE = f"""
        . = 100
        .word   service, 340
        . = 410
service: INC    @#{TICKS:o}
        RTI
        . = {TICKS:o}
        .word   0
"""

CHARACTERS = 10_000
BAUD = 9600
PRINTED, TYPED = "printed", "read"
PRINT = f"""
        . = 1000
        MOV     #{CHARACTERS}., R2
        MOV     #40, R0
1$:     TSTB    @#177564
        BPL     1$
        MOVB    R0, @#177566
        INC     R0
        BIC     #177600, R0
        BIS     #40, R0
        SOB     R2, 1$
        HALT
"""
READ = f"""
        . = 1000
        MOV     #{CHARACTERS}., R2
        MOV     #4000, R1
1$:     TSTB    @#177560
        BPL     1$
        MOVB    @#177562, (R1)+
        SOB     R2, 1$
        HALT
"""


def machine(core: str, *, clock: bool = True) -> minisim.Machine:
    """The tide gauge logger with or without its clock, and nothing in memory."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "kittiwake"
        shutil.copytree(LOADOUTS, copy)
        loadout = copy / "gauge.yaml"
        text = loadout.read_text(encoding="utf-8")
        if "clock: on " not in text:
            raise BenchError(f"{LOADOUTS / 'gauge.yaml'} has no clock that could be switched off")
        if not clock:
            loadout.write_text(text.replace("clock: on ", "clock: off "), encoding="utf-8")
        made = minisim.build(minisim.read_loadout(loadout))
    set_core(made, CORES[core])
    return made


# --- the clock --------------------------------------------------------------------------------------------------------


def clocked(core: str, clock: bool) -> minisim.Machine:
    """A machine that runs the mix; with a clock it counts the pulses."""
    made = machine(core, clock=clock)
    put(made, mix.text())
    put(made, SERVICE)
    begin(made)
    if clock:
        made.write(CLOCK, 0o100)
    return made


def clock_cost(rounds: int = ROUNDS, instructions: int = CLOCK_INSTRUCTIONS) -> Figures:
    """Nanoseconds an instruction of the fast core, with the clock and without.  BenchError: it does not keep time."""
    machines = {WITH: clocked(FAST, True), WITHOUT: clocked(FAST, False)}
    began = machines[WITH].time_ns
    taken: dict[str, list[float]] = {name: [] for name in machines}
    for number in range(rounds + 1):  # the first one warms up
        seconds = dict.fromkeys(machines, 0.0)
        for turn in range(TURNS):
            for name in list(machines)[:: 1 if turn % 2 else -1]:
                seconds[name] += timed(machines[name].run, limit=instructions)
        for name in machines if number else ():
            taken[name].append(seconds[name] / (TURNS * instructions) * 1e9)
    check_clock(machines[WITH], began)
    return Figures(taken)


def check_clock(made: minisim.Machine, began_ns: int) -> None:
    """As many pulses as the guest's time says, each counted by the service routine."""
    counters, counted = made.counters(), made.memory.word(TICKS)
    due = (made.time_ns - began_ns) * HERTZ // 1_000_000_000
    served = counters.interrupts.get(CLOCK_VECTOR, 0)
    if counters.traps or abs(served - due) > 1 or (served - counted) % 0o200000 > 1:
        raise BenchError(
            f"the clock of the {FAST} is wrong: {due} pulses were due, {served} interrupts came, {counted} were counted"
        )


# --- the console ------------------------------------------------------------------------------------------------------


def expected_print() -> bytes:
    """What the program PRINT prints."""
    code, out = 0o40, bytearray()
    for _ in range(CHARACTERS):
        out.append(code)
        code = (code + 1) & 0o177 | 0o40
    return bytes(out)


def print_all(made: minisim.Machine) -> float:
    """Seconds for all characters.  BenchError: others were printed."""
    put(made, PRINT)
    begin(made)
    seconds = timed(made.run, limit=FOR_EVER)
    if made.console.take() != expected_print():
        raise BenchError(f"the console of the {made_core(made)} printed something else than it should")
    return seconds


def read_all(made: minisim.Machine) -> float:
    """Seconds to read as many typed characters.  BenchError: others were read."""
    typed = expected_print()
    put(made, READ)
    begin(made)
    made.console.feed(typed)
    seconds = timed(made.run, limit=FOR_EVER)
    if made.memory[0o4000 : 0o4000 + len(typed)] != typed:
        raise BenchError(f"the program read something else than was typed, on the {made_core(made)}")
    return seconds


def made_core(made: minisim.Machine) -> str:
    """How the report calls the core of a machine."""
    return next(name for name, core in CORES.items() if core == made.core)


def console(cores: Sequence[str], rounds: int = ROUNDS) -> dict[tuple[str, str], float]:
    """Characters in a second of ours, for (core, printed or read): medians."""
    machines = {name: machine(name) for name in cores}
    works = {PRINTED: print_all, TYPED: read_all}
    taken: dict[tuple[str, str], list[float]] = {}
    for _ in range(rounds):
        for core, made in machines.items():
            for way, work in works.items():
                taken.setdefault((core, way), []).append(CHARACTERS / work(made))
    return {key: statistics.median(rates) for key, rates in taken.items()}
