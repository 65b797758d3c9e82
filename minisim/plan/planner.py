"""The whole plan: choose pieces, lay them out, learn from what could not be laid out, and choose again."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from minisim.catalogue import Catalogue
from minisim.plan.choose import Choice, Chooser, Cut, Selection
from minisim.plan.columns import Offer
from minisim.plan.frames import frames
from minisim.plan.outfit import Machine, Unfit, outfit
from minisim.plan.pile import Pile, Thing, pile_of
from minisim.plan.traits import traits_of
from minisim.plan.wishes import Wish, Wishes
from minisim.problems import InputError, Problem, nearest
from minisim.stock.model import Row, Stock

_FITTED_COLUMNS = ("options", "fitted", "chips")  # where an owner's list says which option chips a board has
MOST_ROUNDS = 60
_Key = tuple[str, str, frozenset[tuple[Thing, int]]]  # wish, frame, what it takes


@dataclass(frozen=True, slots=True)
class Plan:
    """What came out: finished machines, wishes that are not complete, how sure that is, and what is left."""

    machines: tuple[Machine, ...]
    open: tuple[Wish, ...]
    choice: Choice
    pile: Pile
    offer: Offer
    left: Mapping[Thing, int]
    cuts: tuple[Cut, ...]
    folder: Path


def offer_of(pile: Pile, catalogue: Catalogue, cables: frozenset[str] = frozenset()) -> Offer:
    """Everything in the pile that wishes may take."""
    return Offer(
        catalogue,
        {frame.id: frame for frame in frames(pile, catalogue, cables)},
        traits_of((one.thing.entry for one in pile.of_kind("boards")), catalogue),
        {thing: pieces.count for thing, pieces in sorted(pile.pieces.items(), key=lambda item: str(item[0]))},
        _fitted(pile),
        _names(pile),
    )


def _names(pile: Pile) -> dict[str, Thing]:
    """What a wish may call a piece: the owner's name of it, its marking, its id in the catalogue."""
    found: dict[str, Thing] = {}
    for thing, pieces in pile.pieces.items():
        for row in pieces.rows:
            found |= {word: thing for word in (row.item, row.marking, thing.entry) if word}
    return found


def _fitted(pile: Pile) -> dict[tuple[str, str], int]:
    """(processor, option): how many pieces the owner's list says have the chip."""
    found: dict[tuple[str, str], int] = {}
    for pieces in pile.of_kind("boards"):
        for row in pieces.rows:
            for option in _named_options(row):
                found[pieces.thing.entry, option] = found.get((pieces.thing.entry, option), 0) + row.count
    return found


def _named_options(row: Row) -> set[str]:
    cells = [text for name, text in row.cells.items() if name.strip().lower() in _FITTED_COLUMNS]
    return {word for text in cells for word in text.lower().replace(",", " ").replace("+", " ").split()}


def plan(
    stock: Stock,
    wishes: Wishes,
    catalogue: Catalogue,
    *,
    seconds: float = 60,
    tell: Callable[[str], None] = lambda _: None,
) -> Plan:
    """Divide a stock among wishes.  NoAnswerError: the time was over before anything was found."""
    pile = pile_of(stock, catalogue)
    offer = offer_of(pile, catalogue, frozenset(wish.joined_by for wish in wishes.wishes if wish.joined_by))
    _refuse_unknown_pins(wishes, offer)
    rounds = _Rounds(offer, wishes, catalogue, {thing: pieces.sure for thing, pieces in pile.pieces.items()})
    choice = rounds.choose(time.monotonic() + seconds, tell)
    machines = rounds.machines(choice)
    complete = {made.selection.wish.id for made in machines}
    still_open = tuple(wish for wish in wishes.wishes if wish.id not in complete)
    left = _left(offer, machines)
    return Plan(machines, still_open, choice, pile, offer, left, tuple(rounds.chooser.cuts), wishes.folder)


def _left(offer: Offer, machines: Iterable[Machine]) -> dict[Thing, int]:
    """What the machines leave of the pile."""
    left = dict(offer.counts)
    for made in machines:
        for thing, count in made.selection.things.items():
            left[thing] -= count
    return left


class _Rounds:
    """Choose, lay out, learn what does not go together, and choose again, until all that was chosen stands."""

    def __init__(self, offer: Offer, wishes: Wishes, catalogue: Catalogue, sure: Mapping[Thing, int]) -> None:
        self._offer = offer
        self._wishes = wishes
        self._catalogue = catalogue
        self.chooser = Chooser(offer, wishes.wishes, sure)
        self._finished: dict[_Key, Machine | Unfit] = {}

    def choose(self, end: float, tell: Callable[[str], None]) -> Choice:
        """The best choice that was laid out before `end`; its goals are proven only where all of it stands."""
        best: tuple[tuple[int, ...], Choice] | None = None
        for number in range(1, MOST_ROUNDS + 1):
            choice = self.chooser.choose(seconds=max(end - time.monotonic(), 1), tell=tell)
            tell(f"laying out, round {number}")
            new = [cut for selection in choice.selections for cut in self._lay_out(selection)]
            if not new:
                return choice
            value = _value(choice, self._finished, self._wishes.wishes)
            if best is None or value > best[0]:
                best = value, choice
            if time.monotonic() > end:
                break
            self.chooser.cuts += new
        assert best is not None
        return replace(best[1], goals=tuple(replace(one, proven=False) for one in best[1].goals))

    def _lay_out(self, selection: Selection) -> list[Cut]:
        """Give the boards their places, once; what is learned where they have none."""
        key = _key(selection)
        if key not in self._finished:
            frame = self._offer.frames[selection.frame]
            self._finished[key] = outfit(selection, frame, self._offer.boards, self._wishes.folder, self._catalogue)
        unfit = self._finished[key]
        return _cuts(selection, unfit, self._wishes.wishes) if isinstance(unfit, Unfit) else []

    def machines(self, choice: Choice) -> tuple[Machine, ...]:
        """The machines of a choice that stand."""
        made = (self._finished[_key(one)] for one in choice.selections)
        return tuple(one for one in made if isinstance(one, Machine))


def _refuse_unknown_pins(wishes: Wishes, offer: Offer) -> None:
    """A pinned piece must be one of the stock that can be used."""
    problems = [
        Problem(wish.mark, f'wish {wish.id}: pinned "{name}" is no usable piece{nearest(name, offer.names)}')
        for wish in wishes.wishes
        for name in wish.pinned
        if name not in offer.names
    ]
    if problems:
        raise InputError(problems)


def _key(selection: Selection) -> _Key:
    return selection.wish.id, selection.frame, frozenset(selection.things.items())


def _value(
    choice: Choice, finished: Mapping[_Key, Machine | Unfit], wishes: tuple[Wish, ...]
) -> tuple[int, ...]:
    """How many wishes of each priority are complete and laid out, the first priority first."""
    done = [one.wish.priority for one in choice.selections if isinstance(finished[_key(one)], Machine)]
    return tuple(done.count(priority) for priority in sorted({wish.priority for wish in wishes}))


def _cuts(selection: Selection, unfit: Unfit, wishes: tuple[Wish, ...]) -> list[Cut]:
    """What is learned: boards that never go together go together in no wish that boots alike."""
    if not unfit.together:
        return [Cut(selection.wish.id, selection.frame, selection.boards)]
    alike = [wish for wish in wishes if wish.boot == selection.wish.boot or wish is selection.wish]
    return [Cut(wish.id, selection.frame, selection.boards, unfit.together) for wish in alike]
