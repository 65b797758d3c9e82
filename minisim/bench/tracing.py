"""One instruction of a session, with all that a session looks after, and told like `Machine.step` tells it.

`Machine.step` forgets the conditions of a run and knows no octal console.  A slice of one instruction keeps both: a run
is the same however it is cut, so the last instructions before a pause can be told without the guest noticing.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from minisim.machine.records import Reason

if TYPE_CHECKING:
    from minisim.machine.machine import Machine
    from minisim.machine.session import Session
    from minisim.machine.steps import Step

Advance = Callable[["Session", int, "int | None"], bool]


def traced(machine: Machine, session: Session, advance: Advance, until_ns: int | None = None) -> Step | None:
    """Run a slice of one instruction; None where none was run (WAIT, halted, the time is over)."""
    raw = machine._raw
    before, counted, was_traced = machine._registers(), raw.instructions, int(raw.until.traced)
    raw.note_count = raw.floats_noted = raw.access_count = 0
    raw.until.traced = 1
    try:
        advance(session, 1, until_ns)
    finally:
        raw.until.traced = was_traced
    if raw.instructions == counted:
        return None
    halted = machine.octal_console and machine.at_octal_console
    return machine._step_taken(before, counted, session.reason or (Reason.HALTED if halted else Reason.LIMIT))
