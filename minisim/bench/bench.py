"""The bench: one machine, and what a person does to it, line by line.  Screens and lessons stand on this."""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from minisim.bench.answer import Answer, Refused, Suggestion, about_file, said, words_of
from minisim.bench.past import Past
from minisim.bench.printed import Printed
from minisim.bench.tracing import MOST_EVENTS, told_here, traced
from minisim.bench.undo import Undo
from minisim.machine.console_processor import ConsoleProcessor
from minisim.machine.errors import FrozenStateError, MachineError
from minisim.machine.machine import Machine
from minisim.machine.records import Condition, Reason, Stop
from minisim.machine.session import FOR_EVER
from minisim.problems import InputError, printable

if TYPE_CHECKING:
    from minisim.bench.view import View
    from minisim.loadout.model import Loadout
    from minisim.machine.session import Session
    from minisim.machine.steps import Step
    from minisim.panel import PanelDialog

KEPT_STEPS = 32
TRACED = 8  # instructions at the end of a frame that are told
FULL_SLICE = 200_000  # instructions between two looks at the clock at full speed
LONGEST_NAP = 20_000_000  # nanoseconds beyond the end of a frame that the traced instructions may take
STILL = (Reason.WAITING, Reason.STUCK)
PASSING = (Reason.REACHED, Reason.REQUEST)
SECOND = 1_000_000_000
INPUTS = ("change", "enable", "halt", "panel", "put in", "run", "take out", "type")  # in the past: a new future
FORGOTTEN = "What came later is forgotten: the machine goes another way from here."


