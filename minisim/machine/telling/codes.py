"""Condition codes in words: those that an instruction leaves set, with the reason where the numbers give one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from minisim.cpu.operands import NAMES
from minisim.machine.steps import Step
from minisim.machine.telling.places import FLOATING
from minisim.machine.telling.values import UnknownError, Values
from minisim.machine.telling.wording import CODES, code_names, is_set, listed

_SILENT = ("RETURN", "CODES")  # forms that load all codes from somewhere, or say them; traps do so too
_LOOKS = ("TEST", "COMPARE")  # forms that leave nothing but codes
_PS_PLACE = 0o76  # the PS answers at an address that ends so, wherever memory management puts it
_DOUBT = ("N", "Z")  # codes that stay as they were where an instruction gave up its result


def claims(values: Values, whole: bool) -> Iterator[str]:
    """What is told of the codes; `whole`: all numbers of the text exist."""
    ps, record = values.course.end.ps, values.record
    if ps is None or record.form.name in _SILENT or "V" in values.wording.fields:
        return
    affected = [
        letter
        for letter, effect in zip(CODES, record.codes, strict=True)
        if effect != "-" and (whole or letter not in _DOUBT or "[" not in values.wording.numbers)
    ]
    are_set = [letter for letter in affected if is_set(ps, letter)]
    reasons = _reasons(values, are_set)
    for reason in dict.fromkeys(reasons.values()):
        yield f"{reason}, so {_is_or_are([each for each in reasons if reasons[each] == reason], 'set')}"
    if bare := [letter for letter in are_set if letter not in reasons]:
        yield _is_or_are(bare, "set")
    yield from _cleared(values, affected, are_set)


def _cleared(values: Values, affected: list[str], are_set: list[str]) -> Iterator[str]:
    if not are_set and values.record.form.name in _LOOKS:
        yield _is_or_are(affected, "clear")
        return
    before, after = values.course.start.ps, values.course.end.ps
    if before is None or after is None:
        return
    if gone := [letter for letter in affected if is_set(before, letter) and not is_set(after, letter)]:
        yield f"{listed(gone)} become{'s' * (len(gone) == 1)} clear"


def _reasons(values: Values, are_set: list[str]) -> Mapping[str, str]:
    if _may_be_written(values):
        return {}
    found: dict[str, str] = dict(_by_result(values))
    own = values.wording.reasons
    effects = dict(zip(CODES, values.record.codes, strict=True))
    return {
        letter: own.get(letter) or found[letter]
        for letter in are_set
        if letter in own or (letter in found and effects[letter] == "*")
    }


def _by_result(values: Values) -> Iterator[tuple[str, str]]:
    """Reasons that the result itself gives."""
    try:
        result, sum_ = values.result(), values.outcome()
    except UnknownError:
        return
    byte = values.record.is_byte
    if result & (0o200 if byte else 0o100000):
        yield "N", "the sign of the result is 1"
    if not result:
        yield "Z", "the result is 0"
    if sum_ is not None and sum_.overflow:
        yield "V", sum_.overflow
    if sum_ is not None and sum_.carry:
        yield "C", sum_.carry


def _may_be_written(values: Values) -> bool:
    """Was the PS itself perhaps the destination, so that the codes are those that were written?"""
    codes = (values.course.end.ps or 0) & 0o17
    return any(
        access.kind == "write" and access.address & 0o76 == _PS_PLACE and access.data & 0o17 == codes
        for access in values.course.own
    )


def _is_or_are(letters: list[str], what: str) -> str:
    return f"{listed(letters)} {'is' if len(letters) == 1 else 'are'} {what}"


def float_claims(step: Step, values: Values) -> Iterator[str]:
    """Codes of the floating status that are set, of instructions that calculate or look."""
    only_stores = values.wording.numbers == "{1}" and values.record.form.destination == "write"
    if step.floats is None or values.record.module != FLOATING or not step.operands or only_stores:
        return
    are_set = code_names(step.floats[1].fps)
    if not are_set and values.record.form.destination == "read" and "gives" not in values.wording.numbers:
        yield "no floating code is set"
    if are_set:
        yield f"of the floating codes {are_set} {'are' if ' and ' in are_set else 'is'} set"


def filled_claim(values: Values) -> Iterator[str]:
    """A byte that fills a register with its sign."""
    filled = values.filled_register
    if filled is not None:
        yield f"the sign fills the high byte: {NAMES[filled[0]]} is {filled[1]:06o}"
