"""The texts of the instruction table, taken apart; cpu/core/record.h says what they are made of."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from minisim.cpu.operands import PC
from minisim.cpu.table import Record, records

_BRANCH = re.compile(r"^(?P<does>.*?)(?: and )?goes to \{(?P<target>[BL])\}(?: if (?P<terms>.*))?$")
_FIELD = re.compile(r"\{([^}]*)\}")
CODES = "NZVC"


@dataclass(frozen=True, slots=True)
class Condition:
    """When a branch is taken: terms such as `Z=0`, `N!=V`, `r!=0`; all of them or any of them must hold."""

    terms: tuple[str, ...]
    all_of: bool

    def holds(self, ps: int, result: int | None) -> bool:
        """By these condition codes and this result."""
        return (all if self.all_of else any)(_holds(term, ps, result) for term in self.terms)

    def why(self, ps: int, result: int | None) -> str:
        """The terms that decide, told as they are."""
        taken = self.holds(ps, result)
        deciding = [term for term in self.terms if _holds(term, ps, result) == taken]
        return " and ".join(_told(term, taken) for term in deciding)

    @property
    def told(self) -> str:
        """The condition itself."""
        return (" and " if self.all_of else " or ").join(_told(term, holds=True) for term in self.terms)


@dataclass(frozen=True, slots=True)
class Wording:
    """One text: what is done, the letter of a branch's target and its condition, the numbers, reasons of codes."""

    does: str
    target: str
    condition: Condition | None
    numbers: str
    reasons: Mapping[str, str]

    @property
    def fields(self) -> frozenset[str]:
        """Names of all fields."""
        return frozenset(_FIELD.findall(self.does + self.numbers)) | {self.target} - {""}


def wording(record: Record, word: int) -> Wording:
    """The text that counts for this word of a record."""
    texts = _wordings(record.does)
    return texts[-1 if word >> 6 & 7 == PC or (record.operands == "R" and word & 7 == PC) else 0]


@cache
def _wordings(text: str) -> tuple[Wording, ...]:
    return tuple(_wording(each) for each in text.split(" | "))


def _wording(text: str) -> Wording:
    first, *rest = text.split("; ")
    does, _, numbers = first.partition(": ")
    reasons = {reason[0]: reason[3:] for reason in rest}
    branch = _BRANCH.match(does)
    if branch is None:
        return Wording(does, "", None, numbers, reasons)
    return Wording(branch["does"], branch["target"], _condition(branch["terms"]), numbers, reasons)


def _condition(text: str | None) -> Condition | None:
    if text is None:
        return None
    all_of = " or " not in text
    return Condition(tuple(text.split(" and " if all_of else " or ")), all_of)


def _holds(term: str, ps: int, result: int | None) -> bool:
    if term == "r!=0":
        return result != 0
    first, sign, second = re.split("(!?=)", term)
    value = int(second) if second.isdigit() else int(is_set(ps, second))
    return (int(is_set(ps, first)) == value) == (sign == "=")


def _told(term: str, holds: bool) -> str:
    if term == "r!=0":
        return "the result is not 0" if holds else "the result is 0"
    first, sign, second = re.split("(!?=)", term)
    if second.isdigit():
        return f"{first} is {'set' if (second == '1') == holds else 'clear'}"
    return f"{first} and {second} {'are equal' if (sign == '=') == holds else 'differ'}"


@cache
def _by_mask() -> tuple[tuple[int, dict[int, Record]], ...]:
    found: dict[int, dict[int, Record]] = {}
    for record in records():
        found.setdefault(record.mask, {})[record.value] = record
    return tuple(sorted(found.items(), key=lambda item: -item[0].bit_count()))


def record_of(word: int) -> Record | None:
    """The record that owns a first word, whatever is fitted; None: reserved."""
    for mask, by_value in _by_mask():
        found = by_value.get(word & mask)
        if found is not None:
            return found
    return None


def is_set(ps: int, letter: str) -> bool:
    """Whether a condition code is set in a PS or FPS."""
    return bool(ps >> 3 - CODES.index(letter) & 1)


def listed(words: Sequence[str]) -> str:
    """`N`, `N and Z`, `N, Z and C`."""
    return " and ".join([", ".join(words[:-1]), words[-1]] if words[1:] else words)


def code_names(bits: int) -> str:
    """The codes that the four low bits name."""
    return listed([letter for letter in CODES if is_set(bits, letter)])
