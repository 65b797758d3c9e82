"""A run that is taken slice by slice: `Machine.run` takes all of them at once, a console puts typing and pacing
between.

The guest sees nothing of the slices: the run is the same, bit for bit, however it is cut.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.cpu._core import lib
from minisim.machine.conditions import came, set_until
from minisim.machine.errors import MachineError
from minisim.machine.records import Condition, Reason, Stop

if TYPE_CHECKING:
    from minisim.machine.machine import Machine

SLICE = 1_000_000  # instructions between two looks at signals: some 20 ms
FOR_EVER = (1 << 63) - 1
MOST_EVENTS = 10_000  # two characters on the slowest line, beside the fastest clock, take some 500
REASONS = (
    None,
    Reason.HALTED,
    Reason.LIMIT,
    Reason.WAITING,
    Reason.REACHED,
    Reason.REQUEST,
    Reason.STUCK,
)


class Session:
    """One run of at most `limit` instructions, until one of `conditions`; `reason` is None while it can go on."""

    def __init__(self, machine: Machine, limit: int, conditions: tuple[Condition, ...] = ()) -> None:
        if not isinstance(limit, int) or limit < 0:
            raise ValueError(f"a limit counts instructions, not {limit!r}")
        self.machine, self._raw = machine, machine._raw
        self._left = min(limit, FOR_EVER)
        self._conditions = conditions
        self._first, self._began = machine.instructions, machine.time_ns
        self.reason: Reason | None = None
        set_until(machine, conditions)
        machine._note_first_pc()

    def advance(self, most: int = SLICE, *, until_ns: int | None = None) -> bool:
        """Run one slice; True while the run can go on.  `until_ns` ends the slice at that guest time.

        After WAITING or STUCK it may be called again, since the host may have typed something.  MachineError: another
        thread is at the machine.
        """
        with self.machine._hold:
            return self._advance(most, until_ns)

    def _advance(self, most: int, until_ns: int | None) -> bool:
        reason = self.part(most, until_ns)
        self.reason = None if reason is None else finished(self.machine, reason)
        return self.reason is None

    def part(self, most: int, until_ns: int | None) -> Reason | None:
        """A slice and no more: the reason if the run is at its end, what is still under way (`finished`) left so."""
        raw, paused = self._raw, False
        if until_ns is not None:
            if raw.time_ns >= until_ns:
                return None
            lib.ms_pause_at(raw, until_ns)
        part = min(self._left, most)
        before = raw.instructions + raw.naps
        reason = reason_of(self.machine._run_by(raw, part))
        if until_ns is not None:
            paused = raw.pause_ns == lib.MS_NEVER and reason is Reason.REQUEST
            raw.pause_ns = lib.MS_NEVER
            lib.ms_run_due(raw)
        self._left -= raw.instructions + raw.naps - before
        over = reason is Reason.LIMIT and self._left <= 0
        return None if paused or (reason is Reason.LIMIT and not over) else reason

    def stop(self) -> Stop:
        """How it ended; a run that is not at its end counts as stopped on request."""
        machine = self.machine
        return Stop(
            self.reason or Reason.REQUEST,
            machine.cpu.pc,
            machine.instructions - self._first,
            machine.time_ns - self._began,
            at=int(self._raw.instruction_pc),
            place=machine.layout.place,
            until=self._conditions,
            came=came(machine, self._conditions) if self.reason is Reason.REACHED else (),
        )


def reason_of(code: int) -> Reason:
    """The core's answer as a word."""
    reason = REASONS[code]
    if reason is None:
        raise MachineError("the machine has no processor, or is running already")
    return reason


def finished(machine: Machine, reason: Reason) -> Reason:
    """Where the processor stands still for good, time goes on: characters on their way leave the line.

    So the end of what a program printed before its HALT is seen, as on a real terminal.
    """
    if reason not in (Reason.HALTED, Reason.WAITING, Reason.STUCK):
        return reason
    raw, timers = machine._raw, [number for device in machine.layout.devices for number in device.finishes]
    raw.stop = lib.MS_STOP_NONE
    for _ in range(MOST_EVENTS):
        if all(raw.timers[number].due == lib.MS_NEVER for number in timers):
            break
        raw.time_ns = max(raw.time_ns, raw.next_due)
        lib.ms_run_due(raw)
    return Reason.REACHED if raw.stop == lib.MS_STOP_REACHED else reason
