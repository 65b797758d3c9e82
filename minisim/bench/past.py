"""Going back in time: the one place that knows the timeline of a machine."""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.bench.answer import Refused
from minisim.bench.tracing import told_here
from minisim.machine.timeline import Timeline

if TYPE_CHECKING:
    from collections.abc import Sequence

    from minisim.machine.machine import Machine
    from minisim.machine.session import Session
    from minisim.machine.steps import Step

RECORDED = "a recording or a trace is being made, and it can't hold a machine that goes back"


class Past:
    """The timeline of the machine on the bench, where it may go back."""

    def __init__(self, machine: Machine, may_go_back: bool) -> None:
        self._may = may_go_back
        self._timeline = Timeline(machine) if may_go_back else None

    @property
    def in_the_past(self) -> bool:
        """Has the machine gone back, and not forth again?"""
        return self._timeline is not None and self._timeline.in_the_past

    def advance(self, session: Session, most: int, until_ns: int | None = None) -> bool:
        """As `Session.advance`."""
        if self._timeline is None:
            return session.advance(most, until_ns=until_ns)
        return self._timeline.advance(session, most, until_ns=until_ns)

    def back(self, *, instructions: int = 0, ns: int = 0) -> Machine:
        """The machine as it was.  MachineError: it can't go so far; the message says how far."""
        return self._there().back(instructions=instructions, ns=ns)

    def back_told(self, count: int, *, instructions: int = 0, ns: int = 0) -> tuple[Machine, Sequence[Step]]:
        """The same, with the last instructions before that place, so many if they can be told."""
        machine = self.back(instructions=instructions, ns=ns)
        return told_here(self, min(count, machine.instructions))

    def to_present(self) -> Machine:
        """The machine as it was before it went back."""
        return self._there().to_present()

    @property
    def machine(self) -> Machine:
        """The machine that stands there now."""
        return self._there().machine

    def restart(self, machine: Machine) -> None:
        """Another machine is on the bench."""
        if self._timeline is not None:
            self._timeline.restart(machine)

    def check_may_go_back(self) -> None:
        """Refused: a recording or a trace is being made."""
        if not self._may:
            raise Refused(RECORDED)

    def _there(self) -> Timeline:
        self.check_may_go_back()
        assert self._timeline is not None
        return self._timeline
