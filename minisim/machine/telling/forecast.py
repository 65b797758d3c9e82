"""What an instruction will do, told by its words alone: operands by their modes."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from minisim.cpu.instructions import place as place_of
from minisim.cpu.operands import (
    ABSOLUTE,
    ACCUMULATORS,
    DEFERRED_RELATIVE,
    IMMEDIATE,
    NAMES,
    PC,
    RELATIVE,
    SP,
    has_extra,
)
from minisim.cpu.table import Record
from minisim.machine.telling.places import FLOATING, MASK
from minisim.machine.telling.wording import Wording, code_names

_NAMES = re.compile(r"\{([^}]*)\}")
NO_ADDRESS = "can't be done: a register has no address"
HALTS = "halts the processor"
UNITS = {"FLOAT": "number", "INTEGER": "integer"}


def unit_of(record: Record) -> str:
    """What an operand is called."""
    if record.is_byte:
        return "byte"
    return UNITS.get(record.form.name.partition("_")[0], "word") if record.module == FLOATING else "word"


@dataclass(slots=True)
class Forecast:
    """The fields of a text that need no step."""

    words: Sequence[int]
    pc: int
    record: Record
    used: int = 1
    moved: dict[int, int] = field(default_factory=dict)
    long_steps: list[int] = field(default_factory=list)

    def told(self, wording: Wording) -> str:
        """The whole forecast."""
        operands = self.operands()
        if "J" in operands and self.words[0] & 0o70 == 0:
            return NO_ADDRESS
        text = _NAMES.sub(lambda match: operands.get(match[1]) or self.field(match[1]), wording.does)
        text = without_codes(text)
        if wording.target:
            text += (" and " if text else "") + self.branch(wording)
        return _with_commas(text) + self._steps()

    def branch(self, wording: Wording) -> str:
        """Where a branch or loop leads, and when."""
        target = self.target(wording.target)
        way = "goes back to" if (target - self.pc - 2) & 0o100000 else "goes to"
        when = "" if wording.condition is None else f" if {wording.condition.told}"
        return f"{way} {target:06o}{when}"

    def target(self, letter: str) -> int:
        """The target of a branch of eight bits or of a loop."""
        word = self.words[0]
        distance = -(word & 0o77) if letter == "L" else (word & 0o377 ^ 0o200) - 0o200
        return (self.pc + 2 + 2 * distance) & MASK

    # --- fields -------------------------------------------------------------------------------------------------------

    def field(self, name: str) -> str:
        """A field that is no operand of six bits."""
        word = self.words[0]
        if name[0] in "ok" and name[1:].isdigit():
            return self._commercial(name)
        register = word >> (0 if self.record.operands == "R" else 6) & 7
        number = word >> 6 & 3
        texts = {
            "R": NAMES[register],
            "R1": NAMES[register | 1],
            "RR": ",".join(dict.fromkeys((NAMES[register], NAMES[register | 1]))),
            "A": ACCUMULATORS[number],
            "A1": ACCUMULATORS[number | 1],
            "N": f"{word & (0o77 if 'NN' in self.record.pattern else 0o7)}",
            "X": f"{word & 0o377:03o}",
            "K": code_names(word),
            "H": HALTS,
            "V": f"{self.record.traps[0]:06o}" if self.record.traps else "",
        }
        return texts[name]

    def _commercial(self, name: str) -> str:
        """Where a commercial operand is described: registers, or the words in line in the order of the fields."""
        first = int(name[1:])
        if "W" not in self.record.operands:
            if name[0] == "k":
                return f"in R{first},R{first + 1}" if first == 2 else f"in R{first}"
            return f"in R{2 * first - 2},R{2 * first - 1}"
        order = sorted(set(re.findall(r"\{([ok]\d)\}", self.record.does)), key=lambda each: (each[0] == "k", each))
        place = 1 + order.index(name)
        word = f"{self.words[place]:06o}" if place < len(self.words) else "the address that follows"
        return f"in the word {word}" if name == "k4" else f"at {word}"

    # --- operands ---------------------------------------------------------------------------------------------------

    def operands(self) -> dict[str, str]:
        """Every operand of six bits, by its letter; `J` where a jump goes."""
        found: dict[str, str] = {}
        for letter in self.record.operands.split(","):
            if letter in ("S", "D", "F"):
                shift, _ = place_of(self.record.pattern, letter)
                code = self.words[0] >> shift & 0o77
                if letter == "F" and code < 0o10:
                    found[letter] = ACCUMULATORS[code] if code < len(ACCUMULATORS) else f"accumulator {code}"
                    continue
                if self.record.form.destination == "address":
                    found["J"] = self._jump(code)
                else:
                    found[letter] = self._operand(code, unit_of(self.record))
        return found

    def _operand(self, code: int, unit: str) -> str:
        name = NAMES[code & 7]
        if code < 0o10:
            return f"the low byte of {name}" if unit == "byte" else name
        if code == IMMEDIATE:
            word = self._next()
            if word is None:
                return f"the {unit} in the instruction"
            return f"the {unit} {word & 0o377:03o} in the instruction" if unit == "byte" else self._constant(unit, word)
        held = code >> 3 in (3, 5, 7) and code != ABSOLUTE
        at = self._address(code, 1 if unit == "byte" else None if self.record.module == FLOATING else 2)
        if held:
            return f"the {unit} at the address held at {at}"
        return f"the {unit} {name} points to" if at == name else f"the {unit} at {at}"

    @staticmethod
    def _constant(unit: str, word: int) -> str:
        return f"the {unit} {word:06o} in the instruction"

    def _jump(self, code: int) -> str:
        if code == IMMEDIATE:
            self._next()
            return f"{(self.pc + 2) & MASK:06o}"
        held = code >> 3 in (3, 5, 7) and code != ABSOLUTE
        at = self._address(code, 2)
        if held:
            return f"the address held at {at}"
        return f"the address in {at}" if at == NAMES[code & 7] else at

    def _address(self, code: int, by: int | None) -> str:
        """The address of an operand, or of its address: `R1`, `R1 - 2`, `R1 + 000010`, `001234`."""
        mode, reg = code >> 3, code & 7
        if has_extra(code):
            word = self._next()
            if word is None:
                return "the address that follows"
            if code == ABSOLUTE:
                return f"{word:06o}"
            if code in (RELATIVE, DEFERRED_RELATIVE):
                return f"{(self.pc + 2 * self.used + word) & MASK:06o}"
            return f"{NAMES[reg]} + {(word + self.moved.get(reg, 0)) & MASK:06o}"
        before = self.moved.get(reg, 0)
        step = 2 if mode in (3, 5) or reg == PC or (by == 1 and reg >= SP) else by
        if mode in (1, 2, 3):
            if mode != 1:
                self._move(reg, step, up=True)
            return _near(NAMES[reg], before)
        self._move(reg, step, up=False)
        return f"{NAMES[reg]} less its length" if step is None else _near(NAMES[reg], before - step)

    def _move(self, reg: int, by: int | None, up: bool) -> None:
        if by is None:
            self.long_steps.append(reg if up else -reg - 1)
        else:
            self.moved[reg] = self.moved.get(reg, 0) + (by if up else -by)

    def _next(self) -> int | None:
        self.used += 1
        return self.words[self.used - 1] if self.used <= len(self.words) else None

    def _steps(self) -> str:
        moved = ((reg, by) for reg, by in self.moved.items() if by and reg != PC)
        parts = [f"{NAMES[reg]} {'' if by > 0 else 'down '}by {abs(by)}" for reg, by in moved]
        parts += [f"{NAMES[reg]} past it" if reg >= 0 else f"{NAMES[-reg - 1]} down to it" for reg in self.long_steps]
        return f", and steps {' and '.join(parts)}" if parts else ""


def _near(name: str, distance: int) -> str:
    return name if not distance else f"{name} {'+' if distance > 0 else '-'} {abs(distance)}"


def _with_commas(text: str) -> str:
    """A clause between commas where it would run into the next word."""
    return re.sub(r"( points to)(?= to )", r"\1,", text)


def without_codes(text: str) -> str:
    """An operator that chooses no code does nothing."""
    return "does nothing" if text in ("clears ", "sets ") else text
