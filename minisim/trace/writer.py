"""Writes a trace while the machine runs: the run is the same, bit for bit, as without it.

The core runs slices of one instruction and records what each touched; a run is the same however it is cut.  So
conditions, pauses, the octal console and WAIT are looked after by the core as ever.
"""

from __future__ import annotations

import contextlib
import json
import signal
import threading
from collections.abc import Iterator, Sequence
from types import FrameType
from typing import IO, TYPE_CHECKING, Any

from minisim.cpu._core import lib
from minisim.machine.conditions import listed
from minisim.machine.session import Session, reason_of
from minisim.trace.lines import FORM, Lines

if TYPE_CHECKING:
    from minisim.machine.machine import Machine
    from minisim.machine.records import Condition, Stop
    from minisim.machine.steps import Registers

_PORTION = 2_000  # instructions between two writes to the file
_MOST_TOLD = 50_000  # sentences that are kept
_LIMIT: int = lib.MS_STOP_LIMIT


def write_trace(
    machine: Machine,
    stream: IO[str] | None,
    *,
    limit: int = 1_000_000,
    until: Condition | Sequence[Condition] | None = None,
    after: int = 0,
    count: int | None = None,
    words: IO[str] | None = None,
) -> Stop:
    """Run as `Machine.run` does, and write every instruction to `stream` as a line of JSON (minisim schema trace).

    `words` gets a readable line each: one sentence.  Lines begin when `after` instructions have run, and are at most
    `count`; the run goes on without them.  OSError: the stream took no more.
    """
    tracer = Tracer(machine, stream, words=words, after=after, count=count)
    with tracer.attached():
        session = Session(machine, limit, listed(until))
        while session.advance():
            pass
    tracer.end(session.stop())
    if tracer.problem is not None:
        raise tracer.problem
    return session.stop()


class Tracer:
    """Stands between a session and the core, as long as it is attached.

    `lines`: how many were written.  `problem`: the stream took no more; the run goes on without lines.
    """

    def __init__(
        self,
        machine: Machine,
        stream: IO[str] | None,
        *,
        words: IO[str] | None = None,
        after: int = 0,
        count: int | None = None,
    ) -> None:
        self._machine, self._raw = machine, machine._raw
        self._after, self._left = after, -1 if count is None else count
        self._lines, self._taken = Lines(machine), _Taken(machine)
        self._json: list[str] | None = None if stream is None else []
        self._words: list[str] | None = None if words is None else []
        self._files = ((stream, self._json), (words, self._words))
        self._told: dict[tuple[object, ...] | None, str] = {}
        self._counted = 0
        self.lines = 0
        self.problem: OSError | None = None
        self._begin(after, count)

    @property
    def is_full(self) -> bool:
        """As many lines as were asked for."""
        return not self._left

    @contextlib.contextmanager
    def attached(self) -> Iterator[Tracer]:
        """Every session of the machine runs through here meanwhile."""
        machine = self._machine
        before, machine._run_by = machine._run_by, self.run
        try:
            yield self
        finally:
            machine._run_by = before

    def end(self, stop: Stop) -> None:
        """The last line: how the run ended."""
        end = {
            "reason": stop.reason.value,
            "outcome": str(stop),
            "at": f"{stop.at:06o}",
            "pc": f"{stop.pc:06o}",
            "instructions": stop.instructions,
            "time_ns": stop.time_ns,
            "lines": self.lines,
        }
        self._put(_compact({"end": end}), f"{stop}\n")
        self._flush()

    def run(self, raw: Any, most: int) -> int:
        """In place of the core's own run; may come back before `most`, as if that had been the limit."""
        if self._after:
            began = raw.instructions
            code: int = lib.ms_run(raw, min(most, self._after))
            self._after -= min(raw.instructions - began, self._after)
            return code
        if not self._left or self.problem is not None:
            return int(lib.ms_run(raw, most))
        kept, raw.until.traced = raw.until.traced, 1
        with _undisturbed():
            try:
                return self._portion(raw, most)
            finally:
                raw.until.traced = kept
                if not kept:  # else somebody looks at them behind us
                    raw.access_count = 0
                self._flush()

    # --- lines -------------------------------------------------------------------------------------------------------

    def _portion(self, raw: Any, most: int) -> int:
        run, tell, one = lib.ms_run, self._tell, min(most, 1)
        last = raw.instructions + raw.naps + min(most, _PORTION)
        self._lines.look()
        self._taken.look()
        self._counted = raw.instructions
        while True:
            before = self._machine._registers() if self._words is not None else None
            raw.note_count = raw.floats_noted = 0
            code: int = run(raw, one)
            if raw.access_count:
                tell(code, before)
            if code != _LIMIT or not self._left or raw.instructions + raw.naps >= last:
                return code

    def _tell(self, code: int, before: Registers | None) -> None:
        """What just happened: an instruction, or interrupts alone."""
        raw, counted = self._raw, self._counted
        self._counted = now = raw.instructions
        pc = raw.instruction_pc if now > counted else self._lines.pc_before
        if self._json is not None:
            line, vectors = self._lines.line(pc)
            taken = self._taken.since(vectors) if vectors else ""
            self._json.append(f'{line}{taken},"count":{now},"time_ns":{raw.time_ns}}}\n')
        if self._words is not None and before is not None:
            self._words.append(self._sentence(code, before, counted))
        self.lines += 1
        self._left -= self._left > 0

    def _sentence(self, code: int, before: Registers, counted: int) -> str:
        """The readable line; a loop that waits does the same again and again."""
        raw = self._raw
        same = None if raw.note_count or raw.floats_noted else (code, before, tuple(raw.r), self._lines.accesses)
        if same in self._told:
            return self._told[same]
        step = self._machine._step_taken(before, counted, reason_of(code))
        told = f"{step.pc:06o}{' ' * bool(step.text)}{step.text}: {step.sentence}\n"
        if same is not None and len(self._told) < _MOST_TOLD:
            self._told[same] = told
        return told

    def _begin(self, after: int, count: int | None) -> None:
        """The first line: which machine it is, and where in its life the trace begins."""
        machine = self._machine
        head = {
            "trace": FORM,
            "name": machine.name,
            "sha256": machine.layout.sha256,
            "profile": machine.profile,
            "address_bits": machine.address_bits,
            "instructions": machine.instructions,
            "time_ns": machine.time_ns,
            "after": after,
            "most": count,
        }
        told = f" ({machine.layout.sha256[:12]})" if machine.layout.sha256 else ""
        self._put(_compact(head), f"{machine.name}{told}, processor {machine.profile}\n")
        self._flush()

    def _put(self, line: str, words: str) -> None:
        if self._json is not None:
            self._json.append(line)
        if self._words is not None:
            self._words.append(words)

    def _flush(self) -> None:
        """Whole lines, so that a kill leaves what came before."""
        for file, pending in self._files:
            if file is None or not pending:
                continue
            text = "".join(pending)
            pending.clear()
            if self.problem is not None:
                continue
            try:
                file.write(text)
                file.flush()
            except BrokenPipeError:
                raise  # nobody reads any more: the run need not go on
            except OSError as error:
                self.problem = error


