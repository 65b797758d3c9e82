"""Who uses the grants, where the chains are open, and who stands behind an open place."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from minisim.findings import Mark
from minisim.known import reading
from minisim.rules._facts import says, short
from minisim.rules._framework import Subject, probe
from minisim.wiring.model import GrantChain, GrantKind, Hop, Passes, Wired, WiredBoard


def uses_grant(board: WiredBoard, kind: GrantKind) -> bool | None:
    """Does the board ask for this kind of grant?  None: not known."""
    if kind is GrantKind.DMA:
        return says(board.entry.dma, f"DMA of {short(board)}")
    return says(board.entry.interrupts, f"interrupts of {short(board)}")


def uses_any_grant(board: WiredBoard) -> bool | None:
    """Does the board interrupt or do DMA?"""
    interrupts = uses_grant(board, GrantKind.INTERRUPT)
    if interrupts:
        return True  # enough, and nothing else the answer rests on
    dma = uses_grant(board, GrantKind.DMA)
    return dma if dma or interrupts is not None else None


def hops_behind(chain: GrantChain, hop: Hop) -> tuple[Hop, ...]:
    """The positions that a grant reaches only through `hop`."""
    return tuple(one for one in chain.hops if one.number > hop.number)


def users_behind(wired: Wired, chain: GrantChain, hop: Hop) -> tuple[WiredBoard, ...]:
    """Boards behind `hop` that want this kind of grant, each once.  Only what these rest on is left in the ledger."""
    indexes = dict.fromkeys(one.board for one in hops_behind(chain, hop) if one.board not in (None, hop.board))
    boards = [wired.boards[index] for index in indexes if index is not None]
    with reading():
        users = tuple(board for board in boards if _wants(wired, board, chain.kind))
    for board in users:
        _wants(wired, board, chain.kind)
    return users


def perhaps_behind(wired: Wired, chain: GrantChain, hop: Hop) -> tuple[str, ...]:
    """Needs: boards behind `hop` of which nobody knows whether they want this grant."""
    indexes = dict.fromkeys(one.board for one in hops_behind(chain, hop) if one.board not in (None, hop.board))
    boards = [wired.boards[index] for index in indexes if index is not None]
    with reading():
        unsure = [board for board in boards if _wants(wired, board, chain.kind) is None]
    word = "interrupts and DMA" if wired.bus == "mux" else {"dma": "DMA"}.get(chain.kind, "interrupts")
    return tuple(f"{word} of {short(board)}" for board in unsure)


def _wants(wired: Wired, board: WiredBoard, kind: GrantKind) -> bool | None:
    return uses_any_grant(board) if wired.bus == "mux" else uses_grant(board, kind)


def turnarounds(wired: Wired) -> tuple[WiredBoard, ...]:
    """Terminators that turn an unclaimed grant around; such a board stands behind the position of its own slot."""
    return tuple(board for board in wired.boards if says(board.entry.turnaround, f"turnaround of {short(board)}"))


def is_hole(hop: Hop) -> bool:
    """An empty position that does not hand the grant on."""
    return hop.board is None and hop.passes is Passes.NO


@dataclass(frozen=True, slots=True)
class CutOff:
    """Boards that want grants behind empty positions: the positions to fill, and the boards in chain order."""

    holes: tuple[Hop, ...]
    boards: tuple[WiredBoard, ...]


def holes_of(wired: Wired) -> tuple[Hop, ...]:
    """Empty positions behind the processor that stop the interrupt grant, in chain order."""
    chain = wired.chain(GrantKind.INTERRUPT)
    return tuple(hop for hop in chain.hops if is_hole(hop) and hop.number > start_of(wired, chain))


def cut_off(wired: Wired) -> CutOff:
    """Who wants grants behind the first empty position; positions behind the last of them may stay empty."""
    chain, holes = wired.chain(GrantKind.INTERRUPT), holes_of(wired)
    if not holes:
        return CutOff((), ())
    with reading():  # the rules read again what their result rests on
        boards = sorted(users_behind(wired, chain, holes[0]), key=lambda board: number_of(chain, board))
    last = number_of(chain, boards[-1]) if boards else 0
    return CutOff(tuple(hop for hop in holes if hop.number < last), tuple(boards))


def holes_to_fill(chain: GrantChain, gap: CutOff) -> tuple[Hop, ...]:
    """The holes to speak of: before an open joint only those that a board before it suffers from.

    The end boards of a cable fill the positions beside its joint, so these are no holes once it is plugged in.
    """
    joint = next((hop for hop in gap.holes if hop.joint), None)
    if joint is None:
        return gap.holes
    before = [number for board in gap.boards if (number := number_of(chain, board)) < joint.number]
    return (*(hole for hole in gap.holes if hole.number < max(before, default=0)), joint)


def start_of(wired: Wired, chain: GrantChain) -> int:
    """The number of the processor's first position; 0 where there is none."""
    return min((number_of(chain, wired.boards[one.board]) for one in wired.processors), default=0)


