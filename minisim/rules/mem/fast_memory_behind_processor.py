"""Memory made for the private link stands behind its processor.

What is checked
    With a processor that has the fast memory link: whether private-link memory stands before it on the bus.

Why it matters
    Only memory before the processor is reached over the link, two words at a time.  Behind it the same board works as
    ordinary memory, at the speed of the bus.

Example
    machine.yaml:9:7: note MEM-007 fast-memory-behind-processor [main/a/2]: private-link memory stands behind the
    processor M0000 (main/a/1); before it, it is reached over the link (fast-link-wiki).

Putting it right
    Memory in slot 1, or 1 and 2, the processor in the next one.

Known limits
    From memory, firm; only partly seen.

Sources
    fast-link-wiki: the link, its places and its speed.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, passed, probe, rule
from minisim.rules._facts import board_subject, names, short
from minisim.rules._places import position_of
from minisim.wiring.model import Wired, WiredBoard

LINK = ("private-link",)


@rule(
    id="MEM-007",
    slug="fast-memory-behind-processor",
    severity=Severity.NOTE,
    needs=("SLOT-008", "SLOT-001", "SLOT-010", "SLOT-011"),
    sources=("fast-link-wiki",),
)
def fast_memory_behind_processor(wired: Wired) -> Iterator[Result]:
    """Compare the places of link memory and of its processor."""
    linked = [wired.boards[one.board] for one in wired.processors if one.memory_link]
    for memory in wired.memories:
        board = wired.boards[memory.board]
        if not linked or board.entry.slots != LINK:
            yield does_not_apply(board_subject(board))
        elif 0 < position_of(wired, board) < position_of(wired, linked[0]):
            yield passed(board_subject(board))
        else:
            yield _finding(board, linked[0])


def _finding(board: WiredBoard, processor: WiredBoard) -> Result:
    return failed(
        board_subject(board),
        found=f"private-link memory stands behind the processor {short(processor)}",
        limit="before it, it is reached over the link",
        cause="it works at the ordinary speed of the bus only",
        fix=f"move {short(board)} before the processor, in slot 1, or 1 and 2",
        next_measurement=probe(
            "time a loop in this memory and in the same board before the processor",
            "a slower loop here",
            "the link reaches it here too: accept the finding and say so",
        ),
        also=names((processor,)),
    )
