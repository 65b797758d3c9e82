"""Conditions that end a run: from the records into the core, and which of them came true.  How they are looked at:
cpu/core/until.h.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from minisim.cpu._core import ffi, lib
from minisim.machine.errors import NotFittedError
from minisim.machine.records import Access, Address, All, Condition, RegisterHolds, Text, TrapTaken
from minisim.machine.views import word_of

if TYPE_CHECKING:
    from minisim.machine.machine import Machine

MOST_CONDITIONS: int = lib.MS_ALTERNATIVES
MOST_TOGETHER = 4  # in an All
LONGEST_TEXT: int = lib.MS_TEXT_BYTES
LAST_VECTOR = 0o774
_Term = Text | Address | Access | RegisterHolds | TrapTaken


def listed(until: Condition | Sequence[Condition] | None) -> tuple[Condition, ...]:
    """The conditions, any of which ends the run.  ValueError: none, or too many."""
    found = () if until is None else (until,) if isinstance(until, _Term | All) else tuple(until)
    if any(not isinstance(each, _Term | All) for each in found):
        raise ValueError("until takes Text, Address, Access, RegisterHolds, TrapTaken, and All of these")
    if len(found) > MOST_CONDITIONS:
        raise ValueError(f"until takes {MOST_CONDITIONS} conditions at most, not {len(found)}")
    return found


def set_until(machine: Machine, conditions: tuple[Condition, ...]) -> None:
    """Into the core; the run begins here.  ValueError, NotFittedError: one that can't be."""
    raw = machine._raw
    lib.ms_until_clear(raw)
    if not conditions:
        return
    try:
        for number, condition in enumerate(conditions):
            for term in _together(condition):
                _add(machine, number, term)
    except BaseException:
        lib.ms_until_clear(raw)
        raise
    raw.until.first = raw.instructions
    lib.ms_until_settle(raw)


def came(machine: Machine, conditions: tuple[Condition, ...]) -> tuple[Condition, ...]:
    """Those that hold where a run has been ended by one."""
    held = lib.ms_until_held(machine._raw)
    return tuple(condition for number, condition in enumerate(conditions) if held >> number & 1)


def _together(condition: Condition) -> tuple[_Term, ...]:
    """What must hold at once."""
    if not isinstance(condition, All):
        return (condition,)
    terms = tuple(condition.conditions)
    if any(not isinstance(each, _Term) for each in terms):
        raise ValueError("All takes Text, Address, Access, RegisterHolds and TrapTaken")
    if not 1 <= len(terms) <= MOST_TOGETHER:
        raise ValueError(f"All takes 1 to {MOST_TOGETHER} conditions, not {len(terms)}")
    return terms


def _add(machine: Machine, number: int, condition: _Term) -> None:
    until = machine._raw.until
    term = until.term[until.count]
    until.count += 1  # cleared with the others if this one can't be
    term.of = number
    if isinstance(condition, Address):
        term.kind, term.value = lib.MS_TERM_PC, word_of(condition.address, "an address")
    elif isinstance(condition, RegisterHolds):
        _register(term, condition)
    elif isinstance(condition, TrapTaken):
        term.kind, term.value = lib.MS_TERM_TRAP, _vector(condition.vector)
    elif isinstance(condition, Access):
        _access(term, condition)
    else:
        _text(machine, term, condition)


def _register(term: Any, condition: RegisterHolds) -> None:
    number = condition.number
    if not isinstance(number, int) or not 0 <= number <= 7:
        raise ValueError(f"registers have the numbers 0 to 7, not {number!r}")
    term.kind, term.number = lib.MS_TERM_REGISTER, number
    term.value = word_of(condition.value, "a register")


def _vector(vector: int) -> int:
    if not isinstance(vector, int) or not 0 <= vector <= LAST_VECTOR or vector % 4:
        said = f"{vector:o}" if isinstance(vector, int) else repr(vector)
        raise ValueError(f"vectors are multiples of 4 from 0 to {LAST_VECTOR:o}, not {said}")
    return vector


def _access(term: Any, condition: Access) -> None:
    last = condition.first if condition.last is None else condition.last
    if last < condition.first:
        raise ValueError(f"addresses go upwards, not from {condition.first:06o} to {last:06o}")
    term.kind = lib.MS_TERM_ACCESS
    term.low, term.high = word_of(condition.first, "an address"), word_of(last, "an address")
    term.access_kinds = condition.fetch * 1 + condition.read * 2 + condition.write * 4


def _text(machine: Machine, term: Any, condition: Text) -> None:
    console = machine.layout.console
    if console is None:
        raise NotFittedError("this machine has no console line that could print a text")
    try:
        text = condition.text.encode("ascii")
    except UnicodeEncodeError:
        raise ValueError(f"a console prints ASCII, which {condition.text!r} is not") from None
    if not 0 < len(text) <= LONGEST_TEXT:
        raise ValueError(f"a text to wait for has 1 to {LONGEST_TEXT} characters")
    machine._raw.until.ring = machine.layout.devices[console].rings["printer"]
    term.kind, term.length = lib.MS_TERM_TEXT, len(text)
    ffi.memmove(term.text, text, len(text))
