"""What has happened to a machine, as far back as it is kept: inputs and ends of runs at their places, frozen states
between them; and the way to any place between two states, by running again.

A place is instructions (with the due times that did not end a WAIT) and guest time.  A run is the same however it is
cut, so a machine that is thawed and gets the same inputs at the same places does the same, bit for bit.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from minisim.cpu._core import lib
from minisim.machine.errors import FrozenStateError, MachineError, RecordingError, TimelineError
from minisim.machine.recording import Input, apply_input, place_of
from minisim.machine.records import Reason
from minisim.machine.session import FOR_EVER, finished

if TYPE_CHECKING:
    from minisim.machine.machine import Machine

MOST_MARKS = 16
MOST_BYTES = 64_000_000  # of frozen states
MOST_EVENTS = 100_000
FAR = 1_000_000, 3_000_000_000  # instructions, ns: from so far on a state is frozen on the way
NEAR = 50_000, 200_000_000  # and so near to the goal, for the next time


@dataclass(frozen=True, slots=True)
class Place:
    """Where a run stands."""

    at: int
    time_ns: int
    instructions: int

    def is_behind(self, other: Place) -> bool:
        """Does a run come here later?"""
        return self.at > other.at or self.time_ns > other.time_ns

    @classmethod
    def of(cls, machine: Machine) -> Place:
        """Where a machine stands."""
        return cls(*place_of(machine), machine.instructions)


@dataclass(frozen=True, slots=True)
class Event:
    """Something at a place: an input, the end of a run (`ended`), or only that somebody looked (neither).

    `medium` is the key of the medium that was put in; `halted` is how the processor stood at the end of a run.
    `stepped`: one instruction past the octal console, which a run would have let speak.
    """

    place: Place
    given: Input | None = None
    ended: Reason | None = None
    halted: int = 0
    medium: str = ""
    stepped: bool = False


@dataclass(frozen=True, slots=True)
class Mark:
    """A frozen state behind `index` events, with the keys of the media in its drives."""

    index: int
    place: Place
    data: bytes
    media: dict[str, str]


@dataclass(frozen=True, slots=True)
class Goal:
    """The last place before event number `index` that has no more instructions, and is not later, than these."""

    index: int
    instructions: int = FOR_EVER
    time_ns: int = FOR_EVER

    def ahead(self, by: tuple[int, int]) -> Goal:
        """One that lies so many instructions, or nanoseconds, in front of it."""
        count, ns = self.instructions, self.time_ns
        return Goal(self.index, count if count == FOR_EVER else count - by[0], ns if ns == FOR_EVER else ns - by[1])

    def takes(self, place: Place, more: int = 0) -> bool:
        """Does this place, and so many instructions more, lie before it?"""
        return place.instructions + more <= self.instructions and place.time_ns <= self.time_ns

    def takes_event(self, event: Event) -> bool:
        """The same of an event with all that it does but time."""
        return self.takes(event.place, event.stepped)


@dataclass(slots=True)
class Reached:
    """A machine made anew at a place, behind `index` events; its media are copies."""

    machine: Machine
    index: int
    media: dict[str, str]


class History:
    """Events by number, and marks; both from the oldest mark on."""

    def __init__(self) -> None:
        self.marks: list[Mark] = []
        self._events: list[Event] = []
        self._first = 0  # number of the oldest event

    @property
    def end(self) -> int:
        """The number of the next event."""
        return self._first + len(self._events)

    def event(self, number: int) -> Event:
        """One that is still known."""
        return self._events[number - self._first]

    def events(self, first: int) -> list[Event]:
        """Those from a number on."""
        return self._events[first - self._first :]

    def add(self, event: Event) -> None:
        """What has happened now; the same end of a run once more, with no input in between, is none."""
        last = self._events[-2:]
        is_again = event in last and all(one.given is None and one.place == event.place for one in last)
        if self.marks and not is_again:
            self._events.append(event)

    def add_mark(self, mark: Mark, keep_ns: int) -> None:
        """A state of now; what lies more than `keep_ns` back is forgotten."""
        self.marks.append(mark)
        marks = self.marks
        while len(marks) > 1 and (marks[1].place.time_ns <= mark.place.time_ns - keep_ns or self._is_long()):
            del marks[0]
            self._drop_events()
        self._thin()

    def _thin(self) -> None:
        marks = self.marks
        while len(marks) > 2 and (len(marks) > MOST_MARKS or sum(len(each.data) for each in marks) > MOST_BYTES):
            del marks[min(range(1, len(marks) - 1), key=self._gap_without)]

    def is_full(self) -> bool:
        """Are there so many events that a mark is wanted?"""
        return len(self._events) >= MOST_EVENTS

    def cut(self, index: int, place: Place) -> None:
        """Forget what came behind `index` events and this place."""
        del self._events[index - self._first :]
        self.marks = [mark for mark in self.marks if mark.index <= index and not mark.place.is_behind(place)]

    def forget(self) -> None:
        """All of it."""
        self.marks, self._events = [], []

    def _is_long(self) -> bool:
        return len(self._events) > MOST_EVENTS

    def _gap_without(self, number: int) -> int:
        return self.marks[number + 1].place.time_ns - self.marks[number - 1].place.time_ns

    def _drop_events(self) -> None:
        behind = self.marks[0].index - self._first
        del self._events[:behind]
        self._first += behind

    # --- going there --------------------------------------------------------------------------------------------------

    def reach(self, goal: Goal) -> Reached:
        """A machine made anew at the goal.  TimelineError: nothing so old is kept, or its media are not there."""
        mark = self._mark_before(goal)
        if mark is None:
            raise TimelineError("nothing so old is kept")
        if goal.ahead(FAR).takes(mark.place):
            mark = self._mark_on_the_way(mark, goal.ahead(NEAR))
        reached = self._run(mark, goal)
        return reached if reached.machine.time_ns <= goal.time_ns else self._nearer(goal, reached)

    def _mark_on_the_way(self, mark: Mark, goal: Goal) -> Mark:
        """So that what is gone to next, and most often is near this, is reached sooner."""
        reached = self._run(mark, goal)
        found = Mark(reached.index, Place.of(reached.machine), reached.machine.freeze(), reached.media)
        self.marks.insert(self.marks.index(mark) + 1, found)
        self._thin()
        return found

    def _run(self, mark: Mark, goal: Goal) -> Reached:
        """From the mark to the goal, or less than an instruction behind it."""
        reached = thawed(mark)
        while reached.index < goal.index and goal.takes_event(self.event(reached.index)):
            event = self.event(reached.index)
            run_to(reached.machine, event.place)
            _repeat(reached, event)
            if reached.machine.time_ns > goal.time_ns:  # the input itself took time
                return self._run(mark, replace(goal, index=reached.index - 1))
        ahead = self.event(reached.index).place if reached.index < self.end else None
        if ahead is not None and goal.takes(ahead):  # an input that would be too long: in front of it
            run_to(reached.machine, ahead)
        elif goal.instructions != FOR_EVER:
            _run_instructions(reached.machine, goal.instructions)
        else:
            _run_time(reached.machine, goal.time_ns)
        return reached

    def _nearer(self, goal: Goal, beyond: Reached) -> Reached:
        """Too late by less than an instruction: to the beginning of the WAIT that ended so, or an instruction back."""
        count = beyond.machine.instructions
        return self.reach(replace(goal, instructions=count if goal.instructions != count else count - 1))

    def _mark_before(self, goal: Goal) -> Mark | None:
        found = [mark for mark in self.marks if mark.index <= goal.index and goal.takes(mark.place)]
        exact = [mark for mark in found if mark.place.instructions < goal.instructions]
        return exact[-1] if exact else found[0] if found else None


def thawed(mark: Mark) -> Reached:
    """The machine of a mark.  TimelineError: its media are not there."""
    from minisim.machine.frozen import thaw

    try:
        return Reached(thaw(mark.data), mark.index, dict(mark.media))
    except FrozenStateError as error:
        raise TimelineError(str(error)) from None


def _repeat(reached: Reached, event: Event) -> None:
    """Once more, on copies of the media."""
    repeat(reached.machine, event)
    reached.index += 1
    one = event.given
    if one is not None and one.what in ("put in", "take out"):
        reached.media.pop(one.part, None)
        if one.what == "put in":
            reached.media[one.part] = event.medium


def repeat(machine: Machine, event: Event) -> Reason | None:
    """Do again what was done; the reason where a run ended.  TimelineError: it can't be done."""
    if event.stepped:
        lib.ms_step(machine._raw)
    elif event.given is None and (machine._raw.octal.at_work or machine._raw.octal.due):
        lib.ms_run_freely(machine._raw, 0)  # what the octal console does without time
    if event.given is None and not event.stepped:
        machine._raw.halted = event.halted
    if event.ended is not None:
        return finished(machine, event.ended)
    if event.given is not None:
        try:
            apply_input(machine, event.given)
        except RecordingError as error:
            raise TimelineError(str(error)) from None
        except MachineError:
            pass  # what was fed did not all find room, as the first time
    return None


