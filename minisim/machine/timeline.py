"""Back in time and forth again: states frozen now and then, and what came in between them, done once more.

Going back makes a new machine; the old one is not to be used any more (`timeline.machine` is the one).  What lies later
stays until an input comes in the past: then it is forgotten.  The real media stay in the drives and are given the
contents of the moment.  What the guest had printed by then and the host has taken does not come again; what it prints
on its way forth does.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from minisim.machine.errors import TimelineError
from minisim.machine.history import Event, Goal, History, Mark, Place, Reached, repeat, run_to, thawed
from minisim.machine.inputs import Recorder
from minisim.machine.outside import Exchange, Outside, content_of, copy_of, cut_printed, differences, hand_over
from minisim.machine.recording import Input
from minisim.machine.records import Reason
from minisim.machine.session import SLICE, Session, finished
from minisim.machine.steps import Step
from minisim.media.held import HeldMedium

if TYPE_CHECKING:
    from minisim.machine.machine import Machine

__all__ = ["Timeline", "TimelineError"]
SECOND = 1_000_000_000
LEAST_PAUSE = 0.25  # s of real time between two states
BUDGET = 10  # freezing takes one part of so many of the real time
MARKS_BACK = 12
_ENDS = (Reason.HALTED, Reason.WAITING, Reason.STUCK)


class Timeline:
    """The last seconds of a machine, to go back in.

    It attaches itself as the recorder of inputs, in front of one that is there.  Run the machine with `advance` and
    `step` only: whoever runs it otherwise makes what was before unreachable.
    """

    def __init__(self, machine: Machine, *, seconds: float = 10, clock: Callable[[], float] = time.monotonic) -> None:
        self._keep_ns = int(seconds * SECOND)
        self._clock = clock
        self._attach(machine)

    def _attach(self, machine: Machine) -> None:
        self.machine = machine
        self._history, self._outside = History(), Outside()
        self._index = 0  # of the next event
        self._present: Mark | None = None
        self._brought: dict[str, HeldMedium] = {}  # media that are in no drive in the present, as they are then
        self._at: Place | None = None  # where the machine was left
        self._input_came = False
        self._repeating = False
        self._has_run = False  # just now, and its end is not among the events
        self._marked, self._cost = 0.0, 0.0
        self._next: Recorder | None = machine._inputs.recorder
        machine._inputs.recorder = self

    @property
    def in_the_past(self) -> bool:
        """Does something lie later than where the machine stands?"""
        return self._present is not None

    @property
    def printed(self) -> int:
        """Characters the console has printed so far: a host can cut its paper there."""
        layout = self.machine.layout
        if layout.console is None:
            return 0
        return int(self.machine._raw.rings[layout.devices[layout.console].rings["printer"]].total)

    # --- running ------------------------------------------------------------------------------------------------------

    def advance(self, session: Session, most: int = SLICE, *, until_ns: int | None = None) -> bool:
        """As `Session.advance`, for at most so many instructions; repeats in the past what came in, and goes on behind
        it.
        """
        machine = self.machine
        if session.machine is not machine:
            raise TimelineError("this run is of a machine that is no more; begin another one")
        with machine._hold:
            self._expect()
            end = Place.of(machine).at + most
            going = True
            while going:
                before = Place.of(machine), self._index, self._present
                going = self._some(session, end - before[0].at, until_ns)
                here = Place.of(machine)
                if here.at >= end or (until_ns is not None and here.time_ns >= until_ns):
                    break
                if (here, self._index, self._present) == before:
                    break
            self._leave()
        return going

    def _some(self, session: Session, most: int, until_ns: int | None) -> bool:
        session.reason, self._has_run = None, False
        if self._catch_up(session):
            return False
        if self._present is not None:
            return self._again(session, most, until_ns)
        self._mark_if_due()
        self._has_run = until_ns is None or self.machine.time_ns < until_ns
        return self._end(session, session.part(min(most, SLICE), until_ns))

    def _end(self, session: Session, reason: Reason | None) -> bool:
        """What follows the end of a part in the present."""
        if reason in _ENDS:
            halted = int(self.machine._raw.halted)
            self._add(Event(Place.of(self.machine), ended=reason, halted=halted))
            self._has_run = False
        session.reason = None if reason is None else finished(self.machine, reason)
        return session.reason is None

    def _again(self, session: Session, most: int, until_ns: int | None) -> bool:
        """A part in the past: to the next event, or to the present."""
        here, ahead = Place.of(self.machine), self._ahead()
        pause = ahead.time_ns if ahead.time_ns > here.time_ns else None
        if until_ns is not None:
            pause = until_ns if pause is None else min(pause, until_ns)
        reason = session.part(min(most, max(ahead.at - here.at, 1)), pause)
        session.reason = None
        if reason in _ENDS:
            return self._end_again(session, reason, here)
        session.reason = reason
        return not self._catch_up(session) and reason is None

    def _end_again(self, session: Session, reason: Reason, before: Place) -> bool:
        """It stands still: as it did then, unless it was paced otherwise then, or not run but stepped."""
        if self._catch_up(session):
            return False
        if reason is not Reason.HALTED and (self._present is None or Place.of(self.machine) != before):
            return True
        session.reason = reason
        return False

    def _ahead(self) -> Place:
        """Where something comes next: an event or the present."""
        assert self._present is not None
        return self._history.event(self._index).place if self._index < self._history.end else self._present.place

    def _was_stepped(self) -> bool:
        """Does what comes next begin at this place with a step?"""
        is_here = self._index < self._history.end and self._ahead() == Place.of(self.machine)
        return is_here and self._history.event(self._index).stepped

    def _waits_for_more(self) -> bool:
        return self._ahead().instructions == self.machine.instructions

    def _catch_up(self, session: Session | None = None, *, stepping: bool = False) -> bool:
        """Do again what was done at this very place; True where it ends the run."""
        while self._present is not None and self._ahead() == Place.of(self.machine):
            if self._index == self._history.end:
                self._come_to_present()
                return False
            event = self._history.event(self._index)
            if event.stepped and stepping:
                return False
            if event.ended is not None and session is not None and session.reason is not None:
                return False  # the next run begins with it
            reason = self._repeat(event)
            if event.ended is not None and session is not None:
                session.reason = reason
                return True
        return False

    def _repeat(self, event: Event) -> Reason | None:
        self._repeating = True
        try:
            one = event.given
            if one is not None and one.what == "put in":
                self._put_in(event, one)
                reason = None
            else:
                reason = repeat(self.machine, event)
        finally:
            self._repeating = False
        self._index += 1
        return reason

    def _put_in(self, event: Event, one: Input) -> None:
        """The real medium, as it was then."""
        medium = self._outside.opened(event.medium)
        assert self._present is not None
        if event.medium not in self._present.media.values():
            self._brought.setdefault(event.medium, copy_of(medium))
        for first, _, new in differences(content_of(one), medium):
            medium.write(first, new)
        self.machine.drives.put(one.part, medium)

    def _come_to_present(self) -> None:
        self._present = None
        self._brought.clear()

    def step(self) -> Step:
        """`Machine.step`, with the same care.

        A step lets no octal console speak, as a run does: in the past a step there, or onto a HALT, begins another way.
        """
        machine = self.machine
        with machine._hold:
            self._expect()
            self._catch_up(stepping=True)
            while self._present is not None and not self._was_stepped() and self._waits_for_more():
                run_to(machine, self._ahead())  # it waits; what came meanwhile
                self._catch_up(stepping=True)
            step = self._step_past_console() if machine._raw.octal.on else self._step()
            self._catch_up()
            self._leave()
        return step

    def _step(self) -> Step:
        if self._present is None:
            self._mark_if_due()
            self._has_run = True
        return self.machine.step()

    def _step_past_console(self) -> Step:
        """Where a run would do something else, that it was a step is an event."""
        raw, event = self.machine._raw, Event(Place.of(self.machine), stepped=True)
        if self._was_stepped():
            self._index += 1
            return self.machine.step()
        if raw.octal.at_work or raw.octal.due or raw.halt_switch:
            self.branch()
        was_present = self._present is None
        if was_present:
            self._mark_if_due()
            self._add(event)
        step = self.machine.step()
        if not was_present and step.reason is Reason.HALTED:
            self.branch()
            self._add(event)
        return step

    # --- what is kept -------------------------------------------------------------------------------------------------

    def note(
        self, what: str, device: int, part: str, content: bytes = b"", *, on: bool = False, medium: Any = None
    ) -> None:
        """An input that comes now (`Recorder`).  In the past everything later is forgotten."""
        if what == "take out":
            drive = self.machine.drives[part]
            self._outside.leaves(self._outside.key_of(drive.medium, drive.takes), drive.medium)
        if self._repeating:
            return
        self.branch()
        if self._next is not None:
            self._next.note(what, device, part, content, on=on, medium=medium)
        self._expect()
        if self._history.marks:
            self._add(self._event(what, device, part, content, on, medium))
            self._input_came = True

    def _event(self, what: str, device: int, part: str, content: bytes, on: bool, medium: Any) -> Event:
        from minisim.media.frozen import frozen_medium

        place, key, frozen = Place.of(self.machine), "", None
        if medium is not None:
            key = self._outside.key_of(medium, self.machine.drives[part].takes)
            frozen = frozen_medium(medium)
        return Event(place, Input(place.at, place.time_ns, what, device, part, content, on, frozen), medium=key)

    def _add(self, event: Event) -> None:
        self._history.add(event)
        self._index = self._history.end

    def _expect(self) -> None:
        """The machine must stand where it was left: else somebody else ran it, and nothing before can be made again."""
        here, left = Place.of(self.machine), self._at
        if left is None or here == left or (self._input_came and here.at == left.at):
            return
        self._history.forget()
        self._index, self._present = self._history.end, None
        self._brought.clear()
        self._at = None

    def _leave(self) -> None:
        """Where it was left; time that passed in front of the next instruction is remembered for `back`."""
        raw = self.machine._raw
        self._at, self._input_came = Place.of(self.machine), False
        if self._has_run and (raw.waiting or raw.octal.on):
            self._add(Event(self._at, halted=int(raw.halted)))
        self._has_run = False

    def _mark_if_due(self) -> None:
        marks, now = self._history.marks, self._clock()
        if marks:
            is_long = self.machine.time_ns - marks[-1].place.time_ns >= max(SECOND, self._keep_ns // MARKS_BACK)
            pause = max(LEAST_PAUSE, (BUDGET - 1) * self._cost)
            if not self._history.is_full() and (not is_long or now - self._marked < pause):
                return
        self._history.add_mark(self._mark(), self._keep_ns)
        self._outside.forget(self._keys())
        self._marked = self._clock()
        self._cost = self._marked - now

    def _mark(self) -> Mark:
        """The state of now."""
        machine = self.machine
        return Mark(self._index, Place.of(machine), machine.freeze(), self._outside.keys_in(machine))

    def _keys(self) -> set[str]:
        """Of all media that may be wanted."""
        marks, events = self._history.marks, self._history.events(self._history.marks[0].index)
        return {key for mark in marks for key in mark.media.values()} | {event.medium for event in events}

    # --- back and forth -----------------------------------------------------------------------------------------------

    def back(self, *, instructions: int = 0, ns: int = 0) -> Machine:
        """The machine as it was so many instructions, or nanoseconds of guest time, ago (the last place before that).

        TimelineError: not so far (says how far), the run is recorded, or a medium can't be had; nothing has changed.
        """
        if min(instructions, ns) < 0 or bool(instructions) == bool(ns):
            raise ValueError("back takes a number of instructions, or of nanoseconds")
        if self._next is not None or self.machine._inputs.recorder is not self:
            raise TimelineError("a run that is recorded can't go back")
        with self.machine._hold:
            self._expect()
            here = Place.of(self.machine)
            goal = (
                Goal(self._index, instructions=here.instructions - instructions)
                if instructions
                else Goal(self._index, time_ns=here.time_ns - ns)
            )
            self._check(goal, here)
            present = self._present or self._mark()
            reached = self._history.reach(goal)
            self._go(reached, present, self._contents(reached, present))
        return self.machine

    def _check(self, goal: Goal, here: Place) -> None:
        marks = self._history.marks
        if not marks or marks[0].place == here:
            raise TimelineError("nothing has run yet that one could go back over")
        oldest = marks[0].place
        if not goal.takes(oldest):
            count, seconds = here.instructions - oldest.instructions, (here.time_ns - oldest.time_ns) / SECOND
            counted = f"{count} instruction{'' if count == 1 else 's'}"
            raise TimelineError(f"not so far: it can go back {counted}, {seconds:.3f} s of guest time")

    def _contents(self, reached: Reached, present: Mark) -> dict[str, HeldMedium]:
        """Media that are in no drive there, and are in one here or were opened since the present."""
        here = set(self._outside.keys_in(self.machine).values()) | set(self._brought)
        found = {}
        for key in here - set(reached.media.values()):
            events = self._history.events(reached.index)
            put_in = next((event.given for event in events if event.medium == key), None)
            if put_in is not None:
                found[key] = content_of(put_in)
            elif key in self._brought:
                found[key] = self._brought[key]
        return found

    def _go(self, reached: Reached, present: Mark | None, others: dict[str, HeldMedium]) -> None:
        """To that machine, with the real media.  TimelineError: it stays here."""
        old, new = self.machine, reached.machine
        opened = Exchange(self._outside, old, new, reached.media).do(others)
        hand_over(old, new)
        if present is not None:
            cut_printed(old, new)
            for key, content in opened.items():
                if key not in present.media.values():
                    self._brought.setdefault(key, content)
        new._inputs.recorder, old._inputs.recorder = self, None
        self.machine, self._index, self._present = new, reached.index, present
        self._leave()

    def to_present(self) -> Machine:
        """The machine as it was before it went back.  TimelineError: a medium can't be had; nothing has changed."""
        present = self._present
        if present is None:
            return self.machine
        with self.machine._hold:
            self._expect()
            if self._present is not None:
                self._go(thawed(present), None, dict(self._brought))
                self._brought.clear()
        return self.machine

    def branch(self) -> bool:
        """Forget what came later; False: nothing did.  An input in the past does that by itself."""
        if self._present is None:
            return False
        self._history.cut(self._index, Place.of(self.machine))
        self._present = None
        self._brought.clear()
        return True

    def restart(self, machine: Machine) -> None:
        """Another machine, without a past."""
        if self.machine._inputs.recorder is self:
            self.machine._inputs.recorder = self._next
        self._attach(machine)