class Bench:
    """A machine on the bench.  It stands still until it is told to run.

    `pace` is "full" or "real"; `loadout` only says the name of its file; without `may_go_back` the machine keeps no
    past (a recording can't hold a machine that goes back).
    """

    def __init__(
        self, machine: Machine, *, loadout: Loadout | None = None, pace: str = "full", may_go_back: bool = True
    ) -> None:
        self.machine = machine
        self.loadout = loadout
        self.pace = pace
        self.running = self.left = self.wants_console = False
        self.stop: Stop | None = None
        self.undo = Undo()
        self.speed = 0.0  # instructions in a second of real time, of the last frame
        self.changed = 0  # counts what was done to the machine from here
        self._steps: deque[Step] = deque(maxlen=KEPT_STEPS)
        self._then: tuple[Sequence[Step], Stop | None, bool] = ((), None, False)  # how the bench was in the present
        self._session: Session | None = None
        self._conditions: tuple[Condition, ...] = ()
        self._goal_ns = machine.time_ns  # where guest time should be by now, at real pace
        self._end_ns: int | None = None  # until 10 seconds
        self.paper = Printed()
        self.over = False  # the last run ended because its time was over
        self._pressed = False  # the halt switch was only pressed, not left on
        self._dialog: PanelDialog | None = None
        self._between: ConsoleProcessor | None = None
        self._held = False  # halted, and nothing but C of the console processor starts it again
        self.past = Past(machine, may_go_back)
        self._meet()

    # --- one line ------------------------------------------------------------------------------------------------

    def do(self, line: str) -> Answer:
        """Do what a line says.  It never raises for what can be typed."""
        from minisim.bench.verbs import no_word, split, verbs

        (name, rest), was_past = split(line), self.past.in_the_past
        try:
            if not name and not rest.strip():
                return said()
            if not name:
                raise no_word(rest.split()[0].lower())
            answer = verbs()[name].do(self, words_of(rest))
            dropped = was_past and name in INPUTS and not self.past.in_the_past
            return Answer((*answer.lines, FORGOTTEN), answer.done) if dropped else answer
        except Refused as refused:
            return Answer(tuple(printable(each) for each in refused.lines), done=False)
        except InputError as error:
            return Answer(tuple(printable(about_file(problem)) for problem in error.problems), done=False)
        except (MachineError, FrozenStateError) as error:
            return Answer(tuple(printable(str(error)).splitlines()), done=False)

    def complete(self, line: str) -> list[Suggestion]:
        """Whole words that may stand where the line ends."""
        from minisim.bench.completion import complete

        return complete(self, line)

    # --- running -------------------------------------------------------------------------------------------------

    def start(self, conditions: Sequence[Condition] = (), *, ns: int | None = None) -> None:
        """Let the guest run from the next frame on: until one of the conditions, or for so much of its time."""
        self._release()
        self._begin(tuple(conditions))
        self._end_ns = None if ns is None else self.machine.time_ns + ns
        self.running = True

    def pause(self) -> None:
        """Stop the guest where it stands."""
        if self.running:
            self._ended()

    def advance(self, seconds: float = 0.05) -> None:
        """One frame while it runs: `seconds` of real time, or at real pace of the guest's time."""
        if not self.running:
            return
        began, first = time.monotonic(), self.machine.instructions
        going = self._real(seconds) if self.pace == "real" else self._full(began + seconds)
        spent = max(time.monotonic() - began, seconds if self.pace == "real" else 1e-6)
        self.speed = (self.machine.instructions - first) / spent
        if not going:
            self._ended()

    def finish(self, limit: int = 50_000_000) -> None:
        """Run on until it stops by itself; after `limit` instructions it pauses."""
        last = self.machine.instructions + self.machine._raw.naps + limit
        while self.running:
            left = last - self.machine.instructions - self.machine._raw.naps
            going = left > 0 and self._slice(min(left, 1_000_000), None) and self._tail(None)
            if not going:
                self._ended()

    def take_steps(self, count: int) -> list[Step]:
        """Run so many instructions, each told; fewer where the machine stops."""
        self._release()
        self._begin(())
        found: list[Step] = []
        for _ in range(count):
            step = self._one()
            if step is None:
                break
            found.append(step)
            if self._live().reason is not None:
                break
        self._ended()
        return found

    @property
    def steps(self) -> Sequence[Step]:
        """The last instructions that were told, the newest last."""
        return tuple(self._steps)

    # --- the guest's console -------------------------------------------------------------------------------------

    def type(self, keys: bytes) -> None:
        """Keys to the console line, past the console processor where there is one.  NotFittedError: there is none."""
        if self._between is not None:
            keys, shown = self._between.type(keys)
            self.paper.put(shown, self.machine)
            if self._held and self._between.wants_to_run:
                self._held = False
                self.running = True
        if keys:
            self.machine.console.feed(keys)
        self.wake()

    def send_break(self) -> None:
        """Hold the console line in break.  NotFittedError: there is none."""
        self.machine.console.send_break()
        self.wake()

    def carry_on(self) -> None:
        """Run on from where it stands, past no console: a halted processor only goes on if its own console lets it."""
        if self.running or self._held or (self.halted and not self.machine.octal_console):
            return
        if self.stop is None or self.stop.reason is Reason.REQUEST or self._session is None:
            self._begin(())
        self._goal_ns = self.machine.time_ns
        self.running = True

    def printed(self, *, eight_bits: bool = False) -> bytes:
        """What the guest has printed since the last call."""
        self.paper.take(self.machine)
        return self.paper.new(eight_bits)

    def press_halt(self, on: bool) -> None:
        """The halt switch; pressed, it is let go when the processor has halted, but on a front panel it stays."""
        was_on = bool(self.machine._raw.halt_switch)
        self.machine.press_halt(on)
        self._pressed = on and not was_on and self.machine.console_kind != "panel"
        self.touched()
        if on and self.halted:
            self._let_go()
        elif on and not self.running:
            self._session = None
            self._begin(())
            self.running = True

    @property
    def dialog(self) -> PanelDialog:
        """The front panel.  NotFittedError: the processor has none."""
        from minisim.panel import PanelDialog

        if self._dialog is None or self._dialog.machine is not self.machine:
            switches = 0 if self._dialog is None else self._dialog.switches
            self._dialog = PanelDialog(self.machine, switches=switches, run_one=lambda: self.take_steps(1))
            self._dialog.halted()
        return self._dialog

    # --- looking -------------------------------------------------------------------------------------------------

    def view(self) -> View:
        """Everything a screen shows, as it stands now."""
        from minisim.bench.view import view

        return view(self)

    @property
    def waits_for_keys(self) -> bool:
        """Has it stopped so that only keys, or a break on the line, can bring it on?"""
        at_console = self.machine.octal_console and self.machine.at_octal_console
        return at_console or self._held or (self.stop is not None and self.stop.reason in STILL)

    @property
    def halted(self) -> bool:
        """Did the last run end with a halted processor?"""
        return self.stop is not None and self.stop.reason is Reason.HALTED

    # --- for the verbs -------------------------------------------------------------------------------------------

    def touched(self) -> None:
        """Something was done to the machine from here."""
        self.changed += 1

    def put_on(self, machine: Machine, *, restart: bool = True) -> None:
        """Another machine stands on the bench from now on: the old one as it was earlier, or one that was kept."""
        self.machine, self.stop, self._session, self.running = machine, None, None, False
        self._steps.clear()
        self.undo.clear()
        self._end_ns, self._pressed = None, False
        if restart:
            if machine.layout.console is not None:
                machine.console.take()  # of a run that nobody saw here
            self.paper.settle()
            self.past.restart(machine)
        self._meet()
        self.touched()

    def go_back(self, *, instructions: int = 0, ns: int = 0) -> None:
        """The machine as it was.  MachineError, Refused: it can't go so far."""
        self._turn(lambda: self.past.back_told(TRACED, instructions=instructions, ns=ns))

    def go_forth(self) -> None:
        """From the past to the machine as it was before it went back.  MachineError: a medium can't be had."""
        self._turn(lambda: (self.past.to_present(), self._then[0]))
        _, self.stop, self._held = self._then
        if self._held and self._between is not None:
            self._between.enter()

    def _turn(self, go: Callable[[], tuple[Machine, Sequence[Step]]]) -> None:
        self.paper.take(self.machine)
        was_past = self.past.in_the_past
        if not was_past:
            self._then = self.steps, self.stop, self._held
        machine, steps = go()
        self.put_on(machine, restart=False)
        self._steps.extend(steps)
        self.paper.turn(self.machine, was_past=was_past, is_past=self.past.in_the_past)

    # --- inside --------------------------------------------------------------------------------------------------

    def _meet(self) -> None:
        """What stands between a person and a halted processor of this machine."""
        kind, has_line = self.machine.console_kind, self.machine.layout.console is not None
        if kind == "octal console" and has_line and not self.machine.octal_console:
            self.machine.octal_console = True
        self._between = ConsoleProcessor(self.machine) if kind == "console processor" and has_line else None
        self._held = False
        self._goal_ns = self.machine.time_ns

    def _begin(self, conditions: tuple[Condition, ...]) -> None:
        self._conditions, self.stop, self._end_ns = conditions, None, None
        self._session = self.machine.session(FOR_EVER, conditions)
        self._goal_ns = self.machine.time_ns

    def _live(self) -> Session:
        if self._session is None:
            self._begin(self._conditions)
        assert self._session is not None
        return self._session

    def _release(self) -> None:
        """A processor at its console is let go, as P there, or C of a console processor, lets it go."""
        self._held = False
        if self._between is not None and self._between.entered:
            self._between.entered = False
        if self.machine.octal_console and self.machine.at_octal_console:
            octal = self.machine._raw.octal
            is_open = octal.open or octal.digits or octal.naming
            self.machine.console.feed(b"\rP" if is_open else b"P")

    def wake(self) -> None:
        """Keys bring a machine on that waits for nothing else."""
        if not self.running and self.waits_for_keys and not self._held:
            self.running = True
            self._goal_ns = self.machine.time_ns

    def _slice(self, most: int, until_ns: int | None) -> bool:
        ends = [ns for ns in (until_ns, self._end_ns) if ns is not None]
        session, until = self._live(), min(ends, default=None)
        first = self.machine.instructions
        going = self.past.advance(session, most, until)
        if self.machine.instructions != first:
            self._steps.clear()  # they are no longer the last ones
        return (going or session.reason is None) and not self._is_over()

    def _is_over(self) -> bool:
        return self._end_ns is not None and self.machine.time_ns >= self._end_ns

    def _real(self, seconds: float) -> bool:
        self._goal_ns += int(seconds * SECOND)
        goal = self._goal_ns
        going = True
        while going and self.machine.time_ns < goal:  # a slice can end before its time
            going = self._slice(1_000_000, goal)
        return going and self._tail(goal + LONGEST_NAP)

    def _full(self, until: float) -> bool:
        going = True
        while going and time.monotonic() < until:
            going = self._slice(FULL_SLICE, None)
        return going and self._tail(None)

    def _tail(self, until_ns: int | None) -> bool:
        """The end of a frame: a few instructions that are told.  The guest does what it would have done anyway."""
        for _ in range(TRACED):
            session = self._live()
            ends = [ns for ns in (until_ns, self._end_ns) if ns is not None]
            step = traced(self.machine, session, self.past.advance, min(ends, default=None))
            if step is not None:
                self._steps.append(step)
            if session.reason is not None or self._is_over():
                return False
            if step is None:
                break
        return True

    def _one(self) -> Step | None:
        """The next instruction, whatever must come due first; None where none comes."""
        session = self._live()
        for _ in range(MOST_EVENTS):
            step = traced(self.machine, session, self.past.advance)
            if step is not None:
                self._steps.append(step)
                return step
            if session.reason is not None:
                break
        return None

    def _ended(self) -> None:
        """The run is over, or paused."""
        self.running, self.over = False, self._is_over()
        self.stop = self._live().stop()
        if self.stop.reason is Reason.REQUEST and self.machine.octal_console and self.machine.at_octal_console:
            self.stop = replace(self.stop, reason=Reason.HALTED)  # paused, but not the program: it has halted before
        self._end_ns = None
        self._look_back()
        if self.stop.reason is not Reason.HALTED:
            return
        self._let_go()
        if self._between is not None and not self._held:
            self._held = True
            self.paper.put(self._between.enter(), self.machine)
        if self.machine.console_kind == "panel":
            self.dialog.halted()

    def _let_go(self) -> None:
        """The hand goes off the halt switch, which springs back."""
        if self._pressed:
            self.machine.press_halt(False)
            self._pressed = False

    def _look_back(self) -> None:
        """A run that ends in the middle of a slice leaves no told instructions: its last ones are run once more."""
        assert self.stop is not None
        count = min(TRACED, self.stop.instructions)
        if self._steps or not count or (self.past.in_the_past and self.stop.reason not in PASSING):
            return
        try:
            self.machine, found = told_here(self.past, count)
        except Refused:  # a machine without a past
            return
        self._session = None
        self._steps.extend(found)
        if self._between is not None:
            self._between = ConsoleProcessor(self.machine)