# --- running again ----------------------------------------------------------------------------------------------------


def run_to(machine: Machine, place: Place) -> None:
    """To a place that the run comes to.  TimelineError: it does not."""
    while (here := Place.of(machine)) != place:
        is_before = here.at <= place.at and here.time_ns <= place.time_ns
        if is_before:
            _run(machine, max(place.at - here.at, 1), place.time_ns)
        if not is_before or Place.of(machine) == here:
            raise TimelineError(f"the run goes another way after {here.instructions} instructions")


def _run_instructions(machine: Machine, count: int) -> None:
    while machine.instructions < count:
        here = Place.of(machine)
        _run(machine, count - machine.instructions, FOR_EVER)
        if Place.of(machine) == here:
            raise TimelineError(f"the run stands still after {here.instructions} instructions")


def _run_time(machine: Machine, time_ns: int) -> None:
    """Until this time has come, or just gone; where the machine stands still before it, there."""
    while machine.time_ns < time_ns:
        here = Place.of(machine)
        _run(machine, FOR_EVER, time_ns)
        if Place.of(machine) == here:
            return


def _run(machine: Machine, limit: int, time_ns: int) -> None:
    """A piece of a run, without conditions and without what follows its end."""
    raw = machine._raw
    if raw.time_ns < time_ns != FOR_EVER:
        lib.ms_pause_at(raw, time_ns)
    with machine._hold:
        lib.ms_run_freely(raw, limit)
    raw.pause_ns = lib.MS_NEVER
    lib.ms_run_due(raw)
