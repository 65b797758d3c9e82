"""One sentence for an instruction: what it did, with the numbers of its step, or what it will do.

The texts stand in the instruction table, beside the bodies (cpu/core/record.h says what they are made of).
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from minisim.cpu.operands import ACCUMULATORS, NAMES, PC
from minisim.cpu.table import Record
from minisim.machine.records import Reason
from minisim.machine.steps import Step
from minisim.machine.telling import ends
from minisim.machine.telling.codes import claims, filled_claim, float_claims
from minisim.machine.telling.course import Course, Trap, course_of
from minisim.machine.telling.forecast import NO_ADDRESS, Forecast, unit_of, without_codes
from minisim.machine.telling.places import COMMERCIAL, FLOATING, Finder, Found, GivenUpError, Place, told_place
from minisim.machine.telling.values import UnknownError, Values, numbers_of
from minisim.machine.telling.wording import record_of, wording
from minisim.machine.told import EXCEPTIONS

RESERVED = "is reserved: no instruction has this word"
_FIELD = re.compile(r"\{([^}]*)\}")
_OWN_TRAP = "V"  # the field of texts whose instruction is a trap
_NO_CODE = 0o2  # the floating exception of codes and accumulators that do not exist
_BUS_ERROR, _NO_SUCH, _FLOATING_TRAP, _MEMORY = 0o4, 0o10, 0o244, 0o250


def meaning(words: Sequence[int], pc: int) -> str:
    """What an instruction will do, by its words from `pc` on: `adds the word R1 points to, to R2, and steps R1 by 2`.

    Words that are missing are told as such.  ValueError: there is no word at all, or one of more than 16 bits.
    """
    if not words or any(not 0 <= word <= 0o177777 for word in words):
        raise ValueError("an instruction has at least one word, and a word 16 bits: 0 to 177777 octal")
    record = record_of(words[0])
    if record is None:
        return RESERVED
    return Forecast(words, pc, record).told(wording(record, words[0]))


def sentence(step: Step) -> str:
    """What a step did: `adds the word at 001234 to R2: 000005 + 177776 = 000003, carry out, so C is set`."""
    course = course_of(step)
    parts = _parts(step, course) if step.words else _without_instruction(step, course)
    parts += ends.ending(step, "; ".join(parts))
    return "; ".join(parts)


def _parts(step: Step, course: Course) -> list[str]:
    parts = [*ends.interrupts(course.first)]
    told, behind = _instruction(step, course)
    parts.append(f"then it {told}" if parts else told)
    return [*parts, *ends.followers(behind)]


def _without_instruction(step: Step, course: Course) -> list[str]:
    """No instruction ran: an interrupt alone, a fetch that failed, or the processor waits."""
    traps = course.first
    if not traps:
        return ["no instruction: the processor waits, or nothing could be fetched"]
    if traps[-1].vector not in (_BUS_ERROR, _MEMORY):
        return [*ends.interrupts(traps)]
    return [*ends.interrupts(traps[:-1]), f"the word at {step.pc:06o} can't be fetched, {_trap(traps[-1])}"]


def _instruction(step: Step, course: Course) -> tuple[str, tuple[Trap, ...]]:
    """What the instruction itself did, and what came behind it and is not told yet."""
    record, behind = record_of(step.words[0]), course.behind
    vector = behind[0].vector if behind else None
    if record is None:
        why = f"is a reserved word{_exception(step)}"
        return (f"{why}, {_trap(behind[0])}" if behind else f"{why}, and nothing else happens"), behind[1:]
    if vector == _NO_SUCH and _NO_SUCH not in record.traps:
        return f"is not fitted here, {_trap(behind[0])}", behind[1:]
    if record.module == FLOATING and step.floats is None and vector == _FLOATING_TRAP:
        return f"does not run: an earlier floating exception was due, {_trap(behind[0])}", behind[1:]
    return _fitted(step, course, record)


def _fitted(step: Step, course: Course, record: Record) -> tuple[str, tuple[Trap, ...]]:
    text, behind = wording(record, step.words[0]), course.behind
    finder = Finder(step, course, record)
    try:
        found = finder.find(sum(name in text.fields for name in ("w1", "w2")))
    except GivenUpError as refused:
        return _given_up(course, record, refused), behind[1:]
    if behind and _is_cut_short(step, course, record):
        return _given_up(course, record, GivenUpError(None, byte=False)), behind[1:]
    if behind and _is_refused(step, course, record, found):
        return f"{_cause(record)}, {_trap(behind[0])}", behind[1:]
    told = _done(Values(step, course, record, text, found))
    if step.floats and step.floats[1].exception == _NO_CODE:
        told = f"can't be done{_exception(step)}"
    if behind and _OWN_TRAP in text.fields:
        return f"{told}: {ends.pushes(behind[0])}", behind[1:]
    if behind and _is_floating_trap(record, behind[0]):
        return f"{told}; {_trap(behind[0], '')}", behind[1:]
    return told, behind


def _is_floating_trap(record: Record, trap: Trap) -> bool:
    return trap.vector == _FLOATING_TRAP and _FLOATING_TRAP in record.traps


def _trap(trap: Trap, so: str = "so ") -> str:
    return f"{so}it traps through {trap.vector:06o}: {ends.pushes(trap)}"


# --- what could not be done -------------------------------------------------------------------------------------------


def _given_up(course: Course, record: Record, refused: GivenUpError) -> str:
    if not course.behind:
        return "is given up"
    trap = course.behind[0]
    if trap.vector in record.traps and trap.vector not in (_BUS_ERROR, _FLOATING_TRAP):
        return f"can't be done here, {_trap(trap)}"
    return f"is given up: {_why_given_up(trap, refused)}, {_trap(trap)}"


def _why_given_up(trap: Trap, refused: GivenUpError) -> str:
    if trap.vector == _BUS_ERROR and trap.emergency:
        return "SP is below the limit of the stack"
    if refused.address is None:
        return "a word can't be reached"
    if trap.vector == _MEMORY:
        return f"memory management refuses {refused.address:06o}"
    if trap.vector == _BUS_ERROR and refused.address & 1 and not refused.byte:
        return f"{refused.address:06o} is odd"
    at = f"{refused.address:06o}"
    return f"nobody answers at {at}" if trap.vector == _BUS_ERROR else f"{at} is refused"


def _is_cut_short(step: Step, course: Course, record: Record) -> bool:
    """Was an instruction without operands of six bits given up?"""
    vector, ps = course.behind[0].vector, course.behind[0].old_ps or 0
    if record.form.name == "FLOATING":
        return vector != _FLOATING_TRAP and not any(operand.written for operand in step.operands)
    return record.module == COMMERCIAL and vector == _BUS_ERROR and not ps & ends.SUSPENDED


def _is_refused(step: Step, course: Course, record: Record, found: Found) -> bool:
    """Did the instruction trap instead of doing anything?"""
    trap = course.behind[0]
    if record.form.destination == "address":
        return found.places["D"].is_register and trap.vector in record.traps
    if record.module == FLOATING:
        return trap.vector in (_BUS_ERROR, _MEMORY) and _lacks_operands(step, record)
    is_trap = record.form.name == "FLOATING" or _OWN_TRAP in wording(record, step.words[0]).fields
    return trap.vector in record.traps and not is_trap


def _lacks_operands(step: Step, record: Record) -> bool:
    """A floating instruction that did not come to its operand."""
    return "F" in record.operands and not step.operands


def _cause(record: Record) -> str:
    if record.form.destination == "address":
        return NO_ADDRESS
    return "is given up: the operand can't be reached" if record.module == FLOATING else "can't be done here"


def _exception(step: Step) -> str:
    code = step.floats[1].exception if step.floats else 0
    return f", floating exception {code:o} ({EXCEPTIONS.get(code, 'unknown')})" if code else ""


# --- what was done ----------------------------------------------------------------------------------------------------


def _done(values: Values) -> str:
    step, course, text = values.step, values.course, values.wording
    told = without_codes(_FIELD.sub(lambda match: _field(values, match[1]), text.does))
    numbers, whole = numbers_of(values)
    if numbers and f" {numbers} in the instruction" not in told:
        told += f": {numbers}" if told else numbers
    told += _branch(values)
    more = [*claims(values, whole), *float_claims(step, values), *filled_claim(values)]
    more += [*ends.stepped(course, values.found), *ends.changes(course)]
    more += ends.goes_on(step, course, told)
    told += _exception(step)
    lead = ", " if more and ", so " in more[0] else "; "
    return f"{told}{lead}{'; '.join(more)}" if more else told


def _field(values: Values, name: str) -> str:
    """A field in front of the numbers."""
    found, step, record = values.found, values.step, values.record
    if name in found.places:
        return _operand(values, name, found.places[name])
    if name == "H" and step.reason is not Reason.HALTED:
        return "does not halt here"
    if name == "J":
        return _jump(values, found.places["D"])
    return Forecast(step.words, step.pc, record).field(name)


def _operand(values: Values, letter: str, place: Place) -> str:
    if letter != "F" or not place.is_register:
        return told_place(place, unit_of(values.record), NAMES[place.code & 7])
    return ACCUMULATORS[place.code] if place.code < len(ACCUMULATORS) else f"accumulator {place.code}"


def _jump(values: Values, place: Place) -> str:
    at = values.course.end.r[PC]
    if at is None:
        return "an address"
    held = place.held_at is not None and place.code != 0o37
    return f"{at:06o}" + (f" (held at {place.held_at:06o})" if held else "")


def _branch(values: Values) -> str:
    """How a branch or loop ended: `goes back to 001000, because Z is clear`."""
    text, ps = values.wording, values.course.start.ps
    if not text.target:
        return ""
    lead = ", " if text.does else ""
    forecast = Forecast(values.step.words, values.step.pc, values.record)
    target = forecast.target(text.target)
    way = f"goes {'back ' if (target - values.step.pc - 2) & 0o100000 else ''}to {target:06o}"
    if text.condition is None:
        return lead + way
    try:
        result = values.result() if "r!=0" in text.condition.terms else None
    except UnknownError:
        return ""
    if ps is None:
        return lead + (way if values.course.end.r[PC] == target else "goes on")
    taken, at = text.condition.holds(ps, result), values.course.end.r[PC]
    if taken and at is not None and at != target:
        way = f"goes to {at:06o}"  # PC was its own counter
    return f"{lead}{way if taken else 'goes on'}, because {text.condition.why(ps, result)}"
