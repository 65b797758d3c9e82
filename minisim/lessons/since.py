"""What the program did since a step began: traps by vector, addresses it touched, what it printed."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from minisim.lessons.checks import Check, Touched
from minisim.lessons.rig import Rig
from minisim.machine.recording import Input, apply_input, place_of
from minisim.machine.records import Access, Reason
from minisim.machine.session import FOR_EVER

if TYPE_CHECKING:
    from minisim.machine.inputs import Recorder
    from minisim.machine.machine import Machine


@dataclass(slots=True)
class Since:
    """The account of one step."""

    traps: dict[int, int] = field(default_factory=dict)  # taken before it began, by vector
    touched: set[tuple[int, bool]] = field(default_factory=set)  # (address, written)
    printed: str = ""
    halted_at: int = -1  # guest time at which the processor stood halted when the step began

    def begin(self, rig: Rig) -> None:
        """The step begins now."""
        self.traps = _taken(rig.machine)
        self.halted_at = rig.machine.time_ns if rig.halted else -1

    def trapped(self, machine: Machine, vector: int) -> bool:
        """Was this vector taken since?"""
        return _taken(machine).get(vector, 0) > self.traps.get(vector, 0)

    @contextlib.contextmanager
    def watching(self, rig: Rig, check: Check) -> Iterator[None]:
        """Note which of the addresses that a check asks about are touched by what runs inside.

        The machine says afterwards what it did: a copy from before is run once more, up to the same moment, with what
        came in meanwhile.  Nothing is kept while the check is about other things.
        """
        wanted = [leaf for leaf in check.leaves if isinstance(leaf, Touched)]
        if not wanted:
            yield
            return
        machine = rig.machine
        run = _Run(machine.freeze(), machine, machine._inputs.recorder)
        machine._inputs.recorder = run
        try:
            yield
        finally:
            if machine._inputs.recorder is run:
                machine._inputs.recorder = run.next
        self.touched |= {(leaf.address, leaf.write) for leaf in wanted if run.touches(leaf, place_of(rig.machine)[0])}


@dataclass(slots=True)
class _Run:
    """A machine as it was, and what came in since: enough to run it once more."""

    before: bytes
    machine: Machine
    next: Recorder | None
    inputs: list[Input] = field(default_factory=list)

    def note(
        self, what: str, device: int, part: str, content: bytes = b"", *, on: bool = False, medium: Any = None
    ) -> None:
        """An input that comes now; whoever else records hears of it too."""
        if medium is None:  # what is put in while a check watches is not asked about
            self.inputs.append(Input(*place_of(self.machine), what, device, part, content, on))
        if self.next is not None:
            self.next.note(what, device, part, content, on=on, medium=medium)

    def touches(self, leaf: Touched, end: int) -> bool:
        """Does the same run, up to the same moment, touch this address?"""
        from minisim.machine.frozen import thaw

        with thaw(self.before) as again:
            session = again.session(FOR_EVER, Access(leaf.address, read=not leaf.write, write=leaf.write))
            for at, one in [*((each.at, each) for each in self.inputs), (end, None)]:
                while (left := at - place_of(again)[0]) > 0 and session.advance(left):
                    pass
                if session.reason is Reason.REACHED:
                    return True
                if one is not None:
                    apply_input(again, one)
        return False


def _taken(machine: Machine) -> dict[int, int]:
    """Traps and interrupts by vector."""
    counters = machine.counters()
    vectors = set(counters.traps) | set(counters.interrupts)
    return {vector: counters.traps.get(vector, 0) + counters.interrupts.get(vector, 0) for vector in vectors}
