"""`--learn`: a first run of an image, and the draft of its sheet, every line of which a person looks at."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from minisim.machine.machine import Machine
from minisim.machine.records import Reason, Stop
from minisim.trials.running.account import used
from minisim.trials.running.images import Image
from minisim.trials.running.model import NS
from minisim.trials.running.sheets import MOST_TEXT, Sheet
from minisim.trials.running.watch import BELL, caught_vector

SLICE = 20_000
LIMIT = 50_000_000
ENOUGH = 4  # times that a line or bells came back: the draft has what it needs
KEYBOARD = 0o777560  # status of the console's receiver
MOST_QUESTIONS = 20
RETURN = b"\r"
_POLLS = SLICE // 10  # looks at it in one slice: somebody waits for a key
_SHORTEST = 4  # characters of a text that says anything
_QUIET = 3  # slices without a character before a question is taken for one
_MARK = "   # drafted"


@dataclass(slots=True)
class Learned:
    """What a first run showed.  `times`: guest time at which each character was printed, up to a slice."""

    said: str = ""
    times: list[int] = field(default_factory=list)
    questions: list[str] = field(default_factory=list)
    stop: Stop | None = None
    vector: int | None = None
    instructions: int = 0

    def lines(self) -> list[tuple[str, int]]:
        """Whole lines that were printed, with the time of their end."""
        found, began = [], 0
        for match in re.finditer("[\r\n]+", self.said):
            if line := self.said[began : match.start()].strip(" \0\a"):
                found.append((line, self.times[match.start()]))
            began = match.end()
        return found


def learn(machine: Machine, limit: int = LIMIT) -> Learned:
    """Run a machine that is ready until it halts, repeats itself, or the limit comes.

    Where it stands still and looks at the keyboard, that is a question: the return key answers it.
    """
    seen, first, quiet = Learned(), used(machine), 0
    instructions = machine.instructions
    while True:
        looks = _looks(machine)
        stop = machine.run(max(min(SLICE, first + limit - used(machine)), 0))
        new = _taken(machine, seen)
        quiet = 0 if new else quiet + 1
        waits = stop.reason is Reason.WAITING or (quiet >= _QUIET and _looks(machine) - looks > _POLLS)
        answered = waits and _answer(machine, seen)
        if answered:
            quiet = 0
        elif waits or stop.reason is not Reason.LIMIT or used(machine) - first >= limit or _repeats(seen):
            seen.instructions = machine.instructions - instructions
            seen.stop = stop
            seen.vector = caught_vector(machine, stop) if stop.reason is Reason.HALTED else None
            return seen


def _answer(machine: Machine, seen: Learned) -> bool:
    """Press return at a question; False where there is none, or it keeps coming."""
    question = _question(seen.said)
    if len(question.strip()) < _SHORTEST or seen.questions.count(question) > 1 or len(seen.questions) >= MOST_QUESTIONS:
        return False
    seen.questions.append(question)
    machine.console.feed(RETURN)
    return True


def _looks(machine: Machine) -> int:
    return machine.counters().reads.get(KEYBOARD, 0)


def _taken(machine: Machine, seen: Learned) -> bool:
    """Take what was printed."""
    if machine.layout.console is None:
        return False
    text = "".join(chr(byte & 0o177) for byte in machine.console.take())
    seen.said += text
    seen.times += [machine.time_ns] * len(text)
    return bool(text)


def _question(said: str) -> str:
    """What stands on the last line, without an end."""
    return re.split("[\r\n]", said)[-1].strip("\0\a")[-MOST_TEXT:]


def _repeats(seen: Learned) -> bool:
    """A line, or the bell, came often enough."""
    if seen.said.count(chr(BELL)) >= ENOUGH and not repeated(seen):
        return True
    found = repeated(seen)
    return bool(found) and len(found[0][1]) >= ENOUGH


def repeated(seen: Learned) -> list[tuple[str, list[int]]]:
    """Texts that came several times, but for numbers in them, the most frequent first; with their times."""
    groups: dict[str, list[tuple[str, int]]] = {}
    for line, time_ns in seen.lines():
        groups.setdefault(re.sub("[0-9]+", "0", line), []).append((line, time_ns))
    found = []
    for lines in groups.values():
        text = _common([line for line, _ in lines])
        if len(lines) > 1 and len(text) >= _SHORTEST:
            found.append((text[:MOST_TEXT], [time_ns for _, time_ns in lines]))
    return sorted(found, key=lambda one: -len(one[1]))


def _common(lines: list[str]) -> str:
    """The beginning that all lines share, without a number that happens to be the same."""
    first, last = min(lines), max(lines)
    same = next((at for at, (a, b) in enumerate(zip(first, last, strict=False)) if a != b), min(len(first), len(last)))
    shared = first[:same]
    return shared if first == last else shared.rstrip("0123456789")


# --- the draft --------------------------------------------------------------------------------------------------------


def draft(image: Image, seen: Learned, sheet: Sheet, start: int, machine_name: str) -> str:
    """The sheet as text.  It can be read as it stands, and says of itself that nobody looked at it."""
    return "".join(f"{line}\n" for line in _draft(image, seen, sheet, start, machine_name))


def _draft(image: Image, seen: Learned, sheet: Sheet, start: int, machine_name: str) -> Iterator[str]:
    asked = {question.strip() for question in seen.questions}
    lines = (line for line, _ in seen.lines() if len(line) >= _SHORTEST and line not in asked)
    title = next(lines, image.path.name)
    yield f"# How {image.path.name} starts and ends, drafted from one run on: {machine_name}."
    yield "# Every line marked as drafted is a guess: look at it, put it right, take the mark away."
    yield "# When all is looked at, say looked-at: yes. The keys: minisim schema trial-image."
    yield "trial-image: 1"
    yield f"title: {_text(title)}{_MARK}: the first line it printed, else the name of the file"
    yield "versions:"
    yield f"  {image.sha256}:"
    yield f'    called: ""{_MARK}: the version as its listing says, for you to fill in'
    yield "    looked-at: no"
    yield f'    start: "{start:06o}"{_MARK}: {"as the image says" if image.start is not None else "as it was started"}'
    yield f'    switches: "{sheet.switches:06o}"{_MARK}: as they stood'
    yield from _replies(seen)
    yield from _end(seen)
    yield from _halts(seen)
    yield from _hang(seen)
    yield from _seen(seen)


def _text(text: str) -> str:
    """A text of YAML in double quotes."""
    return json.dumps("".join(letter for letter in text if letter.isascii() and letter.isprintable()))


def _replies(seen: Learned) -> Iterator[str]:
    if not seen.questions:
        return
    yield f"    replies:{_MARK}: it stood still here and looked at the keyboard; the replies are only the return key"
    for question in dict.fromkeys(seen.questions):
        yield f"      - when-printed: {_text(question)}"
        yield '        reply: "\\r"'


def _end(seen: Learned) -> Iterator[str]:
    found = repeated(seen)
    bells = [time for letter, time in zip(seen.said, seen.times, strict=True) if letter == chr(BELL)]
    if found:
        text, times = found[0]
        yield f"    end-of-pass: {{text: {_text(text)}}}{_MARK}: it came {len(times)} times{_every(times)}"
        for other, times in found[1:4]:
            yield f"    # or: {{text: {_text(other)}}}, which came {len(times)} times{_every(times)}"
    elif len(bells) > 1:
        yield f"    end-of-pass: {{bells: 1}}{_MARK}: {len(bells)} bells{_every(bells)}"
    else:
        yield "    # end-of-pass: nothing came twice. One of: {text: ...}, {bells: 1}, {address: ...}, {halt: ...},"
        yield "    # {returns-to: ...} (word 42 gets this address; the program comes there after a pass)"


def _every(times: list[int]) -> str:
    gaps = [(later - sooner) / NS for sooner, later in pairwise(times)]
    return f", every {min(gaps):.3g} to {max(gaps):.3g} s of its own time" if gaps else ""


def _halts(seen: Learned) -> Iterator[str]:
    if seen.stop is None or seen.stop.reason is not Reason.HALTED:
        return
    at = seen.stop.at
    if seen.vector is not None:
        yield f"    # It ended by an unexpected trap through {seen.vector:06o}: that is told without a word here."
        return
    yield f'    halts:{_MARK}: it ended here; an error, or the end of a pass (end-of-pass: {{halt: "{at:06o}"}})?'
    yield f'      "{at:06o}": "what the listing says of this halt"'


def _hang(seen: Learned) -> Iterator[str]:
    found = repeated(seen)
    if not found:
        yield f"    hang: {{instructions: {LIMIT * 4}}}{_MARK}: no time of a pass was seen"
        return
    times = found[0][1]
    longest = max(later - sooner for sooner, later in pairwise(times))
    seconds = max(10 * (len(times) + 1) * longest // NS, 10)
    yield f"    hang: {{seconds: {seconds}}}{_MARK}: ten times what so many passes took, 10 at least"


def _seen(seen: Learned) -> Iterator[str]:
    if seen.stop is not None and seen.stop.reason is Reason.LIMIT:
        yield f"    # Seen in {seen.instructions} instructions; {seen.stop.pc:06o} would have been the next."
    else:
        yield f"    # Seen in {seen.instructions} instructions, at their end: {seen.stop}."
    printed = [line for line, _ in seen.lines()][:20]
    yield "    # It printed:" if printed else "    # It printed no whole line."
    yield from (f"    #   {''.join(c if c.isprintable() else '?' for c in line)}" for line in printed)
