"""Runs an owner's program and watches for what its sheet says: passes, questions, errors, hangs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from enum import StrEnum

from minisim.machine.machine import Machine
from minisim.machine.records import Access, Address, Condition, Reason, Stop
from minisim.trials.running.account import used
from minisim.trials.running.model import NS
from minisim.trials.running.sheets import Reply, Sheet

SLICE = 20_000  # instructions between two looks at what was printed
PATIENCE = 5  # slices for the rest of a line that tells of an error
BELL = 7
_CATCHERS = 0o1000  # vectors, each followed by a HALT, end here
_ADDRESSES = ("address", "returns-to")
Tell = Callable[[int, int], None]


class Ended(StrEnum):
    """Why the watching ended."""

    PASSES = "passes"  # as many as were asked for
    ERROR_TEXT = "error text"
    HALT = "halt"
    HANG = "hang"
    LIMIT = "limit"


@dataclass(slots=True)
class Watched:
    """What was seen."""

    ended: Ended
    passes: int
    said: str
    stop: Stop
    because: str = ""


@dataclass(slots=True)
class Watcher:
    """One run.  `wanted` passes end it; `target`: or so much was `used`, to come to the same moment again."""

    machine: Machine
    sheet: Sheet
    wanted: int
    limit: int
    target: int | None = None
    tell: Tell | None = None
    printed: bytearray = field(default_factory=bytearray)
    passes: int = 0
    looked: int = 0  # how far what was printed was looked at for passes and errors
    asked: int = 0  # and for questions
    error_at: int | None = None  # where an error text stands in what was printed
    patience: int = PATIENCE

    def run(self) -> Watched:
        """Until the end."""
        machine, sheet = self.machine, self.sheet
        first, began = used(machine), machine.time_ns
        instructions = machine.instructions
        end = first + self.limit if self.target is None else min(first + self.limit, self.target)
        while True:
            stop = machine.run(max(min(SLICE, end - used(machine)), 0), self._conditions())
            found = self._look(stop) or self._stopped(stop)
            if found is None and sheet.most_seconds is not None and machine.time_ns - began > sheet.most_seconds * NS:
                found = Ended.HANG, f"it is not at its end after {sheet.most_seconds} s of its own time"
            if found is None and used(machine) >= end:
                found = Ended.LIMIT, f"it is not at its end after {machine.instructions - instructions} instructions"
            if found is not None:
                count, time_ns = machine.instructions - instructions, machine.time_ns - began
                reason = Reason.REQUEST if stop.reason is Reason.LIMIT and found[0] is not Ended.LIMIT else stop.reason
                whole = replace(stop, reason=reason, instructions=count, time_ns=time_ns)
                return Watched(found[0], self.passes, self.printed.decode("ascii"), whole, found[1])
            if self.tell is not None:
                self.tell(used(machine) - first, self.limit)

    def _conditions(self) -> list[Condition]:
        end, found = self.sheet.end, list[Condition]()
        if end is not None and end.kind in _ADDRESSES:
            found.append(Address(end.number))
        if self.sheet.hang_at is not None:
            found.append(Access(self.sheet.hang_at, read=False, write=False, fetch=True))
        return found

    # --- what it printed ----------------------------------------------------------------------------------------------

    def _look(self, stop: Stop) -> tuple[Ended, str] | None:
        """Take what was printed: answer questions, count passes, find errors."""
        machine = self.machine
        if machine.layout.console is None:
            return None
        self.printed += bytes(byte & 0o177 for byte in machine.console.take())
        text = self.printed.decode("ascii")
        self._answer(text)
        self._find_error(text)
        if self.error_at is not None:
            return self._error(text, stop)
        self._count(text)
        self.looked = len(text)
        return self._enough()

    def _find_error(self, text: str) -> None:
        """The first text that tells of an error, if one came since the last look."""
        found = [text.find(error, max(self.looked - len(error) + 1, 0)) for error in self.sheet.errors]
        if self.error_at is None and any(at >= 0 for at in found):
            self.error_at = min(at for at in found if at >= 0)

    def _error(self, text: str, stop: Stop) -> tuple[Ended, str] | None:
        """The whole line, for which the machine goes on a little, and what stopped it."""
        assert self.error_at is not None
        begin = max(text.rfind(letter, 0, self.error_at) for letter in "\r\n") + 1
        line, *rest = text[begin:].splitlines()
        self.patience -= 1
        if not rest and stop.reason is Reason.LIMIT and self.patience > 0 and self.target is None:
            return None
        halted = f"; {halt_told(self.machine, stop, self.sheet)}" if stop.reason is Reason.HALTED else ""
        return Ended.ERROR_TEXT, f"it printed: {line.strip()}{halted}"

    def _answer(self, text: str) -> None:
        """Type the reply to each question that was printed since the last one."""
        while (asked := self._question(text)) is not None:
            place, reply = asked
            self.asked = place + len(reply.when_printed)
            self.machine.console.feed(reply.reply.encode("ascii"))

    def _question(self, text: str) -> tuple[int, Reply] | None:
        found = [(text.find(one.when_printed, self.asked), one) for one in self.sheet.replies]
        return min((one for one in found if one[0] >= 0), key=lambda one: one[0], default=None)

    def _count(self, text: str) -> None:
        end = self.sheet.end
        if end is not None and end.kind == "text":
            self.passes = min(text.count(end.text), self.wanted)
        elif end is not None and end.kind == "bells":
            self.passes = min(self.printed.count(BELL) // end.number, self.wanted)

    def _enough(self) -> tuple[Ended, str] | None:
        return (Ended.PASSES, "") if self.passes >= self.wanted and self.target is None else None

    # --- how it stopped -----------------------------------------------------------------------------------------------

    def _stopped(self, stop: Stop) -> tuple[Ended, str] | None:
        """What a stop means; None where it goes on."""
        if stop.reason is Reason.REACHED:
            return self._reached(stop)
        if stop.reason is Reason.HALTED:
            return self._halted(stop)
        if stop.reason is Reason.WAITING:
            return Ended.HANG, f"the WAIT at {stop.at:06o} can't end"
        if stop.reason is Reason.STUCK:
            return Ended.HANG, f"the instruction at {stop.at:06o} jumps to itself for ever"
        return None

    def _reached(self, stop: Stop) -> tuple[Ended, str] | None:
        end = self.sheet.end
        if end is not None and end.kind in _ADDRESSES and stop.pc == end.number:
            self.passes += 1
            if (enough := self._enough()) is None:
                self.machine.step()  # else it would be reached again at once
            return enough
        return Ended.HANG, f"it came to {self.sheet.hang_at:06o}, where the sheet says it hangs"

    def _halted(self, stop: Stop) -> tuple[Ended, str] | None:
        end = self.sheet.end
        if end is not None and end.kind == "halt" and stop.at == end.number:
            self.passes += 1
            return self._enough()
        return Ended.HALT, halt_told(self.machine, stop, self.sheet)


def halt_told(machine: Machine, stop: Stop, sheet: Sheet) -> str:
    """What a HALT means, in a sentence: the owner's note, a trap that nobody waited for, or only where."""
    if stop.at in sheet.halts:
        note = sheet.halts[stop.at]
        return f"it halted at {stop.at:06o}" + (f": {note}" if note else ", an error by its sheet")
    vector = caught_vector(machine, stop)
    if vector is not None:
        return f"unexpected trap through {vector:06o}: it halted in the trap catcher"
    return f"it halted at {stop.at:06o}"


def caught_vector(machine: Machine, stop: Stop) -> int | None:
    """The vector of a trap catcher: word n holds n + 2, word n + 2 a HALT, so PC is n + 4."""
    vector = stop.at - 2
    if not 0 <= vector < _CATCHERS or vector % 4 or stop.pc != vector + 4:
        return None
    return vector if machine.memory.word(vector) == stop.at else None
