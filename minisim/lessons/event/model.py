"""Event mode without a screen: which page stands there, what a visitor may do, when it begins anew.

Time comes in from outside, so that an hour can be tested in a moment.  Whatever goes wrong inside an activity ends that
activity, never the event.
"""

from __future__ import annotations

import traceback
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import TYPE_CHECKING, Protocol

from minisim.lessons.event.diary import Diary, Kind

if TYPE_CHECKING:
    from minisim.lessons.model import Lesson

IDLE_SECONDS = 60.0
WARNING_SECONDS = 15.0  # so long before: "are you still there?"
KEYS = "123456789abcdefghijklmn"
"""One key an activity, in the order of the list."""


class Stage(StrEnum):
    """Which page stands there."""

    INVITING = "inviting"  # nobody is there: the attract screen
    CHOOSING = "choosing"
    AT_WORK = "at work"
    DONE = "done"  # the slip
    VOLUNTEER = "volunteer"


class Teaching(Protocol):
    """A lesson under way, as event mode needs it."""

    @property
    def finished(self) -> bool:
        """Every step is done."""

    @property
    def left(self) -> bool:
        """The visitor said that they leave."""

    def do(self, line: str) -> None:
        """One line of the visitor."""

    def close(self) -> None:
        """Let the machine go."""


@dataclass(frozen=True, slots=True)
class Activity:
    """What a visitor can choose, by one key."""

    key: str
    lesson: Lesson


@dataclass(frozen=True, slots=True)
class Group:
    """Activities of about the same length."""

    title: str
    activities: tuple[Activity, ...]


def groups_of(lessons: Sequence[Lesson]) -> tuple[Group, ...]:
    """Lessons that may be offered, by length: 30 seconds, 3 minutes, 15 minutes.

    Those beyond the last key are left out.
    """
    spans = (("30 seconds", 0, 1), ("3 minutes", 1, 6), ("15 minutes", 6, 16))
    chosen = sorted((one for one in lessons if one.event), key=lambda one: (one.order, one.name))
    ordered = [(title, one) for title, low, high in spans for one in chosen if low <= one.minutes < high]
    keyed = [(title, Activity(key, one)) for key, (title, one) in zip(KEYS, ordered, strict=False)]
    return tuple(Group(title, tuple(one for of, one in keyed if of == title)) for title, *_ in spans)


class Event:
    """One terminal at an event.

    `teach` starts a lesson, `slip_of` gives the lines of the slip of one that is finished, `print_slip` keeps it where
    the volunteer prints it, and says where: only a visitor who asks for it leaves anything behind.
    """

    def __init__(
        self,
        lessons: Sequence[Lesson],
        diary: Diary,
        teach: Callable[[Lesson], Teaching],
        *,
        slip_of: Callable[[Teaching], tuple[str, ...]],
        print_slip: Callable[[Teaching], str],
        clock: Callable[[], float],
        now: Callable[[], datetime] = datetime.now,
    ) -> None:
        self.groups = groups_of(lessons)
        self.diary = diary
        self.stage = Stage.INVITING
        self.lesson: Lesson | None = None
        self.teaching: Teaching | None = None
        self.slip: tuple[str, ...] = ()
        self.said: tuple[str, ...] = ()  # what stands at the foot of the page
        self.last_upset = ""
        self._teach, self._slip_of, self._print_slip = teach, slip_of, print_slip
        self._clock, self._now = clock, now
        self._touched = clock()
        self._note(Kind.OPENED)

    # --- keys ---------------------------------------------------------------------------------------------------------

    def touch(self) -> None:
        """Somebody touched a key: the time begins anew, and the invitation gives way to the list."""
        self._touched = self._clock()
        if self.stage is Stage.INVITING:
            self._go_to(Stage.CHOOSING)

    def choose(self, key: str) -> bool:
        """Start the activity of a key; False: there is none, or this is no time to choose."""
        found = [one for group in self.groups for one in group.activities if one.key == key.lower()]
        if self.stage is not Stage.CHOOSING or not found:
            return False
        self.lesson = found[0].lesson
        self._note(Kind.STARTED, self.lesson.name)
        self._guarded(self._begin)
        return True

    def do(self, line: str) -> None:
        """One line of the visitor."""
        if self.stage is Stage.AT_WORK:
            self._guarded(lambda: self._work(line))

    def print_slip(self) -> None:
        """The visitor wants the slip on paper."""
        if self.stage is Stage.DONE:
            self._guarded(self._print)

    def start_over(self) -> None:
        """The one key: back to the list, from wherever a visitor is."""
        if self.stage is Stage.AT_WORK and self.lesson is not None:
            self._note(Kind.GIVEN_UP, self.lesson.name)
        self._go_to(Stage.CHOOSING)

    def to_volunteer(self) -> None:
        """The volunteer's page; what a visitor was doing is over."""
        if self.stage is not Stage.VOLUNTEER:
            self.start_over()
            self._go_to(Stage.VOLUNTEER)

    def close(self) -> None:
        """The volunteer ends the event."""
        self._drop()
        self._note(Kind.CLOSED)
        self.diary.close()

    # --- time ---------------------------------------------------------------------------------------------------------

    @property
    def seconds_left(self) -> float:
        """Until it begins anew, if nobody touches a key."""
        return IDLE_SECONDS - (self._clock() - self._touched)

    @property
    def warns(self) -> bool:
        """Should the visitor be asked whether somebody is there?"""
        return self.stage is Stage.AT_WORK and self.seconds_left <= WARNING_SECONDS

    def tick(self) -> bool:
        """Time has passed; True: another page stands there now."""
        if self.stage is Stage.INVITING or self.seconds_left > 0:
            return False
        if self.stage is Stage.AT_WORK and self.lesson is not None:
            self._note(Kind.WENT_AWAY, self.lesson.name)
        self._go_to(Stage.INVITING)
        return True

    # --- inside -------------------------------------------------------------------------------------------------------

    def _begin(self) -> None:
        assert self.lesson is not None
        self.said = ()
        self.teaching = self._teach(self.lesson)
        self.stage = Stage.AT_WORK

    def _work(self, line: str) -> None:
        assert self.teaching is not None and self.lesson is not None
        self.teaching.do(line)
        if self.teaching.finished:
            self._note(Kind.FINISHED, self.lesson.name)
            self.slip = self._slip_of(self.teaching)
            self.stage = Stage.DONE
        elif self.teaching.left:
            self.start_over()

    def _print(self) -> None:
        assert self.teaching is not None and self.lesson is not None
        self.said = (self._print_slip(self.teaching),)
        self._note(Kind.SLIP, self.lesson.name)

    def _guarded(self, act: Callable[[], None]) -> None:
        """What goes wrong in an activity never ends the event: it is written down, and the list stands there again."""
        try:
            act()
        except Exception:
            self.upset()

    def upset(self) -> None:
        """To be called where an exception is handled: write it down, go back to the list."""
        self.last_upset = traceback.format_exc()
        self._note(Kind.UPSET, self.last_upset.strip().splitlines()[-1])
        self._go_to(Stage.CHOOSING)
        self.said = ("That went wrong on our side. Please choose again.",)

    def _go_to(self, stage: Stage) -> None:
        self._drop()
        self.stage, self.said, self.slip = stage, (), ()

    def _drop(self) -> None:
        teaching, self.teaching, self.lesson = self.teaching, None, None
        if teaching is not None:
            try:
                teaching.close()
            except Exception as error:  # a machine that can't even be let go must not end the event
                self._note(Kind.UPSET, str(error))

    def _note(self, kind: Kind, what: str = "") -> None:
        self.diary.note(kind, self._now(), what)