def open_hops(wired: Wired, chain: GrantChain, *, empty_only: bool) -> tuple[Hop, ...]:
    """Positions behind the processor that stop the grant; with `empty_only` none where a board stands."""
    start = start_of(wired, chain)
    stops = (hop for hop in chain.hops if hop.passes is Passes.NO and hop.number > start)
    return tuple(hop for hop in stops if hop.board is None or not empty_only)


def suffering(wired: Wired, chain: GrantChain, hop: Hop) -> tuple[WiredBoard, ...]:
    """Whom an open position of the separate-line bus harms: users behind it, and turnaround terminators behind it."""
    at = next((unit.index for unit in wired.units if (unit.box, unit.id) == (hop.place.box, hop.place.unit)), 0)
    behind = (one for one in turnarounds(wired) if (one.unit, one.place.slots[0]) >= (at, hop.place.slots[0]))
    return (*users_behind(wired, chain, hop), *behind)


def counted_down(wired: Wired, chain: GrantChain) -> tuple[Hop, ...]:
    """The positions as somebody takes them who counts slots down and rows from A, whatever the backplane does."""
    order = {(unit.box, unit.id): unit.index for unit in wired.units}
    real = (hop for hop in chain.hops if not hop.joint)
    return tuple(sorted(real, key=lambda hop: (order[hop.place.box, hop.place.unit], hop.place.slots, hop.place.rows)))


def number_of(chain: GrantChain, board: WiredBoard) -> int:
    """Position of a board along the chain; 0 where it stands outside."""
    hop = chain.hop_of(board.index)
    return hop.number if hop else 0


def places(hops: Iterable[Hop]) -> str:
    """`main/a/2CD, main/a/3AB`."""
    return ", ".join(str(hop.place) for hop in hops)


def before_the_joint(holes: tuple[Hop, ...]) -> tuple[Hop, ...]:
    """The positions as far as the first open joint, and it: what stands behind it is asked when it is closed."""
    number = next((hop.number for hop in holes if hop.joint), None)
    return tuple(hop for hop in holes if number is None or hop.number <= number)


def act_at(holes: tuple[Hop, ...], what: str) -> str:
    """`fit a grant card in A, B and plug in the bus cable`: `what` is done at positions, a joint is plugged."""
    real = [hop for hop in holes if not hop.joint]
    steps = [f"{what} {places(real)}"] if real else []
    return " and ".join([*steps, *(["plug in the bus cable"] if len(real) < len(holes) else [])])


def joint_text(holes: tuple[Hop, ...]) -> str:
    """`; the cable to lower/b is not plugged in` where a joint among the positions is open."""
    return "".join(f"; {hop.why}" for hop in holes if hop.joint)


def probe_joint() -> str:
    """The next measurement where a unit hangs on nothing."""
    return probe(
        "with power off, look at both ends of the bus cable and measure one grant line through it",
        "an open line",
        "the cable is in: write connected: yes into the loadout",
    )


def passing_of(chain: GrantChain, board: WiredBoard) -> tuple[Passes, Hop | None]:
    """Whether a board hands the grants on, and the position that decides; None: it is not in the chain."""
    hops = [hop for hop in chain.hops if hop.board == board.index]
    for verdict in (Passes.NO, Passes.UNKNOWN, Passes.YES):
        for hop in hops:
            if hop.passes is verdict:
                return verdict, hop
    return Passes.YES, None


def hole_before(order: Iterable[Hop], hop: Hop) -> bool:
    """Does an empty position come before `hop` in this order?"""
    for one in order:
        if one is hop:
            return False
        if is_hole(one):
            return True
    return False


def hop_subject(wired: Wired, hop: Hop, harmed: tuple[WiredBoard, ...], mark: Mark | None = None) -> Subject:
    """A position of the chain: its wire's line, else its board's, else that of the first board that suffers."""
    board = wired.boards[hop.board] if hop.board is not None else None
    unit = next(one for one in wired.units if (one.box, one.id) == (hop.place.box, hop.place.unit))
    first = board or next(iter(harmed), None)
    place, name = (str(board.place), board.name) if board else (str(hop.place), "")
    return Subject(place, name, mark or (first.mark if first else unit.mark))


def doubts_about(wired: Wired, chain: GrantChain, hop: Hop, what: str) -> tuple[str, ...]:
    """Needs at a position of the separate-line bus that harms nobody for certain."""
    if hop.passes is Passes.UNKNOWN and suffering(wired, chain, hop):
        unsure = [one for one in chain.hops if one.passes is Passes.UNKNOWN and suffering(wired, chain, one)]
        return (f"whether {places(unsure)} {'pass' if len(unsure) > 1 else 'passes'} the {what}",)
    return perhaps_behind(wired, chain, hop) if hop.passes is Passes.NO else ()
