"""The line clock is missing, switched off, or comes from two sources.

What is checked
    Whether something makes the ticks of the line clock, whether the processor takes them, and on the multiplexed bus
    whether more than one source drives the event line.  Two clock registers at 777546 are ADDR-001's.

Why it matters
    Without ticks the time of system software stands still, and whatever waits for a time waits for ever.  With two
    sources the time runs at double speed.

Example
    machine.yaml:8:7: doubt CLOCK-001 line-clock-missing-or-doubled [main]: nothing makes the ticks of the line clock;
    one source must tick 50 or 60 times a second (mux-chassis-page).

Putting it right
    Fit a clock board, take a box that gives the signal, or switch the second source off.

Known limits
    Switches on boxes can't be stated in a loadout: where two boxes can give the signal the rule asks which one does.
    That only one may do so is unconfirmed.  Programs of your own may need no clock: accept the finding for these.

Sources
    mux-chassis-page: which boxes give the signal, and by which switch.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Mark, Severity
from minisim.known import NotApplicable, Unknown
from minisim.rules import Result, Subject, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._clock import boxes_with_clock, making_ticks, off_switch, perhaps_making_ticks, taking_ticks
from minisim.rules._facts import known, machine_subject, names, short
from minisim.wiring.model import Wired, WiredBoard


@rule(
    id="CLOCK-001",
    slug="line-clock-missing-or-doubled",
    severity=Severity.DOUBT,
    needs=("SLOT-008", "ADDR-001"),
    sources=("mux-chassis-page",),
)
def line_clock_missing_or_doubled(wired: Wired) -> Iterator[Result]:
    """Look at the sources of the ticks, and at who takes them."""
    subject = machine_subject(wired)
    if not wired.processors:
        yield does_not_apply(subject)
        return
    off = off_switch(wired)
    taking = taking_ticks(wired)
    if off is not None and not taking:
        yield _off(subject, off)
    elif taking is None:
        yield not_checked(subject, f"line clock of {short(wired.boards[wired.processors[0].board])}")
    elif not taking:
        yield _none(subject, "the machine has no line clock")
    else:
        yield _sources(wired, subject)


def _sources(wired: Wired, subject: Subject) -> Result:
    boards, boxes = making_ticks(wired), boxes_with_clock(wired)
    if not boards and isinstance(wired.event_line, NotApplicable):
        return _none(subject, "nothing makes the ticks of the line clock")
    if not boards and isinstance(wired.event_line, Unknown):
        return not_checked(subject, wired.event_line.why)
    if wired.bus == "sep":
        known(wired.event_line, "line-clock signal of the box")
        return passed(subject)
    if boards and (boxes or len(boards) > 1):
        return _two(subject, boards, boxes)
    if len(boxes) > 1:
        return not_checked(subject, f"which of the boxes {' and '.join(boxes)} gives the line-clock signal")
    unsure = perhaps_making_ticks(wired)
    return not_checked(subject, *(f"clock switch of {short(one)}" for one in unsure)) if unsure else passed(subject)


def _none(subject: Subject, found: str) -> Result:
    return failed(
        subject,
        found=found,
        limit="one source must tick 50 or 60 times a second",
        cause="the time of system software stands still",
        fix="fit a line clock, or a box that gives the signal",
        next_measurement=probe(
            "run a program that counts interrupts through 100 for ten seconds",
            "none",
            "a clock is there: write it into the loadout",
        ),
        sources=("mux-chassis-page",),
    )


def _off(subject: Subject, off: tuple[WiredBoard, Mark]) -> Result:
    board, mark = off
    return failed(
        Subject(subject.place, board.name, mark),
        found=f"the line clock of {short(board)} is switched off, and there is no other",
        limit="one source must tick 50 or 60 times a second",
        cause="the time of system software stands still",
        fix=f"switch the line clock of {short(board)} on",
        next_measurement=probe(
            "run a program that counts interrupts through 100 for ten seconds",
            "none",
            "the switch is on: correct the loadout",
        ),
        sources=(),
    )


def _two(subject: Subject, boards: tuple[WiredBoard, ...], boxes: tuple[str, ...]) -> Result:
    makers = [*(short(one) for one in boards), *(f"the supply of box {box}" for box in boxes)]
    return failed(
        subject,
        found=f"{' and '.join(makers)} drive the event line",
        limit="one source only may tick",
        cause="ticks double: the time runs too fast",
        fix=f"switch the clock of {short(boards[0])} off",
        next_measurement=probe(
            "run a program that counts interrupts through 100 for ten seconds",
            "about twice 500 or 600",
            "one of the two is off: accept the finding and say which",
        ),
        also=names(boards),
    )
