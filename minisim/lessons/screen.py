"""A lesson on the whole screen: the step on the left, the machine on the right, what was said, and the line below.

On a small screen what was said stands below both, as wide as the screen; on a large one under the step.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import TYPE_CHECKING

from minisim.bench import panels
from minisim.bench.answer import Suggestion
from minisim.lessons.model import At, Prose, Style
from minisim.lessons.plain import SLIP, TEACHERS_WORDS, given_slip
from minisim.lessons.prose import is_quoted
from minisim.lessons.standing import around_lines, desk_lines, machine_lines
from minisim.lessons.teacher import WORDS, Reply, Teacher
from minisim.screen import Canvas, Scene, run_screen
from minisim.screen.sections import stacked
from minisim.screen.spans import BOLD, UNDERLINE, Line, Span, bold, line, wrap

if TYPE_CHECKING:
    from prompt_toolkit.input import Input
    from prompt_toolkit.output import Output

READ = Suggestion("read", 0, "the whole text of this step")
_STYLES = {Style.PLAIN: "", Style.EMPHASIS: UNDERLINE, Style.CODE: BOLD}
_LABEL = 9  # columns of the label before the input line, whatever it says
_TALK = 6  # rows that are left for what was said
_SMALL_TALK, _LEAST_TALK = 5, 4  # the same where it is as wide as the screen, and where that is low
_LOW = 16  # rows
_MACHINE = 32  # columns of the right side, at least
_BOARDS = 36
_PAPER = 80
_ROOMY = 54  # columns from which the parts of the machine are shown as at the bench
_ALL_PARTS = 20  # rows, and all of them


def run_lesson(teacher: Teacher, made: date, *, source: Input | None = None, output: Output | None = None) -> bool:
    """Take a learner through a lesson on the whole screen; True: it was finished."""
    run_screen(LessonScene(teacher, made), source, output)
    return teacher.finished


class LessonScene(Scene):
    """The view of one lesson."""

    def __init__(self, teacher: Teacher, made: date) -> None:
        super().__init__()
        self.teacher = teacher
        self._made = made
        self._talk: list[Line] = []
        self._rows = _TALK
        self._columns = 40
        self._welcome()

    @property
    def label(self) -> str:  # type: ignore[override]  # a view may know it better than its class
        """Where the line goes."""
        step = self.teacher.step
        return f"{step.at if step else 'done'}:".ljust(_LABEL)

    def _welcome(self) -> None:
        self._say(TEACHERS_WORDS)
        self._new_step()

    def _new_step(self) -> None:
        self.paper.feed(self.teacher.take_printed())
        step = self.teacher.step
        at_machine = step is not None and step.at in (At.BENCH, At.CONSOLE)
        self.has_console = at_machine and self.teacher.machine.layout.console is not None
        self.guest = self.guest and self.has_console
        if step is None:
            self._say(SLIP)

    # ---- lines and keys

    def enter(self, text: str) -> None:
        """One line of the learner."""
        words = text.split()
        if words[:1] == ["read"]:
            self.show(self._title(), list(self._prose()))
        elif self.teacher.finished:
            self._at_the_end(words)
        else:
            self._talk.append(line(bold(f"{self.label.strip()} {text}")))
            self._take(self.teacher.do(text), text)

    def _at_the_end(self, words: list[str]) -> None:
        if words[:1] == ["slip"]:
            self._say(given_slip(self.teacher, self._made, " ".join(words[1:])))
        elif words in ([], ["leave"]):
            self.done = True
        else:
            self._say(SLIP)

    def to_machine(self, keys: bytes) -> None:
        """Keys for the console."""
        self._take(self.teacher.keys(keys), "console")

    def _take(self, reply: Reply, title: str) -> None:
        """What came of it; more than there is room for opens over the view."""
        if self.teacher.left:
            self.done = True
            return
        self.paper.feed(self.teacher.take_printed())
        said = reply.lines
        if len([row for each in said for row in wrap(each, self._columns)]) > self._rows:
            self.show(title, list(said))
            said = said[-1:]  # what the teacher says stands last
        for each in said:
            self._say(each)
        if reply.passed:
            self._new_step()

    def _say(self, text: str) -> None:
        self._talk.append(line(text))

    def complete(self, text: str) -> Sequence[Suggestion]:
        """Words of the teacher, and of the place where the line goes."""
        step = self.teacher.step
        own = [Suggestion(word, 0, use[len(word) :].strip()) for word, use in WORDS.items()]
        found = [each for each in (*own, READ) if each.text.startswith(text.lower())]
        if step is None:
            return [Suggestion("slip", 0, "a slip to take home"), *found]
        if step.at is At.BENCH:
            return [*self.teacher.bench.complete(text), *found]
        if step.at is At.PLAN:
            from minisim.lessons.plan import WORDS as AT_PLAN

            words = (Suggestion(word, 0, use[len(word) :].strip()) for word, use in AT_PLAN.items())
            return [*(each for each in words if each.text.startswith(text.lower())), *found]
        return found

    # ---- what is seen

    def draw_view(self, canvas: Canvas) -> None:
        """The head, the text on the left, the machine on the right, at a console step the paper below both."""
        lesson, step = self.teacher.lesson, self.teacher.step
        state = f"step {self.teacher.number + 1} of {len(lesson.steps)}" if step else "finished"
        canvas.bar(0, lesson.title, state)
        at_plan = step is not None and step.at is At.PLAN
        side = max(_BOARDS if at_plan else _MACHINE, min(_PAPER, canvas.width - 60))
        side = min(side, canvas.width * 9 // 20)
        left, height = canvas.width - side - 2, canvas.height - 1
        if side < _ROOMY:
            self._draw_small(canvas, left, side, height)
            return
        wide = step is not None and step.at in (At.CONSOLE, At.PANEL) and self._has_paper()
        below = max(height // 3, 5) if wide and side < _PAPER else 0
        self._draw_text(canvas, 1, left, height - below)
        canvas.upright(left, 1, height - below)
        self._draw_machine(canvas, left + 2, side, height - below, paper=not below)
        if below:
            self.draw_paper(canvas, 0, 1 + height - below, canvas.width, below)

    def _draw_small(self, canvas: Canvas, left: int, side: int, height: int) -> None:
        """Where room is short: step and machine beside each other, what was said below both."""
        top = height - 1 - (_SMALL_TALK if height > _LOW else _LEAST_TALK)
        step = self.teacher.step
        quoted = [paragraph.spans[0].text for paragraph in (step.prose if step else ()) if is_quoted(paragraph)]
        if max(map(len, quoted), default=0) >= left:  # lines whose columns count: the machine makes room for them
            self._draw_step(canvas, 1, canvas.width, top)
        else:
            self._draw_step(canvas, 1, left - 1, top)
            canvas.upright(left, 1, top)
            self._draw_machine(canvas, left + 2, side, top, paper=True)
        self._draw_talk(canvas, 1 + top, canvas.width, height - top)

    def _draw_text(self, canvas: Canvas, y: int, width: int, height: int) -> None:
        """The step, and under it the last of what was said."""
        below = self._draw_step(canvas, y, width - 1, max(height - _TALK, 3))
        self._draw_talk(canvas, below, width - 1, y + height - below)

    def _draw_talk(self, canvas: Canvas, y: int, width: int, height: int) -> None:
        """The last of what was said, under a rule."""
        canvas.rule(0, y, width)
        self._rows, self._columns = max(height - 1, 1), width
        talk = [row for each in self._talk[-200:] for row in wrap(each, width)]
        canvas.put_lines(0, y + 1, talk[-self._rows :], width, self._rows)

    def _draw_step(self, canvas: Canvas, y: int, width: int, room: int) -> int:
        """Title and prose, as much as there is room for; gives the next row."""
        rows = self._step_rows(width, opening=True)
        if len(rows) > room:
            rows = self._step_rows(width, opening=False)
        if len(rows) > room:
            rows = list(filter(None, rows))  # without the empty lines between paragraphs
        if len(rows) > room:
            rows = [*rows[: room - 1], line("... read shows all of it")]
        return canvas.put_lines(0, y, rows, width, room)

    def _step_rows(self, width: int, *, opening: bool) -> list[Line]:
        """Title and prose, broken to a width."""
        prose = [row for each in self._prose(opening=opening) for row in wrap(each, width, _indent(each))]
        return [*wrap(line(bold(self._title())), width), *prose]

    def _draw_machine(self, canvas: Canvas, x: int, width: int, height: int, *, paper: bool) -> None:
        """Registers and what comes next, or the boards of the plan; then the paper of the console."""
        rig, step = self.teacher.rig, self.teacher.step
        at_plan = step is not None and step.at is At.PLAN
        if not at_plan and width >= _ROOMY:
            self._draw_parts(canvas, x, width, height, paper=paper and self._has_paper())
            return
        canvas.rule(x, 1, width, rig.name)
        shown = list(desk_lines(rig.desk.desk)) if at_plan else list(machine_lines(rig.machine, width))
        has_paper = paper and self._has_paper()
        if not at_plan and not has_paper:
            shown += around_lines(rig.machine)
        rows = [row for each in shown for row in wrap(each, width)]
        room = max(min(len(rows), height - 6), 2) if has_paper else height - 1
        y = canvas.put_lines(x, 2, rows, width, room)
        if has_paper and 1 + height > y + 1:
            self.draw_paper(canvas, x, y, width, 1 + height - y)

    def _draw_parts(self, canvas: Canvas, x: int, width: int, height: int, *, paper: bool) -> None:
        """The parts of the machine as at the bench, where there is room, and the paper below."""
        parts = panels.sections(self.teacher.bench.view())
        rows = max(height // 2, 9) if paper else height
        stacked(canvas, x, 1, width, rows, parts if rows > _ALL_PARTS else parts[:3], ruled=True)
        if paper and height > rows + 1:
            self.draw_paper(canvas, x, 1 + rows, width, height - rows)

    def _has_paper(self) -> bool:
        step = self.teacher.step
        if step is not None and step.at in (At.PLAN, At.PANEL) and not self.paper.text().strip():
            return False
        return self.teacher.machine.layout.console is not None

    def _title(self) -> str:
        step = self.teacher.step
        return step.title if step else f"The lesson is finished: {self.teacher.lesson.title}"

    def _prose(self, *, opening: bool = True) -> Iterator[Line]:
        """The step as lines of spans, an empty one between paragraphs; before the first one the opening."""
        step = self.teacher.step
        if step is None:
            yield line(self.teacher.lesson.goal)
            return
        before: Prose = self.teacher.lesson.opening if opening and self.teacher.number == 0 else ()
        was_item = True
        for number, paragraph in enumerate((*before, *step.prose)):
            if number and not (was_item and paragraph.mark):
                yield ()
            was_item = bool(paragraph.mark)
            mark = (Span(f"{paragraph.mark} "),) if paragraph.mark and not is_quoted(paragraph) else ()
            yield (*mark, *(Span(span.text, _STYLES[span.style]) for span in paragraph.spans))


def _indent(spans: Line) -> int:
    """How far the second line of an item stands in."""
    first = spans[0].text if spans else ""
    return len(first) if first.strip() in ("-",) or first.strip().rstrip(".").isdigit() else 0
