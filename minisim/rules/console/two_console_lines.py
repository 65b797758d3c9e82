"""Two boards answer as the console.

What is checked
    Whether more than one serial line answers at 777560.

Why it matters
    Both answer every read, and both print what is written: characters come out garbled, and neither takes keys rightly.

Example
    machine.yaml:14:30: fault CONSOLE-001 two-console-lines [main/a/3AB]: the board answers as console at 777560, as
    does M0000 (main/a/2CD); one line only may be the console (processor-handbook).

Putting it right
    Set one of the two boards to another address and vector.

Known limits
    Lines whose address is not known are not counted.

Sources
    processor-handbook: 777560 is the console (from memory, firm).
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, passed, probe, rule
from minisim.rules._facts import answers_console, names, registers_subject, short
from minisim.rules._free import both_hint
from minisim.wiring.model import Wired, WiredRegisters


@rule(
    id="CONSOLE-001",
    slug="two-console-lines",
    severity=Severity.FAULT,
    needs=("SLOT-008",),
    sources=("processor-handbook",),
)
def two_console_lines(wired: Wired) -> Iterator[Result]:
    """Look for lines at the console's address before this one."""
    first: WiredRegisters | None = None
    for registers in wired.registers:
        subject = registers_subject(wired, registers)
        if not answers_console(registers):
            yield does_not_apply(subject)
        elif first is None:
            first = registers
            yield passed(subject)
        else:
            board = wired.boards[first.board]
            yield failed(
                subject,
                found=f"the board answers as console at 777560, as does {short(board)}",
                limit="one line only may be the console",
                cause="both answer: garbage in both directions",
                fix=f"set {short(wired.boards[registers.board])} to another address and vector"
                + both_hint(wired, registers),
                next_measurement=probe(
                    f"with power off, take out {short(board)}, then type at the other terminal",
                    "it works alone",
                    "the board is set to another address: write it into the loadout",
                ),
                also=names([board]),
            )