@contextlib.contextmanager
def _undisturbed() -> Iterator[None]:
    """An interrupt from the keyboard waits until a portion is written: between an instruction and its line it would
    leave a trace with a hole.
    """
    if threading.current_thread() is not threading.main_thread() or not callable(signal.getsignal(signal.SIGINT)):
        yield
        return
    came: list[FrameType | None] = []
    before = signal.signal(signal.SIGINT, lambda _, frame: came.append(frame))
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
        if came and callable(before):
            before(signal.SIGINT, came[0])


def _compact(row: dict[str, Any]) -> str:
    return json.dumps(row, separators=(",", ":")) + "\n"


class _Taken:
    """Traps and interrupts by the core's own counts."""

    def __init__(self, machine: Machine) -> None:
        self._raw = raw = machine._raw
        self._place = machine.layout.place
        self._interrupts: list[int] = []
        self._traps: list[int] = []
        self._lines: dict[int, list[tuple[int, str]]] = {}
        self._of_line: dict[int, int] = {}
        for device in machine.layout.devices:
            for name, number in device.lines.items():
                who = {"place": device.place, "device": device.id, "line": name}
                told = json.dumps(who, separators=(",", ":"))[1:-1]
                self._lines.setdefault(int(raw.lines[number].vector), []).append((number, told))

    def look(self) -> None:
        """Note the counts as they are."""
        raw = self._raw
        self._interrupts, self._traps = list(raw.taken_by_vector), list(raw.traps_by_vector)
        self._of_line = {n: int(raw.lines[n].taken) for lines in self._lines.values() for n, _ in lines}

    def since(self, vectors: Sequence[int]) -> str:
        """Those among these vectors that were really taken, in their order."""
        found = [told for vector in dict.fromkeys(vectors) for told in self._of(vector)]
        return f',"taken":[{",".join(found)}]' if found else ""

    def _of(self, vector: int) -> Iterator[str]:
        row, raw = vector >> 2, self._raw
        for what, known, now in (
            ("interrupt", self._interrupts, raw.taken_by_vector[row]),
            ("trap", self._traps, raw.traps_by_vector[row]),
        ):
            if now != known[row]:
                known[row] = now
                who = self._who(vector) if what == "interrupt" else ""
                yield f'{{"vector":"{vector:06o}","what":"{what}"{who}}}'

    def _who(self, vector: int) -> str:
        """Place, device and line that asked; nothing where the processor itself did."""
        for number, told in self._lines.get(vector, ()):
            now = int(self._raw.lines[number].taken)
            if now != self._of_line[number]:
                self._of_line[number] = now
                return f",{told}"
        return ""
