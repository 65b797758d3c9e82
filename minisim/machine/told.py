"""A step in words: what was read and written, which numbers it meant, what changed, where it goes on."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from minisim.cpu.operands import NAMES, PC, SP
from minisim.machine.explain import floating
from minisim.machine.records import Reason
from minisim.machine.steps import Floats, Step, StepAccess, split

_CODES = "NZVC"
_CODE_BITS = 0o17
_DOUBLE = 0o200  # FPS: numbers of four words
_VECTORS = 0o1000
EXCEPTIONS = {
    0o2: "a code or an accumulator that does not exist",
    0o4: "division by zero",
    0o6: "the integer does not fit",
    0o10: "overflow",
    0o12: "underflow",
    0o14: "an undefined variable",
}  # FEC [processor-handbooks-1972-81]
_ENDINGS = {
    Reason.HALTED: "the processor halts",
    Reason.WAITING: "the processor waits, and nothing will wake it",
    Reason.STUCK: "it jumps to itself for ever",
}


def told(step: Step) -> tuple[str, ...]:
    """The lines; the first is the instruction with its address."""
    return tuple(_lines(step))


def _lines(step: Step) -> Iterator[str]:
    yield f"{step.pc:06o}: {step.text}" if step.words else "no instruction: an interrupt, or a fetch that failed"
    yield from _words(step)
    for operand in step.operands:
        yield _access(operand.written, operand.told, operand.where)
    if step.cut:
        yield f"of its accesses only the first {len(step.accesses)} are kept"
    if step.floats:
        yield from _floats(*step.floats)
    yield from _registers(step)
    yield from _way(step)


def _access(written: bool, what: str, where: str) -> str:
    return f"writes {what} to {where}" if written else f"reads {what} from {where}"


def _words(step: Step) -> Iterator[str]:
    """Accesses that no number or string accounts for, and that are no part of the instruction or of a trap."""
    told_bytes = any(operand.data for operand in step.operands)
    numbers = {operand.where for operand in step.operands if operand.words}
    spans = {(int(where, 8) + 2 * place) & 0o177777 for where in numbers if where.isdigit() for place in range(4)}
    for access in _own(step):
        if not (access.byte and told_bytes) and access.address not in spans:
            data = f"{access.data:0{3 if access.byte else 6}o}"
            yield _access(access.kind == "write", data, f"{access.address:06o}")


def _own(step: Step) -> list[StepAccess]:
    """Reads and writes of the instruction itself: without those of a trap behind it."""
    found = [access for access in step.accesses if access.kind != "fetch"]
    vector = vector_of(step)
    if vector is None:
        return found
    stack = step.after.r[SP]
    trap = [("read", vector), ("read", vector + 2), ("write", stack), ("write", stack + 2)]
    for access in reversed(list(found)):
        if (access.kind, access.address) in trap:
            trap.remove((access.kind, access.address))
            found.remove(access)
    return found


def vector_of(step: Step) -> int | None:
    """The vector of the trap or interrupt at the end of the step, or None."""
    reads = [access for access in step.accesses if access.kind == "read" and not access.byte]
    for access, behind in pairwise(reads):
        is_pair = access.address % 4 == 0 and access.address < _VECTORS and behind.address == access.address + 2
        if is_pair and access.data == step.after.r[PC]:
            return access.address
    return None


def _floats(before: Floats, after: Floats) -> Iterator[str]:
    size = 4 if (before.fps | after.fps) & _DOUBLE else 2
    for number, (old, new) in enumerate(zip(before.ac, after.ac, strict=True)):
        if old != new:
            yield f"AC{number}: {floating(split(old, size))} becomes {floating(split(new, size))}"
    if after.exception:
        yield f"floating exception {after.exception:o}: {EXCEPTIONS.get(after.exception, 'unknown')}"
    if before.fps != after.fps:
        yield f"FPS: {before.fps:06o} becomes {after.fps:06o}, codes {_codes(after.fps)}"


def _codes(word: int) -> str:
    return " ".join(f"{name}={word >> 3 - place & 1}" for place, name in enumerate(_CODES))


def _registers(step: Step) -> Iterator[str]:
    for number in range(PC):
        old, new = step.before.r[number], step.after.r[number]
        if old != new:
            yield f"{NAMES[number]}: {old:06o} becomes {new:06o}"
    old, new = step.before.ps, step.after.ps
    if (old ^ new) & ~_CODE_BITS:
        yield f"PS: {old:06o} becomes {new:06o}"
    elif old != new:
        yield f"condition codes: {_codes(old)} become {_codes(new)}"


def _way(step: Step) -> Iterator[str]:
    """Where it goes on, if not with the next instruction."""
    vector, goes_on = vector_of(step), step.after.r[PC]
    if vector is not None:
        yield f"trap or interrupt through {vector:06o}: PS and PC are pushed, it goes on at {goes_on:06o}"
    elif goes_on != (step.pc + 2 * len(step.words)) & 0o177777:
        yield f"goes on at {goes_on:06o}"
    if step.reason in _ENDINGS:
        yield _ENDINGS[step.reason]
