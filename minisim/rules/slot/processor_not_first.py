"""The processor does not stand at the start of the bus and of the grant chain.

What is checked
    Whether there is one processor, and one only, and whether its first board takes the first position of the grant
    chain.

Why it matters
    Interrupt and DMA grants start at the processor and travel outward.  Boards on its other side never get one, and
    the bus is not ended where it begins.

Example
    machine.yaml:7:7: fault SLOT-011 processor-not-first [main/a/2AB]: the processor stands at position 4 of the grant
    chain, behind main/a/1AB; it must take the first one (common-practice).

Putting it right
    Move the processor to the first place of the chain.

Known limits
    Memory on the private fast link stands before its processor by design (fast-link-wiki) and is allowed there.

Sources
    common-practice: the processor starts the chain.
    fast-link-wiki: memory of the fast link stands before the processor.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, failed, passed, probe, rule
from minisim.rules._facts import board_subject, machine_subject, names, short
from minisim.rules._places import before_processor, position_of
from minisim.wiring.model import Wired, WiredBoard


@rule(
    id="SLOT-011",
    slug="processor-not-first",
    severity=Severity.FAULT,
    needs=("SLOT-008",),
    sources=("common-practice", "fast-link-wiki"),
)
def processor_not_first(wired: Wired) -> Iterator[Result]:
    """Look at the position of the processor along the chain."""
    if not wired.processors:
        yield failed(
            machine_subject(wired),
            found="no board of the machine is a processor",
            limit="a processor must take the first position of the grant chain",
            cause="nothing runs, and no grant starts",
            sources=("common-practice",),
            fix="place a processor at the start of the bus",
            next_measurement=probe(
                "read the number on the handle of the board in the first slot",
                "a processor of the catalogue",
                "describe what stands there",
            ),
        )
    for number, processor in enumerate(wired.processors):
        board = wired.boards[processor.board]
        before = before_processor(wired, processor)
        if not before:
            yield passed(board_subject(board))
            continue
        if number:
            yield _second(wired, board)
            continue
        yield failed(
            board_subject(board),
            found=f"the processor stands at position {position_of(wired, board)} of the grant chain, "
            f"behind {', '.join(map(str, before))}",
            limit="it must take the first position",
            cause="grants start at the processor; what stands on its other side never gets one",
            sources=("common-practice",),
            fix=f"move the processor to {before[0]}",
            next_measurement=probe(
                "with power off, count the slots from the end where the bus starts",
                "the processor in another than the first place",
                "correct the loadout",
            ),
        )


def _second(wired: Wired, board: WiredBoard) -> Result:
    first = wired.boards[wired.processors[0].board]
    return failed(
        board_subject(board),
        found=f"a second processor stands on the bus of {short(first)}",
        limit="one processor to a bus, in the first position",
        cause="both start grants and answer interrupts; the bus has two masters that know nothing of each other",
        sources=("common-practice",),
        fix=f"take one of the two out, {short(board)} or {short(first)}",
        next_measurement=probe(
            "with power off, read the number on the handle of both boards",
            "two processors",
            "correct the loadout",
        ),
        also=names((first,)),
    )
