"""The rule words of tests/data/condition-codes.yaml, evaluated in exact integers.

Written apart from arithmetic.py on purpose: data and specification are two readings of the same table, and the core is
held against both.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Case:
    """One execution: operands before (without sign), codes before, width in bits."""

    bits: int
    source: int
    old: int
    n: int
    z: int
    v: int
    c: int

    @property
    def top(self) -> int:
        """The most negative number."""
        return 1 << (self.bits - 1)

    @property
    def full(self) -> int:
        """All ones."""
        return (1 << self.bits) - 1

    def fit(self, value: int) -> int:
        """Cut to the width."""
        return value % (1 << self.bits)

    def negative(self, value: int) -> bool:
        """Is the top bit set?"""
        return self.fit(value) >= self.top


RESULTS: dict[str, Callable[[Case], int]] = {
    "zero": lambda k: 0,
    "complement": lambda k: k.full - k.old,
    "plus-one": lambda k: k.fit(k.old + 1),
    "minus-one": lambda k: k.fit(k.old - 1),
    "negative": lambda k: k.fit(-k.old),
    "plus-carry": lambda k: k.fit(k.old + k.c),
    "minus-carry": lambda k: k.fit(k.old - k.c),
    "same": lambda k: k.old,
    "rotate-right": lambda k: (k.old + k.c * (k.full + 1)) // 2,
    "rotate-left": lambda k: k.fit(k.old * 2 + k.c),
    "halve": lambda k: k.old // 2 + (k.top if k.old >= k.top else 0),
    "double": lambda k: k.fit(k.old * 2),
    "swapped": lambda k: k.old % 256 * 256 + k.old // 256,
    "n-spread": lambda k: k.full * k.n,
    "source": lambda k: k.source,
    "source-minus-destination": lambda k: k.fit(k.source - k.old),
    "and": lambda k: k.old & k.source,
    "and-not-source": lambda k: k.old & (k.full - k.source),
    "or": lambda k: k.old | k.source,
    "sum": lambda k: k.fit(k.old + k.source),
    "destination-minus-source": lambda k: k.fit(k.old - k.source),
    "exclusive-or": lambda k: k.old ^ k.source,
}

# Codes that follow from operands and result alone; n-xor-c looks at the new N and C and is settled last.
CODES: dict[str, Callable[[Case, int], bool]] = {
    "0": lambda k, r: False,
    "1": lambda k, r: True,
    "sign": lambda k, r: k.negative(r),
    "zero": lambda k, r: r == 0,
    "sign-of-low-byte": lambda k, r: r % 256 >= 128,
    "zero-low-byte": lambda k, r: r % 256 == 0,
    "not-n": lambda k, r: k.n == 0,
    "was-most-positive": lambda k, r: k.old == k.top - 1,
    "was-most-negative": lambda k, r: k.old == k.top,
    "is-most-negative": lambda k, r: r == k.top,
    "not-zero": lambda k, r: r != 0,
    "was-most-positive-and-c": lambda k, r: k.old == k.top - 1 and k.c == 1,
    "was-all-ones-and-c": lambda k, r: k.old == k.full and k.c == 1,
    "was-zero-and-c": lambda k, r: k.old == 0 and k.c == 1,
    "signs-alike-result-other": lambda k, r: (
        k.negative(k.source) == k.negative(k.old) and k.negative(r) != k.negative(k.old)
    ),
    "signs-differ-as-destination": lambda k, r: (
        k.negative(k.source) != k.negative(k.old) and k.negative(r) == k.negative(k.old)
    ),
    "signs-differ-as-source": lambda k, r: (
        k.negative(k.source) != k.negative(k.old) and k.negative(r) == k.negative(k.source)
    ),
    "carry": lambda k, r: k.old + k.source > k.full,
    "source-below": lambda k, r: k.source < k.old,
    "destination-below": lambda k, r: k.old < k.source,
}

# The bit that leaves on a shift, by the result word of the row.
SHIFTED_OUT: dict[str, Callable[[Case], int]] = {
    "rotate-right": lambda k: k.old % 2,
    "halve": lambda k: k.old % 2,
    "rotate-left": lambda k: int(k.old >= k.top),
    "double": lambda k: int(k.old >= k.top),
}

TAKEN: dict[str, Callable[[int, int, int, int], bool]] = {
    "always": lambda n, z, v, c: True,
    "z=0": lambda n, z, v, c: not z,
    "z=1": lambda n, z, v, c: bool(z),
    "n=v": lambda n, z, v, c: n == v,
    "n!=v": lambda n, z, v, c: n != v,
    "z=0 and n=v": lambda n, z, v, c: not z and n == v,
    "z=1 or n!=v": lambda n, z, v, c: bool(z) or n != v,
    "n=0": lambda n, z, v, c: not n,
    "n=1": lambda n, z, v, c: bool(n),
    "c=0 and z=0": lambda n, z, v, c: not c and not z,
    "c=1 or z=1": lambda n, z, v, c: bool(c) or bool(z),
    "v=0": lambda n, z, v, c: not v,
    "v=1": lambda n, z, v, c: bool(v),
    "c=0": lambda n, z, v, c: not c,
    "c=1": lambda n, z, v, c: bool(c),
}


def expected_result(row: dict[str, str], case: Case) -> tuple[int | None, int]:
    """What is stored (None: nothing), and the number that the codes look at."""
    if row["result"] == "none":
        looked_at = RESULTS[row.get("compared", "same")](case)
        return None, looked_at
    stored = RESULTS[row["result"]](case)
    return stored, stored


def expected_codes(row: dict[str, str], case: Case, looked_at: int) -> dict[str, int]:
    """The four codes after the instruction."""
    codes: dict[str, int] = {}
    for name in "nzcv":  # V last: n-xor-c needs N and C
        rule = row[name]
        if rule == "-":
            codes[name] = getattr(case, name)
        elif rule == "bit-shifted-out":
            codes[name] = SHIFTED_OUT[row["result"]](case)
        elif rule == "n-xor-c":
            codes[name] = codes["n"] ^ codes["c"]
        else:
            codes[name] = int(CODES[rule](case, looked_at))
    return codes
