"""How much a step of the specification says.

settled     the facts decide: the step is compared bit by bit
`Loose`     the facts leave a few bits open (or call them disputed): these bits are not compared, all others are
`Undefined` the facts say nothing about what happens next: the comparison ends before this step
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple


class Undefined(Exception):  # noqa: N818  an outcome, not an error
    """The facts don't say what happens."""


class Loose(NamedTuple):
    """Bits that are not compared.

    `what` and `where`: "general" and set x 6 + register, "stack" and the mode, "memory" and the address, "ps" and 0.
    """

    what: str
    where: int
    mask: int
    why: str


class Open(NamedTuple):
    """Bits of the PS after the running instruction that the facts leave open: nearly always condition codes."""

    mask: int
    why: str


CLOSED = Open(0, "")


class Abort(Exception):  # noqa: N818  a bus error of the guest, not of this program
    """The running instruction is given up and traps through 4."""

    def __init__(self, kind: str) -> None:
        super().__init__(kind)
        self.kind = kind  # "odd" or "nonexistent"


class RedStack(Exception):  # noqa: N818
    """A reference through SP in the red zone."""


@dataclass
class Step:
    """What one instruction did: `traps` are the vectors taken, `stop` is "", "halted" or "waiting"."""

    at: int
    word: int | None = None
    name: str = ""
    traps: list[int] = field(default_factory=list)
    stop: str = ""
    loose: list[Loose] = field(default_factory=list)
    wrote: bool = False  # memory
    cycles: list[tuple[str, int, bool]] = field(default_factory=list)  # read or write, address, is it a byte
