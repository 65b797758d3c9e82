"""Cut a loadout into stages, each a loadout of its own.

Stage 0 is the supply alone. Stage 1 is the least that can talk: processor, memory, console, terminators, the ROM it
starts from. Each later stage adds one board, in the order in which the grants travel. A place of the plan that is still
empty, with boards behind it, holds a grant card for the time being, so that no stage has a hole that the plan has not.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from minisim.fixing.cards import card_for, is_card
from minisim.known import Known
from minisim.loadout.model import Box, Loadout, Placed, Unit
from minisim.rules._facts import answers_console, short
from minisim.wiring.model import GrantKind, Hop, Passes, Wired, WiredBoard
from minisim.wiring.resolve import resolve

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue

SUPPLY_ALONE = "supply alone, no board in any slot"


@dataclass(frozen=True, slots=True)
class Stage:
    """One step of the bring-up: the machine as it stands then, and what is new in it."""

    number: int
    title: str
    loadout: Loadout
    wired: Wired
    added: tuple[str, ...]  # boards new at this stage: `M0000 (main/a/2AB)`
    cards: tuple[str, ...]  # grant cards for the time being: `grant-card in main/a/2CD`
    waits: tuple[str, ...]  # boards of the plan that are not in yet


class Staging:
    """The stages of one machine; each is made when it is asked for."""

    def __init__(self, loadout: Loadout, catalogue: Catalogue) -> None:
        self.plan = resolve(loadout, catalogue)
        self.catalogue = catalogue.beside(loadout.path)
        self._made: dict[int, Stage] = {}

    @property
    def last(self) -> int:
        """The number of the last stage, which is the whole plan."""
        return len(self.groups)

    def stage(self, number: int) -> Stage:
        """Stage 0 to `last`."""
        if number not in self._made:
            self._made[number] = self._make(number)
        return self._made[number]

    def __iter__(self) -> Iterator[Stage]:
        return (self.stage(number) for number in range(self.last + 1))

    # ---- which boards come when

    @cached_property
    def groups(self) -> tuple[tuple[WiredBoard, ...], ...]:
        """New boards of stage 1, 2 and so on; cards that only pass grants come with the first board of their unit."""
        first = tuple(_least(self.plan))
        if not first:
            return ()
        groups = [first]
        inside = {board.index for board in first}
        units = range(max(board.unit for board in first) + 1)
        groups[0] += tuple(one for one in self._in_order() if one.unit in units and _comes_with_unit(self.plan, one))
        inside |= {board.index for board in groups[0]}
        last_unit = units[-1]
        for board in self._in_order():
            if board.index in inside:
                continue
            new = [board]
            if board.unit > last_unit:
                new += [one for one in self._of_new_units(last_unit, board) if one is not board]
                last_unit = board.unit
            groups.append(tuple(new))
            inside |= {one.index for one in new}
        return tuple(_unique(group) for group in groups)

    def _in_order(self) -> list[WiredBoard]:
        """All boards along the bus: by the way of the grants on the multiplexed bus, by slots on the other."""
        chain = self.plan.chain(GrantKind.INTERRUPT)
        hops = {hop.board: hop.number for hop in reversed(chain.hops) if hop.board is not None}

        def along(board: WiredBoard) -> tuple[int, int, int, str]:
            hop = hops.get(board.index, 0) if self.plan.bus == "mux" else 0
            return board.unit, hop, board.place.slots[0], board.rows

        return sorted(self.plan.boards, key=along)

    def _of_new_units(self, last: int, board: WiredBoard) -> Iterable[WiredBoard]:
        return (one for one in self._in_order() if last < one.unit <= board.unit and _comes_with_unit(self.plan, one))

    # ---- the loadout of a stage

    def _make(self, number: int) -> Stage:
        whole = number == self.last
        loadout, cards = (self.plan.loadout, ()) if whole else self._with_cards(self._inside(number))
        new = self.groups[number - 1] if number else ()
        inside = {board.index for board in self._inside(number)}
        return Stage(
            number=number,
            title=self._title(number),
            loadout=loadout,
            wired=self.plan if whole else resolve(loadout, self.catalogue),
            added=tuple(short(board) for board in new),
            cards=cards,
            waits=tuple(short(board) for board in self._in_order() if board.index not in inside),
        )

    def _inside(self, number: int) -> tuple[WiredBoard, ...]:
        return tuple(board for group in self.groups[:number] for board in group)

    def _title(self, number: int) -> str:
        if number == 0:
            return SUPPLY_ALONE
        if number == 1:
            return "the least that can talk"
        return f"with {self.groups[number - 1][0].name}"

    def _with_cards(self, inside: tuple[WiredBoard, ...]) -> tuple[Loadout, tuple[str, ...]]:
        """The loadout of these boards, with a card in every place that the plan fills and this stage would leave open.

        A card may uncover another open place behind it; each round fills at least one.
        """
        cards: dict[tuple[str, str], list[Placed]] = {}
        told: list[str] = []
        while True:
            loadout = _reduced(self.plan, inside, cards)
            hop = self._open_hop(resolve(loadout, self.catalogue)) if inside else None
            card = _card(hop, self.plan, self.catalogue) if hop is not None else None
            if hop is None or card is None or len(told) > len(self.plan.boards) * 4:
                return loadout, tuple(told)
            cards.setdefault((hop.place.box, hop.place.unit), []).append(card)
            told.append(f"{card.board} in {hop.place.box}/{hop.place.unit}/{card.place}")

    def _open_hop(self, wired: Wired) -> Hop | None:
        """The first place before the last board that stops a grant here and not in the plan."""
        for kind in GrantKind:
            hops = wired.chain(kind).hops
            last = max((hop.number for hop in hops if hop.board is not None), default=0)
            planned = {str(hop.place): hop for hop in self.plan.chain(kind).hops if not hop.joint}
            for hop in hops[: max(0, last - 1)]:
                if _stops(hop) and self._is_filled(hop) and not _stops(planned.get(str(hop.place))):
                    return hop
        return None

    def _is_filled(self, hop: Hop) -> bool:
        """Does a board of the plan stand in the slot?"""
        here = hop.place
        boards = (one.place for one in self.plan.boards)
        return any((one.box, one.unit) == (here.box, here.unit) and here.slots[0] in one.slots for one in boards)


def _stops(hop: Hop | None) -> bool:
    """An empty position that does not hand the grant on."""
    return hop is not None and hop.board is None and not hop.joint and hop.passes is not Passes.YES


def _unique(boards: Iterable[WiredBoard]) -> tuple[WiredBoard, ...]:
    return tuple({board.index: board for board in boards}.values())


def _least(wired: Wired) -> Iterator[WiredBoard]:
    """Processor, the memory at 0 and what refreshes it, console, the ROM it starts from."""
    if wired.processors:
        processor = wired.boards[wired.processors[0].board]
        yield processor
        yield from _beside_processor(wired, processor)
    yield from _first_memory(wired)
    yield from (wired.boards[one.board] for one in wired.registers if answers_console(one))
    if wired.boot.rom is not None:
        yield wired.boards[wired.roms[wired.boot.rom].board]


def _beside_processor(wired: Wired, processor: WiredBoard) -> Iterator[WiredBoard]:
    """What no grant card can stand for: boards in places of the processor's own, and memory before it."""
    hops = wired.chain(GrantKind.INTERRUPT).hops
    own = next((hop.number for hop in hops if hop.board == processor.index), 0)
    before = {hop.board for hop in hops if hop.number < own}
    for board in wired.boards:
        if board.index in before or (board.unit == processor.unit and board.kinds == ("processor",)):
            yield board


