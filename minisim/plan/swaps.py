"""What could be exchanged: for each board of a machine, left ones that can stand in for it.

An exchange counts only where the arithmetic of the wish holds with it and the new layout passes `check`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from minisim.plan.choose import Selection, selection_of
from minisim.plan.columns import Builder, Offer
from minisim.plan.outfit import Machine, outfit
from minisim.plan.pile import Thing
from minisim.plan.solver import Arithmetic, NoAnswerError
from minisim.plan.traits import Traits

MOST_FOR_ONE = 2
_SECONDS = 2.0


@dataclass(frozen=True, slots=True)
class Swap:
    """A board of a machine, and left boards of which each could take its place."""

    thing: Thing
    instead: tuple[Thing, ...]


def swaps_of(made: Machine, left: Mapping[Thing, int], offer: Offer, folder: Path) -> tuple[Swap, ...]:
    """The exchanges that are possible in one machine with what is left; at most `MOST_FOR_ONE` for each board."""
    found = []
    for name in sorted(made.selection.boards):
        thing = Thing("boards", name)
        if offer.boards[name].is_grant_card:
            continue
        instead = tuple(_instead(made, thing, left, offer, folder))
        if instead:
            found.append(Swap(thing, instead))
    return tuple(found)


def _instead(made: Machine, thing: Thing, left: Mapping[Thing, int], offer: Offer, folder: Path) -> Iterator[Thing]:
    count = 0
    for name in sorted(offer.boards):
        other = Thing("boards", name)
        is_left = other != thing and left.get(other, 0) > 0
        if (
            is_left
            and _is_alike(offer.boards[name], offer.boards[thing.entry])
            and _stands(made, thing, other, offer, folder)
        ):
            yield other
            count += 1
        if count == MOST_FOR_ONE:
            return


def _is_alike(one: Traits, other: Traits) -> bool:
    """The same trade: what a person would think of first when a board turns out bad."""
    same_bus = one.entry.bus == other.entry.bus and not one.is_grant_card
    return same_bus and _trades(one) >= _trades(other)


def _trades(board: Traits) -> frozenset[str]:
    serial = {"a serial line"} if board.lines else set()
    others = {device for device in board.devices if device not in _BESIDE and "serial" not in device}
    trades = {
        "processor": board.is_processor,
        "memory": bool(board.memory_kb),
        "boot ROM": board.holds_rom,
        "terminator": bool(board.ends),
    }
    return frozenset({name for name, has in trades.items() if has} | serial | others | set(board.entry.option_adds))


_BESIDE = ("event-line", "line-clock", "memory-parity", "boot-registers")  # what comes with a board of another trade


def _stands(made: Machine, thing: Thing, other: Thing, offer: Offer, folder: Path) -> bool:
    """Is there a machine of the same wish, in the same frame, with the other board instead?"""
    selection = _exchanged(made.selection, thing, other, offer)
    if selection is None:
        return False
    frame = offer.frames[selection.frame]
    return isinstance(outfit(selection, frame, offer.boards, folder, offer.catalogue), Machine)


def _exchanged(old: Selection, thing: Thing, other: Thing, offer: Offer) -> Selection | None:
    """The selection with the other board, where all needs and all preferences that were met still are."""
    things = dict(old.things)
    things[thing] -= 1
    things[other] = things.get(other, 0) + 1
    only = {one: count for one, count in things.items() if count}
    frames = {old.frame: offer.frames[old.frame]}
    boards = {one.entry: offer.boards[one.entry] for one in only if one.kind == "boards"}
    arithmetic = Arithmetic()
    columns = Builder(arithmetic, replace(offer, frames=frames, boards=boards, counts=only), old.wish).rows()
    arithmetic.row([(1, columns.complete)], least=1)
    for like in old.likes:
        arithmetic.row([(1, columns.likes[like])], least=1)
    try:  # take everything: the count of pieces stays
        answer = arithmetic.best([(1.0, one) for _, one in columns.taken(frames)], seconds=_SECONDS)
    except NoAnswerError:
        return None
    found = selection_of(columns, answer, offer)
    return found if found is not None and dict(found.things) == only else None
