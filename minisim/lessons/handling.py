"""Lines done at the machine: at the bench, its console, its panel, or at the desk with the loadout."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from minisim.bench.answer import Answer
from minisim.lessons.model import At, Step
from minisim.lessons.rig import Rig
from minisim.lessons.seen import Seen

if TYPE_CHECKING:
    from minisim.cpu.assembler import Program
    from minisim.machine.machine import Machine

_LETS_RUN = re.compile(r"[GgPp]\Z")
_NOT_HERE = {"console": "In a lesson the keys stay here; type TEXT sends a line to the program."}


def act(rig: Rig, at: At, line: str, seen: Seen) -> Answer:
    """One line where it belongs; `seen` learns what was done."""
    if at is At.PLAN:
        answer = _at_plan(rig, line)
    elif at is At.CONSOLE:
        seen.console(line)
        return _at_console(rig, line)
    elif at is At.PANEL:
        answer = rig.bench.do(f"panel {line}")
        rig.run_on()
        if answer.done:
            seen.panel(line, " ".join(answer.lines))
        return answer
    else:
        answer = _at_bench(rig, line)
    if answer.done:
        seen.bench(line)
    return answer


def help_lines(rig: Rig, at: At) -> tuple[str, ...]:
    """The words that are understood there."""
    from minisim.lessons.plan import WORDS
    from minisim.panel import HELP

    if at is At.PLAN:
        return tuple(WORDS.values())
    if at is At.PANEL:
        return tuple(HELP.split("\n"))
    return tuple(line for line in rig.bench.do("help").lines if not line.startswith(("console ", "leave ")))


def press(rig: Rig, keys: bytes) -> Answer:
    """Keys at the console."""
    from minisim.machine.errors import MachineError

    try:
        rig.type(keys)
    except MachineError as error:  # no console line, or no more room
        return Answer((str(error),), done=False)
    return Answer()


def load(machine: Machine, program: Program) -> None:
    """A program into memory; the next instruction is at its label `start`, else the first that is written."""
    for block in program.blocks:
        machine.memory[block.address : block.address + len(block.data)] = block.data
    first = next((line.address for line in program.listing if line.data and line.address is not None), 0)
    machine.cpu.pc = first if program.start is None else program.start


def settle(rig: Rig, step: Step) -> None:
    """What must stand before the learner's first line: at a console step, who gets the keys."""
    if step.at is At.CONSOLE:
        rig.open_console(runs=step.program is not None)


def _at_bench(rig: Rig, line: str) -> Answer:
    word = line.split()[:1]
    if word and word[0].lower() in _NOT_HERE:
        return Answer((_NOT_HERE[word[0].lower()],), done=False)
    answer = rig.bench.do(line)
    stop = rig.run_on()
    return Answer((*answer.lines, *([stop] if stop else [])), answer.done)


def _at_console(rig: Rig, line: str) -> Answer:
    """Keys with Return, and the run that follows; G and P of an octal console act without one."""
    is_alone = rig.machine.at_octal_console and _LETS_RUN.search(line) is not None
    return press(rig, line.encode("ascii", "replace") + (b"" if is_alone else b"\r"))


def _at_plan(rig: Rig, line: str) -> Answer:
    before = rig.desk.booted
    answer = rig.desk.do(line)
    if rig.desk.booted is not None and rig.desk.booted is not before:
        rig.switch_on(rig.desk.booted)
    return answer