def _first_memory(wired: Wired) -> Iterator[WiredBoard]:
    known = [one for one in wired.memories if isinstance(one.start, Known)]
    at_zero = sorted(known, key=lambda one: one.start.peek if isinstance(one.start, Known) else 0)
    first = next(iter(at_zero or wired.memories), None)
    if first is None:
        return
    board = wired.boards[first.board]
    yield board
    itself = board.entry.memory.refreshes_itself if board.entry.memory else None
    if isinstance(itself, Known) and itself.peek == "no":
        yield from (one for one in wired.boards if _says_yes(one.entry.refreshes_others))


def _says_yes(figure: object) -> bool:
    return isinstance(figure, Known) and figure.peek == "yes"


def _comes_with_unit(wired: Wired, board: WiredBoard) -> bool:
    """Terminators, and cards that do nothing but pass the grants."""
    return any(one.board == board.index for one in wired.terminators) or (is_card(board.entry) and not board.assumed)


# ---- a loadout with less in it


def _reduced(
    wired: Wired, inside: Iterable[WiredBoard], cards: dict[tuple[str, str], list[Placed]] | None = None
) -> Loadout:
    """The loadout with these boards alone: cables of the others are off, units behind the last one not joined."""
    kept = {id(board.placed) for board in inside}
    places = {board.index for board in inside}
    last = max((board.unit for board in inside), default=-1)
    units = {(unit.box, unit.id) for unit in wired.units if unit.index <= max(last, 0)}
    boxes = [_box(box, units, kept, cards or {}) for box in wired.loadout.boxes]
    cables = tuple(one.end for one in wired.cables if one.board in places)
    return replace(wired.loadout, boxes=tuple(box for box in boxes if box.units or not places), cables=cables)


def _box(box: Box, units: set[tuple[str, str]], kept: set[int], cards: dict[tuple[str, str], list[Placed]]) -> Box:
    there = [unit for unit in box.units if (box.id, unit.id) in units]
    return replace(box, units=tuple(_unit(unit, kept, cards.get((box.id, unit.id), [])) for unit in there))


def _unit(unit: Unit, kept: set[int], cards: list[Placed]) -> Unit:
    return replace(unit, placed=(*(one for one in unit.placed if id(one) in kept), *cards))


def _card(hop: Hop, plan: Wired, catalogue: Catalogue) -> Placed | None:
    """A grant card for a position: on the separate-line bus with the DMA grant too where no wire passes that.

    None where the catalogue has no such card.
    """
    passed = next((one for one in plan.chain(GrantKind.DMA).hops if str(one.place) == str(hop.place)), None)
    card = card_for(catalogue, plan.bus, dma=passed is None or passed.wire is not True)
    if card is None:
        return None
    slot, rows = hop.place.slots[0], hop.place.rows[:2] if plan.bus == "mux" else card.rows or ""
    return Placed(f"{slot}{rows}", (slot,), rows, card.id, "", (), {}, (), plan.boards[0].mark)
