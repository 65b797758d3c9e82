"""A terminal that is put back as it was found, whatever happens to us.

Shared by the raw console (`minisim.console`) and by the full-screen views (`minisim.screen`).  It is put back at the
end, on an error, at exit, when the process is told to go (SIGTERM, SIGHUP, SIGQUIT), and by a small guard process when
it is killed outright.
"""

from __future__ import annotations

import atexit
import contextlib
import os
import signal
import sys
import termios
import tty
from types import FrameType
from typing import Any, Self

DEADLY = (signal.SIGTERM, signal.SIGHUP, signal.SIGQUIT)
PUT_BACK = (
    b"\x1b[0m\x1b[?7h"  # attributes off, lines wrap
    b"\x1b[?1000l\x1b[?1002l\x1b[?1003l\x1b[?1006l\x1b[?1015l"  # nobody listens to the mouse
    b"\x1b[?2004l\x1b[?1l"  # pasted text as it comes, arrow keys as usual
    b"\x1b[999;1H\x1b[?1049l\x1b[?25h"  # the screen that was there before (a terminal without one: its end), the cursor
)


def visible(data: bytes, eight_bits: bool = False) -> bytes:
    """What is shown of a guest's characters.

    Programs of the time sent parity or a mark in the eighth bit, and zeros to give slow printers time: both are left
    out, unless all is to be shown as it comes.
    """
    return data if eight_bits else bytes(byte & 0o177 for byte in data if byte & 0o177)


def can_be_drawn_on(columns: int = 0, rows: int = 0) -> bool:
    """Do we sit at a terminal, on both sides, that can place text and has so much room?"""
    if not (sys.stdin.isatty() and sys.stdout.isatty()) or os.environ.get("TERM", "") in ("", "dumb"):
        return False
    size = os.get_terminal_size(sys.stdout.fileno())
    return size.columns >= columns and size.lines >= rows


def write_all(number: int, data: bytes) -> None:
    """All bytes to a file, however little it takes at a time."""
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(number, rest) :]


def guard(terminal: int, ours: list[Any], saved: list[Any], put_back: bytes = b"") -> tuple[int, int]:
    """Start a process that outlives ours if we are killed outright, and then puts the terminal back.

    It sets the modes only if they are still as we left them: a shell that woke first has put them right itself.
    `put_back` is written in any case.  Gives the file that is to be closed, after one byte, to send the guard home, and
    the number of its process.
    """
    inlet, outlet = os.pipe()
    child = os.fork()
    if child:
        os.close(inlet)
        return outlet, child
    try:
        for number in (*DEADLY, signal.SIGINT, signal.SIGTTOU, signal.SIGTSTP):
            signal.signal(number, signal.SIG_IGN)
        os.setpgid(0, 0)  # a shell kills the whole job: not us
        os.close(outlet)
        if not os.read(inlet, 1):
            write_all(terminal, put_back)
            if termios.tcgetattr(terminal) == ours:
                termios.tcsetattr(terminal, termios.TCSANOW, saved)
    finally:
        os._exit(0)


class HeldTerminal:
    """The modes of a terminal are kept for as long as the `with` block lasts, and put back whatever happens in it.

    `ours` sets the modes that the block works with; `put_back` is written when the block does not end by itself.
    """

    put_back = b""

    def __init__(self, number: int) -> None:
        self._number = number
        self._guard = (-1, -1)
        self._saved: list[Any] = []
        self._handlers: dict[int, Any] = {}

    def __enter__(self) -> Self:
        self._saved = termios.tcgetattr(self._number)
        atexit.register(self._rescue)
        for number in DEADLY:
            self._handlers[number] = signal.signal(number, self._die)
        self.ours()
        self._guard = guard(self._number, termios.tcgetattr(self._number), self._saved, self.put_back)
        return self

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        if kind is not None:
            self._rescue()
        self.restore()
        outlet, child = self._guard
        os.write(outlet, b".")
        os.close(outlet)
        os.waitpid(child, 0)
        for number, handler in self._handlers.items():
            signal.signal(number, handler)
        atexit.unregister(self._rescue)

    def ours(self) -> None:
        """The modes we work with."""

    def restore(self) -> None:
        """As it was found."""
        if self._saved:
            termios.tcsetattr(self._number, termios.TCSADRAIN, self._saved)

    def _rescue(self) -> None:
        """Put everything back in a hurry; a terminal that is gone needs nothing."""
        with contextlib.suppress(OSError, termios.error):
            write_all(self._number, self.put_back)
            termios.tcflush(self._number, termios.TCIFLUSH)  # keys for us are not for the shell
            termios.tcsetattr(self._number, termios.TCSANOW, self._saved)

    def _die(self, number: int, _frame: FrameType | None) -> None:
        """Put the terminal back, then go the way the signal wants."""
        self._rescue()
        signal.signal(number, signal.SIG_DFL)
        os.kill(os.getpid(), number)


class RawTerminal(HeldTerminal):
    """Raw mode on a terminal for as long as the `with` block lasts, and never longer."""

    def ours(self) -> None:
        """Every key to us, unchanged."""
        self.raw()

    def raw(self) -> None:
        """Every key to us, unchanged."""
        tty.setraw(self._number, termios.TCSADRAIN)
