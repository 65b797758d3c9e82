"""Where a step goes on, and the traps and interrupts around it, in words."""

from __future__ import annotations

from collections.abc import Iterator

from minisim.cpu.operands import NAMES, PC
from minisim.machine.records import Reason
from minisim.machine.steps import Step
from minisim.machine.telling.course import SET, Course, Trap, is_torn
from minisim.machine.telling.places import MASK, Found

MODES = ("kernel", "supervisor", "illegal", "user")
SUSPENDED = 0o400  # bit of the PS: a string instruction waits for its end
_KNOWN = {0o4: "the stack trap", 0o14: "the trace trap", 0o244: "the floating trap", 0o250: "the memory trap"}
_ENDINGS = {
    Reason.HALTED: "the processor halts",
    Reason.WAITING: "nothing will wake the processor",
    Reason.STUCK: "it jumps to itself for ever",
}


def pushes(trap: Trap) -> str:
    """What a trap does once its vector is known."""
    if trap.old_ps is None:
        return "but its stack can't be used"
    where = " at the emergency stack" if trap.emergency else ""
    return f"PS {trap.old_ps:06o} and PC {trap.old_pc or 0:06o} are pushed{where}, goes on at {trap.pc:06o}"


def interrupts(traps: tuple[Trap, ...]) -> Iterator[str]:
    """Interrupts that were taken before the instruction, and what they brought."""
    for number, trap in enumerate(traps):
        name = _KNOWN.get(trap.vector, "the interrupt")
        yield f"{'then' if number else 'first'} {name} through {trap.vector:06o}: {pushes(trap)}"


def followers(traps: tuple[Trap, ...]) -> Iterator[str]:
    """Traps and interrupts that came behind the instruction."""
    for trap in traps:
        name = _KNOWN.get(trap.vector, "the interrupt")
        yield f"then {name} through {trap.vector:06o}: {pushes(trap)}"


def stepped(course: Course, found: Found) -> Iterator[str]:
    """Registers that an operand stepped and that nothing changed besides."""
    for reg in dict.fromkeys(found.steps):
        old, new = course.start.r[reg], found.r[reg]
        if new is not None and new not in (old, None) and new == course.end.r[reg]:
            yield f"{NAMES[reg]} steps to {new:06o}"


def changes(course: Course) -> Iterator[str]:
    """Another mode, another set of registers."""
    old, new = course.start.ps, course.end.ps
    if old is None or new is None:
        return
    if (old ^ new) >> 14:
        yield f"the mode is {MODES[new >> 14]} now"
    if (old ^ new) & SET:
        yield f"register set {new >> 11 & 1} is used now"


def goes_on(step: Step, course: Course, told: str) -> Iterator[str]:
    """Where it goes on if that is neither the next instruction nor told already."""
    at = course.end.r[PC]
    if at is None:
        if is_torn(step):
            yield f"a trap or an interrupt came behind it, goes on at {step.after.r[PC]:06o}"
        return
    if course.end.ps is not None and course.end.ps & SUSPENDED and at == step.pc:
        yield "it is suspended and will go on from there"
    elif at != (step.pc + 2 * len(step.words)) & MASK and f"{at:06o}" not in told:
        yield f"goes on at {at:06o}"


def ending(step: Step, told: str) -> Iterator[str]:
    """How the run ended with it."""
    text = _ENDINGS.get(step.reason)
    if text is not None and not (step.reason is Reason.HALTED and "halts" in told):
        yield text
