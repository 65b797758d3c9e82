"""What must be true of the wires on the pin side: the DMA-grant wire CA1-CB1 of each slot, and four address lines."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from minisim.known import Known, Unknown
from minisim.rules._facts import span_of
from minisim.rules._grants import suffering
from minisim.wiring.model import GrantKind, Hop, Wired, WiredBoard, WiredUnit

NARROW = 18  # address bits of a backplane that can be widened


class Must(StrEnum):
    """How the wire of a slot must stand."""

    IN = "in"
    IN_ONCE_NEEDED = "in-once-needed"  # it is out, and nobody behind waits for a grant
    OUT = "out"
    EITHER = "either"  # a card beside it passes the grant
    ONE_OUT = "one-out"  # a set over several slots: out at one of them at least
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Wire:
    """The wire CA1-CB1 of one slot: how the loadout has it, how it must stand, and because of what board."""

    slot: int
    now: bool
    must: Must
    board: WiredBoard | None

    @property
    def shown_in(self) -> bool:
        """How a picture shows it: as it must stand where that is clear, else as the loadout has it."""
        return {Must.IN: True, Must.OUT: False}.get(self.must, self.now)

    @property
    def wrong(self) -> bool:
        """Does the loadout have it otherwise than it must stand?  (A set is asked as a whole: never here.)"""
        return (self.must is Must.IN and not self.now) or (self.must is Must.OUT and self.now)


def grant_wires(wired: Wired, unit: WiredUnit) -> tuple[Wire, ...]:
    """The slots of a unit that have such a wire; () on the multiplexed bus."""
    if wired.bus != "sep":
        return ()
    hops = [hop for hop in wired.chain(GrantKind.DMA).hops if hop.wire is not None and _in(hop, unit)]
    return tuple(_wire(wired, hop, hops) for hop in hops)


def _in(hop: Hop, unit: WiredUnit) -> bool:
    return (hop.place.box, hop.place.unit) == (unit.box, unit.id)


def _wire(wired: Wired, hop: Hop, hops: list[Hop]) -> Wire:
    board = wired.boards[hop.board] if hop.board is not None else None
    must = _must(board, len([one for one in hops if one.board == hop.board]))
    if must is Must.IN and not hop.wire and not suffering(wired, wired.chain(GrantKind.DMA), hop):
        must = Must.IN_ONCE_NEEDED
    return Wire(hop.place.slots[0], bool(hop.wire), must, board)


def _must(board: WiredBoard | None, slots: int) -> Must:
    """Out where a DMA board sits, in elsewhere, or a dual grant card (small-peripheral-wiki, grant-chain-practice)."""
    if board is None:
        return Must.IN
    if board.entry.processor is not None or isinstance(board.entry.dma, Unknown):
        return Must.UNKNOWN
    if isinstance(board.entry.dma, Known) and board.entry.dma.peek == "yes":
        return Must.OUT if slots == 1 else Must.ONE_OUT
    passes = board.entry.passes_dma_grant
    return Must.EITHER if isinstance(passes, Known) and passes.peek == "yes" else Must.IN


def widening(wired: Wired, unit: WiredUnit) -> Known[str] | None:
    """How an 18-bit backplane is widened to 22 address bits, where this machine has memory that asks for it."""
    bits, way = unit.entry.address_bits, unit.entry.widen_to_22
    if not (isinstance(bits, Known) and bits.peek == NARROW and isinstance(way, Known) and way.peek == "wires"):
        return None
    spans = ((span_of(wired, memory), wired.boards[memory.board].unit) for memory in wired.memories)
    beyond = any(span is not None and span.end > 1 << NARROW and at >= unit.index for span, at in spans)
    return way if beyond else None
