"""What cases and tests are to reach of each instruction, derived from its record, and an observer that tells what did.

Nothing here is kept by hand for an instruction: its goals follow from its operands, codes and traps in the instruction
table.  What is reached is seen on execution, by a `Watcher`, never on the text of a case.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from minisim.cpu import Record, records
from minisim.cpu._core import lib

MODES = ("R", "(R)", "(R)+", "@(R)+", "-(R)", "@-(R)", "X(R)", "@X(R)")
THROUGH_PC = {2: "#n", 3: "@#a", 6: "a", 7: "@a"}
PC, SP = 7, 6
CODES = "NZVC"
EXTREMES = {False: (0, 1, 0o077777, 0o100000, 0o177777), True: (0, 1, 0o177, 0o200, 0o377)}
MANAGEMENT = 0o250
# Bits of the processor's error register (unconfirmed), where it has one: why the bus refused a reference.
REFUSED = {0o100: "operand at an odd address", 0o60: "operand where nobody answers"}
RED_STACK = 0o4


@dataclass(frozen=True, slots=True)
class Field:
    """An operand of six bits: where it stands in the first word, and whether a value is read there."""

    name: str
    shift: int
    is_value: bool


@cache
def fields(record: Record) -> tuple[Field, ...]:
    """The operands with modes."""
    form, found = record.form, []
    if form.source != "none":
        found.append(Field("source", 6, True))
    if form.destination != "none":
        is_integer = "F" not in form.operands
        name = "operand" if form.source == "none" else "destination"
        found.append(Field(name, 0, is_integer and form.destination in ("read", "change")))
    return tuple(found)


def goals(record: Record) -> tuple[str, ...]:
    """Everything that is to be seen of an instruction."""
    return tuple(dict.fromkeys(_goals(record)))


def _goals(record: Record) -> Iterator[str]:
    for field in fields(record):
        yield from (f"{field.name} {mode}" for mode in MODES)
        yield from (f"{field.name} {mode}" for mode in THROUGH_PC.values())
        yield from (f"{field.name} through {name}" for name in ("SP", "PC"))
        if field.is_value:
            yield from (f"{field.name} is {value:06o}" for value in EXTREMES[record.is_byte])
        yield from (*REFUSED.values(), "operand refused by memory management")
    if len(fields(record)) + ("R" in record.operands) > 1:
        yield "both operands through one register"
    if "B" in record.operands or "L" in record.operands:
        yield from ("taken", "not taken")
    for code, effect in zip(CODES, record.codes, strict=True):
        yield from _of_code(code, effect)
    yield from (f"trap through {vector:o}" for vector in record.traps)


def _of_code(code: str, effect: str) -> Iterator[str]:
    if effect in "*1":
        yield f"{code} becomes 1"
    if effect in "*0":
        yield f"{code} becomes 0"
    if effect == "-":
        yield from (f"{code} stays {value}" for value in "01")


@dataclass(frozen=True, slots=True)
class _Before:
    """A machine in front of an instruction."""

    registers: tuple[int, ...]
    codes: tuple[int, ...]
    traps: tuple[int, ...]
    errors: int
    count: int


class Watcher:
    """Runs instructions one by one and notes what each has reached.

    `reached` is by mnemonic.  An instruction that aborts counts for nothing but that.
    """

    def __init__(self) -> None:
        self.reached: dict[str, set[str]] = {record.mnemonic: set() for record in records()}

    def step(self, raw: Any) -> int:
        """One instruction of this machine; gives why it stopped."""
        before = _before(raw)
        stop = int(lib.ms_step(raw))
        if raw.instructions == before.count or raw.access[0].kind != lib.MS_ACCESS_FETCH:
            return stop  # an interrupt, or a first word that could not be fetched
        index = int(raw.decoded[raw.instruction].record)
        if index:
            record = records()[index - 1]
            self.reached[record.mnemonic] |= set(_seen(raw, record, before)) & set(goals(record))
        return stop


def _codes(raw: Any) -> tuple[int, ...]:
    return (int(raw.n), int(raw.z), int(raw.v), int(raw.c))


def _before(raw: Any) -> _Before:
    errors, count = int(raw.error_register), int(raw.instructions)
    return _Before(tuple(raw.r), _codes(raw), tuple(raw.traps_by_vector), errors, count)


def _seen(raw: Any, record: Record, before: _Before) -> Iterator[str]:
    vectors = [4 * n for n, (old, new) in enumerate(zip(before.traps, raw.traps_by_vector, strict=True)) if new != old]
    yield from (f"trap through {vector:o}" for vector in vectors)
    errors = int(raw.error_register) & ~before.errors
    if not errors & RED_STACK:
        yield from (goal for bits, goal in REFUSED.items() if errors & bits)
    if MANAGEMENT in vectors:
        yield "operand refused by memory management"
    word = int(raw.instruction)
    if not vectors or set(vectors) <= set(record.traps):
        yield from _operands(raw, record, before, word)
        yield from _changes(raw, record, before)
    if "B" in record.operands or "L" in record.operands:
        yield "taken" if raw.r[PC] != (raw.instruction_pc + 2) & 0o177777 else "not taken"


def _operands(raw: Any, record: Record, before: _Before, word: int) -> Iterator[str]:
    reads = [int(each.data) for each in raw.access[0 : raw.access_count] if each.kind == lib.MS_ACCESS_READ]
    fetched = [int(each.data) for each in raw.access[0 : raw.access_count] if each.kind == lib.MS_ACCESS_FETCH][1:]
    for field in fields(record):
        code = word >> field.shift & 0o77
        mode, register = code >> 3, code & 7
        written = THROUGH_PC.get(mode, MODES[mode]) if register == PC else MODES[mode]
        yield f"{field.name} {written}"
        if register in (SP, PC):
            yield f"{field.name} through {'SP' if register == SP else 'PC'}"
        if field.is_value:
            value = _value(record, code, before, reads, fetched)
            if value is not None:
                yield f"{field.name} is {value:06o}"
    used = [word >> field.shift & 7 for field in fields(record)] + ([word >> 6 & 7] if "R" in record.operands else [])
    if len(used) > 1 and len(set(used)) == 1:
        yield "both operands through one register"


def _value(record: Record, code: int, before: _Before, reads: list[int], fetched: list[int]) -> int | None:
    """What was read as this operand; the lists lose what it used.  An absolute address was fetched, others read."""
    mode, register = code >> 3, code & 7
    if mode == 0:
        value: int | None = before.registers[register]
    elif code == 0o27:
        value = fetched.pop(0) if fetched else None
    else:
        if mode >= 6 or code == 0o37:
            del fetched[:1]
        if mode in (3, 5, 7) and code != 0o37:
            del reads[:1]
        value = reads.pop(0) if reads else None
    return value if value is None or not record.is_byte else value & 0o377


def _changes(raw: Any, record: Record, before: _Before) -> Iterator[str]:
    for code, effect, old, new in zip(CODES, record.codes, before.codes, _codes(raw), strict=True):
        if effect == "-":
            if old == new:
                yield f"{code} stays {new}"
        elif effect == "*" or old != new:
            yield f"{code} becomes {new}"


def unreached(reached: dict[str, set[str]]) -> dict[str, tuple[str, ...]]:
    """By mnemonic: goals that nothing has reached."""
    found = {}
    for record in records():
        left = tuple(goal for goal in goals(record) if goal not in reached[record.mnemonic])
        if left:
            found[record.mnemonic] = left
    return found
