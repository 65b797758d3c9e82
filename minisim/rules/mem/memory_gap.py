"""Memory is not contiguous from 0.

What is checked
    Whether each memory board begins at 0 or where the memory below it ends.

Why it matters
    Software sizes memory from 0 upward and stops at the first address that does not answer.  What lies behind a gap is
    not found, or a program that trusts the size printed on the boards fails at the gap.

Example
    machine.yaml:10:40: fault MEM-001 memory-gap [main/a/2CD]: memory ends at 037777 and goes on at 100000; memory must
    be contiguous from 0 (common-practice).

Putting it right
    Set the start switches of the board to the end of the memory below it.

Known limits
    Where the start or size of another board is not known, it may fill the gap: then this is not checked.

Sources
    common-practice: memory is laid out from 0 without gaps.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Known
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import memory_subject, names, short, spans, unplaced
from minisim.wiring.model import Wired, WiredMemory


@rule(id="MEM-001", slug="memory-gap", severity=Severity.FAULT, needs=("SLOT-008",), sources=("common-practice",))
def memory_gap(wired: Wired) -> Iterator[Result]:
    """Look below the start of each memory."""
    for memory in wired.memories:
        yield _result(wired, memory)


def _result(wired: Wired, memory: WiredMemory) -> Result:
    subject = memory_subject(wired, memory)
    if not isinstance(memory.start, Known) or not isinstance(memory.size, Known):
        return does_not_apply(subject)  # MEM-002 says what is missing
    start = memory.start.value
    below = [span for span in spans(wired) if span.memory is not memory and span.start < start]
    reach = max((span.end for span in below), default=0)
    if start <= reach or not below:
        return passed(subject)  # with nothing below it, MEM-009 speaks
    if unplaced(wired):
        return not_checked(subject, *unplaced(wired))
    neighbour = wired.boards[max(below, key=lambda span: span.end).memory.board]
    return failed(
        subject,
        found=f"memory ends at {reach - 1:06o} and goes on at {start:06o}",
        limit="memory must be contiguous from 0",
        cause="software finds too little memory",
        fix=f"set the start of {short(wired.boards[memory.board])} to {reach:06o}",
        next_measurement=probe(
            f"at the console, read the words at {reach:06o} and {start:06o}",
            "no answer at the first, a word at the second",
            "write the real start and size of the boards into the loadout",
        ),
        also=names([neighbour]),
    )
