"""A board described in place becomes a board entry like any other: the owner's figures, evidence `assumed`."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import TypeVar

from minisim.catalogue.model import At, BoardEntry, RegistersEntry
from minisim.known import Evidence, Figure, Known, NotApplicable, Unknown
from minisim.loadout.model import Described

T = TypeVar("T")

DESCRIBED_DEVICE = "described"
"""Device word of the registers of a board nobody knows: no model stands behind it."""

_ROWS: Mapping[tuple[str, str], str] = {
    ("mux", "dual"): "AB",
    ("mux", "quad"): "ABCD",
    ("sep", "single"): "D",
    ("sep", "dual"): "AB",
    ("sep", "quad"): "CDEF",
    ("sep", "hex"): "ABCDEF",
}


def usual_rows(bus: str, height: str | None) -> str | None:
    """The rows a board of this height takes when its place names only the slot; None where nobody can say."""
    return _ROWS.get((bus, height or ""))


def _figure(value: T | None, what: str) -> Figure[T]:
    return Unknown(f"{what} of the described board") if value is None else Known(value, Evidence.ASSUMED)


def _yes_no(value: bool | None, what: str) -> Figure[str]:
    return _figure(None if value is None else ("yes" if value else "no"), what)


def _registers(board: Described) -> tuple[RegistersEntry, ...]:
    """Its registers, or a vector alone, where the owner names them."""
    if board.registers is None and board.vector is None:
        return ()
    here = At(fixed=board.registers) if board.registers is not None else At(none=True)
    vectors = At(fixed=board.vector) if board.vector is not None else At(none=True)
    return (
        RegistersEntry(
            device=DESCRIBED_DEVICE,
            words=Known(board.words if board.registers is not None else 0, Evidence.ASSUMED),
            at=here,
            at_evidence=Known("at", Evidence.ASSUMED),
            vector_count=board.vectors if board.vector is not None else 0,
            vector_at=vectors,
            vector_evidence=Known("vectors", Evidence.ASSUMED),
            vector_by_software=False,
            level=_figure(board.level, "request level"),
            lines=0,
        ),
    )


def _amps(board: Described) -> dict[str, Figure[Decimal]]:
    return {rail: Known(value, Evidence.ASSUMED) for rail, value in board.amps.items()}


def entry_of(board: Described, bus: str) -> BoardEntry:
    """The board entry that says what the owner said; everything else is unknown."""
    nothing = NotApplicable()
    return BoardEntry(
        id="described",
        kind="board described in place",
        bus=bus,
        height=_figure(board.height, "height"),
        boards=Known(1, Evidence.ASSUMED),
        markings=Unknown("marking of the described board"),
        rows=usual_rows(bus, board.height),
        slots=(),
        slots_evidence=Unknown("slot kinds the described board may stand in"),
        forbidden={},
        amps=_amps(board),
        amps_known=bool(board.amps),
        either=(),
        ac=_figure(board.ac, "AC load"),
        dc=_figure(board.dc, "DC load"),
        address_bits=nothing,
        dma=_yes_no(board.dma, "DMA"),
        dma_bits=Unknown("width of the DMA address of the described board") if board.dma else nothing,
        interrupts=_yes_no(board.interrupts, "interrupts"),
        passes_grant=_yes_no(board.passes_grant, "whether the grants pass"),
        passes_dma_grant=_yes_no(board.passes_grant, "whether the DMA grant passes") if bus == "sep" else nothing,
        grant_jumpers="unknown",
        registers=_registers(board),
        memory=None,
        rom=None,
        processor=None,
        option_adds=(),
        option_to=(),
        refreshes_others=nothing,
        turnaround=nothing,
        uses_spare_lines=nothing,
        terminates=nothing,
        terminates_end="",
        settings={},
        notes="",
        answers_unclaimed=Unknown("whether the described board answers a grant nobody takes"),
        dma_buffered=Unknown("whether the described board buffers its DMA") if board.dma else nothing,
    )
