"""The search for the cheapest set of changes that puts one finding right and makes nothing worse.

Uniform-cost search: sets of changes wait in the order of their cost; each is carried out on the text, read and checked
again.  Where a set puts the finding right but brings a new one, the repairs of the new one extend it.  The first that
is clean is the cheapest there is among what the repairs offer; of several that cost the same, the one that leaves the
fewest findings wins.  The number of checks and the time are bounded, and who asks is told where a bound was reached.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from itertools import count
from time import monotonic

from minisim.findings import Finding
from minisim.fixing.comparing import Hidden, Place, badness, gone, hidden, lost_checks, new_findings, same
from minisim.fixing.repairs import Changes, candidates, cost_of
from minisim.fixing.situation import Situation, after
from minisim.fixing.splices import CannotEdit
from minisim.problems import InputError

MOST_CHECKS = 400
MOST_SECONDS = 10.0
_CHECKS_EACH = 120  # for one finding
_DEPTH = 5  # sets of changes on one way
_ALIKE = 24  # further sets of the same cost that are looked at


@dataclass(slots=True)
class Budget:
    """What is left of checks and time; `spent` says that a bound was reached, `tell` is told of every check."""

    checks: int = MOST_CHECKS
    until: float = field(default_factory=lambda: monotonic() + MOST_SECONDS)
    spent: bool = False
    tell: Callable[[int], None] | None = None

    def take(self) -> bool:
        """One check, if there is one left."""
        if self.checks <= 0 or monotonic() > self.until:
            self.spent = True
            return False
        self.checks -= 1
        if self.tell is not None:
            self.tell(MOST_CHECKS - self.checks)
        return True


@dataclass(frozen=True, slots=True)
class Found:
    """Changes that put a finding right, and the situation they lead to."""

    changes: Changes
    situation: Situation


def put_one_right(start: Situation, target: Finding, budget: Budget) -> Found | None:
    """The cheapest changes without this finding and without a new one, or None.

    Where there are none, changes are taken too that only uncover what stood behind the finding and is no worse, or
    after which a rule that could decide before lacks a figure.
    """
    search = _Search(start, target, budget)
    return search.run() or search.second_best


@dataclass(slots=True)
class _Search:
    """One search for one finding."""

    start: Situation
    target: Finding
    budget: Budget
    waiting: list[tuple[int, bool, int, int, Changes]] = field(default_factory=list)
    number: count[int] = field(default_factory=count)
    left: int = _CHECKS_EACH
    seen: set[str] = field(default_factory=set)
    behind: Hidden | None = None
    second_best: Found | None = None
    second_rank: tuple[tuple[int, ...], int] | None = None

    def run(self) -> Found | None:
        """Look at sets of changes, the cheapest first."""
        self.seen.add(self.start.sheet.text)
        self.behind = hidden(self.start)
        self._offer((), 0, candidates(self.start, self.target))
        best: Found | None = None
        alike = _ALIKE
        while self.waiting and (best is None or (alike > 0 and self.waiting[0][0] <= cost_of(best.changes))):
            alike -= best is not None
            found = self._next(extend=best is None)
            if found is not None and (best is None or badness(found.situation) < badness(best.situation)):
                best = found
            if self.budget.spent or self.left <= 0:
                break
        return best

    def _offer(self, changes: Changes, depth: int, more: Iterable[Changes], *, later: bool = False) -> None:
        """Write sets down; `later` lets them wait behind others of their cost."""
        for one in more:
            whole = (*changes, *one)
            if _each_once(whole):
                heapq.heappush(self.waiting, (cost_of(whole), later, next(self.number), depth + 1, whole))

    def _next(self, *, extend: bool) -> Found | None:
        """Carry the cheapest set out; it, if it is clean, else its continuations are written down."""
        _, _, _, depth, changes = heapq.heappop(self.waiting)
        now = self._carried_out(changes)
        if now is None:
            return None
        fresh, still = new_findings(self.start, now), not gone(self.start, self.target, now)
        lost = lost_checks(self.start, now, self.target)
        if not fresh and not still and not lost:
            return Found(changes, now)
        if not still:
            self._remember(Found(changes, now), fresh, lost)
        if extend:
            self._go_on(changes, depth, now, fresh, still=still)
        return None

    def _go_on(self, changes: Changes, depth: int, now: Situation, fresh: list[Finding], *, still: bool) -> None:
        """Repairs of what is new; where the target is still there, one more attempt at it, behind likelier ones."""
        if still and depth == 1:
            target = same(self.start, self.target, now)
            self._offer(changes, depth, candidates(now, target) if target else (), later=True)
        elif not still and depth < _DEPTH and fresh:
            self._offer(changes, depth, candidates(now, fresh[0]))

    def _carried_out(self, changes: Changes) -> Situation | None:
        """The situation after these changes; None where they can't be made, or lead where the search was."""
        if not self.budget.take():
            return None
        self.left -= 1
        try:
            now = after(self.start, changes)
        except (CannotEdit, InputError):
            return None
        if now.sheet.text in self.seen:
            return None
        self.seen.add(now.sheet.text)
        return now

    def _remember(self, found: Found, fresh: list[Finding], lost: set[Place]) -> None:
        """Keep the best set whose new findings were only hidden before, or after which something can't be decided.

        It must be better all the same: a fault for a fault is no repair.
        """
        rank = (badness(found.situation), len(lost))
        behind = self.behind
        if behind is None or rank >= (self.second_rank or (badness(self.start), 0)):
            return
        if all(behind.has(found.situation, one, self.target) for one in fresh):
            self.second_best, self.second_rank = found, rank


def _each_once(changes: Changes) -> bool:
    """Is every board, and every switch, changed once at most?  Twice is dearer than the one change it comes to."""
    origin: dict[str, str] = {}
    held: set[str] = set()
    for edit in changes:
        first = [origin.get(place, place) for place in edit.handles()]
        if len(set(first)) < len(first) or held & set(first):
            return False
        held.update(first)
        origin.update({end: origin.get(start, start) for start, end in edit.moves().items()})
    return True
