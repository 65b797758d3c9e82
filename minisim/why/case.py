"""The machine that is asked about: what is wired, how the rules ended, and the numbers in the owner's words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from minisim.findings import Finding, Report, State
from minisim.known import Known, Unknown
from minisim.rules._facts import Span, short, spans
from minisim.why.model import Value
from minisim.why.numbers import vector_of
from minisim.wiring.model import Wired, WiredBoard, WiredRegisters

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue

PAGE = 0o760000  # of the I/O page in 18 bits
_PAGE_BYTES = 0o20000


@dataclass(frozen=True, slots=True)
class Case:
    """One question about one machine."""

    wired: Wired
    report: Report
    catalogue: Catalogue
    values: Mapping[str, Value] = field(default_factory=dict)

    def number(self, name: str) -> int | None:
        """A number from the words; None where they have none of this name."""
        value = self.values.get(name)
        return value if isinstance(value, int) else None

    def text(self, name: str) -> str:
        """A name from the words."""
        value = self.values.get(name)
        return value if isinstance(value, str) else ""

    @property
    def xor(self) -> int | None:
        """The bits in which the expected and the found word differ."""
        expected, found = self.number("expected"), self.number("found")
        return None if expected is None or found is None else expected ^ found

    @property
    def bits(self) -> tuple[int, ...]:
        """Their numbers, 15 at the left; empty where nothing differs."""
        xor = self.xor or 0
        return tuple(bit for bit in range(15, -1, -1) if xor >> bit & 1)

    @property
    def vector(self) -> int | None:
        """The vector that the words name."""
        stop = self.number("stop")
        return self.number("vector") if stop is None else vector_of(stop)

    def findings(self, rules: tuple[str, ...]) -> tuple[Finding, ...]:
        """Findings of these rules, worst first."""
        return tuple(one for one in self.report.findings if one.rule in rules)

    def not_known(self, rules: tuple[str, ...]) -> tuple[str, ...]:
        """What these rules could not check for want of."""
        outcomes = (one for one in self.report.outcomes if one.rule in rules and one.state is State.NOT_CHECKED)
        return tuple(dict.fromkeys(need for one in outcomes for need in one.missing))

    def all_passed(self, rules: tuple[str, ...]) -> bool:
        """Did these rules look at something and find it right throughout?"""
        states = {one.state for one in self.report.outcomes if one.rule in rules} - {State.NOT_APPLICABLE}
        return states == {State.PASSED}

    def at_vector(self) -> tuple[WiredRegisters, ...]:
        """Devices of this machine that interrupt through the vector."""
        return tuple(one for one in self.wired.registers if any(v.vector == self.vector for v in one.vectors))

    def spans_there(self) -> tuple[Span, ...]:
        """Memories that answer at the address the words name."""
        address = self.number("address")
        return tuple(span for span in spans(self.wired) if address is not None and span.start <= address < span.end)

    def boards_of(self, registers: tuple[WiredRegisters, ...]) -> tuple[WiredBoard, ...]:
        """The boards that carry these devices, each once."""
        return tuple(self.wired.boards[index] for index in dict.fromkeys(one.board for one in registers))

    def console(self) -> WiredRegisters | None:
        """The line that answers as console."""
        return next((one for one in self.wired.registers if base_of(one) == 0o17560), None)


def base_of(registers: WiredRegisters) -> int | None:
    """The I/O-page offset of the first register; None where it is not known."""
    return registers.base.peek if isinstance(registers.base, Known) else None


def is_yes(figure: object) -> bool | None:
    """A yes/no figure: True, False, or None where it is not known."""
    if isinstance(figure, Unknown):
        return None
    return isinstance(figure, Known) and figure.peek == "yes"


def named(boards: tuple[WiredBoard, ...]) -> str:
    """`M0000 (main/a/3CF) and M0001 (main/a/5CF)`."""
    words = [short(board) for board in boards]
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def devices(case: Case) -> Iterator[tuple[WiredRegisters, WiredBoard]]:
    """Every device with its board."""
    for one in case.wired.registers:
        yield one, case.wired.boards[one.board]
