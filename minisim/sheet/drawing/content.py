"""What is said at each place of a backplane, for the picture and for its lines of plain characters alike."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from minisim.known import Evidence, Figure, Known, Unknown
from minisim.sheet.drawing.grants import GrantPath, card_hops, grant_paths
from minisim.sheet.drawing.svg import Said
from minisim.sheet.messages import say
from minisim.sheet.numbers import amount, how_sure
from minisim.wiring.model import GrantKind, Hop, Passes, SlotPart, Wired, WiredBoard, WiredTerminator, WiredUnit


@dataclass(frozen=True, slots=True)
class UnitView:
    """One backplane with everything its drawing shows."""

    wired: Wired
    unit: WiredUnit
    paths: tuple[GrantPath, ...]
    cards: tuple[Hop, ...]  # hops of this unit that need a grant card
    boards: tuple[WiredBoard, ...]
    parts: tuple[SlotPart, ...]

    @property
    def name(self) -> str:
        """`main/a`."""
        return f"{self.unit.box}/{self.unit.id}"

    @property
    def next(self) -> WiredUnit | None:
        """The unit on which the bus goes on."""
        after = self.unit.index + 1
        return self.wired.units[after] if after < len(self.wired.units) else None

    @property
    def slots(self) -> tuple[int, ...]:
        """Every slot that has a part, or that the way of the grants names."""
        named = {slot for path in self.paths for hop in self.hops(path) for slot in hop.place.slots if not hop.joint}
        return tuple(sorted(named | {part.place.slots[0] for part in self.parts}))

    @property
    def columns(self) -> str:
        """The letters of the rows of connectors, as they stand from left to right."""
        return "".join(sorted({*self.unit.entry.rows, *(row for board in self.boards for row in board.rows)}))

    @property
    def twice(self) -> tuple[WiredBoard, ...]:
        """Boards that claim a place which a board before them has."""
        taken: set[tuple[int, str]] = set()
        twice = []
        for board in self.boards:
            own = {(slot, row) for slot in board.place.slots for row in board.rows}
            twice += [board] if own & taken else []
            taken |= own if not own & taken else set()
        return tuple(twice)

    def here(self, hop: Hop | None) -> bool:
        """Is it a hop of this unit?"""
        return hop is not None and (hop.place.box, hop.place.unit) == (self.unit.box, self.unit.id)

    def hops(self, path: GrantPath) -> tuple[Hop, ...]:
        """The hops of a path in this unit, in their order."""
        return tuple(hop for hop in path.chain.hops if self.here(hop))


def unit_view(wired: Wired, unit: int) -> UnitView:
    """Everything about one unit.  IndexError: there is no such unit."""
    one = wired.units[unit]
    parts = (part for part in wired.slots if (part.place.box, part.place.unit) == (one.box, one.id))
    boards = (board for board in wired.boards if board.unit == unit)
    cards = (hop for hop in card_hops(wired) if (hop.place.box, hop.place.unit) == (one.box, one.id))
    return UnitView(wired, one, grant_paths(wired), tuple(cards), tuple(boards), tuple(parts))


def board_side(view: UnitView) -> str:
    """From which side one looks."""
    slot, columns = view.slots[0] if view.slots else 1, view.columns
    return say("drawing-board-side", slot=str(slot), first=columns[0], last=columns[-1])


# ---- boards


def marking(board: WiredBoard) -> str:
    """The numbers etched on the handle, or that they have to be read."""
    marks = board.entry.markings
    if isinstance(marks, Known) and marks.peek:
        return ", ".join(marks.peek)
    return say("drawing-no-number")


def board_says(view: UnitView, board: WiredBoard) -> Iterator[Said]:
    """What stands in the frame of a board, the number on its handle first."""
    yield Said(marking(board), 20, bold=True)
    yield Said(board.entry.kind)
    if board.placed.item:
        yield Said(say("drawing-item", item=board.placed.item))
    if board.assumed:
        yield Said(say("drawing-assumed"))
    yield from map(Said, _set_says(board))
    yield from map(Said, _starts_says(view, board))
    for one in view.wired.terminators:
        if one.board == board.index:
            yield Said(terminator_says(one))
    yield from _broken_says(view, board.index)


def _starts_says(view: UnitView, board: WiredBoard) -> Iterator[str]:
    kinds = [path.kind for path in view.paths if path.start and path.chain.hops[path.start - 1].board == board.index]
    for kind in kinds if len(kinds) < len(view.paths) else ["both"]:
        yield say("drawing-starts", kind=kind)


def _set_says(board: WiredBoard) -> Iterator[str]:
    slots = board.place.slots
    if len(slots) < 2:
        return
    yield say("drawing-set", first=str(slots[0]), last=str(slots[-1]))
    if not order_of(board):
        yield say("drawing-set-order-unknown")


def order_of(board: WiredBoard) -> tuple[str, ...]:
    """Of a set: the numbers on its handles from its first slot on; () where not known."""
    order = board.entry.order
    known = order.peek if isinstance(order, Known) else ()
    return board.placed.order or known


def part_says(board: WiredBoard, slot: int) -> str:
    """What stands in one slot of a set: the number where the order is known, else only which part it is."""
    at, order = board.place.slots.index(slot), order_of(board)
    if at < len(order):
        return say("drawing-set-part-known", number=str(at + 1), marking=order[at])
    return say("drawing-set-part", number=str(at + 1), count=str(len(board.place.slots)))


def terminator_says(one: WiredTerminator) -> str:
    """What a terminator does, and at which end of the bus it stands."""
    if isinstance(one.strength, Known):
        return say("drawing-ends-bus", strength=one.strength.peek, end=one.at_end, sure=how_sure(one.strength))
    return say("drawing-ends-bus-unknown")


def _broken_says(view: UnitView, board: int) -> Iterator[Said]:
    for path in view.paths:
        if path.broken is not None and path.broken.board == board:
            yield Said(broken_at(path, path.broken), bold=True)


# ---- parts that nobody fills


def empty_says(view: UnitView, part: SlotPart) -> Iterator[Said]:
    """What stands in a part without a board: nothing, the end of a cable, or the first hop that breaks."""
    hops = [(path, hop) for path in view.paths for hop in view.hops(path) if _is_at(view, path, hop, part)]
    broken = [Said(broken_at(path, hop), bold=True) for path, hop in hops if hop is path.broken]
    passing = [Said(hop.why) for _, hop in hops if hop.passes is not Passes.NO and not hop.wire]
    yield from dict.fromkeys(broken or passing or [Said(say("drawing-empty"))])


def _is_at(view: UnitView, path: GrantPath, hop: Hop, part: SlotPart) -> bool:
    at = part.place.slots[0] in hop.place.slots and hop_letter(view, path, hop) in part.place.rows
    return at and hop.board is None and not hop.joint


def card_hop(view: UnitView, part: SlotPart) -> Hop | None:
    """The hop that needs a grant card in this part, if there is one."""
    rows = _card_letters(view, part)
    here = (hop for hop in view.cards if part.place.slots[0] in hop.place.slots)
    return next((hop for hop in here if set(rows) & set(hop.place.rows or part.place.rows)), None)


def card_rows(view: UnitView, part: SlotPart) -> str:
    """The rows of a part that want a grant card."""
    return _card_letters(view, part) if card_hop(view, part) else ""


def _card_letters(view: UnitView, part: SlotPart) -> str:
    """Where a grant card stands: in D on the separate-line bus, over the whole place on the other."""
    if view.wired.bus != "sep":
        return part.place.rows
    return "D" if "D" in part.place.rows else ""


# ---- slots


def kinds_of(view: UnitView, slot: int) -> tuple[str, ...]:
    """`AB modified`, `CF small-peripheral`: rows with the kind of place they make; like kinds together."""
    rows_of: dict[str, list[str]] = {}
    for rows, kind in view.unit.entry.slots.get(slot, {}).items():
        short = rows if len(rows) <= 2 else rows[0] + rows[-1]
        rows_of.setdefault(kind, []).append(short)
    return tuple(f"{' '.join(rows)} {kind}" for kind, rows in rows_of.items())


def wire_in(view: UnitView, slot: int) -> bool | None:
    """Is the wire CA1-CB1 of the slot in?  None: it has none."""
    for path in view.paths:
        for hop in view.hops(path):
            if slot in hop.place.slots and hop.wire is not None:
                return hop.wire
    return None


# ---- grants


def hop_letter(view: UnitView, path: GrantPath, hop: Hop) -> str:
    """The row in which a hop is drawn: C and D carry the two kinds of the separate-line bus."""
    board = view.wired.boards[hop.board].rows if hop.board is not None else ""
    rows = hop.place.rows or board or view.unit.entry.rows
    if view.wired.bus == "sep":
        wanted = "C" if path.kinds == (GrantKind.DMA,) else "D"
        return wanted if wanted in rows else rows[0]
    return rows[0]


def broken_at(path: GrantPath, hop: Hop) -> str:
    """`BROKEN at hop 3: empty`."""
    return say("drawing-broken", hop=str(hop.number), kind=path.kind, why=hop.why)


@dataclass(frozen=True, slots=True)
class _Told:
    """One sentence about a path, but for the kind of grant."""

    key: str
    values: tuple[tuple[str, str], ...]
    bold: bool = False


def grant_says(view: UnitView) -> Iterator[Said]:
    """How far the grants get, and whom that harms; what holds for both kinds alike is said once."""
    told = [list(_told(view, path)) for path in view.paths]
    for path, mine in zip(view.paths, told, strict=True):
        for one in mine:
            alike = all(one in others for others in told)
            if not alike or path is view.paths[0]:
                kind = "both" if alike else path.kind
                yield Said(say(one.key, kind=kind, **dict(one.values)), bold=one.bold)


def _told(view: UnitView, path: GrantPath) -> Iterator[_Told]:
    if not path.start:
        yield _Told("drawing-no-processor", (), bold=True)
        return
    if path.broken is not None:
        yield _Told("drawing-broken-long", _about(path.broken), bold=True)
        yield _Told("drawing-cut-off", (("boards", _named(path.harmed)),), bold=True)
        if path.stands_still:
            yield _Told("drawing-stands-still", (), bold=True)
        if path.beside:
            yield _Told("drawing-behind", (("boards", _named(path.beside)),))
    elif path.end is not None and view.here(path.end):
        needs = "; ".join(path.unsure)
        yield _Told("drawing-end-unsure" if needs else "drawing-end", (*_about(path.end), ("needs", needs)))
    for hop in path.doubtful:
        if view.here(hop):
            yield _Told("drawing-doubtful", _about(hop))


def _about(hop: Hop) -> tuple[tuple[str, str], ...]:
    return (("hop", str(hop.number)), ("place", str(hop.place)), ("why", hop.why))


def _named(boards: tuple[WiredBoard, ...]) -> str:
    """Each with its place: by the number on its handle, else by what it is."""
    known = (board.entry.markings for board in boards)
    names = ("/".join(marks.peek) if isinstance(marks, Known) and marks.peek else "" for marks in known)
    return ", ".join(f"{board.place} {name or board.entry.kind}" for board, name in zip(boards, names, strict=True))


# ---- the ends of the unit


def comes_from(view: UnitView) -> str:
    """Where the bus comes from."""
    unit = view.unit
    if unit.index == 0:
        return say("drawing-bus-begins")
    before = view.wired.units[unit.index - 1]
    return _by_cable(unit, "from", f"{before.box}/{before.id}")


def goes_to(view: UnitView) -> str:
    """Where the bus goes on."""
    after = view.next
    return _by_cable(after, "to", f"{after.box}/{after.id}") if after else say("drawing-bus-stops")


def _by_cable(joined: WiredUnit, way: str, other: str) -> str:
    cable = joined.cable or say("drawing-cable-not-named")
    state = "in" if joined.joined else "out"
    return say("drawing-joint", way=way, unit=other, cable=cable, length=_metres(joined.cable_m), state=state)


def _metres(length: Figure[Decimal]) -> str:
    if isinstance(length, Known):
        return say("drawing-metres", metres=amount(length.peek))
    return say("drawing-length-unknown")


def built_in_says(view: UnitView) -> Iterator[str]:
    """Terminators that are part of the backplane."""
    for one in view.wired.terminators:
        if one.board is None and one.unit == view.unit.index:
            if isinstance(one.strength, Known):
                sure = how_sure(one.strength)
                yield say("drawing-backplane-ends-bus", strength=one.strength.peek, end=one.at_end, sure=sure)
            else:
                yield say("drawing-backplane-ends-bus-unknown")


def evidence_says(view: UnitView) -> Iterator[str]:
    """How sure the order of the hops and the kinds of the slots are."""
    entry = view.unit.entry
    yield from _sure("drawing-order-sure", "drawing-order-sure-unknown", entry.grant_order_evidence)
    yield from _sure("drawing-slots-sure", "drawing-slots-sure-unknown", entry.slots_evidence)


def _sure(key: str, unknown: str, figure: Figure[str]) -> Iterator[str]:
    if isinstance(figure, Unknown):
        yield say(unknown)
    elif isinstance(figure, Known):
        sources = f" ({', '.join(figure.sources)})" if figure.sources else ""
        yield say(key, sure=how_sure(figure), sources=sources)
        if figure.evidence is Evidence.DISPUTED:
            yield say("drawing-disputed", note=figure.note)


def orientation(view: UnitView) -> str:
    """How every board stands: no document here says on which side its parts are."""
    return say("drawing-orientation")


def passes_says(hop: Hop) -> str:
    """A hop in a list: `hop 3`, `hop 3?` where it may not pass, `hop 3, no grant arrives`."""
    doubt = hop.passes is Passes.UNKNOWN
    return say("drawing-hop", hop=str(hop.number), reached=str(hop.reached), passes="unknown" if doubt else "known")
