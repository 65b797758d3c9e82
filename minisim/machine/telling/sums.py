"""The sums that texts of the instruction table state, worked out again: result, carry, overflow."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

_SUM = re.compile(r"^(?:(\S+) )?(NOT|\+|-|AND NOT|AND|EXCLUSIVE OR|OR) (\S+) = \{r\}$")
_BITWISE: dict[str, Callable[[int, int], int]] = {
    "NOT": lambda a, b: ~b,
    "AND NOT": lambda a, b: a & ~b,
    "AND": lambda a, b: a & b,
    "OR": lambda a, b: a | b,
    "EXCLUSIVE OR": lambda a, b: a ^ b,
}


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a sum gives: the result in its width, and the reasons why C and V are set, empty where they are not."""

    result: int
    carry: str = ""
    overflow: str = ""


def outcome(numbers: str, values: Mapping[str, int], bits: int) -> Outcome | None:
    """The outcome of `{s} + {d} = {r}` for these values; None: it is no sum, or a value is not known."""
    found = _SUM.match(numbers)
    if found is None:
        return None
    first, sign, second = found[1] or "0", found[2], found[3]
    try:
        a, b = (values[each[1:-1]] if each.startswith("{") else int(each) for each in (first, second))
    except KeyError:
        return None
    return worked_out(a, sign, b, bits)


def worked_out(a: int, sign: str, b: int, bits: int) -> Outcome:
    """One sum of unsigned numbers of so many bits."""
    mask, top = (1 << bits) - 1, 1 << bits - 1
    if sign in _BITWISE:
        return Outcome(_BITWISE[sign](a, b) & mask)
    result = (a + b if sign == "+" else a - b) & mask
    wraps = a + b > mask if sign == "+" else a < b
    second = b if sign == "+" else b ^ mask
    carry = ("carry out" if sign == "+" else "a borrow") if wraps else ""
    return Outcome(result, carry, "the signs say overflow" if ~(a ^ second) & (a ^ result) & top else "")
