"""A DMA board with few address bits stands in a machine of more memory.

What is checked
    On the multiplexed bus: whether the DMA address of each board reaches all memory of the machine.

Why it matters
    The board puts its transfers into low memory whatever the buffer's address: data are silently overwritten, unless
    system software copies from low buffers.

Example
    machine.yaml:12:7: doubt DMA-001 narrow-dma-in-large-memory [main/a/4AB]: the board addresses 18 bits, memory
    reaches to 1777777; it reaches 256 KB only (micro-processor-handbook).

Putting it right
    A board with 22 address bits, or no more than 256 KB.

Known limits
    Whether the system software in use copies is not known.  On the separate-line bus the map does this (DMA-003).

Sources
    micro-processor-handbook: the four further address lines (from memory, firm).
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import MEMORY_16, board_subject, known, names, says, short, spans, unplaced
from minisim.wiring.model import Wired, WiredBoard

WIDEST = 22  # bits; a board with so many reaches all memory


@rule(
    id="DMA-001",
    slug="narrow-dma-in-large-memory",
    severity=Severity.DOUBT,
    needs=("SLOT-008",),
    sources=("micro-processor-handbook",),
)
def narrow_dma_in_large_memory(wired: Wired) -> Iterator[Result]:
    """Compare the DMA address of each board with the end of memory."""
    for board in wired.boards:
        subject = board_subject(board)
        dma = says(board.entry.dma, f"DMA of {short(board)}") if wired.bus == "mux" else False
        if dma is False:
            yield does_not_apply(subject)
            continue
        end = max((span.end for span in spans(wired)), default=0)
        if end <= MEMORY_16:
            yield not_checked(subject, *unplaced(wired)) if dma and unplaced(wired) else passed(subject)
            continue
        if dma is None:
            yield not_checked(subject, f"DMA of {short(board)}")
            continue
        bits = known(board.entry.dma_bits, f"DMA address bits of {short(board)}")
        if bits is None:
            yield not_checked(subject, f"DMA address bits of {short(board)}")
        else:
            unsure = unplaced(wired) if end <= 1 << bits < 1 << WIDEST else ()
            fits = not_checked(subject, *unsure) if unsure else passed(subject)
            yield fits if end <= 1 << bits else _finding(wired, board, bits, end)


def _finding(wired: Wired, board: WiredBoard, bits: int, end: int) -> Result:
    return failed(
        board_subject(board),
        found=f"the board addresses {bits} bits, memory reaches to {end - 1:o}",
        limit=f"it reaches {(1 << bits) // 1024} KB only",
        cause="DMA overwrites low memory unless software copies",
        fix=f"fit a board with 22 address bits, or keep memory within {(1 << bits) // 1024} KB",
        next_measurement=probe(
            f"read a block to a buffer above {1 << bits:o}, then look at the word {1 << bits:o} below it",
            "the data of the block there",
            "the board addresses more bits: accept the finding and say so",
        ),
        also=names(wired.boards[span.memory.board] for span in spans(wired) if span.end > 1 << bits),
    )
