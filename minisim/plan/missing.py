"""What an open wish lacks: the fewest things to find, what could stand in for them, or which need forbids it.

The same arithmetic as for choosing, over what is left and everything in the catalogue; each thing that is not there
costs one.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path

from minisim.catalogue import Catalogue
from minisim.known import Known, NotApplicable
from minisim.plan.choose import Cut, Selection, forbid, selection_of
from minisim.plan.columns import Builder, Columns, Offer
from minisim.plan.facts import asked, facts_of
from minisim.plan.frames import Frame, frames
from minisim.plan.outfit import Machine, outfit
from minisim.plan.pile import Pieces, Pile, Thing
from minisim.plan.solver import Arithmetic, NoAnswerError, Term
from minisim.plan.traits import peek, traits_of
from minisim.plan.wishes import Wish

MOST_SUBSTITUTES = 3
MOST_LAYOUTS = 12
_PLENTY = 8
_SECONDS = 10.0


@dataclass(frozen=True, slots=True)
class Lacking:
    """One thing to find: how many, and what would do instead."""

    thing: Thing
    count: int
    instead: tuple[Thing, ...] = ()


@dataclass(frozen=True, slots=True)
class Gap:
    """Why a wish stays open.

    `to_find` is the smallest shopping list, proven where `proven`; empty with `forbidden_by` where nothing in the
    catalogue could complete it: the needs of which each alone, left out, would let it through (none: all of them
    together forbid it).  `facts` say in words what stands against those needs.  `other_lists` are lists that are no
    longer and share not all of `to_find`.
    """

    wish: Wish
    to_find: tuple[Lacking, ...]
    proven: bool = True
    forbidden_by: tuple[str, ...] = ()
    facts: tuple[str, ...] = ()
    other_lists: tuple[tuple[Lacking, ...], ...] = ()


def gap_of(wish: Wish, left: Mapping[Thing, int], offer: Offer, catalogue: Catalogue, folder: Path) -> Gap:
    """What an open wish lacks, given what is left for it; `folder` holds its files."""
    market = _market(wish, left, offer, catalogue)
    search = _Search(wish, market, left, folder)
    first = search.cheapest()
    if first is None:
        return _forbidden(search)
    to_find, proven = first
    lacking = [Lacking(thing, count, tuple(_instead(search, thing, to_find))) for thing, count in to_find.items()]
    return Gap(wish, _sorted(lacking), proven, other_lists=tuple(_other_lists(search, to_find, lacking)))


def _forbidden(search: _Search) -> Gap:
    """Which single needs forbid a wish, else which two together; with the facts against them."""
    wish, named = search.wish, asked(search.wish)
    needs = tuple(need for need in named if search.cheapest(without=(need,)) is not None)
    if needs:
        return Gap(wish, (), forbidden_by=needs, facts=tuple(facts_of(wish, needs, search.market)))
    pairs = [two for two in combinations(named, 2) if search.cheapest(without=two) is not None]
    return Gap(wish, (), facts=tuple(f"it could be built without both {one} and {other}" for one, other in pairs))


def _sorted(lacking: Iterable[Lacking]) -> tuple[Lacking, ...]:
    return tuple(sorted(lacking, key=lambda one: (one.thing.kind, one.thing.entry)))


def _other_lists(
    search: _Search, first: Mapping[Thing, int], lacking: Iterable[Lacking]
) -> Iterator[tuple[Lacking, ...]]:
    """Lists of the same length, without the things for which no single other one would do."""
    avoid = [one.thing for one in lacking if not one.instead]
    if not avoid or len(first) == 1:
        return
    for _ in range(MOST_SUBSTITUTES):
        other = search.cheapest(avoid=avoid)
        if other is None or sum(other[0].values()) > sum(first.values()):
            return
        yield _sorted(Lacking(thing, count) for thing, count in other[0].items())
        avoid += other[0]


def _market(wish: Wish, left: Mapping[Thing, int], offer: Offer, catalogue: Catalogue) -> Offer:
    """Everything the catalogue has, on top of what is left."""
    counts = dict(left)
    for kind in ("boards", "backplanes", "supplies", "drives", "cables", "roms"):
        for name in catalogue.ids(kind):
            if kind == "supplies" and not any(isinstance(one, Known) for one in catalogue.supply(name).rails.values()):
                continue  # nobody can look for a supply of which nothing is known
            thing = Thing(kind, name)
            counts[thing] = counts.get(thing, 0) + _PLENTY
    pile = Pile({thing: Pieces(thing, count, 0, ()) for thing, count in counts.items()})
    cables = frozenset({wish.joined_by} - {""})
    housed = {frame.id: frame for frame in (*offer.frames.values(), *frames(pile, catalogue, cables))}
    return Offer(catalogue, housed, traits_of(catalogue.ids("boards"), catalogue), counts, offer.fitted, offer.names)


@dataclass(frozen=True, slots=True)
class _Search:
    """One wish before everything that can be had; `folder` holds its files."""

    wish: Wish
    market: Offer
    left: Mapping[Thing, int]
    folder: Path

    def cheapest(
        self, *, without: Collection[str] = (), avoid: Iterable[Thing] = (), only: Mapping[Thing, int] | None = None
    ) -> tuple[dict[Thing, int], bool] | None:
        """The fewest things to find that give a machine which passes the check, and whether that is proven; None: no
        such machine was found."""
        cuts: list[Cut] = []
        for _ in range(MOST_LAYOUTS):
            found = self._solve(without, tuple(avoid), only, cuts)
            if found is None:
                return None
            selection, to_find, proven = found
            frame = self.market.frames[selection.frame]
            made = outfit(selection, frame, self.market.boards, self.folder, self.market.catalogue)
            if without or isinstance(made, Machine):
                return to_find, proven
            cuts.append(Cut(self.wish.id, selection.frame, selection.boards, made.together))
        return None

    def _cost(self, thing: Thing) -> float:
        """One each; a little more where there is no number to search for."""
        entry = self.market.catalogue.entry(thing.kind, thing.entry)
        marked = bool(peek(getattr(entry, "markings", NotApplicable()), ()))
        return 1.0 if marked or not hasattr(entry, "markings") else 1.05

    def _solve(
        self, without: Collection[str], avoid: tuple[Thing, ...], only: Mapping[Thing, int] | None, cuts: Iterable[Cut]
    ) -> tuple[Selection, dict[Thing, int], bool] | None:
        arithmetic = Arithmetic()
        columns = Builder(arithmetic, self.market, self.wish, without=without).rows()
        arithmetic.row([(1, columns.complete)], least=1)
        bought = _bought(arithmetic, columns, self.market.frames, self.left)
        for thing in avoid:
            if thing in bought:
                arithmetic.row([(1, bought[thing])], most=0)
        for thing, count in (only or {}).items():  # what is on the list stays, one other thing may come
            arithmetic.row([(1, bought[thing])], least=count)
        for cut in cuts:
            forbid(arithmetic, [columns], cut, self.market)
        pieces: list[Term] = [(-0.001, variable) for _, variable in columns.taken(self.market.frames)]
        try:
            costs = [(-self._cost(thing), one) for thing, one in bought.items()]
            answer = arithmetic.best([*costs, *pieces], seconds=_SECONDS)
        except NoAnswerError:
            return None
        selection = selection_of(columns, answer, self.market)
        assert selection is not None  # it was demanded above
        return selection, {thing: count for thing, one in bought.items() if (count := answer.count(one))}, answer.proven


def _bought(
    arithmetic: Arithmetic, columns: Columns, housed: Mapping[str, Frame], left: Mapping[Thing, int]
) -> dict[Thing, int]:
    """A variable for each thing: how many more are taken than are left."""
    uses: dict[Thing, list[int]] = {}
    for thing, variable in columns.taken(housed):
        uses.setdefault(thing, []).append(variable)
    found = {}
    for thing, variables in uses.items():
        found[thing] = arithmetic.variable(f"to find: {thing.entry}", _PLENTY)
        terms = [*((1.0, variable) for variable in variables), (-1.0, found[thing])]
        arithmetic.row(terms, most=left.get(thing, 0))
    return found


def _instead(search: _Search, thing: Thing, wanted: Mapping[Thing, int]) -> Iterable[Thing]:
    """Other things that complete the wish in its place, with all the rest of the list as it is."""
    rest = {one: count for one, count in wanted.items() if one != thing}
    avoid = [thing]
    for _ in range(MOST_SUBSTITUTES):
        other = search.cheapest(avoid=avoid, only=rest)
        if other is None or sum(other[0].values()) > sum(wanted.values()):
            return
        new = [one for one in other[0] if one not in rest]
        if len(new) != 1:
            return
        yield new[0]
        avoid.append(new[0])
