"""Event mode on the whole screen: the invitation, the list, an activity, the slip, the volunteer's page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, time
from typing import TYPE_CHECKING, cast

from minisim.lessons.event.invitation import Invitation
from minisim.lessons.event.model import Event, Stage, Teaching
from minisim.lessons.event.pages import choice_lines, volunteer_lines
from minisim.lessons.screen import LessonScene
from minisim.lessons.slip import STATION, slip_lines, slip_of
from minisim.screen import Canvas, Line, Palette, Pane, Scene, bold, line, reverse, run_screen, wrap

if TYPE_CHECKING:
    from prompt_toolkit.input import Input
    from prompt_toolkit.output import Output

    from minisim.lessons.model import Lesson
    from minisim.screen import Suggestion

END = "end the event"
BACK = "back"
_STILL_THERE = "Is somebody there? Press a key."
_ENDING = 4  # rows of a slip that are seen whatever else is
_LOOK = 0.5  # seconds between two looks at the clock


class AtWork:
    """A lesson under way on this screen."""

    def __init__(self, scene: LessonScene) -> None:
        self.scene = scene

    @property
    def finished(self) -> bool:
        """Every step is done."""
        return self.scene.teacher.finished

    @property
    def left(self) -> bool:
        """The visitor said that they leave."""
        return self.scene.teacher.left

    def do(self, line: str) -> None:
        """One line of the visitor."""
        self.scene.enter(line)

    def close(self) -> None:
        """Let the machine go."""
        self.scene.teacher.close()


def start(lesson: Lesson, made: date) -> AtWork:
    """A lesson for a visitor."""
    from minisim.lessons.teacher import Teacher

    return AtWork(LessonScene(Teacher(lesson), made))


def lines_of_slip(teaching: Teaching, made: date) -> tuple[str, ...]:
    """What a visitor has done, as on the slip."""
    return tuple(slip_lines(slip_of(cast("AtWork", teaching).scene.teacher, made)))


def _stands_in(text: str) -> int:
    return len(text) - len(text.lstrip())


def without_gaps(slip: Sequence[str], width: int, room: int) -> list[Line]:
    """A slip for a page of so many rows; its head stands in the bar already.

    Where it is too long, first the empty lines go, then lines of the middle: how it ends is the one true thing.
    """
    below = slip[slip.index("") + 1 :] if "" in slip else slip
    rows = [part for each in below for part in wrap(each, width, _stands_in(each))]
    if len(rows) > room:
        rows = [row for row in rows if any(span.text.strip() for span in row)]
    if len(rows) > room:
        rows = [*rows[: room - 1 - _ENDING], line("..."), *rows[-_ENDING:]]
    return rows


class _WatchedPalette(Palette):
    """Typing is a touch too."""

    event: Event | None = None

    def filter(self, typed: str) -> None:
        if self.event is not None:
            self.event.touch()
        super().filter(typed)


class EventScene(Scene):
    """All pages; the page of an activity is that of the lesson."""

    def __init__(self, event: Event, invitation: Invitation) -> None:
        self.event = event
        self._own_pane: Pane | None = None
        self._own_message = ""
        super().__init__()
        self.invitation = invitation
        palette = _WatchedPalette(self.complete)
        palette.event = event
        self.palette = palette
        self._shown = event.stage

    # --- what belongs to the lesson while there is one ----------------------------------------------------------------

    @property
    def _lesson(self) -> LessonScene | None:
        teaching = self.event.teaching
        return teaching.scene if isinstance(teaching, AtWork) and self.event.stage is Stage.AT_WORK else None

    @property
    def label(self) -> str:  # type: ignore[override]  # a view may know it better than its class
        """The input line is there for an activity and for the volunteer."""
        lesson = self._lesson
        if lesson is not None:
            return lesson.label
        return "volunteer: " if self.event.stage is Stage.VOLUNTEER else ""

    @property
    def left(self) -> str:  # type: ignore[override]
        """What Ctrl-D stands for: never the end of the event."""
        return BACK if self.event.stage is Stage.VOLUNTEER else "leave"

    @property
    def pane(self) -> Pane | None:
        """A text that lies over the page."""
        return self._own_pane if self._lesson is None else self._lesson.pane

    @pane.setter
    def pane(self, pane: Pane | None) -> None:
        if self._lesson is None:
            self._own_pane = pane
        else:
            self._lesson.pane = pane

    @property
    def message(self) -> str:
        """One line over the help line."""
        return self._own_message if self._lesson is None else self._lesson.message

    @message.setter
    def message(self, text: str) -> None:
        if self._lesson is None:
            self._own_message = text
        else:
            self._lesson.message = text

    # --- keys ---------------------------------------------------------------------------------------------------------

    def key(self, name: str) -> bool:
        """Any key wakes it; Esc starts over; the list and the slip take their own."""
        event, stage = self.event, self.event.stage
        event.touch()
        if name == "escape" and stage is not Stage.INVITING:
            event.start_over()
        elif stage is Stage.CHOOSING:
            event.choose(name)
        elif stage is Stage.DONE and name in ("p", "P"):
            event.print_slip()
        elif stage is Stage.DONE and name in ("enter", " "):
            event.start_over()
        self._settle()
        return True

    def enter(self, text: str) -> None:
        """A line: of the activity, or of the volunteer."""
        self.event.touch()
        words = " ".join(text.lower().split())
        if self.event.stage is Stage.VOLUNTEER:
            if words == END:
                self.done = True
            elif words == BACK:
                self.event.start_over()
            elif words:
                self.message = f'"{words}" is none of: {BACK}, {END}'
        else:
            self.event.do(text)
        self._settle()

    def toggle(self) -> None:
        """Ctrl-]: the volunteer's page."""
        self.event.touch()
        self.event.to_volunteer()
        self._settle()

    def close(self) -> bool:
        """Esc starts over whatever is open."""
        self.palette.close()
        self.pane = None
        return False

    def look_back(self, pages: int) -> None:
        """PgUp and PgDn."""
        self.event.touch()
        if self._lesson is not None:
            self._lesson.look_back(pages)

    def complete(self, text: str) -> Sequence[Suggestion]:
        """Words of the activity."""
        return () if self._lesson is None else self._lesson.complete(text)

    def _settle(self) -> None:
        """Another page: nothing of the last one stays."""
        if self.event.stage is not self._shown:
            self._shown = self.event.stage
            self.palette.close()
            self._own_pane, self._own_message, self.wipe = None, "", True
            self.invitation.stand_still()

    # --- by itself ----------------------------------------------------------------------------------------------------

    def work(self) -> float | None:
        """Time, the machine of the invitation, the activity's own."""
        if self.event.tick():
            self._settle()
        if self.event.stage is Stage.INVITING:
            return self.invitation.work()
        lesson = self._lesson
        if lesson is None:
            return _LOOK
        try:
            pause = lesson.work()
        except Exception:  # of the machine inside: the activity ends, the event goes on
            self.event.upset()
            self._settle()
            return _LOOK
        return _LOOK if pause is None else min(pause, _LOOK)

    # --- what is seen -------------------------------------------------------------------------------------------------

    def draw_view(self, canvas: Canvas) -> None:
        """The page that stands there."""
        lesson = self._lesson
        if lesson is not None:
            lesson.draw_view(canvas)
            if self.event.warns:
                canvas.put(0, canvas.height - 1, line(reverse(_STILL_THERE.center(canvas.width))))
            return
        if self.event.stage is Stage.INVITING:
            self.invitation.draw(canvas)
        elif self.event.stage is Stage.CHOOSING:
            choices = choice_lines(self.event.groups, canvas.height - 3)
            self._page(canvas, "What would you like to do?", choices, wrapped=False)
        elif self.event.stage is Stage.DONE:
            rows = without_gaps(self.event.slip, canvas.width - 4, canvas.height - 3)
            self._page(canvas, "Done. This is what you did.", rows)
        else:
            self._page(canvas, "For the volunteer", [*self._counts()])

    def _page(self, canvas: Canvas, title: str, rows: Sequence[Line], *, wrapped: bool = True) -> None:
        """A title, lines in the middle, what there is to say at the foot."""
        canvas.bar(0, STATION, title)
        width = canvas.width - 4
        shown = [part for each in rows for part in (wrap(each, width) if wrapped else [each])]
        top = 2 if len(shown) <= canvas.height - 3 else 1
        room = canvas.height - 1 - top
        if len(shown) > room:
            shown = [*shown[: room - 1], line("...")]
        canvas.put_lines(2, top, shown, width, room)
        for number, text in enumerate(self.event.said[-1:]):
            canvas.put(2, canvas.height - 1 - number, line(bold(text)))

    def _counts(self) -> Iterator[Line]:
        diary = self.event.diary
        midnight = datetime.combine(date.today(), time())
        yield from volunteer_lines(diary.counts(midnight), diary.counts(), diary.path, diary.trouble)

    def help(self) -> str:
        """The few keys of the page."""
        return {
            Stage.INVITING: "any key begins",
            Stage.CHOOSING: "press the number of what you like",
            Stage.AT_WORK: "Esc starts over   Tab words   Enter does it   hint helps, show does it for you",
            Stage.DONE: "Enter: the next visitor   p: keep the slip for printing",
            Stage.VOLUNTEER: f"{BACK}: to the visitors   {END}: leave event mode",
        }[self.event.stage]


def run_event(
    event: Event, invitation: Invitation, *, source: Input | None = None, output: Output | None = None
) -> None:
    """Show it until a volunteer ends it."""
    try:
        run_screen(EventScene(event, invitation), source, output)
    finally:
        invitation.close()
    event.close()
