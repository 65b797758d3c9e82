"""The console of a running machine in the user's terminal.

The terminal is set to raw mode (minisim.terminal), so that every key goes to the guest, Ctrl-C too; only Ctrl-] is ours
and opens the bench.

Characters of the guest are shown with their eighth bit cleared, since programs of the time sent parity or a mark there,
and without the zeros that were sent to give slow printers time; with `eight_bits` all are shown as they come.
"""

from __future__ import annotations

import os
import select
import sys
from collections.abc import Callable
from dataclasses import replace

from minisim.bench.bench import Bench
from minisim.bench.pace import Pace
from minisim.bench.plain import open_bench
from minisim.machine.errors import MachineError
from minisim.machine.records import Reason, Stop
from minisim.terminal import RawTerminal, write_all

LEAVE_KEY = 0o35  # Ctrl-]
TO_BENCH = "bench                    open the bench"
TICK = 0.02  # seconds of real time a slice takes


class Conversation:
    """A user at the console of a machine, until the guest halts or the user leaves.

    Ctrl-] opens the bench, as lines where `plain` says so; the word console there leads back.
    """

    def __init__(self, bench: Bench, *, eight_bits: bool = False, plain: bool = False) -> None:
        self.bench = bench
        self._eight_bits, self._plain = eight_bits, plain
        self._in, self._out = sys.stdin.fileno(), sys.stdout.fileno()
        self._pace = Pace(bench)

    def hold(self, *, at_bench: bool = False) -> Stop:
        """Let the user talk to the guest, or begin at the bench; gives how it ended (REQUEST: the user left)."""
        bench = self.bench
        if at_bench:
            self._open_bench()
            if not bench.wants_console:
                return whole_run(bench)
        bench.wants_console = False
        bench.carry_on()
        with RawTerminal(self._in) as terminal:
            self._pace.meet()
            while self._turn(terminal):
                pass
            bench.pause()
            self._show()
        return whole_run(bench)

    def _turn(self, terminal: RawTerminal) -> bool:
        """One slice, what it printed, and what was typed meanwhile."""
        bench = self.bench
        bench.advance(TICK)
        self._show()
        if not bench.running and bench.halted and bench.machine.console_kind == "panel":
            if not self._at_panel(terminal):
                return False
        elif not bench.running and not bench.waits_for_keys:
            if bench.halted:
                return False
            bench.carry_on()
        still = not bench.running
        ready = select.select([self._in], [], [], None if still else self._pace.ahead())[0]
        if still:
            self._pace.meet()
        return not ready or self._typed(terminal)

    def _at_panel(self, terminal: RawTerminal) -> bool:
        """The front panel, line by line, until the processor is to run (True) or the user leaves."""
        terminal.restore()
        try:
            return at_the_panel(self.bench, open_bench=self._open_bench)
        finally:
            terminal.raw()
            self._pace.meet()

    def _typed(self, terminal: RawTerminal) -> bool:
        """Keys to the guest; False when the user leaves or the terminal is gone."""
        try:
            keys = os.read(self._in, 1024)
        except OSError:
            return False
        if not keys:
            return False
        before, ours, after = keys.partition(bytes([LEAVE_KEY]))
        self.bench.type(before)
        if ours and not self._at_bench(terminal):
            return False
        self.bench.type(after)
        return True

    def _show(self) -> None:
        write_all(self._out, self.bench.printed(eight_bits=self._eight_bits))

    def _at_bench(self, terminal: RawTerminal) -> bool:
        """The bench, on a line or a screen of its own; True: back to the console."""
        bench = self.bench
        bench.pause()
        terminal.restore()
        try:
            write_all(self._out, b"\n")
            self._open_bench()
        finally:
            terminal.raw()
        back, bench.wants_console = bench.wants_console, False
        self._pace.meet()
        return back and not bench.left

    def _open_bench(self) -> None:
        """What was printed while a screen stood here is on the terminal too behind it."""
        bench, was = self.bench, self.bench.paper.mark()
        if open_bench(bench, plain=self._plain, back_to_console=True) and bench.paper.mark() != was:
            write_all(self._out, bench.paper.since(was, self._eight_bits))


def come_to_present(bench: Bench) -> str:
    """A machine that is left goes to the present, so that its media hold all that it wrote; what is to be said then."""
    if not bench.past.in_the_past:
        return ""
    try:
        bench.go_forth()
    except MachineError as error:
        return f"The machine is left in the past, and its media hold what they held then: {error}"
    return "The machine was in the past; it is left in the present, with all it wrote."


def whole_run(bench: Bench) -> Stop:
    """How the machine's run ended, counted from its power-up."""
    machine = bench.machine
    stop = bench.stop or machine.session(0).stop()
    reason = Reason.REQUEST if stop.reason is Reason.REACHED else stop.reason
    return replace(stop, reason=reason, instructions=machine.instructions, time_ns=machine.time_ns, until=())


def at_the_panel(bench: Bench, ask: Callable[[str], str] = input, open_bench: Callable[[], None] | None = None) -> bool:
    """What hands do at the front panel of a processor that has halted; True: it runs.  `bench` opens the bench."""
    from minisim.panel import HELP

    more = f"\n{TO_BENCH}" if open_bench else ""
    print(f"\nThe processor has halted; the front panel is yours.\n{HELP}{more}\n{bench.dialog.halted()}")
    while True:
        line = _asked(ask)
        if line is None:
            return False
        if open_bench and line.strip().lower() == "bench":
            open_bench()
            back, bench.wants_console = bench.wants_console, False
            if bench.left or bench.running or not back:
                return bench.running and back
            line = "panel"  # it has halted still: the lamps again
        answer = bench.dialog.lamps() if line == "panel" else bench.dialog.do(line) if line.strip() else ""
        if answer:
            print(answer)
        if bench.dialog.left:
            bench.dialog.left, bench.left = False, True
            return False
        if bench.dialog.runs:
            bench.dialog.runs = False
            bench.start()
            return True


def _asked(ask: Callable[[str], str]) -> str | None:
    """A line; None at the end of the input."""
    while True:
        try:
            return ask("panel: ")
        except EOFError:
            return None
        except KeyboardInterrupt:
            print("\nThe processor has halted. `leave` leaves the machine.")
