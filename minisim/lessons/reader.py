"""Reads lesson files: everything wrong with a file is told at once, each with line and column."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.files import read_at_most
from minisim.findings import Mark
from minisim.lessons.check_reader import CheckError, read_check
from minisim.lessons.checks import Check
from minisim.lessons.fields import line_of, lines_of, one_of, text_of, texts_of, yes_of
from minisim.lessons.model import BARE, At, Lesson, Prose, Step
from minisim.lessons.prose import Fence, Section, sections
from minisim.problems import InputError, Problem, Problems, nearest
from minisim.yamltext import Mapping, Node, Scalar, Sequence, parse

if TYPE_CHECKING:
    from minisim.cpu.assembler import Program

FOLDER = Path(__file__).parent
MACHINES = FOLDER / "machines"
MAX_BYTES = 1_000_000
HEAD = {
    "title": "what it is called",
    "minutes": "how long it takes, decimal: 3 to 15, in event mode from 0.5",
    "goal": "one sentence: what the learner can do then",
    "machine": "`bare` (a processor with memory), a name in `minisim/lessons/machines/`, or a loadout file beside it",
    "profile": "of a bare machine: its processor, else that of `minisim.bare`",
    "options": "of a bare machine: what is fitted beside the standard set, such as `eis fpp`",
    "order": "its place in the list, decimal",
    "event": "`yes`: offered in event mode too",
}
HEAD_REQUIRED = ("title", "minutes", "goal", "machine")
STEP = {
    "set-up": "lines done before the step, unseen: bench words, or words of the plan where the step is there",
    "program": "assembler, put into memory before the step; PC goes to its label `start`, else to its first word",
    "at": "where the lines of the learner go: `bench` (what holds if nothing is said), `console`, `panel`, `plan`",
    "solution": "what the learner may type, a line each",
    "wrong": "what must not pass; several ways are a list",
    "check": "what must hold then",
    "hints": "a list: first a nudge, then nearly the answer",
    "done": "one sentence: the true thing",
}
STEP_REQUIRED = ("solution", "wrong", "check", "hints", "done")
_PROGRAM = re.compile(r"^program: *\|(?= *$)", re.MULTILINE)  # labels stand left of the first line: say how far
_MOST_MINUTES = Decimal(15)


def lesson_files(folder: Path = FOLDER) -> tuple[Path, ...]:
    """The files of all lessons, by name; short ones stand in folders of their own."""
    return tuple(sorted([*folder.glob("*.md"), *folder.glob("*/*.md")], key=lambda path: path.stem))


def machine_names() -> tuple[str, ...]:
    """The machines of the lessons, by name."""
    return tuple(sorted(path.stem for path in MACHINES.glob("*.yaml")))


def all_lessons(folder: Path = FOLDER) -> tuple[Lesson, ...]:
    """All lessons in their order.  InputError lists the problems of all files."""
    lessons: list[Lesson] = []
    problems: list[Problem] = []
    for path in lesson_files(folder):
        try:
            lessons.append(read_lesson(path))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    return tuple(sorted(lessons, key=lambda lesson: (lesson.order, lesson.name)))


def read_lesson(path: str | Path) -> Lesson:
    """One lesson.  InputError lists every problem of the file."""
    return read_lesson_bytes(read_at_most(path, MAX_BYTES, "a lesson"), path)


def read_lesson_bytes(data: bytes, path: str | Path) -> Lesson:
    """The same for bytes that stand, or shall stand, in the file `path`."""
    try:
        text = data.decode("utf-8").removeprefix("\ufeff").replace("\r\n", "\n")
    except UnicodeDecodeError:
        raise InputError([Problem(Mark(str(path), 1, 1), "not UTF-8 text; save the file as UTF-8")]) from None
    reading = _Reading(Path(path), str(path), Problems())
    lesson = reading.lesson(text)
    if reading.problems.found or lesson is None:
        raise InputError(reading.problems.found)
    return lesson


@dataclass(slots=True)
class _Reading:
    """One file on its way to a lesson."""

    path: Path
    file: str
    problems: Problems

    def lesson(self, text: str) -> Lesson | None:
        lines = text.split("\n")
        end = lines.index("---", 1) if lines[0] == "---" and "---" in lines[1:] else 0
        if not end:
            self._say(1, "a lesson begins with its head between two lines ---")
            return None
        head = self._parsed("\n".join(["", *lines[1:end]]), 1, "the head")
        parts, problems = sections("\n".join([""] * (end + 1) + lines[end + 1 :]), self.file)
        self.problems.found += problems
        return None if head is None else self._made(head, parts)

    def _made(self, head: Mapping, parts: list[Section]) -> Lesson:
        self.problems.keys(head, HEAD, HEAD_REQUIRED)
        machine = self._machine(head)
        steps = tuple(step for part in parts[1:] if (step := self._step(part)) is not None)
        if parts[0].fences:
            self._say(parts[0].fences[0].line, "a step block stands under the heading of its step: ## Title")
        if len(parts) == 1:
            self._say(parts[0].line, "a lesson needs a step: a heading ## with a step block")
        event = yes_of(head.get("event"), self.problems, "event")
        profile, options = self._fitted(head, machine)
        return Lesson(
            name=self.path.stem,
            title=text_of(head.get("title"), self.problems, "title"),
            minutes=self._minutes(head.get("minutes"), event=event),
            goal=text_of(head.get("goal"), self.problems, "goal"),
            machine=machine,
            profile=profile,
            options=options,
            order=self._order(head.get("order")),
            event=event,
            opening=tuple(parts[0].prose),
            steps=steps,
            file=self.file,
            mark=head.mark,
        )

    # ---- head

    def _machine(self, head: Mapping) -> Path | None:
        node = head.get("machine")
        name = text_of(node, self.problems, "machine")
        if not name or node is None or name == BARE:
            return None
        own = machine_names()
        beside = self.path.parent / name
        if name in own:
            return MACHINES / f"{name}.yaml"
        if name.endswith(".yaml") and beside.is_file():
            return beside
        allowed = [BARE, *own]
        found = f'there is no machine "{name}"{nearest(name, allowed)}'
        self.problems.say(node, f"{found}; there are {', '.join(allowed)}, and loadout files beside the lesson")
        return None

    def _fitted(self, head: Mapping, machine: Path | None) -> tuple[str, tuple[str, ...]]:
        """Profile and options of a bare machine, as they can be had."""
        from minisim.cpu.profile import ProfileError, configuration
        from minisim.machine.bare import DEFAULT_PROFILE

        profile = text_of(head.get("profile"), self.problems, "profile")
        options = tuple(text_of(head.get("options"), self.problems, "options").split())
        if machine is not None:
            for key in ("profile", "options"):
                if (stray := head.key(key)) is not None:
                    self.problems.say(stray, f"{key}: only a bare machine takes it; others have a loadout")
            return "", ()
        try:
            configuration(profile or DEFAULT_PROFILE, options)
        except ProfileError as error:
            self.problems.say(head.get("options") or head.get("profile") or head, str(error))
        return profile or DEFAULT_PROFILE, options

    def _minutes(self, node: Node | None, *, event: bool) -> Decimal:
        text = text_of(node, self.problems, "minutes")
        least = Decimal("0.5") if event else Decimal(3)
        try:
            minutes = Decimal(text or "3")
            allowed = least <= minutes <= _MOST_MINUTES
        except InvalidOperation:
            minutes, allowed = least, False
        if not allowed and node is not None:
            why = "" if event else "; shorter ones say event: yes"
            self.problems.say(node, f'minutes: "{text}" is none of {least} to {_MOST_MINUTES} (decimal){why}')
        return minutes

    def _order(self, node: Node | None) -> int:
        text = text_of(node, self.problems, "order")
        if text and not (text.isascii() and text.isdigit() and len(text) < 7) and node is not None:
            self.problems.say(node, f'order: "{text}" is no decimal count')
            return 0
        return int(text or 0)

    # ---- steps

    def _step(self, part: Section) -> Step | None:
        if len(part.fences) != 1:
            count = "no step block" if not part.fences else "more than one step block"
            self._say(part.line, f'"{part.title}": {count}; every heading has one')
            return None
        fence = part.fences[0]
        node = self._parsed(_PROGRAM.sub(r"\g<0>1", fence.text), fence.line, "a step")
        return None if node is None else self._step_of(node, part, fence)

    def _step_of(self, node: Mapping, part: Section, fence: Fence) -> Step | None:
        self.problems.keys(node, STEP, STEP_REQUIRED)
        problems = self.problems
        source = self._source(node.get("program"))
        check = self._check(node.get("check"))
        prose: Prose = tuple(part.prose)
        self._uncut(node.get("done"), fence)
        hints = node.get("hints")
        for hint in hints.items if isinstance(hints, Sequence) else ():
            self._uncut(hint, fence)
        step_at = one_of(node.get("at"), [each.value for each in At], problems, "at") or At.BENCH.value
        if check is None:
            return None
        return Step(
            title=part.title,
            prose=prose,
            at=At(step_at),
            set_up=lines_of(node.get("set-up"), problems, "set-up"),
            source=source,
            program=self._program(node.get("program"), source),
            solution=lines_of(node.get("solution"), problems, "solution"),
            wrong=self._wrong(node.get("wrong")),
            check=check,
            hints=texts_of(node.get("hints"), problems, "hints"),
            done=text_of(node.get("done"), problems, "done"),
            mark=Mark(self.file, part.line, 1),
        )

    def _uncut(self, node: Node | None, fence: Fence) -> None:
        """YAML takes what stands behind a blank and # for a remark: in a sentence that is a slip."""
        if isinstance(node, Scalar) and not node.quoted and 0 <= node.line - fence.line < len(fence.text.split("\n")):
            rest = fence.text.split("\n")[node.line - fence.line][node.column - 1 :]
            if rest.startswith(node.text) and rest[len(node.text) :].lstrip().startswith("#"):
                self.problems.say(node, "what stands behind # is cut off; put the sentence between double quotes")

    def _wrong(self, node: Node | None) -> tuple[tuple[str, ...], ...]:
        ways = node.items if isinstance(node, Sequence) else [] if node is None else [node]
        return tuple(lines_of(way, self.problems, "wrong") or ("",) for way in ways)  # "": Return alone

    def _check(self, node: Node | None) -> Check | None:
        text = line_of(node, self.problems, "check")
        if not text or node is None:
            return None
        try:
            return read_check(text)
        except CheckError as error:
            self.problems.say(node, f"check: {error}")
            return None

    def _source(self, node: Node | None) -> str:
        if node is None:
            return ""
        if isinstance(node, Scalar) and not node.empty:
            return node.text
        self.problems.say(node, "program: lines of assembler are expected, behind program: |")
        return ""

    def _program(self, node: Node | None, source: str) -> Program | None:
        from minisim.cpu.assembler import assemble

        if not source or node is None:
            return None
        above = node.line  # the text of a block begins below its key
        try:
            return assemble([(self.file, source)])
        except InputError as error:
            for problem in error.problems:
                at = Mark(self.file, above + problem.mark.line, problem.mark.column)
                self.problems.found.append(Problem(at, problem.message))
            return None

    # ---- pieces

    def _parsed(self, text: str, line: int, what: str) -> Mapping | None:
        """A piece of YAML whose first line is `line` of the file."""
        node, problems = parse(("\n" * (line - 1) + text).encode(), self.file)
        self.problems.found += problems
        if isinstance(node, Mapping):
            return node
        if not problems:
            self._say(line, f"{what} is made of keys and values")
        return None

    def _say(self, line: int, message: str) -> None:
        self.problems.found.append(Problem(Mark(self.file, line, 1), message))
