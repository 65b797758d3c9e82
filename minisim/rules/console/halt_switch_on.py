"""The halt switch of the machine is on.

What is checked
    Whether the loadout states the halt switch as on.

Why it matters
    The processor halts before its first instruction, whatever is right or wrong with the rest: no boot, no program, at
    best a prompt of the console.  It is the first question when a machine seems dead.

Example
    machine.yaml:14:1: note CONSOLE-004 halt-switch-on [main]: the halt switch is on; off, the processor runs
    (common-practice).

Putting it right
    Switch it off.

Known limits
    A break on the console line can halt a processor too, where its board is set so.

Sources
    common-practice: the first question.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, Subject, failed, passed, probe, rule
from minisim.rules._facts import machine_subject
from minisim.wiring.model import Wired


@rule(id="CONSOLE-004", slug="halt-switch-on", severity=Severity.NOTE, sources=("common-practice",))
def halt_switch_on(wired: Wired) -> Iterator[Result]:
    """Look at the halt switch."""
    subject = machine_subject(wired)
    if not wired.loadout.switches.halt:
        yield passed(subject)
        return
    yield failed(
        Subject(subject.place, subject.board, wired.loadout.switches.mark),
        found="the halt switch is on",
        limit="off, the processor runs",
        cause="the processor halts before its first instruction",
        fix="switch it off",
        next_measurement=probe("look at the run lamp", "dark", "the switch is off: correct the loadout"),
    )
