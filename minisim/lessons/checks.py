"""What must hold of a machine at the end of a step, asked after every line of the learner; `check_reader` reads it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from minisim.findings import Report
    from minisim.machine.machine import Machine


class Situation(Protocol):
    """Everything a check can ask: the machine as it stands, and what happened since the step began."""

    @property
    def machine(self) -> Machine:
        """The machine at the bench."""

    @property
    def halted(self) -> bool:
        """The processor has halted."""

    @property
    def printed(self) -> str:
        """What the console has printed since the step began."""

    def touched(self, address: int, write: bool) -> bool:
        """The program read or wrote this address since the step began."""

    def trapped(self, vector: int) -> bool:
        """A trap or an interrupt went through this vector since the step began."""

    def looked(self, what: str) -> bool:
        """The learner looked there."""

    def said(self, words: str) -> bool:
        """The learner used this word."""

    def report(self) -> Report:
        """The findings about the loadout at the desk."""

    def board_at(self, place: str) -> str:
        """The board at a place of the loadout; "" where it is empty."""

    @property
    def switched_on(self) -> bool:
        """The machine was switched on as the loadout stands."""


class Leaf(Protocol):
    """One condition."""

    def holds(self, at: Situation) -> bool:
        """Is it so?"""

    def found(self, at: Situation) -> str:
        """What is found instead, without telling what was asked for; "" where there is nothing to say."""


@dataclass(frozen=True, slots=True)
class Check:
    """Ways in which a step may be done; all conditions of one way must hold."""

    text: str
    ways: tuple[tuple[Leaf, ...], ...]

    def holds(self, at: Situation) -> bool:
        """Is the step done?"""
        return any(all(leaf.holds(at) for leaf in way) for way in self.ways)

    def found(self, at: Situation) -> tuple[str, ...]:
        """What is found where something else was asked for, of the way that wants the least."""
        open_ones = [[leaf for leaf in way if not leaf.holds(at)] for way in self.ways]
        return tuple(filter(None, (leaf.found(at) for leaf in min(open_ones, key=len))))

    @property
    def leaves(self) -> Iterator[Leaf]:
        """Every condition."""
        return (leaf for way in self.ways for leaf in way)


# ---- what a condition asks


@dataclass(frozen=True, slots=True)
class Register:
    """A register holds a word; PS is register 8."""

    name: str
    word: int

    def _now(self, at: Situation) -> int:
        cpu = at.machine.cpu
        if self.name == "ps":
            return cpu.ps
        return cpu.r[{"sp": 6, "pc": 7}.get(self.name, int(self.name[1:]) if self.name[0] == "r" else 0)]

    def holds(self, at: Situation) -> bool:
        """Is it so?"""
        return self._now(at) == self.word

    def found(self, at: Situation) -> str:
        """What it holds."""
        return f"{self.name.upper()} holds {self._now(at):06o}"


@dataclass(frozen=True, slots=True)
class Flag:
    """A condition code is on or off."""

    name: str
    on: bool

    def holds(self, at: Situation) -> bool:
        """Is it so?"""
        return bool(at.machine.cpu.ps & 1 << "cvzn".index(self.name)) is self.on

    def found(self, at: Situation) -> str:
        """How it stands."""
        return f"{self.name.upper()} is {'off' if self.on else 'on'}"


@dataclass(frozen=True, slots=True)
class Memory:
    """Memory holds a word or a byte."""

    address: int
    number: int
    byte: bool

    def _now(self, at: Situation) -> int | None:
        from minisim.machine.errors import NotFittedError

        try:
            return at.machine.memory[self.address] if self.byte else at.machine.memory.word(self.address)
        except NotFittedError:
            return None

    def holds(self, at: Situation) -> bool:
        """Is it so?"""
        return self._now(at) == self.number

    def found(self, at: Situation) -> str:
        """What it holds."""
        now = self._now(at)
        if now is None:
            return f"there is no memory at {self.address:06o}"
        return f"{self.address:06o} holds {now:03o}" if self.byte else f"{self.address:06o} holds {now:06o}"


@dataclass(frozen=True, slots=True)
class Accumulator:
    """A floating accumulator holds a number, in the length that the status says."""

    number: int
    value: Decimal

    def _now(self, at: Situation) -> str:
        from minisim.machine.errors import NotFittedError
        from minisim.machine.explain import floating
        from minisim.machine.steps import split

        try:
            cpu = at.machine.cpu
            words = split(cpu.ac[self.number], 4 if cpu.fps & 0o200 else 2)
        except NotFittedError:
            return ""
        return floating(words).partition(" (")[0]

    def holds(self, at: Situation) -> bool:
        """Is it so?"""
        try:
            return Decimal(self._now(at).replace(" x 10^", "E")) == self.value
        except InvalidOperation:  # the undefined variable, or nothing fitted
            return False

    def found(self, at: Situation) -> str:
        """What it holds."""
        now = self._now(at)
        return f"AC{self.number} holds {now}" if now else "no floating point processor is fitted"


@dataclass(frozen=True, slots=True)
class Printed:
    """The console has printed a text since the step began."""

    text: str

    def holds(self, at: Situation) -> bool:
        """Is it so?"""
        return self.text in at.printed

    def found(self, at: Situation) -> str:
        """Whether anything came."""
        lines = [line.strip() for line in at.printed.split("\n") if len(line.strip()) > 1]  # a prompt says nothing
        return f'the console printed last "{lines[-1]}"' if lines else "the console has printed nothing"


@dataclass(frozen=True, slots=True)
class Halted:
    """The processor has halted."""

    def holds(self, at: Situation) -> bool:
        """Is it so?"""
        return at.halted

    def found(self, at: Situation) -> str:
        """How it stands."""
        return f"the processor has not halted; the next instruction is at {at.machine.cpu.pc:06o}"


@dataclass(frozen=True, slots=True)
class Touched:
    """The program read or wrote an address since the step began."""

    address: int
    write: bool

    def holds(self, at: Situation) -> bool:
        """Is it so?"""
        return at.touched(self.address, self.write)

    def found(self, at: Situation) -> str:
        """That it did not happen yet."""
        return f"nothing has {'written' if self.write else 'read'} {self.address:06o} in this step"


@dataclass(frozen=True, slots=True)
class Trapped:
    """A trap or an interrupt went through a vector since the step began."""

    vector: int

    def holds(self, at: Situation) -> bool:
        """Is it so?"""
        return at.trapped(self.vector)

    def found(self, at: Situation) -> str:
        """That it did not happen yet."""
        return f"nothing has gone through the vector {self.vector:06o} in this step"


@dataclass(frozen=True, slots=True)
class Looked:
    """The learner looked somewhere."""

    what: str

    def holds(self, at: Situation) -> bool:
        """Is it so?"""
        return at.looked(self.what)

    def found(self, at: Situation) -> str:
        """Nothing: where to look is told by the prose."""
        return ""


@dataclass(frozen=True, slots=True)
class Said:
    """The learner used a word."""

    words: str

    def holds(self, at: Situation) -> bool:
        """Is it so?"""
        return at.said(self.words)

    def found(self, at: Situation) -> str:
        """Nothing: which word is told by the prose."""
        return ""


@dataclass(frozen=True, slots=True)
class Finds:
    """The check of the loadout has, or has not, this finding."""

    rule: str
    place: str
    there: bool

    def holds(self, at: Situation) -> bool:
        """Is it so?"""
        return any((one.rule, one.place) == (self.rule, self.place) for one in at.report().findings) is self.there

    def found(self, at: Situation) -> str:
        """What the check says."""
        if not self.there:
            return f"{self.rule} still stands at {self.place}"
        return _count(len([one for one in at.report().findings if not one.accepted]))


@dataclass(frozen=True, slots=True)
class Consistent:
    """The check of the loadout has nothing open."""

    def holds(self, at: Situation) -> bool:
        """Is it so?"""
        return not [one for one in at.report().findings if not one.accepted]

    def found(self, at: Situation) -> str:
        """How many findings there are."""
        return _count(len([one for one in at.report().findings if not one.accepted]))


@dataclass(frozen=True, slots=True)
class Fitted:
    """A board is in a place; "": none is."""

    place: str
    board: str

    def holds(self, at: Situation) -> bool:
        """Is it so?"""
        return at.board_at(self.place) == self.board

    def found(self, at: Situation) -> str:
        """What is there."""
        return f"{self.place} holds {at.board_at(self.place)}" if at.board_at(self.place) else f"{self.place} is empty"


@dataclass(frozen=True, slots=True)
class SwitchedOn:
    """The machine was switched on as the loadout stands now."""

    def holds(self, at: Situation) -> bool:
        """Is it so?"""
        return at.switched_on

    def found(self, at: Situation) -> str:
        """That it was not."""
        return "the machine is not switched on as it stands now"


def _count(findings: int) -> str:
    return "the check finds nothing" if not findings else f"the check has {findings} finding{'s' * (findings > 1)}"
