"""Lines done at the machine: at the bench, its console, its panel, or at the desk with the loadout."""

from __future__ import annotations

import re
import unicodedata
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
        answer = _at_panel(rig, line)
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
        return tuple(line for line in HELP.split("\n") if not line.startswith("leave "))  # the teacher has one
    return tuple(line for line in rig.bench.do("help").lines if not line.startswith(("console ", "leave ")))


def press(rig: Rig, keys: bytes) -> Answer:
    """Keys at the console."""
    from minisim.machine.errors import MachineError

    try:
        rig.type(keys)
    except MachineError as error:  # no console line, or no more room
        return Answer((str(error),), done=False)
    return Answer()


def lay(rig: Rig, step: Step) -> list[str]:
    """What stands before the learner's first line, unseen: program, set-up, who gets the keys.

    Gives what could not be done: the learner may have taken the memory out.
    """
    from minisim.machine.errors import MachineError

    failed = []
    try:
        if step.program is not None:
            load(rig.machine, step.program)
    except MachineError as error:
        return [f"{step.mark}: the program can't be put into memory: {error}"]
    for line in step.set_up:
        answer = act(rig, At.PLAN if step.at is At.PLAN else At.BENCH, line, Seen())
        if not answer.done:
            failed.append(f'{step.mark}: set-up "{line}" could not be done: {" ".join(answer.lines)}')
    settle(rig, step)
    return failed


def as_sent(line: str) -> bytes:
    """A line as a terminal of seven bits sends it: a letter loses its accent, what has no place is a question mark."""
    bare = "".join(each for each in unicodedata.normalize("NFKD", line) if not unicodedata.combining(each))
    return bare.encode("ascii", "replace")


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
    return Answer((stop,), answer.done) if stop else answer  # how it ended says that it ran


def _at_panel(rig: Rig, line: str) -> Answer:
    answer = rig.bench.do(f"panel {line}")
    stop = rig.run_on()
    return Answer((stop, *rig.bench.dialog.halted().splitlines()), answer.done) if stop else answer


def _at_console(rig: Rig, line: str) -> Answer:
    """Keys with Return, and the run that follows; G and P of an octal console act without one."""
    is_alone = rig.machine.at_octal_console and _LETS_RUN.search(line) is not None
    return press(rig, as_sent(line) + (b"" if is_alone else b"\r"))


def _at_plan(rig: Rig, line: str) -> Answer:
    before = rig.desk.booted
    answer = rig.desk.do(line)
    if rig.desk.booted is not None and rig.desk.booted is not before:
        rig.switch_on(rig.desk.booted)
    return answer
