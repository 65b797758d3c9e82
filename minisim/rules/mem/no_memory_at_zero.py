"""No memory answers at address 0.

What is checked
    Whether any memory board begins at 0.

Why it matters
    The vectors of traps and interrupts lie from 0 upward, and loaders keep their place there.  Without memory at 0 the
    first trap hangs the processor.

Example
    machine.yaml:10:40: fault MEM-009 no-memory-at-zero [main]: the lowest memory begins at 020000; memory must answer
    at 000000 (common-practice).

Putting it right
    Set one memory board to start at 0.

Known limits
    Memory on a processor board counts only where the catalogue entry of that board has it.

Sources
    common-practice: vectors stand in low memory.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, Subject, failed, not_checked, passed, probe, rule
from minisim.rules._facts import machine_subject, memory_subject, short, spans, unplaced
from minisim.wiring.model import Wired


@rule(id="MEM-009", slug="no-memory-at-zero", severity=Severity.FAULT, sources=("common-practice",))
def no_memory_at_zero(wired: Wired) -> Iterator[Result]:
    """Look for the lowest memory."""
    machine, placed = machine_subject(wired), spans(wired)
    if placed and placed[0].start == 0:
        yield passed(machine)
        return
    if unplaced(wired):
        yield not_checked(machine, *unplaced(wired))
        return
    lowest = placed[0].memory if placed else None
    mark = memory_subject(wired, lowest).mark if lowest else machine.mark
    board = short(wired.boards[lowest.board]) if lowest else ""
    yield failed(
        Subject(machine.place, board, mark),
        found=f"the lowest memory begins at {placed[0].start:06o}" if placed else "the machine has no memory",
        limit="memory must answer at 000000",
        cause="vectors and loader have no place; the first trap hangs the processor",
        fix=f"set the start of {board} to 0" if placed else "fit a memory board that starts at 0",
        next_measurement=probe(
            "at the console, read the word at 000000",
            "no answer",
            "write the real start of the memory into the loadout",
        ),
    )
