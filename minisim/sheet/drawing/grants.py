"""The way of the grants as drawings show it: where it starts, where it stops, and whom that harms.

What harms is asked of the same functions as the rules GRANT-001 to GRANT-007 ask, so picture and findings agree.
"""

from __future__ import annotations

from dataclasses import dataclass

from minisim.known import Known
from minisim.rules._grants import (
    before_the_joint,
    cut_off,
    holes_to_fill,
    is_hole,
    open_hops,
    perhaps_behind,
    start_of,
    suffering,
)
from minisim.wiring.model import GrantChain, GrantKind, Hop, Passes, Wired, WiredBoard


@dataclass(frozen=True, slots=True)
class GrantPath:
    """One way through the machine: one chain of the separate-line bus, or both of the multiplexed bus together."""

    kinds: tuple[GrantKind, ...]
    chain: GrantChain
    start: int  # number of the processor's first hop; 0: no processor on this way
    broken: Hop | None  # the first hop that stops a grant that somebody behind waits for
    harmed: tuple[WiredBoard, ...]  # who waits: boards that want the grant, and turnaround terminators
    beside: tuple[WiredBoard, ...]  # the other boards behind the broken hop
    end: Hop | None  # the first hop that stops the grant where nobody behind is known to want it
    unsure: tuple[str, ...]  # of whom behind `end` nobody knows whether they want it

    @property
    def kind(self) -> str:
        """both, interrupt or dma."""
        return "both" if len(self.kinds) > 1 else str(self.kinds[0])

    @property
    def stands_still(self) -> bool:
        """Does a turnaround terminator behind the broken hop make a lasting acknowledge of it?"""
        return any(
            isinstance(one.entry.turnaround, Known) and one.entry.turnaround.peek == "yes" for one in self.harmed
        )

    @property
    def doubtful(self) -> tuple[Hop, ...]:
        """Hops from the processor on of which nobody knows whether they hand the grant on."""
        return tuple(hop for hop in self.chain.hops if hop.passes is Passes.UNKNOWN and hop.number >= self.start)


def grant_paths(wired: Wired) -> tuple[GrantPath, ...]:
    """One path on the multiplexed bus, two on the separate-line bus (interrupts first)."""
    if not wired.units:
        return ()
    if wired.bus == "mux":
        return (_path(wired, tuple(GrantKind)),)
    return tuple(_path(wired, (kind,)) for kind in GrantKind)


def card_hops(wired: Wired) -> tuple[Hop, ...]:
    """Empty positions that need a grant card, because somebody behind them waits for a grant."""
    chain = wired.chain(GrantKind.INTERRUPT)
    if wired.bus == "mux":
        return tuple(hop for hop in holes_to_fill(chain, cut_off(wired)) if not hop.joint)
    holes = tuple(hop for hop in open_hops(wired, chain, empty_only=True) if suffering(wired, chain, hop))
    return tuple(hop for hop in before_the_joint(holes) if not hop.joint)


def _path(wired: Wired, kinds: tuple[GrantKind, ...]) -> GrantPath:
    chain = wired.chain(kinds[0])
    stops = open_hops(wired, chain, empty_only=False)
    harmful = (hop for hop in stops if suffering(wired, chain, hop))
    broken = next((hop for hop in harmful if not _waits_for_cable(wired, chain, hop)), None)
    harmed = suffering(wired, chain, broken) if broken else ()
    end = next(iter(stops), None) if broken is None else None
    unsure = perhaps_behind(wired, chain, end) if end else ()
    beside = _beside(wired, chain, broken, harmed)
    return GrantPath(kinds, chain, start_of(wired, chain), broken, harmed, beside, end, unsure)


def _waits_for_cable(wired: Wired, chain: GrantChain, hop: Hop) -> bool:
    """An empty position before an open joint that the end board of the cable fills: the joint is what is broken."""
    return wired.bus == "mux" and is_hole(hop) and hop not in holes_to_fill(chain, cut_off(wired))


def _beside(
    wired: Wired, chain: GrantChain, broken: Hop | None, harmed: tuple[WiredBoard, ...]
) -> tuple[WiredBoard, ...]:
    if broken is None:
        return ()
    behind = [hop.board for hop in chain.hops if hop.number > broken.number and hop.board not in (None, broken.board)]
    boards = (wired.boards[index] for index in dict.fromkeys(behind) if index is not None)
    return tuple(board for board in boards if board not in harmed)
