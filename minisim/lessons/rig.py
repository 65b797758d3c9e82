"""The machine of a lesson, at the bench: made, kept at the start of a step, and put back as it was then."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.bench.bench import Bench
from minisim.lessons.model import Lesson
from minisim.machine.records import Reason
from minisim.problems import InputError, Problem

if TYPE_CHECKING:
    from minisim.lessons.plan import Desk, PlanDesk
    from minisim.loadout.model import Loadout
    from minisim.machine.machine import Machine

OCTAL = "octal console"
_PAUSED = (Reason.LIMIT, Reason.REQUEST, Reason.WAITING, Reason.STUCK, Reason.REACHED)
LIMIT = 5_000_000
"""Instructions that one line of a learner may run."""


@dataclass(frozen=True, slots=True)
class Kept:
    """Everything as it stood when a step began."""

    machine: bytes | None  # None: it was not switched on yet
    desk: Desk | None
    guest_runs: bool
    on_as: Loadout | None


class Rig:
    """Bench, and desk with the loadout where the lesson has one.

    The bench is made when it is first asked for.  Its media are copies: a lesson leaves nothing behind.
    """

    def __init__(self, lesson: Lesson) -> None:
        self._lesson = lesson
        self._desk: PlanDesk | None = None
        self._bench: Bench | None = None
        self._on_as: Loadout | None = None  # what was switched on at the desk
        self.guest_runs = False
        """A program is at work, only paused: what is typed at the console is for it."""

    @property
    def desk(self) -> PlanDesk:
        """The loadout on the desk."""
        from minisim.lessons.plan import PlanDesk

        if self._desk is None:
            assert self._lesson.machine is not None
            self._desk = PlanDesk(self._lesson.machine)
        return self._desk

    @property
    def bench(self) -> Bench:
        """The bench with the machine as it stands."""
        if self._bench is None:
            self._bench = self._at_bench(self._made())
        return self._bench

    @property
    def machine(self) -> Machine:
        """The machine as it stands; another object after going back."""
        return self.bench.machine

    @property
    def name(self) -> str:
        """What the machine is called."""
        if self._lesson.machine is None:
            return "processor with memory"
        return str(self.desk.desk.loadout.name)

    def _made(self) -> Machine:
        if self._lesson.machine is None:
            from minisim.machine.bare import bare

            return bare(self._lesson.profile, self._lesson.options)
        return self._of_loadout(self._lesson.machine)

    def _of_loadout(self, path: Path) -> Machine:
        """The loadout as it stands, faults and all; where that can't be, as its file has it.  InputError: nor that."""
        from minisim.lessons.plan import PlanDesk
        from minisim.machine.errors import NotBuildableError

        try:
            return self.desk.machine(("fault",))
        except NotBuildableError:
            pass
        try:
            return PlanDesk(path).machine(("fault",))
        except NotBuildableError as error:
            said = "; ".join(f"{one.rule} [{one.place}]" for one in error.findings) or str(error)
            raise InputError([Problem(self._lesson.mark, f"machine {path} can't be built: {said}")]) from None

    def _at_bench(self, machine: Machine) -> Bench:
        loadout = None if self._lesson.machine is None else self.desk.desk.loadout
        self.guest_runs = False
        return Bench(machine, loadout=loadout, pace="full")

    @property
    def switched_on(self) -> bool:
        """The machine was switched on at the desk, and nothing was moved since."""
        return self._on_as is not None and self._on_as == self.desk.desk.loadout

    def switch_on(self, machine: Machine) -> None:
        """Another machine stands on the bench."""
        self.let_go()
        self._on_as = self.desk.desk.loadout
        if self._bench is None:
            self._bench = self._at_bench(machine)
        else:
            self._bench.put_on(machine)
        self.guest_runs = False

    def let_go(self) -> None:
        """The media of the machine go free."""
        if self._bench is not None:
            self._bench.machine.close()

    # ---- the start of a step

    def keep(self) -> Kept:
        """The state now."""
        desk = None if self._desk is None else self._desk.desk
        return Kept(None if self._bench is None else self.machine.freeze(), desk, self.guest_runs, self._on_as)

    def put_back(self, kept: Kept) -> None:
        """The state as it was kept."""
        from minisim.machine.frozen import thaw

        self.let_go()
        if kept.desk is not None:
            self.desk.desk = kept.desk
        if kept.machine is None:
            self._bench = None
        else:
            self.bench.put_on(thaw(kept.machine))
            self.bench.left = self.bench.wants_console = False
        self.guest_runs, self._on_as = kept.guest_runs, kept.on_as

    # ---- running

    @property
    def halted(self) -> bool:
        """The processor stands halted."""
        return self.bench.halted or self.machine.at_octal_console

    def printed(self) -> bytes:
        """What the console printed since the last call."""
        return b"" if self._bench is None else self._bench.printed()

    def run_on(self) -> str:
        """Let what was begun come to its end, or to LIMIT; gives how it ended, as a sentence, if anything ran."""
        bench = self.bench
        if not bench.running:
            return ""
        bench.finish(LIMIT)
        stop = bench.stop
        if stop is None:
            return ""
        self.guest_runs = stop.reason in _PAUSED and not self.machine.at_octal_console
        if stop.reason is Reason.REQUEST:
            return f"Paused after {stop.instructions} instructions; next would be {stop.pc:06o}."
        text = str(replace(stop, place=""))  # there is one processor only
        return f"{text[0].upper()}{text[1:]}."

    def type(self, keys: bytes) -> None:
        """Keys to the console, and the run that follows."""
        bench = self.bench
        bench.type(keys)
        bench.carry_on()
        self.run_on()

    def open_console(self, *, runs: bool) -> None:
        """Somebody sits down at the console: a program that was just put in runs, and gets the keys; so does one that
        was at work; else the octal console of a halted processor does, where there is one.
        """
        if runs:
            self.bench.start()
        elif (self.halted or not self.guest_runs) and self.machine.console_kind == OCTAL:
            if not self.machine.at_octal_console:
                self.machine.enter_octal_console()
            self.bench.carry_on()
        self.run_on()
