"""What the bench tells of a machine, as lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import islice
from types import MappingProxyType
from typing import TYPE_CHECKING

from minisim.bench.answer import listed
from minisim.bench.numbers import counted
from minisim.cpu.operands import NAMES
from minisim.machine.explain import floating
from minisim.machine.seen import (
    MEMORY,
    Interrupt,
    SeenDevice,
    SeenDrive,
    SeenRegister,
    coming_instructions,
    instruction_words,
    interrupts,
    is_masked,
    leads_to,
    peek,
    who_answers,
)
from minisim.machine.sentences import meaning
from minisim.machine.steps import split, text_of
from minisim.machine.telling.course import course_of
from minisim.machine.views import MODES

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.machine.machine import Machine
    from minisim.machine.steps import Step

PER_LINE = 8
FOLLOWING = 8
STACK = 8
_DOUBLE = 0o200  # FPS: numbers of four words


# --- the processor ----------------------------------------------------------------------------------------------------


def overview(machine: Machine, state: str) -> list[str]:
    """Where the machine is: its state, the next instruction, its registers, how far it has come."""
    return [
        f"state    {state}",
        next_line(machine),
        *registers(machine),
        f"so far   {counted(machine.instructions, 'instruction')}, {machine.time_ns / 1e9:.3f} s of the machine's time",
    ]


def registers(machine: Machine) -> list[str]:
    """All of the current set and mode, and the PS in words."""
    cells = [f"{name} {word:06o}" for name, word in zip(NAMES, machine.cpu.r, strict=True)]
    return [
        f"         {'  '.join(cells[:6])}",
        f"         {'  '.join(cells[6:])}  PS {machine.cpu.ps:06o}",
        f"PS       {', '.join(ps_words(machine))}",
    ]


def ps_words(machine: Machine) -> tuple[str, ...]:
    """The PS in words: mode, register set and priority as far as the processor has them, trace, condition codes."""
    ps, raw = machine.cpu.ps, machine._raw
    found = []
    if raw.modes > 1:
        found += [f"{MODES.get(ps >> 14, 'no')} mode", f"before it {MODES.get(ps >> 12 & 3, 'no')} mode"]
    if raw.register_sets > 1:
        found.append(f"register set {ps >> 11 & 1}")
    if raw.one_level:
        found.append("interrupts kept back" if is_masked(machine, 4) else "interrupts let in")
    else:
        found.append(f"priority {ps >> 5 & 7}")
    found.append(f"trace {'on' if ps & 0o20 else 'off'}")
    return (*found, *(f"{name} {'set' if ps >> 3 - at & 1 else 'clear'}" for at, name in enumerate("NZVC")))


def next_parts(machine: Machine) -> tuple[str, str, str]:
    """The next instruction: address, as the assembler writes it, what it will do."""
    pc = machine.cpu.pc
    words = instruction_words(machine, pc)
    if not words:
        return f"{pc:06o}", "", "nothing can be fetched there"
    return f"{pc:06o}", text_of(words, pc), meaning(words, pc)


def next_line(machine: Machine) -> str:
    """The same on one line."""
    at, text, what = next_parts(machine)
    return f"next     {at}  {text}: {what}" if text else f"next     {at}  {what}"


def where(bench: Bench) -> tuple[str, ...]:
    """The line behind an answer that moved the machine."""
    return (next_line(bench.machine),)


def following(machine: Machine) -> Iterator[str]:
    """The next instructions as they lie in memory."""
    yield next_line(machine)
    for at, text, _ in islice(coming_instructions(machine), 1, FOLLOWING):
        yield f"         {at:06o}  {text}"


def sentence(step: Step) -> str:
    """An instruction that ran: address, text, what it did."""
    return f"{step.pc:06o}  {step.text}: {step.sentence}" if step.words else f"{step.pc:06o}  {step.sentence}"


def floats(machine: Machine) -> Iterator[str]:
    """Accumulators and status.  NotFittedError: there is no floating point processor."""
    cpu = machine.cpu
    size = 4 if cpu.fps & _DOUBLE else 2
    for number, value in enumerate(cpu.ac):
        yield f"AC{number}  {floating(split(value, size))}"
    yield f"FPS  {cpu.fps:06o}  {'numbers of four words' if size == 4 else 'numbers of two words'}"
    yield f"last exception  {cpu.fec:o}, of the instruction at {cpu.fea:06o}"


# --- memory and bus ---------------------------------------------------------------------------------------------------


def physical(machine: Machine, address: int) -> int | None:
    """Where an address leads: up to 177777 that of the program, else one of the bus; None: nowhere."""
    return leads_to(machine, address) if address <= 0o177777 else address


def one_word(machine: Machine, address: int) -> str:
    """A word, who answers there, and in memory the instruction it would be."""
    at = physical(machine, address)
    if at is None:
        return f"{address:06o}  memory management gives the program no access there"
    value, who = peek(machine, at), who_answers(machine, at)
    if value is None:
        return f"{address:06o}  {who}" + ("" if who == "nobody" else " (it does not answer a read)")
    text = f"  {text_of(instruction_words(machine, address), address)}" if who == MEMORY and address <= 0o177777 else ""
    letters = f"  letters {letters_of(value)}" if who == MEMORY else ""
    return f"{address:06o}  {value:06o}  {who}{text}{letters}"


def letters_of(word: int) -> str:
    """The two bytes of a word as letters, the low one first; a dot for what is none."""
    return "".join(chr(byte) if 0o40 <= byte < 0o177 else "." for byte in (word & 0o377, word >> 8))


def number_words(word: int) -> str:
    """What a word counts: `10.`, or of a negative one also what it is without a sign."""
    return f"{word}." if word < 0o100000 else f"{word - 0o200000}., without a sign {word}."


def many_words(machine: Machine, address: int, number: int) -> Iterator[str]:
    """Words, eight a line, with their letters behind; dashes where none can be read."""
    for first in range(address, address + 2 * number, 2 * PER_LINE):
        last = min(first + 2 * PER_LINE, address + 2 * number)
        words = [_word(machine, at) for at in range(first, last, 2)]
        shown = " ".join(map(_shown, words))
        letters = "".join("  " if word is None else letters_of(word) for word in words)
        yield f"{first:06o}  {shown} {letters}".rstrip()


def _shown(word: int | None) -> str:
    return "------" if word is None else f"{word:06o}"


def _word(machine: Machine, address: int) -> int | None:
    at = physical(machine, address) if address < 1 << machine.address_bits else None
    return None if at is None else peek(machine, at)


def stack(machine: Machine) -> Iterator[str]:
    """What SP points to, and what lies behind it."""
    sp = machine.cpu.sp
    if sp & 1:
        yield f"SP {sp:06o} is odd"
        return
    for number in range(STACK):
        at = (sp + 2 * number) & 0o177777
        yield f"{at:06o}  {_shown(_word(machine, at))}{'  SP points here' if not number else ''}"


# --- devices ----------------------------------------------------------------------------------------------------------


def granted(steps: Sequence[Step]) -> dict[int, int]:
    """Vectors that were taken in the last instructions, each with how many instructions ago that was."""
    found: dict[int, int] = {}
    for ago, step in enumerate(reversed(steps)):
        course = course_of(step)
        for trap in (*course.first, *course.behind):
            found.setdefault(trap.vector, ago)
    return found


def interrupt_state(one: Interrupt, ago: Mapping[int, int] = MappingProxyType({})) -> str:
    """What becomes of a request, how often one was granted, and whether that was just now."""
    if not one.taken:
        return _request(one)
    return f"{_request(one)}, taken {one.taken}{_ago(ago[one.vector]) if one.vector in ago else ''}"


def _ago(instructions: int) -> str:
    return f" ({counted(instructions, 'instruction')} ago)" if instructions else " (just now)"


def _request(one: Interrupt) -> str:
    if one.waiting:
        return _waiting(one)
    if one.refused and not one.reachable:
        return f"no grant reaches it; asked {one.refused} times in vain"
    return "may ask" if one.enabled else "off"


def _waiting(one: Interrupt) -> str:
    if not one.reachable:
        return "waiting, no grant reaches it"
    if one.first:
        return "waiting, goes next"
    if one.masked:
        return "waiting, masked"
    return f"waiting behind {one.behind}" if one.behind else "waiting"


def interrupt_line(one: Interrupt, ago: Mapping[int, int]) -> str:
    """One request line on a line."""
    return f"{one.place}  {one.words}: level {one.level}, vector {one.vector:03o}, {interrupt_state(one, ago)}"


def interrupt_lines(machine: Machine, steps: Sequence[Step]) -> list[str]:
    """All of them in the order of the grant."""
    ago = granted(steps)
    found = [interrupt_line(one, ago) for one in interrupts(machine)]
    return found or ["no device of this machine interrupts"]


def device_line(device: SeenDevice) -> str:
    """One device: what its bits say, what lies in it."""
    parts = [part for part in (device_state(device), *held(device)) if part]
    return f"{device.place}  {device.device}" + (f": {'; '.join(parts)}" if parts else "")


def device_state(device: SeenDevice) -> str:
    """The registers whose bits say something, in words."""
    told = [f"{each.name} {listed(each.fields)}" for each in device.registers if each.fields and each.readable]
    return "; ".join(told)


def held(device: SeenDevice) -> list[str]:
    """Tape in its readers."""
    return [f"{number} {what}" for what, number in device.holds.items()]


def drive_line(drive: SeenDrive) -> str:
    """One drive."""
    return f"{drive.place}  {drive.kind}: {drive_medium(drive)}{drive_state(drive)}"


def drive_medium(drive: SeenDrive) -> str:
    """What is in it."""
    return drive.medium or "nothing in it"


def drive_state(drive: SeenDrive) -> str:
    """Its switches, with the comma in front."""
    protected = ", write-protect on" if drive.protected else ""
    return protected + (f", off line: {drive.off_line}" if drive.off_line else "")


def register_line(register: SeenRegister) -> str:
    """One register of a device."""
    bits = f"  {listed(register.fields)}" if register.fields else ""
    return f"  {register.name} at {register.address:06o}: {register.value:06o}{bits}"
