"""What goes into a run and what comes out of it, as values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from minisim.cpu.operands import NAMES


class Reason(StrEnum):
    """Why a run ended."""

    HALTED = "HALTED"  # a HALT, the halt line, or a double bus error
    LIMIT = "LIMIT"  # as many instructions as were asked for
    WAITING = "WAITING"  # WAIT, and nothing in the machine can end it
    REACHED = "REACHED"  # the condition of `until` came true
    REQUEST = "REQUEST"  # somebody called stop()
    STUCK = "STUCK"  # a jump to itself that nothing can end

    def __str__(self) -> str:
        return self.value


@dataclass(frozen=True, slots=True)
class Text:
    """Run until the console has printed this text (ASCII; the eighth bit of what is printed does not count)."""

    text: str


@dataclass(frozen=True, slots=True)
class Address:
    """Run until the next instruction lies at this 16-bit address; where the run begins does not count."""

    address: int


@dataclass(frozen=True, slots=True)
class Access:
    """Run until the program touches an address from `first` to `last` (16 bits, as the program sees it)."""

    first: int
    last: int | None = None
    read: bool = True
    write: bool = True
    fetch: bool = False


@dataclass(frozen=True, slots=True)
class RegisterHolds:
    """Run until R0 to R7 (6: SP, 7: PC) holds this word; of two sets, that of the next instruction."""

    number: int
    value: int


@dataclass(frozen=True, slots=True)
class TrapTaken:
    """Run until a trap or an interrupt has gone through this vector: during an instruction, or before the next one."""

    vector: int


@dataclass(frozen=True, slots=True)
class All:
    """Run until all of these (at most four, none of them an All) hold after one and the same instruction of this run.

    What comes (a text, an access, a trap) counts for the instruction that is running, or for the last one before it.
    """

    conditions: tuple[Text | Address | Access | RegisterHolds | TrapTaken, ...]


Condition = Text | Address | Access | RegisterHolds | TrapTaken | All


@dataclass(frozen=True, slots=True)
class Stop:
    """How a run ended.

    `pc` is the address of the next instruction, `at` that of the last one; `instructions` and `time_ns` count this run
    only (`time_ns` in nanoseconds of guest time); `place` is the processor's place in the loadout, if it has one.
    `until` are the conditions, `came` those among them that came true.
    """

    reason: Reason
    pc: int
    instructions: int
    time_ns: int
    at: int = 0
    place: str = ""
    until: tuple[Condition, ...] = ()
    came: tuple[Condition, ...] = ()

    def __str__(self) -> str:
        return sentence(self)


def _why(stop: Stop) -> str:
    """The middle of the sentence."""
    after = f"after {stop.instructions} instruction{'' if stop.instructions == 1 else 's'}"
    return {
        Reason.HALTED: f"the instruction at {stop.at:06o} halted the processor {after}; next would be {stop.pc:06o}",
        Reason.LIMIT: f"not finished {after}, the limit; next would be {stop.pc:06o}",
        Reason.WAITING: f"the WAIT at {stop.at:06o} can't end: nothing will interrupt it; it came {after}",
        Reason.REACHED: f"{_reached(stop)} {after}; next would be {stop.pc:06o}",
        Reason.REQUEST: f"stopped on request {after}; next would be {stop.pc:06o}",
        Reason.STUCK: f"the instruction at {stop.at:06o} jumps to itself for ever; it came {after}",
    }[stop.reason]


def _reached(stop: Stop) -> str:
    """What came true, in words; of several at once the first."""
    came = stop.came or (stop.until if len(stop.until) == 1 else ())
    return _came(stop, came[0]) if came else "a condition came true"


def _came(stop: Stop, condition: Condition) -> str:
    if isinstance(condition, All):
        return " and ".join(_came(stop, each) for each in condition.conditions)
    if isinstance(condition, Text):
        return f'the text "{condition.text}" came'
    if isinstance(condition, Address):
        return f"address {condition.address:06o} was reached"
    if isinstance(condition, RegisterHolds):
        return f"{NAMES[condition.number]} was {condition.value:06o}"
    if isinstance(condition, TrapTaken):
        return f"a trap or interrupt through {condition.vector:06o} came"
    return f"the instruction at {stop.at:06o} touched {condition.first:06o}"


def sentence(stop: Stop) -> str:
    """A stop in the form of a finding: place, what happened, what would come next.  The only formatter of a Stop."""
    return f"{stop.place}: {_why(stop)}" if stop.place else _why(stop)


@dataclass(frozen=True, slots=True)
class Timing:
    """Nanoseconds of an instruction: base + cycle for each memory cycle beyond the fetch; `basis` says where they are
    from.

    With an instruction table, printed line by line, base and cycle are those of the instructions it does not name.
    `strength` counts its times by their evidence (seen, derived, unconfirmed ...; model: nothing is printed).
    """

    base_ns: int
    cycle_ns: int
    basis: str  # instruction table | cycle table | average | assumed
    text: str
    strength: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Counters:
    """What happened since the machine was made.

    Register addresses are in their 18-bit form.  `refused` counts interrupt requests that no grant can reach, by the
    place of the board.
    """

    instructions: int
    time_ns: int
    reads: Mapping[int, int]
    writes: Mapping[int, int]
    interrupts: Mapping[int, int]
    traps: Mapping[int, int]
    refused: Mapping[str, int]
    first_pc: int | None
