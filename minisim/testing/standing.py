"""Where a machine stands, as lines: what it printed last, its registers, the instructions around the last one."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from typing import TYPE_CHECKING

from minisim.cpu.disassembler import disassemble
from minisim.testing.machines import ConsoleUnderTest
from minisim.testing.shown import last_printed

if TYPE_CHECKING:
    from minisim.testing.machines import MachineUnderTest

AROUND = 0o14  # bytes before and behind an instruction


def standing(machine: MachineUnderTest) -> list[str]:
    """Where a machine stands."""
    lines = []
    if isinstance(machine.console, ConsoleUnderTest):
        lines += ["printed last:", *last_printed(machine.console.text)]
    lines += ["registers:", *_registers(machine), "instructions:", *_around(machine)]
    return lines + [f"note: {note}" for note in machine.told]


def _registers(machine: MachineUnderTest) -> list[str]:
    words = [f"{word.name} {word:06o}" for word in machine.cpu.r]
    ps = f"PS {machine.cpu.ps:06o}, codes {machine.cpu.codes}"
    return [f"    {'  '.join(words[:4])}", f"    {'  '.join(words[4:])}", f"    {ps}"]


def _around(machine: MachineUnderTest) -> list[str]:
    """The last instruction and its neighbours; those of PC where none has run yet."""
    pc, last = int(machine.cpu.pc), int(machine._raw.instruction_pc) if machine.instructions else None
    middle = (pc if last is None else last) & 0o177776
    first, words = _readable(machine, middle)
    if not words:
        return [f"    nothing can be read at {middle:06o}"]
    lines = dict(_lines(machine, first, words, sorted({middle, pc})))
    marks = {last: "last", pc: "next"}
    shown = [f"{marks.get(at, ''):6}{at:06o}  {text}".rstrip() for at, text in lines.items()]
    return shown if pc in lines else [*shown, f"next  {pc:06o}"]


def _readable(machine: MachineUnderTest, middle: int) -> tuple[int, list[int]]:
    """Words around an address that can be read without a side effect, and the address of the first."""
    before: list[int] = []
    behind: list[int] = []
    for found, places in (
        (before, range(middle - 2, max(middle - AROUND, 0) - 2, -2)),
        (behind, range(middle, min(middle + AROUND, 0o200000), 2)),
    ):
        for at in places:
            word = machine.peek(at)
            if word is None:
                break
            found.append(word)
    return (middle - 2 * len(before), before[::-1] + behind) if behind else (middle, [])


def _lines(
    machine: MachineUnderTest, first: int, words: Sequence[int], wanted: Sequence[int]
) -> Iterator[tuple[int, str]]:
    """Address and text of each line: the source where a program was laid in and still stands, else disassembled."""
    data = b"".join(word.to_bytes(2, "little") for word in words)
    end = first + len(data)
    sources = {
        at: (len(content), text)
        for at, (content, text) in machine.sources.items()
        if first <= at < end and data[at - first :][: len(content)] == content[: end - at]
    }
    at = _start(first, words, [one for one in wanted if first <= one < end], sources)
    while at < end:
        size, text = sources.get(at) or _disassembled(at, words[(at - first) // 2 :])
        cut = min((one for one in sources if at < one < at + size), default=at + size)
        yield at, text if cut == at + size else f"        {words[(at - first) // 2]:06o}"
        at = cut + (cut & 1)


def _disassembled(at: int, words: Sequence[int]) -> tuple[int, str]:
    line = disassemble(words, at)[0]
    return 2 * len(line.words), f"        {line.text}"


def _start(first: int, words: Sequence[int], wanted: Sequence[int], sources: Container[int]) -> int:
    """Where a line begins that leads to those which are known to be some: of a source, else by trying."""
    for start in range(first, wanted[0] + 2, 2):
        if start in sources:
            return start
    for start in range(first, wanted[0], 2):
        begins = {line.address for line in disassemble(words[(start - first) // 2 :], start)}
        if set(wanted) <= begins:
            return start
    return wanted[0]
