"""Which pieces go to which wish: as many wishes as possible by priority, then what is liked, then the surest pieces."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from minisim.plan.columns import Builder, Columns, Offer
from minisim.plan.pile import Thing
from minisim.plan.solver import Answer, Arithmetic, NoAnswerError, Term
from minisim.plan.wishes import Like, Wish

UNTESTED = "untested pieces"
"""The name of the last goal: its value is minus `UNTESTED_WEIGHT` times the untested pieces, minus all pieces."""
UNTESTED_WEIGHT = 1000.0


@dataclass(frozen=True, slots=True)
class Selection:
    """What one complete wish takes: a frame and things with their counts, boards among them."""

    wish: Wish
    frame: str
    things: Mapping[Thing, int]
    likes: tuple[Like, ...] = ()

    @property
    def boards(self) -> Mapping[str, int]:
        """The boards alone."""
        return {thing.entry: count for thing, count in self.things.items() if thing.kind == "boards"}


@dataclass(frozen=True, slots=True)
class Goal:
    """One goal as it came out: `value` of at most `bound`; equal ones are proven."""

    name: str
    value: float
    bound: float
    proven: bool


@dataclass(frozen=True, slots=True)
class Choice:
    """All selections, and how well each goal is proven."""

    selections: tuple[Selection, ...]
    goals: tuple[Goal, ...]

    @property
    def proven(self) -> bool:
        """Is every goal proven to be the best?"""
        return all(goal.proven for goal in self.goals)


@dataclass(slots=True)
class Cut:
    """A selection that could not be laid out: the same frame with the same boards is not tried again."""

    wish: str
    frame: str
    boards: Mapping[str, int]
    together: frozenset[str] = frozenset()  # boards that never go together: they alone are forbidden


@dataclass(slots=True)
class Chooser:
    """The arithmetic of all wishes over one offer, with what was learned from laying out."""

    offer: Offer
    wishes: tuple[Wish, ...]
    sure: Mapping[Thing, int]
    cuts: list[Cut] = field(default_factory=list)

    def choose(self, *, seconds: float, tell: Callable[[str], None] = lambda _: None) -> Choice:
        """The best selections.  NoAnswerError: the time was over before any was found."""
        end = time.monotonic() + seconds
        arithmetic = Arithmetic()
        columns = [Builder(arithmetic, self.offer, wish).rows() for wish in self.wishes]
        untested = self._share(arithmetic, columns)
        for cut in self.cuts:
            forbid(arithmetic, columns, cut, self.offer)
        answer, goals = None, []
        for name, goal in self._goals(columns, untested):
            tell(name)
            answer = arithmetic.best(goal, seconds=max(end - time.monotonic(), 0.5), start=answer)
            goals.append(Goal(name, answer.value, answer.bound, answer.proven))
            arithmetic.keep(goal, answer.value)
        if answer is None:
            raise NoAnswerError("there are no wishes")
        found = (selection_of(one, answer, self.offer) for one in columns)
        return Choice(tuple(one for one in found if one is not None), tuple(goals))

    def _share(self, arithmetic: Arithmetic, columns: Iterable[Columns]) -> list[Term]:
        """No piece goes to two wishes; gives the terms of those taken that nobody has seen working."""
        uses: dict[Thing, list[int]] = {}
        for one in columns:
            for thing, variable in one.taken(self.offer.frames):
                uses.setdefault(thing, []).append(variable)
        untested: list[Term] = []
        for thing, variables in uses.items():
            count = self.offer.counts.get(thing, 0)
            arithmetic.row([(1, variable) for variable in variables], most=count)
            extra = arithmetic.variable(f"untested: {thing.entry}", count)
            terms = [*((1.0, variable) for variable in variables), (-1.0, extra)]
            arithmetic.row(terms, most=self.sure.get(thing, 0))
            untested.append((1.0, extra))
        return untested

    def _goals(self, columns: list[Columns], untested: list[Term]) -> Iterable[tuple[str, list[Term]]]:
        for priority in sorted({wish.priority for wish in self.wishes}):
            complete = [(1.0, one.complete) for one in columns if one.wish.priority == priority]
            yield f"wishes of priority {priority}", complete
        likes = [(float(like.weight), variable) for one in columns for like, variable in one.likes.items()]
        if likes:
            yield "preferences", likes
        pieces = [(-1.0, variable) for one in columns for _, variable in one.taken(self.offer.frames)]
        # fewest untested pieces; among those the fewest pieces at all
        yield UNTESTED, [*((-UNTESTED_WEIGHT * factor, variable) for factor, variable in untested), *pieces]


def forbid(arithmetic: Arithmetic, columns: Iterable[Columns], cut: Cut, offer: Offer) -> None:
    """Not this frame with these boards again."""
    one = next(one for one in columns if one.wish.id == cut.wish)
    if cut.together:
        never = [(1.0, one.boards[name]) for name in cut.together if name in one.boards]
        if len(never) == len(cut.together):
            arithmetic.row(never, most=len(never) - 1)
        return
    other: list[Term] = [(-1.0, one.frames[cut.frame])]
    for name, variable in one.boards.items():
        if offer.boards[name].is_grant_card:
            continue  # more or fewer of them change nothing
        count, upper = cut.boards.get(name, 0), offer.upper(Thing("boards", name))
        if count < upper:
            more = arithmetic.variable(f"{cut.wish}: more {name}")
            arithmetic.row([(1, variable), (-(count + 1), more)], least=0)
            other.append((1.0, more))
        if count:
            less = arithmetic.variable(f"{cut.wish}: less {name}")
            arithmetic.row([(1, variable), (upper, less)], most=count - 1 + upper)
            other.append((1.0, less))
    arithmetic.row(other, least=0)


def selection_of(one: Columns, answer: Answer, offer: Offer) -> Selection | None:
    """What a wish takes; None where it is not complete."""
    if not answer.count(one.complete):
        return None
    frame = next(name for name, variable in one.frames.items() if answer.count(variable))
    things: dict[Thing, int] = {}
    for thing, variable in one.taken(offer.frames):
        if count := answer.count(variable):
            things[thing] = things.get(thing, 0) + count
    likes = tuple(like for like, variable in one.likes.items() if answer.count(variable))
    return Selection(one.wish, frame, things, likes)
