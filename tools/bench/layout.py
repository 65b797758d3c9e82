"""Where everything lies in the 64 KB that all engines work on, so that their results can be compared byte by byte."""

from __future__ import annotations

import random

CODE = 0o1000  # our own programs start here, and their stack ends here
PASSES = 0o2000  # how many passes are left; a program counts it down to 0
FIRST_RESULT, SECOND_RESULT = 0o2002, 0o2004
LEFT, RIGHT = 0o2006, 0o2010  # the operands of the multiplication
DATA, SECOND_DATA = 0o4000, 0o24000
END = 0o44000  # what is compared ends here
OTHER_CODE = 0o100000  # code of the x86-16 programs
OTHER_STACK = 0o77760
SIZE = 0o200000

MOST_PASSES = 0o177777
SEED = 1976


def fresh(passes: int) -> bytes:
    """The bytes from PASSES to END before a run: results 0, data from a fixed seed."""
    if not 0 < passes <= MOST_PASSES:
        raise ValueError(f"passes are 1 to {MOST_PASSES}, not {passes}")
    head = passes.to_bytes(2, "little") + bytes(DATA - PASSES - 2)
    return head + random.Random(SEED).randbytes(END - DATA)
