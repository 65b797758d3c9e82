"""One instruction of a session, with all that a session looks after, and told like `Machine.step` tells it.

`Machine.step` forgets the conditions of a run and knows no octal console.  A slice of one instruction keeps both: a run
is the same however it is cut, so the last instructions before a pause can be told without the guest noticing.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from minisim.machine.errors import MachineError
from minisim.machine.records import Reason
from minisim.machine.session import FOR_EVER

if TYPE_CHECKING:
    from minisim.bench.past import Past
    from minisim.machine.machine import Machine
    from minisim.machine.session import Session
    from minisim.machine.steps import Step

MOST_EVENTS = 100_000  # due times on the way to one instruction
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


def last_steps(past: Past, count: int) -> list[Step]:
    """The last instructions, run once more from a state of the past and told.

    `past` is not in the past before, and is in it behind this: go to the present again, which is the same bit for bit.
    MachineError, Refused: the machine has no past.
    """
    earlier = past.back(instructions=count)
    session, found = earlier.session(FOR_EVER), []
    for _ in range(MOST_EVENTS):
        step = traced(earlier, session, past.advance)
        found += [] if step is None else [step]
        if len(found) == count or (step is None and session.reason is not None):
            break
    return found


def told_here(past: Past, count: int) -> tuple[Machine, list[Step]]:
    """The machine where it stands, and the last instructions before that place, so many if they can be told.

    Refused: the machine has no past.
    """
    try:
        return _told_here(past, count) if count else (past.machine, [])
    except MachineError:  # the past begins here
        return past.machine, []


def _told_here(past: Past, count: int) -> tuple[Machine, list[Step]]:
    was_past, time_ns, state = past.in_the_past, past.machine.time_ns, past.machine.state_hash()
    steps = last_steps(past, count)
    if was_past and past.machine.state_hash() == state:
        return past.machine, steps
    present = past.to_present()
    if was_past and present.time_ns > time_ns:  # it waited there for a time that belongs to no instruction
        return past.back(ns=present.time_ns - time_ns), steps
    return present, steps
