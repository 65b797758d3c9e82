"""The numbers of a step, for the fields of the texts: `{s}` the source, `{r}` the result ..."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from minisim.cpu.operands import PC
from minisim.cpu.table import Record
from minisim.machine.explain import floating
from minisim.machine.steps import Step, StepAccess, split
from minisim.machine.telling.course import Course
from minisim.machine.telling.forecast import Forecast
from minisim.machine.telling.places import MASK, Found
from minisim.machine.telling.sums import Outcome, outcome
from minisim.machine.telling.wording import Wording

_DOUBLE = 0o200  # FPS: numbers of four words
_UNCHANGED = (0o2, 0o4, 0o14)  # floating exceptions that leave the accumulator alone
_REGISTER_RESULT = ("R,L", "S,R")  # operands as written, where R takes the result
_LETTERS = "NZVC"


class UnknownError(Exception):
    """A number that the step does not tell, or that does not exist."""


def octal(value: int, byte: bool = False) -> str:
    """A word of six digits or a byte of three."""
    return f"{value & 0o377:03o}" if byte else f"{value & MASK:06o}"


def signed(value: int, bits: int = 16) -> int:
    """A number of so many bits with its sign."""
    value &= (1 << bits) - 1
    return value - (value >> bits - 1 << bits)


def long_words(value: int) -> str:
    """A number of 32 bits as two words, high first."""
    return f"{value >> 16 & MASK:06o} {value & MASK:06o}"


@dataclass(slots=True)
class Values:
    """All numbers of one step."""

    step: Step
    course: Course
    record: Record
    wording: Wording
    found: Found

    # --- operands ---------------------------------------------------------------------------------------------------

    @property
    def register(self) -> int:
        """The register that a field of three bits names."""
        return self.step.words[0] >> (0 if self.record.operands == "R" else 6) & 7

    @property
    def carry(self) -> int:
        """C before."""
        return known(self.course.start.ps) & 1

    def destination(self) -> int:
        """What was there before."""
        place = self.found.places.get("D")
        if self.record.operands in _REGISTER_RESULT:
            return known(self.found.r[self.register])
        return self._cut(known(None if place is None else place.value))

    def source(self) -> int:
        """The source; one that is taken late is known by what became of it."""
        return self._likely()[0]

    def outcome(self) -> Outcome | None:
        """What the stated sum gives, if it agrees with what was left."""
        return self._likely()[1]

    def _likely(self) -> tuple[int, Outcome | None]:
        candidates = self._sources()
        fits = [(each, self._sum(each)) for each in candidates]
        fits = [(each, sum_) for each, sum_ in fits if self._agrees(sum_)]
        if len(candidates) > 1:
            fits = [(each, sum_) for each, sum_ in fits if sum_ is not None and self._codes_agree(sum_)]
        if len(fits) != 1:
            raise UnknownError
        return fits[0]

    def _sources(self) -> list[int]:
        if "S" in self.found.places:
            place = self.found.places["S"]
            if not place.is_register:
                return [self._cut(known(place.value))]
            return sorted({self._cut(known(value)) for value in (place.value, place.late)})
        if self.record.operands == "R,D":
            now, before = self.found.r[self.register], self.course.start.r[self.register]
            return sorted({known(now), known(before)})
        return [0]

    def _sum(self, source: int) -> Outcome | None:
        values = {"s": source}
        for name, get in (("d", self.destination), ("c", lambda: self.carry)):
            if f"{{{name}}}" in self.wording.numbers:
                values[name] = get()
        return outcome(self.wording.numbers, values, 8 if self.record.is_byte else 16)

    def _agrees(self, sum_: Outcome | None) -> bool:
        left = self._left()
        return sum_ is None or left is None or sum_.result == left

    def _codes_agree(self, sum_: Outcome) -> bool:
        """N Z V C as the sum says, as far as they go by the result."""
        top = 0o200 if self.record.is_byte else 0o100000
        said = (sum_.result & top, not sum_.result, sum_.overflow, sum_.carry)
        ps = known(self.course.end.ps)
        return all(
            bool(value) == bool(ps >> 3 - place & 1)
            for place, (value, effect) in enumerate(zip(said, self.record.codes, strict=True))
            if effect == "*"
        )

    # --- results ----------------------------------------------------------------------------------------------------

    def _left(self) -> int | None:
        """What was left in the place of the result; None: nowhere."""
        if self.record.operands in _REGISTER_RESULT:
            return self.course.end.r[self.register]
        if self.record.form.destination not in ("write", "change"):
            return None
        if self.found.written:
            return self.found.written[0].data
        place = next((each for letter, each in self.found.places.items() if letter in "DF"), None)
        left = None if place is None or not place.is_register else self.course.end.r[place.code]
        return None if left is None else self._cut(left)

    def result(self) -> int:
        """What was left, or for instructions that leave nothing what the codes go by."""
        left = self._left()
        if left is not None:
            return left
        if self.record.operands in _REGISTER_RESULT or self.record.form.destination in ("write", "change"):
            raise UnknownError
        if "{w1}" in self.wording.numbers:
            return self.found.further[0].data
        sum_ = self.outcome()
        if sum_ is not None:
            return sum_.result
        return self.destination()

    @property
    def filled_register(self) -> tuple[int, int] | None:
        """The register whose high byte took the sign of a byte, and the word there."""
        place = self.found.places.get("D")
        if not self.record.is_byte or place is None or not place.is_register:
            return None
        if self.record.form.destination != "write":
            return None
        new, old = self.course.end.r[place.code], place.late
        if new is None or old is None or (new ^ old) & 0o177400 == 0:
            return None
        return place.code, new

    def _cut(self, value: int) -> int:
        return value & 0o377 if self.record.is_byte else value

    # --- pairs ------------------------------------------------------------------------------------------------------

    def pair(self) -> int:
        """R and its neighbour before, 32 bits with sign."""
        high, low = self.found.r[self.register], self.found.r[self.register | 1]
        return signed(known(high) << 16 | known(low), 32)

    def product(self) -> int:
        """R times the source, if the registers hold it."""
        product = signed(known(self.found.r[self.register])) * signed(self.source())
        self._check(self.register | 1, product)
        if not self.register & 1:
            self._check(self.register, product >> 16)
        return product

    def quotient(self) -> tuple[int, int]:
        """Quotient and remainder, if the registers hold them."""
        divisor, dividend = signed(self.source()), self.pair()
        if not divisor:
            raise UnknownError
        quotient = abs(dividend) // abs(divisor) * (1 if (dividend < 0) == (divisor < 0) else -1)
        remainder = dividend - quotient * divisor
        if signed(quotient) != quotient:
            raise UnknownError
        self._check(self.register | 1, remainder)
        if not self.register & 1:
            self._check(self.register, quotient)
        return quotient, remainder

    def _check(self, register: int, value: int) -> None:
        if self.course.end.r[register] != value & MASK:
            raise UnknownError

    def shift(self) -> str:
        """A count of six bits with sign, told."""
        count = signed(self.source(), 6)
        way = "left" if count > 0 else "right"
        return f"{way} by {abs(count)} bit{'s' * (abs(count) != 1)}" if count else "by 0 bits"

    # --- floating -----------------------------------------------------------------------------------------------------

    def accumulator(self, number: int, moment: int) -> str:
        """An accumulator before (0) or after (1), in the length that counts then."""
        floats = self.step.floats
        if floats is None or (moment and floats[1].exception in _UNCHANGED):
            raise UnknownError
        size = 4 if floats[0].fps & _DOUBLE else 2
        return floating(split(floats[moment].ac[number], size))

    @property
    def ac(self) -> int:
        """The accumulator that two bits name."""
        return self.step.words[0] >> 6 & 3

    def neighbour(self) -> str:
        """AC OR 1 after; an odd one is the accumulator itself."""
        if self.ac & 1:
            raise UnknownError
        return self.accumulator(self.ac | 1, 1)

    def operand(self, number: int) -> str:
        """A number or string as it was noted."""
        if len(self.step.operands) < number:
            raise UnknownError
        return self.step.operands[number - 1].told

    # --- by name ----------------------------------------------------------------------------------------------------

    def told(self, name: str) -> str:
        """One field.  UnknownError: there is no such number here."""
        if name[0] == "r" and name[1:].isdigit():
            return octal(known(self.course.end.r[int(name[1:])]))
        if name[0].isupper():
            return Forecast(self.step.words, self.step.pc, self.record).field(name)
        if name.isdigit():
            return self.operand(int(name))
        if name[0] in "w@":
            access = self._further(int(name[1:]))
            return octal(access.data if name[0] == "w" else access.address)
        return _FIELDS[name](self)

    def _further(self, number: int) -> StepAccess:
        if len(self.found.further) < number:
            raise UnknownError
        return self.found.further[number - 1]


def known(value: int | None) -> int:
    """The value itself.  UnknownError: it is not known."""
    if value is None:
        raise UnknownError
    return value


def _both(value: int) -> str:
    return f"{octal(value)} ({signed(value)}.)"


def _long(value: int) -> str:
    return f"{long_words(value)} ({value}.)"


def _after_pair(v: Values) -> str:
    numbers = dict.fromkeys((v.register, v.register | 1))
    return " ".join(octal(known(v.course.end.r[number])) for number in numbers)


_FIELDS: dict[str, Callable[[Values], str]] = {
    "s": lambda v: octal(v.source(), v.record.is_byte),
    "d": lambda v: octal(v.destination(), v.record.is_byte),
    "r": lambda v: octal(v.result(), v.record.is_byte),
    "c": lambda v: str(v.carry),
    "s#": lambda v: _both(v.source()),
    "d#": lambda v: _both(v.destination()),
    "r#": lambda v: _both(v.result()),
    "rs": lambda v: " ".join(octal(each.data) for each in v.found.written) or octal(v.result()),
    "dd": lambda v: long_words(v.pair()),
    "dd#": lambda v: _long(v.pair()),
    "rr": _after_pair,
    "p#": lambda v: _long(v.product()) + (", the low half stays" if v.register & 1 else ""),
    "q#": lambda v: _both(v.quotient()[0]),
    "m#": lambda v: _both(v.quotient()[1]),
    "by": Values.shift,
    "t": lambda v: octal(known(v.course.end.r[PC])),
    "k": lambda v: octal(known(v.found.r[PC])),
    "a": lambda v: v.accumulator(v.ac, 0),
    "ra": lambda v: v.accumulator(v.ac, 1),
    "rb": Values.neighbour,
}

_BRACKETS = re.compile(r"\[([^\]]*)\]")
_NAMES = re.compile(r"\{([^}]*)\}")


def numbers_of(values: Values) -> tuple[str, bool]:
    """The numbers of a text filled in, empty where one is not known; and whether nothing was left out."""
    whole = True

    def optional(match: re.Match[str]) -> str:
        nonlocal whole
        try:
            return filled(match[1], values)
        except UnknownError:
            whole = False
            return ""

    try:
        if " = {r}" in values.wording.numbers:
            values.outcome()  # a sum is told only if it agrees
        return filled(_BRACKETS.sub(optional, values.wording.numbers), values), whole
    except UnknownError:
        return "", False


def filled(text: str, values: Values) -> str:
    """A text with its fields.  UnknownError: a number is not known."""
    return _NAMES.sub(lambda match: values.told(match[1]), text)
