"""A disk that does not buffer its transfers stands behind other DMA boards.

What is checked
    On either bus: whether a board whose DMA can't wait stands nearer to the processor than all other boards with DMA.

Why it matters
    The nearest board gets the bus first.  A disk without a buffer that waits for others loses words: late-data errors.

Example
    machine.yaml:12:7: note DMA-002 unbuffered-dma-far-from-processor [main/a/3AB]: a disk without buffer stands behind
    M0000 (main/a/2AB); it should be the first board with DMA (sync-mux-manual).

Putting it right
    Put the unbuffered disk nearest to the processor, then communications boards with DMA, then buffered disks.

Known limits
    Which controllers buffer is not known for most boards of the catalogue; the rule then says what is missing, for
    disks that stand behind other DMA boards.

Sources
    sync-mux-manual: the order for DMA on the separate-line bus.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Unknown, reading
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import board_subject, names, need, says, short
from minisim.rules._grants import number_of, uses_grant
from minisim.wiring.model import GrantKind, Wired, WiredBoard


@rule(
    id="DMA-002",
    slug="unbuffered-dma-far-from-processor",
    severity=Severity.NOTE,
    needs=("SLOT-008", "SLOT-009", "SLOT-010"),
    sources=("sync-mux-manual",),
)
def unbuffered_dma_far_from_processor(wired: Wired) -> Iterator[Result]:
    """Look at disks behind other boards with DMA."""
    with reading():  # each result reads again what it rests on
        asked = [one for one in wired.boards if isinstance(one.entry.dma_buffered, Unknown) and _before(wired, one)]
    unsure = need("DMA buffering", (short(one) for one in asked if _is_disk(one)))
    for board in wired.boards:
        subject = board_subject(board)
        if not _is_disk(board) or not uses_grant(board, GrantKind.DMA):
            yield does_not_apply(subject)
            continue
        before = _before(wired, board)
        buffered = says(board.entry.dma_buffered, f"buffer of {short(board)}") if before else True
        if buffered is None:
            yield not_checked(subject, unsure)
        else:
            yield passed(subject) if buffered else _finding(board, before)


def _before(wired: Wired, board: WiredBoard) -> list[WiredBoard]:
    """Boards with DMA that get the bus before this one; none for a board without DMA or outside the chain."""
    chain = wired.chain(GrantKind.DMA)
    mine = number_of(chain, board)
    nearer = [one for one in wired.boards if 0 < number_of(chain, one) < mine and one.entry.processor is None]
    with reading():
        return [one for one in nearer if uses_grant(one, GrantKind.DMA)]


def _is_disk(board: WiredBoard) -> bool:
    return any("disk" in one.device for one in board.entry.registers)


def _finding(board: WiredBoard, before: list[WiredBoard]) -> Result:
    for one in before:
        uses_grant(one, GrantKind.DMA)  # what the finding rests on
    return failed(
        board_subject(board),
        found=f"a disk without buffer stands behind {short(before[0])}",
        limit="it should be the first board with DMA",
        cause="late-data errors while the others transfer",
        fix=f"move {short(board)} nearer to the processor than {short(before[0])}",
        next_measurement=probe(
            "read the disk while the other boards transfer, and look at its error register",
            "late data",
            "the order does no harm here: accept the finding",
        ),
        also=names(before),
    )
