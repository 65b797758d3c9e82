"""How the machine of a lesson stands, in a few lines for the side of a screen."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from typing import TYPE_CHECKING

from minisim.machine.errors import NotFittedError
from minisim.machine.seen import coming_instructions

if TYPE_CHECKING:
    from minisim.lessons.plan import Desk
    from minisim.machine.machine import Machine


_COMING = 3  # instructions behind the next one
_ACROSS = 30  # columns of three registers
_TOP = 3  # words of the stack


def machine_lines(machine: Machine, width: int = 80) -> Iterator[str]:
    """Registers, condition codes, accumulators where something is in them, the next instruction."""
    cpu = machine.cpu
    across, gap = (3, "  ") if width >= _ACROSS else (2, " ")
    for first in range(0, 6, across):
        yield "  ".join(f"R{number} {cpu.r[number]:06o}" for number in range(first, first + across))
    yield f"SP {cpu.sp:06o}  PC {cpu.pc:06o}"
    codes = gap.join(f"{name} {cpu.ps >> bit & 1}" for bit, name in ((3, "N"), (2, "Z"), (1, "V"), (0, "C")))
    yield f"PS {cpu.ps:06o}  {codes}"
    yield from _floats(machine)
    text = machine.next_text()
    yield f"next {cpu.pc:06o}  {text}" if text else f"next {cpu.pc:06o}"


def around_lines(machine: Machine) -> Iterator[str]:
    """What comes behind the next instruction, and the top of the stack, where there is room for that."""
    for number, (at, text, halts) in enumerate(islice(coming_instructions(machine), _COMING + 1)):
        if number:
            yield f"then {at:06o}  {text}"
        if halts:  # behind it lie other things
            break
    sp = machine.cpu.sp
    try:
        top = " ".join(f"{machine.memory.word(sp + offset):06o}" for offset in range(0, 2 * _TOP, 2)) if sp else ""
    except NotFittedError:
        return
    if top:
        yield ""
        yield f"top of the stack {sp:06o}"
        yield f"  {top}"


def _floats(machine: Machine) -> Iterator[str]:
    from minisim.machine.explain import floating
    from minisim.machine.steps import split

    try:
        numbers, long = list(machine.cpu.ac), machine.cpu.fps & 0o200
    except NotFittedError:
        return
    for number, value in enumerate(numbers):
        if value:
            yield f"AC{number} {floating(split(value, 4 if long else 2)).partition(' (')[0]}"


def desk_lines(desk: Desk) -> Iterator[str]:
    """The boards in their places, what lies beside the machine, and how many findings there are."""
    for box in desk.loadout.boxes:
        for unit in box.units:
            for placed in unit.placed:
                board = placed.board if isinstance(placed.board, str) else "described"
                yield f"{placed.place:5}{board}"
    for lying in desk.beside:
        yield f"{'out':5}{lying.name}"
    count = len([one for one in desk.report.findings if not one.accepted])
    yield "check: nothing is found" if not count else f"check: {count} finding{'s' * (count > 1)}"
