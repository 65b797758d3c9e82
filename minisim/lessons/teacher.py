"""Takes a learner through a lesson: sends their lines to the machine, says what was found, goes on when a step is done.

A learner is never stuck: `show` puts the step back to its start, does it, and goes on.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from minisim.bench.answer import Answer
from minisim.lessons.handling import act, help_lines, lay, press
from minisim.lessons.model import At, Lesson, Step
from minisim.lessons.prose import as_plain
from minisim.lessons.rig import Kept, Rig
from minisim.lessons.seen import Seen
from minisim.lessons.since import Since
from minisim.terminal import visible

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.findings import Report
    from minisim.machine.machine import Machine

WORDS = {
    "hint": "hint                         a nudge; again: a stronger one",
    "show": "show                         do this step for me, and go on",
    "start over": "start over                   the machine as this step began; again: as it should have begun",
    "leave": "leave                        end the lesson",
}
"""Words of the teacher, understood everywhere."""
_NOT_YET = "Not yet: {}."
_SO_FAR = "So far: {}."  # fewer lines than it takes: that is no mistake
_LOOKS = (["look"], ["help"])  # they are no try
_SHOWN = "The step as it can be done:"
_FRESH = "The machine stands as the steps before leave it when they are shown."
_RENEWED = "As the machine stood, the next step could not be done; it now stands as the steps before leave it."


@dataclass(frozen=True, slots=True)
class Reply:
    """What came of a line: what is said, whether it could be done, whether a step was passed with it."""

    lines: tuple[str, ...]
    done: bool = True
    passed: bool = False


@dataclass(frozen=True, slots=True)
class Deed:
    """One step that lies behind the learner: the lines that did it, and whether the teacher did it for them."""

    step: Step
    lines: tuple[str, ...]
    shown: bool


@dataclass(slots=True)
class Teacher:
    """One learner in one lesson.  It is the situation that checks are asked in."""

    lesson: Lesson
    rig: Rig = field(init=False)
    number: int = 0  # of the step, from 0
    left: bool = False
    deeds: list[Deed] = field(default_factory=list)
    troubles: list[str] = field(default_factory=list)  # lines of the lesson itself that could not be done
    _hints: int = 0
    _is_anew: bool = False  # it was started over, and nothing done since
    _seen: Seen = field(default_factory=Seen)
    _since: Since = field(default_factory=Since)
    _start: Kept = field(init=False)
    _paper: bytearray = field(default_factory=bytearray)

    def __post_init__(self) -> None:
        self.rig = Rig(self.lesson)
        self._begin()

    # ---- where the learner is

    @property
    def step(self) -> Step | None:
        """The step they are at; None behind the last one."""
        return self.lesson.steps[self.number] if self.number < len(self.lesson.steps) else None

    @property
    def finished(self) -> bool:
        """All steps are done."""
        return self.step is None

    @property
    def bench(self) -> Bench:
        """The bench; another object after starting over."""
        return self.rig.bench

    def take_printed(self) -> bytes:
        """What the console printed since the last call, what happened between the steps included."""
        data = bytes(self._paper)
        self._paper.clear()
        return data

    def close(self) -> None:
        """Let the machine go."""
        self.rig.let_go()

    # ---- what the learner says

    def do(self, line: str) -> Reply:
        """One line of the learner."""
        words = " ".join(line.lower().split())
        own: dict[str, Callable[[], Reply]] = {
            "hint": self.hint, "show": self.show, "start over": self.start_over, "leave": self._leave,
        }  # fmt: skip
        if words in own:
            return own[words]()
        if self.step is None:
            return Reply(("The lesson is finished.",), done=False)
        if words == "help" and self.step.at is not At.CONSOLE:
            return Reply((*help_lines(self.rig, self.step.at), *WORDS.values()))
        return self._try(self.step, line)

    def hint(self) -> Reply:
        """The next hint; the last one again when there is no other."""
        if self.step is None:
            return Reply(("The lesson is finished.",), done=False)
        hints = self.step.hints
        self._hints = min(self._hints + 1, len(hints))
        return Reply((as_plain(hints[self._hints - 1]),) if hints else ("There is no hint; show does it for you.",))

    def show(self) -> Reply:
        """Do the step as its solution says, whatever the machine has come to, and go on."""
        step = self.step
        if step is None:
            return Reply(("The lesson is finished.",), done=False)
        self._put_back()
        said, refused = self._do_solution(step)
        if refused or not step.check.holds(self):  # what the learner left behind earlier is in the way
            self._renew(step)
            said, refused = self._do_solution(step)
        self.troubles += refused
        if not step.check.holds(self):
            self.troubles.append(f"{step.mark}: the solution does not do what the check asks for")
        return Reply((*said, *self._passed(step, step.solution, shown=True)), passed=True)

    def _do_solution(self, step: Step) -> tuple[list[str], list[str]]:
        """The lines of the solution: what is said, and which of them could not be done."""
        said, refused = [_SHOWN], []
        for line in step.solution:
            with self._since.watching(self.rig, step.check):
                answer = self._act(step, line)
            said += [f"  {line}", *(f"    {each}" for each in answer.lines)]
            if not answer.done:
                refused.append(f'{step.mark}: "{line}" could not be done: {" ".join(answer.lines)}')
        return said, refused

    def start_over(self) -> Reply:
        """The machine as it was when this step began; said twice, as it would be had all steps before been shown."""
        if self.step is None:
            return Reply(("The lesson is finished.",), done=False)
        if self._is_anew and not self._seen.typed:
            self._renew(self.step)
            self._start = self.rig.keep()
            return Reply((_FRESH,))
        self._put_back()
        self._is_anew = True
        return Reply(("The machine is as it was when this step began.",))

    def _leave(self) -> Reply:
        self.left = True
        return Reply(())

    def keys(self, data: bytes) -> Reply:
        """Keys pressed at the console, one by one or several."""
        if self.step is None:
            return Reply(("The lesson is finished.",), done=False)
        return self._after(self.step, lambda: self._press(data))

    # ---- a step

    def _try(self, step: Step, line: str) -> Reply:
        return self._after(step, lambda: self._act(step, line), line)

    def _press(self, data: bytes) -> Answer:
        answer = press(self.rig, data)
        self._collect()
        return answer

    def _after(self, step: Step, acting: Callable[[], Answer], line: str = "") -> Reply:
        """Something is done: is the step passed with it, or what is found instead?"""
        before = set(step.check.found(self))
        with self._since.watching(self.rig, step.check):
            answer = acting()
        if step.check.holds(self):
            return Reply((*answer.lines, *self._passed(step, tuple(self._seen.typed), shown=False)), passed=True)
        tried_all = len(self._seen.typed) >= len(step.solution)
        only_looked = line.lower().split()[:1] in _LOOKS
        again = tried_all and not only_looked
        found = dict.fromkeys(each for each in step.check.found(self) if again or each not in before)
        if not found or not answer.done:
            return Reply(answer.lines, done=answer.done)
        say = _NOT_YET if tried_all else _SO_FAR
        return Reply((*answer.lines, say.format("; ".join(found))), done=True)

    def _act(self, step: Step, line: str) -> Answer:
        """A line of the learner, where it belongs in this step."""
        answer = act(self.rig, step.at, line, self._seen)
        self._collect()
        return answer

    def _passed(self, step: Step, lines: tuple[str, ...], *, shown: bool) -> tuple[str, ...]:
        """On to the next step; gives what is said."""
        self.deeds.append(Deed(step, lines, shown))
        self.number += 1
        return (as_plain(step.done), *self._begin())

    def _begin(self) -> tuple[str, ...]:
        """The machine as the step wants it, and kept so; gives what there is to say of it."""
        said: tuple[str, ...] = ()
        if self.step is not None:
            if lay(self.rig, self.step):
                self._renew(self.step)
                said = (_RENEWED,)
            self._collect()
            self._start = self.rig.keep()
        self._begin_anew()
        self._hints = 0
        return said

    def _renew(self, step: Step) -> None:
        """Another machine, as it stands where all steps before are done as their solutions say."""
        self.rig.let_go()
        self.rig = Rig(self.lesson)
        for before in self.lesson.steps[: self.number]:
            lay(self.rig, before)
            for line in before.solution:
                act(self.rig, before.at, line, Seen())
        self.rig.printed()
        self.troubles += lay(self.rig, step)
        self._begin_anew()

    def _put_back(self) -> None:
        self.rig.put_back(self._start)
        self._begin_anew()

    def _begin_anew(self) -> None:
        """Nothing has happened in this step yet."""
        self._seen = Seen()
        self._since = Since()
        self._is_anew = False
        if self.step is not None and self.step.at is not At.PLAN:
            self._since.begin(self.rig)

    def _collect(self) -> None:
        """What the console has printed meanwhile."""
        data = self.rig.printed()
        self._paper += data
        self._since.printed += visible(data).decode("ascii").replace("\r", "")

    # ---- the situation that a check asks about

    @property
    def machine(self) -> Machine:
        """The machine as it stands."""
        return self.rig.machine

    @property
    def halted(self) -> bool:
        """The processor has halted in this step."""
        return self.rig.halted and self._since.halted_at != self.machine.time_ns

    @property
    def printed(self) -> str:
        """What the console has printed in this step."""
        return self._since.printed

    def touched(self, address: int, write: bool) -> bool:
        """The program read or wrote this address in this step."""
        return (address, write) in self._since.touched

    def trapped(self, vector: int) -> bool:
        """A trap or an interrupt went through this vector in this step."""
        return self._since.trapped(self.machine, vector)

    def looked(self, what: str) -> bool:
        """The learner looked there in this step."""
        return self._seen.looked(what)

    def said(self, words: str) -> bool:
        """The learner used this word in this step."""
        return self._seen.said(words)

    def report(self) -> Report:
        """What the rules find in the loadout at the desk."""
        return self.rig.desk.desk.report

    @property
    def switched_on(self) -> bool:
        """The machine was switched on as the loadout at the desk stands."""
        return self.rig.switched_on

    def board_at(self, place: str) -> str:
        """The board at a place of the loadout."""
        return self.rig.desk.desk.board_at(place)
