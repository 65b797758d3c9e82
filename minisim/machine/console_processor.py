"""The console of a processor whose terminal hangs on a small processor of its own.

Control-P enters it without stopping the main processor; its prompt is `>>>`; H halts, C continues
[console-manual-page].  That a letter counts when the line is ended, and that anything else brings the prompt again, is
unconfirmed; its other commands are not modelled.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from minisim.machine.machine import Machine

ENTER_KEY = 0o20  # control-P
PROMPT = b"\r\n>>>"


class ConsoleProcessor:
    """Stands between the keyboard and the line."""

    def __init__(self, machine: Machine) -> None:
        self._machine = machine
        self._line = bytearray()
        self.entered = False
        self.wants_to_run = False  # C was given

    def type(self, keys: bytes) -> tuple[bytes, bytes]:
        """What of these keys goes to the program, and what the console processor shows."""
        through, shown = bytearray(), bytearray()
        for key in keys:
            if self.entered:
                shown += self._key(key)
            elif key == ENTER_KEY:
                shown += self.enter()
            else:
                through.append(key)
        return bytes(through), bytes(shown)

    def enter(self) -> bytes:
        """Its prompt; also where the processor halts by itself (unconfirmed)."""
        self.entered, self.wants_to_run = True, False
        self._line.clear()
        return PROMPT

    def _key(self, key: int) -> bytes:
        if key not in b"\r\n":
            self._line.append(key)
            return bytes([key])
        command = bytes(self._line).strip().upper()
        self._line.clear()
        if command == b"C":
            self.entered, self.wants_to_run = False, True
            self._machine.press_halt(False)
            return b"\r\n"
        if command == b"H":
            self._machine.press_halt()
        return PROMPT
