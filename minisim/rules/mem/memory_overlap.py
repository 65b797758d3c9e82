"""Two memory boards answer the same addresses.

What is checked
    Whether the ranges of any two memory boards overlap.

Why it matters
    Both drive the data lines in a read.  Words come out mixed, parity errors appear, and the drivers work against each
    other.

Example
    machine.yaml:11:40: fault MEM-002 memory-overlap [main/a/3AB]: 020000 to 057777 overlaps 000000 to 037777 of M0000
    (main/a/2CD); every address must have one owner (common-practice).

Putting it right
    Set the start switches of one of the boards to the end of the other.

Known limits
    Memory that reaches over the I/O page is another rule's (MEM-004).

Sources
    common-practice: one address, one owner.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import reading
from minisim.rules import Result, failed, not_checked, passed, probe, rule
from minisim.rules._facts import Span, memory_subject, names, short, span_of, span_text, unplaced_one
from minisim.wiring.model import Wired


@rule(id="MEM-002", slug="memory-overlap", severity=Severity.FAULT, needs=("SLOT-008",), sources=("common-practice",))
def memory_overlap(wired: Wired) -> Iterator[Result]:
    """Compare each memory with all before it."""
    for index, memory in enumerate(wired.memories):
        subject, mine = memory_subject(wired, memory), span_of(wired, memory)
        if mine is None:
            yield not_checked(subject, *unplaced_one(wired, memory))
            continue
        with reading():
            before = [span_of(wired, other) for other in wired.memories[:index]]
        others = [other for other in before if other and other.start < mine.end and mine.start < other.end]
        for other in others:
            span_of(wired, other.memory)  # what the finding rests on
        yield _finding(wired, mine, others) if others else passed(subject)


def _finding(wired: Wired, mine: Span, others: list[Span]) -> Result:
    boards = [wired.boards[other.memory.board] for other in others]
    return failed(
        memory_subject(wired, mine.memory),
        found=f"{span_text(mine)} overlaps {span_text(others[0])} of {short(boards[0])}",
        limit="every address must have one owner",
        cause="both boards drive the lines: mixed words, parity errors",
        fix=f"set the start of {short(wired.boards[mine.memory.board])} to {max(one.end for one in others):06o}",
        next_measurement=probe(
            f"with power off, take out {short(boards[0])}, then read the word at {mine.start:06o} at the console",
            "a word, as the other board answers",
            "write the real start and size of the boards into the loadout",
        ),
        also=names(boards),
    )
