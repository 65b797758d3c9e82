"""Open grants: cards into empty positions, wires, joints, jumpers, and boards that don't pass the grants."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from minisim.findings import Finding
from minisim.fixing.cards import card_for
from minisim.fixing.edits import Edit, PlugJoint, PutBoard, SetSetting, SetWire
from minisim.fixing.repairs._framework import Changes, repair
from minisim.fixing.repairs._places import before_the_end, elsewhere, moved, pairs_of, pushed, swapped
from minisim.fixing.situation import Situation, is_card, name_of
from minisim.known import Known
from minisim.rules._facts import short
from minisim.rules._grants import cut_off, open_hops, start_of
from minisim.wiring.model import GrantKind, Hop, Place, WiredBoard

_FEW = 4  # holes into which every board behind them is tried

BEYOND = {
    "bus-grant-gap": "the grant must be closed at the machine",
    "bus-user-behind-board-without-through-grant": "the machine needs a board that hands the grants on in its place",
    "unclaimed-grant-hangs-processor": "the machine needs a turnaround terminator, or a board that answers such grants",
}


@repair("bus-grant-gap", "serpentine-order-ignored")
def close_the_gap(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """A card in every empty position, and the joints plugged; or the boards behind moved up."""
    cut = cut_off(situation.wired)
    yield _all_closed(situation, cut.holes)
    yield from _cards_to(situation, cut.holes)
    for behind in cut.boards:
        yield from (moved(behind, _spot(hole, behind)) for hole in cut.holes[:_FEW] if not hole.joint)
    board = situation.board(finding.place)
    if board is not None:
        yield from elsewhere(situation, board)


def _spot(hole: Hop, board: WiredBoard) -> Place:
    whole = len(board.rows) == 4 and not board.place.rows
    return Place(hole.place.box, hole.place.unit, hole.place.slots, "" if whole else hole.place.rows)


def _all_closed(situation: Situation, holes: Iterable[Hop], *, dma: bool = False) -> Changes:
    """A card in every empty position and a plug in every open joint; nothing where there is no such card."""
    closed = [_closed(situation, hole, dma=dma) for hole in holes]
    return tuple(edit for edit in closed if edit is not None) if all(closed) else ()


def _closed(situation: Situation, hole: Hop, *, dma: bool) -> Edit | None:
    unit = f"{hole.place.box}/{hole.place.unit}"
    if hole.joint:
        return PlugJoint(unit)
    card = card_for(situation.source.catalogue, situation.wired.bus, dma=dma)
    if card is None:
        return None
    rows = hole.place.rows if card.bus == "mux" else card.rows or ""
    place = Place(hole.place.box, hole.place.unit, hole.place.slots, rows)
    return PutBoard(card.id, card.title.split(",")[0], str(place))


@repair("interrupt-grant-open")
def close_the_interrupt_grant(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """A card in row D of every empty slot that is open; or the board behind moved there."""
    wired = situation.wired
    holes = open_hops(wired, wired.chain(GrantKind.INTERRUPT), empty_only=True)
    first = [hole for hole in holes if str(hole.place) == finding.place or hole.joint] or list(holes)
    for some in dict.fromkeys((_as_far_as_users(situation, holes), tuple(holes), tuple(first))):
        yield _all_closed(situation, some)
    yield from _cards_to(situation, first)


def _cards_to(situation: Situation, holes: Iterable[Hop]) -> Iterator[Changes]:
    """Grant cards that stand where something is wrong with them, to each of these positions."""
    findings = situation.report.findings
    wrong = {finding.place for finding in findings} | {name for finding in findings for name in finding.also}
    for board in situation.wired.boards:
        in_the_way = str(board.place) in wrong or any(name.startswith(short(board)) for name in wrong)
        for hole in holes if is_card(board) and in_the_way else ():
            rows = hole.place.rows if situation.wired.bus == "mux" else board.entry.rows or board.rows
            if not hole.joint and hole.board is None:
                yield moved(board, Place(hole.place.box, hole.place.unit, hole.place.slots, rows))


def _as_far_as_users(situation: Situation, holes: Iterable[Hop]) -> tuple[Hop, ...]:
    """The holes before the last board that interrupts."""
    chain = situation.wired.chain(GrantKind.INTERRUPT)
    users = [
        hop.number for hop in chain.hops
        if hop.board is not None and _yes(situation.wired.boards[hop.board].entry.interrupts)
    ]  # fmt: skip
    last = max(users, default=0)
    return tuple(hole for hole in holes if hole.number < last)


def _yes(figure: object) -> bool:
    return isinstance(figure, Known) and figure.peek == "yes"


@repair("dma-grant-open")
def close_the_dma_grant(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The wire of every open slot in; or a card that passes the DMA grant too; joints plugged."""
    wired = situation.wired
    holes = open_hops(wired, wired.chain(GrantKind.DMA), empty_only=False)
    yield tuple(_wired_in(hole) for hole in holes)
    named = [hole for hole in holes if str(hole.place) in finding.found]
    yield tuple(_wired_in(hole) for hole in named)
    yield from _cards_to(situation, holes)
    yield _all_closed(situation, [hole for hole in holes if hole.board is None], dma=True) + tuple(
        _wired_in(hole) for hole in holes if hole.board is not None
    )


def _wired_in(hole: Hop) -> Edit:
    unit = f"{hole.place.box}/{hole.place.unit}"
    return PlugJoint(unit) if hole.joint else SetWire(unit, hole.place.slots[0], True)


@repair("dma-grant-wire-beside-dma-board")
def take_the_wire_out(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The wire of one of the board's slots out; or the board to a slot without it."""
    board = situation.board(finding.place)
    if board is None:
        return
    for slot in board.place.slots:
        yield (SetWire(f"{board.place.box}/{board.place.unit}", slot, False),)
    yield from elsewhere(situation, board)


@repair("grant-jumpers-wrong-for-slot-kind")
def set_the_grant_jumpers(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The jumpers the other way, or the board to a slot of the other kind."""
    board = situation.board(finding.place)
    if board is None:
        return
    was = board.placed.settings.get("grant-jumpers")
    value = "in" if was is not None and was.text == "out" else "out"
    was_text = was.text if was else ""
    yield (SetSetting(name_of(board), finding.place, "grant-jumpers", value, was_text),)
    yield from elsewhere(situation, board)


@repair("bus-user-behind-board-without-through-grant", "request-levels-inverted", "unbuffered-dma-far-from-processor")
def reorder(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The board along the chain: to a free place, or changing places with another; else the one it stands against."""
    board = situation.board(finding.place)
    if board is None:
        return
    yield from elsewhere(situation, board)
    for other in pairs_of(situation.wired, board):
        if not other.entry.processor:
            yield swapped(board, other)
    for other in situation.wired.boards:
        if other.index != board.index and other.unit == board.unit and not other.entry.processor:
            yield from pushed(situation.wired, other, board.place.slots[0])
            yield from pushed(situation.wired, board, other.place.slots[0])
    yield from before_the_end(situation.wired, board)
    yield from _past(situation, board)


def _past(situation: Situation, board: WiredBoard) -> Iterator[Changes]:
    """Each board behind this one to the free places before it."""
    wired = situation.wired
    chain = wired.chain(GrantKind.INTERRUPT)
    hop = chain.hop_of(board.index)
    if hop is None or hop.number < start_of(wired, chain):
        return
    for later in wired.boards:
        there = chain.hop_of(later.index)
        if there is not None and there.number > hop.number and not is_card(later):
            yield from elsewhere(situation, later)
