"""Printed instruction times of a profile, and what the model takes where nothing is printed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from minisim.known import Evidence, Figure, Known

MODEL = "model"
"""Stands for evidence where the model had to take something."""


@dataclass(frozen=True, slots=True)
class Time:
    """One time.  `printed` has the evidence (its value: ns, low and high alike unless a range); `ns` is what counts."""

    printed: Figure[tuple[int, int]]
    ns: int
    reading: str = ""  # "", "middle" of a range, "at most"
    because: str = ""  # why the model takes it, where nothing is printed

    @property
    def evidence(self) -> str:
        """The word of the evidence, or `model`."""
        return self.printed.evidence.value if isinstance(self.printed, Known) else MODEL


@dataclass(frozen=True, slots=True)
class TimeLine:
    """Time of some instructions.

    modes: only words whose six-bit operands have these modes, in the order written, and then the whole time; None: any
    word, and the time of its operands comes on top.  not_taken_ns: of a branch that is not taken.
    """

    instructions: tuple[str, ...]
    modes: tuple[int, ...] | None
    time: Time
    not_taken_ns: int | None


@dataclass(frozen=True, slots=True)
class InstructionTimes:
    """All of them.  An operand adds what its mode says; `None` where the file says nothing."""

    lines: tuple[TimeLine, ...]
    source: Mapping[int, Time]
    destination: Mapping[int, Time]
    read_less: Time | None  # a destination in memory that is only read takes so much less
    odd_byte: Time | None  # a byte at an odd address takes so much more
    trap: Time | None
    rest: Time | None  # instructions without a line; None: the average
    rest_cycle: Time | None  # and of each of their memory cycles

    def times(self) -> Iterator[Time]:
        """Every time of the table."""
        yield from (line.time for line in self.lines)
        yield from {id(time): time for time in (*self.source.values(), *self.destination.values())}.values()
        single = (self.read_less, self.odd_byte, self.trap, self.rest, self.rest_cycle)
        yield from (time for time in single if time is not None)

    def strength(self) -> dict[str, int]:
        """How many of the times there are of each evidence, `model` last."""
        found = Counter(time.evidence for time in self.times())
        order = [*(word.value for word in Evidence), MODEL]
        return {word: found[word] for word in order if found[word]}
