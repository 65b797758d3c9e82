"""Memory from 0 without gaps and overlaps, within what the machine can address."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from minisim.findings import Finding
from minisim.fixing.edits import Edit, SetSetting
from minisim.fixing.repairs._framework import Changes, repair
from minisim.fixing.repairs.registers import changes, peeked, switch
from minisim.fixing.situation import Situation, others_named
from minisim.wiring.model import Wired, WiredBoard, WiredMemory

BEYOND = {
    "memory-over-io-page": "the part of the memory over the limit is lost with this board",
    "memory-beyond-backplane-width": "the backplane needs the address lines 18 to 21, or less memory",
    "narrow-memory-answers-twice": "the machine needs memory of 22 bits in its place, or less of it",
    "memory-without-refresh": "the machine needs a board that refreshes, or memory that refreshes itself",
    "no-memory-at-zero": "the machine needs a memory board",
    "narrow-dma-in-large-memory": "the machine needs a board of 22 address bits, or less memory",
    "map-missing-for-large-memory": "the processor needs its map, or the machine less memory",
}


@repair("memory-gap", "memory-overlap", "no-memory-at-zero")
def set_the_start(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The board behind the memory below it, or at the first gap; else all boards one behind the other."""
    wired = situation.wired
    board = situation.board(finding.place)
    boards = [*([board] if board is not None else []), *others_named(situation, finding)]
    for one in wired.memories:
        if finding.slug == "no-memory-at-zero" or wired.boards[one.board] in boards:
            for start in _starts(wired, one):
                yield changes(_start_switch(wired, one, start))
    yield from stacked(wired)
    for one in wired.memories:
        if wired.boards[one.board] in boards:
            yield from (changes(switch(wired.boards[one.board], "kb", kb)) for kb in _smaller(wired.boards[one.board]))


def _starts(wired: Wired, memory: WiredMemory) -> list[int]:
    """0, and the end of every other memory: the lowest first."""
    ends = [end for one in wired.memories if one is not memory and (end := _end(one)) is not None]
    reach = 1 << (peeked(wired.boards[memory.board].entry.address_bits) or 22)
    size = peeked(memory.size) or 0
    return sorted(start for start in {0, *ends} if start + size <= reach)


def _end(memory: WiredMemory) -> int | None:
    start, size = peeked(memory.start), peeked(memory.size)
    return None if start is None or size is None else start + size


def _start_switch(wired: Wired, memory: WiredMemory, start: int) -> SetSetting | None:
    if peeked(memory.start) == start:
        return None
    return switch(wired.boards[memory.board], "start", f"{start:o}")


def stacked(wired: Wired) -> Iterator[Changes]:
    """All memories one behind the other from 0, in the order of their starts, and in that of their places."""
    by_start = sorted(wired.memories, key=lambda one: (peeked(one.start) is None, peeked(one.start) or 0, one.board))
    for order in (by_start, list(wired.memories)):
        yield tuple(_stack(wired, order))


def _stack(wired: Wired, order: Iterable[WiredMemory]) -> Iterator[Edit]:
    at = 0
    for one in order:
        size = peeked(one.size)
        if size is None:
            return
        edit = _start_switch(wired, one, at)
        if edit is not None:
            yield edit
        at += size


@repair(
    "memory-over-io-page",
    "memory-beyond-backplane-width",
    "narrow-dma-in-large-memory",
    "map-missing-for-large-memory",
    "narrow-memory-answers-twice",
)
def less_memory(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The size switch of a board lower, or the board at a lower start."""
    wired = situation.wired
    for one in sorted(wired.memories, key=lambda memory: -(_end(memory) or 0)):
        board = wired.boards[one.board]
        yield from (changes(switch(board, "kb", kb)) for kb in _smaller(board))
        yield from (changes(_start_switch(wired, one, start)) for start in _starts(wired, one))
    yield from stacked(wired)


def _smaller(board: WiredBoard) -> list[str]:
    """Sizes the board can be set to below the one it has, the largest first."""
    setting, now = board.entry.settings.get("kb"), board.placed.settings.get("kb")
    if setting is None or setting.kind != "list":
        return []
    sizes = [int(value) for value in setting.values if value.isdigit()]
    most = now.value if now is not None and isinstance(now.value, int) else max(sizes, default=0)
    return [str(size) for size in sorted(sizes, reverse=True) if size < most]
