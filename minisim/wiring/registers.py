"""Which registers and vectors every board answers with: from its settings, its wiring, or the floating order.

A place comes from, in this order: the setting of the owner, a fixed place, the usual one of a list of choices, the
fixed place of the first unit of its kind, the floating algorithm.  Boards with several serial lines give one record a
line: lines step by 10 in address and vector (serial-boards-wiki).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from minisim.catalogue.model import RegistersEntry
from minisim.known import Figure, Known, NotApplicable, Unknown
from minisim.wiring.model import WiredRegisters, WiredVector
from minisim.wiring.places import Layout
from minisim.wiring.register_drafts import SERIAL, Draft, drafts_of, records_of, usual_places
from minisim.wiring.register_kinds import computed_addresses, computed_vectors, with_base


def wire_registers(layout: Layout, order: Mapping[int, int]) -> tuple[WiredRegisters, ...]:
    """All registers of a machine, in the order of the boards. `order` gives each board's place along the bus."""
    drafts = [draft for board in layout.boards for draft in drafts_of(board, order.get(board.index, 0))]
    drafts = usual_places(drafts)
    computed, extra = computed_addresses(drafts)
    drafts = [with_base(draft, computed.get(index)) for index, draft in enumerate(drafts)]
    vectors = computed_vectors(drafts, extra)
    return tuple(
        _record(draft, computed.get(index), vectors.get(index, NotApplicable())) for index, draft in enumerate(drafts)
    )


def _record(draft: Draft, computed: Figure[int] | None, computed_vector: Figure[int]) -> WiredRegisters:
    entry = draft.entry
    lines = records_of(entry)
    count = entry.vector_count // lines
    vector = draft.vector if draft.vector is not None else computed_vector
    return WiredRegisters(
        board=draft.board.index,
        device=entry.device,
        base=draft.base if draft.base is not None else Unknown(f"address of the registers ({entry.device})"),
        words=_words(entry, lines),
        vectors=_vectors(entry, vector, count),
        lines=1 if entry.device == SERIAL else entry.lines,
        unit=draft.number,
        mark=draft.base_mark or draft.board.mark,
        vector=vector,
        vector_mark=draft.vector_mark,
        rank=entry.at.rank,
        vector_rank=entry.vector_at.rank,
        computed=computed or NotApplicable(),
        computed_vector=computed_vector,
    )


def _words(entry: RegistersEntry, lines: int) -> Figure[int]:
    if lines == 1 or not isinstance(entry.words, Known):
        return entry.words
    return replace(entry.words, peek=entry.words.peek // lines)


def _vectors(entry: RegistersEntry, first: Figure[int], count: int) -> tuple[WiredVector, ...]:
    if not isinstance(first, Known):
        return ()
    levels = entry.levels
    return tuple(
        WiredVector(
            first.peek + 4 * number,
            replace(entry.level, peek=levels[number])
            if number < len(levels) and isinstance(entry.level, Known)
            else entry.level,
            entry.vector_by_software,
        )
        for number in range(count)
    )
