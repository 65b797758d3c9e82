"""The console of a running machine in the user's terminal.

The terminal is set to raw mode, so that every key goes to the guest (Ctrl-C too); only Ctrl-] is ours and opens a small
menu: look, carry on, leave.  The terminal is put back whatever happens: at the end, on an error, at exit, when the
process is told to go (SIGTERM, SIGHUP, SIGQUIT), and by a small guard process when it is killed outright.

Characters of the guest are shown with their eighth bit cleared, since programs of the time sent parity or a mark there,
and without the zeros that were sent to give slow printers time; with `eight_bits` all are shown as they come.
"""

from __future__ import annotations

import os
import select
import sys
import time
from collections.abc import Callable

from minisim.machine.console_processor import ConsoleProcessor
from minisim.machine.machine import Machine
from minisim.machine.records import Reason, Stop
from minisim.machine.session import Session
from minisim.terminal import RawTerminal, write_all

LEAVE_KEY = 0o35  # Ctrl-]
TICK = 0.02  # seconds of real time a slice at real pace takes
FULL_SLICE = 200_000  # instructions between two looks at the keyboard at full speed
MENU = ("look", "carry on", "halt", "enable", "break", "leave")
STILL = (Reason.WAITING, Reason.STUCK)


def visible(data: bytes, eight_bits: bool = False) -> bytes:
    """What is shown of the guest's characters."""
    return data if eight_bits else bytes(byte & 0o177 for byte in data if byte & 0o177)


# --- the conversation -------------------------------------------------------------------------------------------------


class Conversation:
    """A user at the console of a machine, until the guest halts or the user leaves."""

    def __init__(self, machine: Machine, *, pace: str, eight_bits: bool = False) -> None:
        self.machine = machine
        self._real = pace == "real"
        self._eight_bits = eight_bits
        self._in, self._out = sys.stdin.fileno(), sys.stdout.fileno()
        self._anchor = 0.0
        self._kind = machine.console_kind
        self._between = ConsoleProcessor(machine) if self._kind == "console processor" else None
        self._halted = False  # and nothing but C of the console processor starts it again
        self._pressed = False  # the halt switch was only pressed, not left on

    def hold(self) -> Stop:
        """Let the user talk to the guest; gives how it ended (REQUEST: the user left)."""
        session = self.machine.session(1 << 62)
        with RawTerminal(self._in) as terminal:
            self._set_anchor()
            while self._turn(session, terminal):
                pass
            self._show()
        return session.stop()

    def _turn(self, session: Session, terminal: RawTerminal) -> bool:
        """One slice, what it printed, and what was typed meanwhile."""
        going = not self._halted and self._slice(session)
        self._show()
        if session.reason is Reason.HALTED:
            if not self._stays_halted(terminal):
                return False
            going = self._kind == "panel"
        elif not going and session.reason not in STILL:
            return False
        still = not going
        ready = select.select([self._in], [], [], None if still else self._pause())[0]
        if still:
            self._set_anchor()
        return not ready or self._typed(terminal)

    def _stays_halted(self, terminal: RawTerminal) -> bool:
        """The processor has halted: whoever speaks then has the word; False: the conversation is over."""
        if self._pressed:
            self.machine.press_halt(False)
            self._pressed = False
        if self._kind == "panel":
            return self._panel(terminal)
        if self._between is not None and not self._halted:
            self._halted = True
            write_all(self._out, self._between.enter())
        return self._kind != ""

    def _panel(self, terminal: RawTerminal) -> bool:
        """The front panel, line by line, until the processor is to run (True) or the user leaves."""
        terminal.restore()
        try:
            return at_the_panel(self.machine)
        finally:
            terminal.raw()
            self._set_anchor()

    def _slice(self, session: Session) -> bool:
        if not self._real:
            return session.advance(FULL_SLICE)
        target = self.machine.time_ns + int(TICK * 1e9)
        going = session.advance(until_ns=target)
        while going and self.machine.time_ns < target:  # a slice can end before its time
            going = session.advance(until_ns=target)
        return going

    def _set_anchor(self) -> None:
        """Guest time and real time meet here."""
        self._anchor = time.monotonic() - self.machine.time_ns / 1e9

    def _pause(self) -> float:
        """Seconds the guest is ahead of real time; where the host can't keep up, both start again from here."""
        if not self._real:
            return 0.0
        ahead = self.machine.time_ns / 1e9 + self._anchor - time.monotonic()
        if ahead < -1.0:
            self._set_anchor()
        return max(ahead, 0.0)

    def _typed(self, terminal: RawTerminal) -> bool:
        """Keys to the guest; False when the user leaves or the terminal is gone."""
        try:
            keys = os.read(self._in, 1024)
        except OSError:
            return False
        before, ours, after = keys.partition(bytes([LEAVE_KEY]))
        self._feed(before)
        if not keys:
            return False
        if ours and not self._menu(terminal):
            return False
        self._feed(after)
        return True

    def _feed(self, keys: bytes) -> None:
        """Keys to the line, past the console processor where there is one."""
        if self._between is not None:
            keys, shown = self._between.type(keys)
            write_all(self._out, shown)
            self._halted = self._halted and not self._between.wants_to_run
        self.machine.console.feed(keys)

    def _show(self) -> None:
        write_all(self._out, visible(self.machine.console.take(), self._eight_bits))

    def _menu(self, terminal: RawTerminal) -> bool:
        """Our own few words, on a line of our own; True: carry on."""
        terminal.restore()
        try:
            was_on = bool(self.machine._raw.halt_switch)
            stays = menu(self.machine)
            self._pressed = bool(self.machine._raw.halt_switch) and not was_on and self._kind != "panel"
        finally:
            terminal.raw()
        self._set_anchor()
        return stays


def menu(machine: Machine, ask: Callable[[str], str] = input) -> bool:
    """Ask what the user wants until it is to carry on (True) or to leave (False)."""
    while True:
        try:
            word = " ".join(ask(f"\n{', '.join(MENU)}? ").split()).lower()
        except EOFError:
            return False
        except KeyboardInterrupt:
            print()
            raise
        if word == "leave":
            return False
        if word in ("carry on", ""):
            return True
        if word in ("halt", "enable"):
            machine.press_halt(word == "halt")
            return True
        if word == "break":
            machine.console.send_break()
            return True
        if word == "look":
            print("\n".join(look(machine)))
        else:
            print(f'"{word}" is none of: {", ".join(MENU)}; write one of them whole, then press Enter')


def at_the_panel(machine: Machine, ask: Callable[[str], str] = input) -> bool:
    """What hands do at the front panel of a processor that has halted; True: it is to run."""
    from minisim.panel import HELP, PanelDialog

    dialog = PanelDialog(machine)
    print(f"\nThe processor has halted; the front panel is yours.\n{HELP}\n{dialog.halted()}")
    while True:
        try:
            line = ask("panel: ")
        except EOFError:
            return False
        answer = dialog.do(line) if line.strip() else ""
        if answer:
            print(answer)
        if dialog.runs or dialog.left:
            return dialog.runs


def look(machine: Machine) -> list[str]:
    """Where the machine is: the next instruction, its registers, how far it has come."""
    cpu = machine.cpu
    registers = "  ".join(f"R{number} {cpu.r[number]:06o}" for number in range(6))
    return [
        f"next     {cpu.pc:06o}  {machine.next_text()}",
        f"         {registers}",
        f"         SP {cpu.sp:06o}  PC {cpu.pc:06o}  PS {cpu.ps:06o}",
        f"so far   {machine.instructions} instructions, {machine.time_ns / 1e9:.3f} s of the machine's time",
    ]
