"""Runs one of our own test programs in a machine, and judges by what it prints and where it halts."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from minisim.cpu.profile import ProfileError, named
from minisim.machine.machine import Machine
from minisim.machine.records import Access, Address, Condition, Reason, Stop
from minisim.trials.programs import TestProgram

PASS = re.compile(r"^(\S+): end of pass (\d+), (\d+) cases, (\d+) failures\r?$", re.MULTILINE)
FAILED = re.compile(r"^\S+: (?:failed, case|unexpected trap through) .*$", re.MULTILINE)
HALT_ON_FAILURE = 1
MAY_WRITE = 0o10
"""Switch: the medium in the drive may be written."""
PASSES, SWITCHES, ADDRESS, VECTOR, UNIT = "passes", "soft", "at", "by", "unit"
MADE, CASES, FAULTS, DONE, TRAPPED = "pass", "case", "faults", "done", "trappd"
HALT_FLAG, RESTART = "halt_without_mmu", "restart"
DEFAULT_LIMIT = 1_000_000_000


class Verdict(StrEnum):
    """How a program ended."""

    PASS = "pass"
    FAIL = "fail"
    NOT_RUN = "not run"
    NEEDS_PERSON = "needs a person"


@dataclass(frozen=True, slots=True)
class Ran:
    """How one run of a program ended: `cases` of one pass; `said` is what it printed."""

    program: str
    verdict: Verdict
    passes: int = 0
    cases: int = 0
    failures: tuple[str, ...] = ()
    said: str = ""
    stop: Stop | None = None


@dataclass(frozen=True, slots=True)
class Where:
    """The device under test: its first register (16 bits), its vector, unit or drive."""

    address: int | None = None
    vector: int | None = None
    unit: int = 0


def lay(machine: Machine, test: TestProgram) -> None:
    """The program into memory, as an absolute loader would."""
    for block in test.program.blocks:
        if block.data:
            machine.memory[block.address : block.address + len(block.data)] = block.data


def make_ready(
    machine: Machine, test: TestProgram, *, passes: int = 1, switches: int = HALT_ON_FAILURE, where: Where | None = None
) -> None:
    """Lay a program into memory, tell it what it is to do, set PC to its start."""
    lay(machine, test)
    if test.framed:
        settings = {PASSES: passes, SWITCHES: switches}
        if where is not None:
            given = {ADDRESS: where.address, VECTOR: where.vector, UNIT: where.unit}
            settings |= {name: value for name, value in given.items() if value is not None}
        for name, value in settings.items():
            machine.memory.put(test.at(name), value)
    start = test.program.start
    assert start is not None, f"{test.name} has no label start"
    machine.cpu.ps = 0o340
    machine.cpu.pc = start


def run_program(
    machine: Machine, test: TestProgram, *, passes: int = 1, switches: int = HALT_ON_FAILURE,
    where: Where | None = None, limit: int = DEFAULT_LIMIT, tell: Callable[[int, int], None] | None = None,
) -> Ran:  # fmt: skip
    """Lay a program into memory, start it, and run it to its end or its first HALT.

    `tell` is called now and then with the instructions run and the limit.
    """
    make_ready(machine, test, passes=passes, switches=switches, where=where)
    return carry_on(machine, test, passes=passes, limit=limit, tell=tell)


def carry_on(
    machine: Machine, test: TestProgram, *, passes: int = 1, limit: int = DEFAULT_LIMIT,
    tell: Callable[[int, int], None] | None = None,
) -> Ran:  # fmt: skip
    """Run a program that lies ready, and judge it."""
    first, said = machine.instructions, bytearray()
    session = machine.session(limit, _until(machine, test))
    while session.advance():
        said += _printed(machine)
        if tell is not None:
            tell(machine.instructions - first, limit)
    said += _printed(machine)
    stop = session.stop()
    if machine.layout.console is None and test.framed:
        said += _in_memory(machine, test, stop)
    return judged(test, said.decode("ascii", "replace"), stop, passes)


def _until(machine: Machine, test: TestProgram) -> list[Condition]:
    """Where HALT traps (a strap of the board) or starts again, the end can only be seen coming."""
    if not machine._raw.halt_traps and not restarts(machine):
        return []
    end: list[Condition] = [Address(test.at(DONE))]
    return [*end, Access(test.at(TRAPPED), read=False, write=False, fetch=True)] if test.framed else end


def restarts(machine: Machine) -> bool:
    """Does a HALT start the processor again instead of halting it (row D38)?"""
    try:
        return named(machine.profile).model(HALT_FLAG) == RESTART
    except ProfileError:  # a profile of the owner's own, which only the loadout's catalogue knows
        return False


def _printed(machine: Machine) -> bytes:
    if machine.layout.console is None:
        return b""
    return bytes(byte & 0o177 for byte in machine.console.take())


def _in_memory(machine: Machine, test: TestProgram, stop: Stop) -> bytes:
    """Without a console line: what the program counted, as it would have printed it at the end of its last pass."""
    if not _is_at_end(test, stop):
        return b""
    made, cases, faults = (machine.memory.word(test.at(name)) for name in (MADE, CASES, FAULTS))
    lines = (f"{test.name}: end of pass {number}, {cases} cases, {faults} failures\n" for number in range(1, made + 1))
    return "".join(lines).encode("ascii")


def _is_at_end(test: TestProgram, stop: Stop) -> bool:
    end = test.at(DONE)
    return (stop.reason is Reason.HALTED and stop.at == end) or (stop.reason is Reason.REACHED and stop.pc == end)


def judged(test: TestProgram, said: str, stop: Stop, passes: int) -> Ran:
    """The verdict: halted at `done`, with as many passes as were asked for and no failure told."""
    ended = [(int(number), int(cases), int(faults)) for _, number, cases, faults in PASS.findall(said)]
    failures = tuple(line.rstrip("\r") for line in FAILED.findall(said))
    told = not test.framed or (len(ended) == passes and not any(faults for *_, faults in ended))
    good = _is_at_end(test, stop) and told and not failures
    made = ended[-1][0] if ended else int(good)
    cases = ended[-1][1] if ended else 0
    return Ran(test.name, Verdict.PASS if good else Verdict.FAIL, made, cases, failures, said, stop)
