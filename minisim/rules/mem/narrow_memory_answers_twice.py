"""A memory board that decodes few address bits stands beside memory above its reach.

What is checked
    On the multiplexed bus: whether a memory board of 16 or 18 address bits stands in a machine whose memory reaches
    beyond what these bits can tell apart (64 KB, 256 KB).

Why it matters
    The board ignores the upper address lines and answers in every image of its range: it and the board that is really
    addressed drive the lines together.

Example
    machine.yaml:9:55: fault MEM-006 narrow-memory-answers-twice [main/a/2AB]: the board decodes 18 address bits, and
    memory reaches to 2177777; it answers again 1000000 higher (mos-memory-wiki).

Putting it right
    Take the board out, or keep the whole machine within its reach.

Known limits
    How many bits a board decodes is unconfirmed for several; the finding says so.  For 16 bits the consequence is
    derived from that of 18.

Sources
    mos-memory-wiki: 18-bit boards are of no use beyond 256 KB.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Known
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import known, memory_subject, names, short, spans, unplaced
from minisim.wiring.addresses import address_bits
from minisim.wiring.model import Wired, WiredMemory

MOST = 22


@rule(
    id="MEM-006",
    slug="narrow-memory-answers-twice",
    severity=Severity.FAULT,
    needs=("SLOT-008", "MEM-005"),
    sources=("mos-memory-wiki",),
)
def narrow_memory_answers_twice(wired: Wired) -> Iterator[Result]:
    """Compare the bits each memory decodes with the end of all memory."""
    for memory in wired.memories:
        subject, board = memory_subject(wired, memory), wired.boards[memory.board]
        if wired.bus != "mux" or len(wired.memories) < 2:
            yield does_not_apply(subject)
            continue
        others = (span.end for span in spans(wired) if span.memory.board != memory.board)
        end = min(max(others, default=0), 1 << address_bits(wired))  # what lies higher is never addressed
        bits = known(board.entry.address_bits, f"address bits of {short(board)}")
        unsure = unplaced(wired) if end <= 1 << (bits or 16) < 1 << MOST else ()
        if unsure:
            yield not_checked(subject, *unsure)
        elif end <= 1 << 16:
            yield passed(subject)
        elif bits is None:
            yield not_checked(subject, f"address bits of {short(board)}")
        elif bits >= MOST or end <= 1 << bits:
            yield passed(subject)
        else:
            yield _finding(wired, memory, bits, end)


def _finding(wired: Wired, memory: WiredMemory, bits: int, end: int) -> Result:
    board = wired.boards[memory.board]
    start = memory.start.peek if isinstance(memory.start, Known) else 0
    return failed(
        memory_subject(wired, memory),
        found=f"the board decodes {bits} address bits, and memory reaches to {end - 1:o}",
        limit=f"it answers again {1 << bits:o} higher",
        cause="two boards drive the lines: mixed words, parity errors",
        fix=f"take {short(board)} out, or keep the machine within {(1 << bits) // 1024} KB",
        next_measurement=probe(
            f"with the memory above {1 << bits:o} out, read the word at {start + (1 << bits):o} at the console",
            "an answer",
            "the board decodes more bits: accept the finding and say so",
        ),
        sources=("mos-memory-wiki",) if bits == 18 else (),
        also=names(
            wired.boards[span.memory.board]
            for span in spans(wired)
            if span.end > 1 << bits and span.memory is not memory
        ),
    )
