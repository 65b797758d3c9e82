"""How a run ended: the same run once more up to its last instructions, which are taken one by one and told."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING

from minisim.cpu._core import ffi, lib
from minisim.cpu.disassembler import MOST_WORDS, disassemble
from minisim.machine.records import Reason
from minisim.machine.told import told
from minisim.trials.running.model import Account, CodeLine

if TYPE_CHECKING:
    from minisim.cpu.assembler import Program
    from minisim.machine.machine import Machine
    from minisim.machine.records import Stop

LAST = 16  # instructions told
BEFORE, BEHIND = 12, 8  # words of code shown around the end
SPARE = 64  # steps more than instructions: what falls due in a WAIT is a step too
WORD = 0o177777
Again = Callable[[int], "Machine"]
"""Makes the machine anew and runs it just as before, until `used` of it is so much."""


def used(machine: Machine) -> int:
    """What counts towards a limit: instructions, and what fell due in a WAIT."""
    return int(machine._raw.instructions + machine._raw.naps)


def account_of(machine: Machine, again: Again, code: Mapping[int, CodeLine], end: int) -> Account:
    """The account of a machine that stands where its run ended, or where it began to go wrong; the code is shown around
    `end`, from the source `code` where there is any.
    """
    registers, ps = tuple(int(word) for word in machine.cpu.r), machine.cpu.ps
    return Account(registers, ps, last_instructions(again, used(machine)), around(machine, end, code))


def end_of(stop: Stop) -> int:
    """The address at which a run ended: of the HALT, the WAIT or the loop; else of what would come next."""
    return stop.at if stop.reason in (Reason.HALTED, Reason.WAITING, Reason.STUCK) else stop.pc


def last_instructions(again: Again, end: int) -> tuple[tuple[str, ...], ...]:
    """The last instructions of a run that used so much, each as the lines that `Step` tells of it."""
    machine = again(max(end - LAST, 0))
    steps: deque[tuple[str, ...]] = deque(maxlen=LAST)
    with machine:
        for _ in range(LAST + SPARE):
            if used(machine) >= end:
                break
            step = machine.step()
            if step.words:
                steps.append(told(step))
            if step.reason is Reason.HALTED:
                break
    return tuple(steps)


def around(machine: Machine, end: int, code: Mapping[int, CodeLine]) -> tuple[CodeLine, ...]:
    """The code around an address: from the source where it is known, else disassembled from memory."""
    if end in code:
        places = sorted(code)
        middle = places.index(end)
        return tuple(_marked(code[place], end) for place in places[max(middle - BEFORE // 2, 0) : middle + BEHIND // 2])
    return tuple(_disassembled(machine, end))


def _marked(line: CodeLine, end: int) -> CodeLine:
    return CodeLine(line.address, line.words, line.text, line.label, line.remark, line.address == end)


def _disassembled(machine: Machine, end: int) -> Iterable[CodeLine]:
    """Words before the end may be read out of step: the latest start that leads to it is taken."""
    first, words = _words(machine, end)
    for start in range(first, end + 2, 2):
        lines = disassemble(words[(start - first) // 2 :], start)
        if any(line.address == end for line in lines):
            shown = (line for line in lines if line.address < end + 2 * BEHIND)
            return [CodeLine(one.address, one.words, one.text, is_end=one.address == end) for one in shown]
    return []


def _words(machine: Machine, end: int) -> tuple[int, list[int]]:
    """Words around an address as the program sees them, without a side effect; and where the first lies."""
    found: list[int] = []
    data, first = ffi.new("uint16_t *"), max((end & ~1) - 2 * BEFORE, 0)
    for address in range(first, min((end & ~1) + 2 * (BEHIND + MOST_WORDS), WORD), 2):
        physical = machine._leads_to(address, is_instruction=True)
        if physical is None or lib.ms_peek(machine._raw, physical, data):
            if address >= end:
                break
            first, found = address + 2, []
            continue
        found.append(int(data[0]))
    return first, found


def source_lines(program: Program) -> dict[int, CodeLine]:
    """The instructions of an assembled program by their addresses, with labels and remarks."""
    found: dict[int, CodeLine] = {}
    waiting = ""
    for line in program.listing:
        text, _, remark = line.source.partition(";") if '"' not in line.source else (line.source, "", "")
        label, colon, rest = text.partition(":")
        if colon and label.strip() and " " not in label.strip() and "/" not in label:
            waiting, text = label.strip(), rest
        if line.address is None or not line.data:
            continue
        words = tuple(int.from_bytes(line.data[at : at + 2], "little") for at in range(0, len(line.data) - 1, 2))
        if line.in_words and words:
            found[line.address] = CodeLine(line.address, words, " ".join(text.split()), waiting, remark.strip())
        waiting = ""
    return found
