"""A plan as records that every form of output is made from: machines, gaps, what is left, what to test first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from minisim.catalogue import Catalogue
from minisim.findings import State
from minisim.known import Known
from minisim.plan.limits import limits_of
from minisim.plan.missing import Gap, Lacking, gap_of
from minisim.plan.outfit import Machine
from minisim.plan.pile import Pile, Thing, unique
from minisim.plan.planner import Plan
from minisim.plan.swaps import Swap, swaps_of
from minisim.plan.together import groups
from minisim.plan.traits import peek
from minisim.plan.wishes import Wish
from minisim.stock.model import Condition, Row

HEIGHTS = ("hex", "quad", "dual", "single")
_POWER = ("POWER", "current at", "rating", "total watts")
MOST_TESTS = 8


@dataclass(frozen=True, slots=True)
class Taken:
    """A piece in a machine: which thing, where it stands and why, and the rows of the list it may be taken from."""

    thing: Thing
    title: str
    place: str
    why: str
    rows: tuple[Row, ...]
    untested: bool


@dataclass(frozen=True, slots=True)
class MachineReport:
    """One finished machine."""

    machine: Machine
    taken: tuple[Taken, ...]
    power_proven: bool
    likes: tuple[str, ...]
    missed: tuple[str, ...]
    limits: tuple[str, ...] = ()
    swaps: tuple[Swap, ...] = ()


@dataclass(frozen=True, slots=True)
class Leftover:
    """Pieces that no machine takes: by height for boards, by folder for the rest; `rows` say where they lie."""

    thing: Thing
    group: str
    title: str
    count: int
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Report:
    """Everything a reader of a plan may ask."""

    plan: Plan
    machines: tuple[MachineReport, ...]
    gaps: tuple[Gap, ...]
    leftovers: tuple[Leftover, ...]
    test_first: tuple[Taken, ...]


def report_of(plan: Plan, catalogue: Catalogue, *, tell: Callable[[str], None] = lambda _: None) -> Report:
    """Put a plan into records; exchanges are worked out here for each machine, and gaps for each open wish."""
    deal = _Deal(plan.pile, (*(made.selection.wish for made in plan.machines), *plan.open))
    machines, gaps = [], []
    for made in plan.machines:
        tell(f"looking for exchanges in {made.selection.wish.id}")
        swaps = swaps_of(made, plan.left, plan.offer, plan.folder)
        machines.append(replace(_machine(made, deal, catalogue), swaps=swaps))
    for wish in plan.open:
        tell(f"looking for what {wish.id} lacks")
        gaps.append(gap_of(wish, plan.left, plan.offer, catalogue, plan.folder))
    first = _test_first(machines, plan.left)
    return Report(plan, tuple(machines), tuple(gaps), tuple(_leftovers(deal, catalogue)), first)


def _test_first(machines: Iterable[MachineReport], left: Mapping[Thing, int]) -> tuple[Taken, ...]:
    """Untested pieces that machines rest on: those for which nothing left could stand in come first."""

    def replaceable(one: Taken, machine: MachineReport) -> bool:
        return left.get(one.thing, 0) > 0 or any(swap.thing == one.thing for swap in machine.swaps)

    untested = [(replaceable(one, machine), one) for machine in machines for one in machine.taken if one.untested]
    return tuple(one for _, one in sorted(untested, key=lambda pair: pair[0]))[:MOST_TESTS]


class _Deal:
    """Hands the rows of the pile out: to each machine the pieces pinned to it, else the best that nobody pinned."""

    def __init__(self, pile: Pile, wishes: Iterable[Wish]) -> None:
        self._pinned = {name for wish in wishes for name in wish.pinned}
        self._left = {
            thing: [[row for row in rows for _ in range(row.count)] for rows in pieces.parts or (pieces.rows,)]
            for thing, pieces in pile.pieces.items()
        }

    def take(self, thing: Thing, count: int, wish: Wish) -> tuple[tuple[Row, ...], bool]:
        """The rows the next pieces come from (of a set one of each board), and whether one is not known to work."""
        taken: list[Row] = []
        for rows in self._left.get(thing, ()):
            for row in sorted(rows, key=lambda row: self._order(row, wish))[:count]:
                rows.remove(row)
                taken.append(row)
        return unique(taken), any(row.condition is not Condition.WORKS for row in taken)

    def _order(self, row: Row, wish: Wish) -> tuple[int, int, int]:
        own = row.item in wish.pinned
        pinned = row.item in self._pinned
        return 0 if own else 2 if pinned else 1, list(Condition).index(row.condition), row.number

    def rest(self) -> Iterable[tuple[Thing, int, tuple[Row, ...]]]:
        """What nobody took: whole sets."""
        for thing, parts in self._left.items():
            count = min(len(rows) for rows in parts)
            if count:
                yield thing, count, unique(row for rows in parts for row in rows[:count])


def _machine(made: Machine, deal: _Deal, catalogue: Catalogue) -> MachineReport:
    taken, wish = [], made.selection.wish
    for one in made.stands:
        thing = Thing("boards", one.board.id)
        place = one.place if one.box == 0 else f"2nd {one.place}"
        rows, untested = deal.take(thing, 1, wish)
        taken.append(Taken(thing, one.board.entry.title, place, one.why, rows, untested))
    for thing, count in sorted(made.selection.things.items(), key=lambda item: (item[0].kind, item[0].entry)):
        if thing.kind != "boards":
            rows, untested = deal.take(thing, count, wish)
            taken.append(Taken(thing, title_of(thing, catalogue), "", _use(thing), rows, untested))
    power = [one for one in made.report.outcomes if one.rule.startswith("POWER")]
    proven = not any(one.state is State.NOT_CHECKED for one in power)
    had = made.selection.likes
    missed = [like for like in made.selection.wish.likes if like not in had]
    return MachineReport(
        made,
        tuple(taken),
        proven,
        tuple(_liked(one.what, one.least) for one in had),
        tuple(_liked(one.what, one.least) for one in missed),
        tuple(limits_of(made)),
    )


def _liked(what: str, least: int) -> str:
    units = {"memory-kb": f"at least {least} KB of memory", "serial-lines": f"at least {least} serial lines"}
    return units.get(what, what.replace("-", " "))


def _use(thing: Thing) -> str:
    uses = {"backplanes": "holds the boards", "supplies": "feeds them", "chassis": "the box", "drives": "asked for"}
    return uses.get(thing.kind, "belongs to it")


def title_of(thing: Thing, catalogue: Catalogue) -> str:
    """Marking first, then what it is."""
    entry = catalogue.entry(thing.kind, thing.entry)
    figure = getattr(entry, "markings", None)
    markings = figure.peek if isinstance(figure, Known) else ()
    kind = str(getattr(entry, "kind", thing.entry))
    return f"{'/'.join(markings)}, {kind}" if markings else kind


def _leftovers(deal: _Deal, catalogue: Catalogue) -> Iterable[Leftover]:
    found = []
    for thing, count, rows in deal.rest():
        group = (
            str(peek(catalogue.board(thing.entry).height, "unknown height")) if thing.kind == "boards" else thing.kind
        )
        found.append(Leftover(thing, group, title_of(thing, catalogue), count, rows))
    order = {name: number for number, name in enumerate(HEIGHTS)}
    return sorted(found, key=lambda one: (order.get(one.group, len(order)), one.group, one.title))


def boxes_of(leftovers: Iterable[Leftover]) -> Mapping[str, int]:
    """How many pieces are left in each box of the owner: a row that is used in part counts with what is left of it."""
    counts: dict[str, int] = {}
    for one in leftovers:
        left = one.count
        for row in reversed(one.rows):
            part = min(left, row.count)
            counts[row.box or "no box named"] = counts.get(row.box or "no box named", 0) + part
            left -= part
    return dict(sorted(counts.items()))


def conditions(rows: Iterable[Row]) -> str:
    """The conditions of some rows, each once."""
    return ", ".join(map(str, _conditions(rows)))


def _conditions(rows: Iterable[Row]) -> list[Condition]:
    found = {row.condition for row in rows}
    return [one for one in Condition if one in found]


# --- data


def as_data(report: Report, catalogue: Catalogue) -> dict[str, Any]:
    """The JSON form."""
    choice = report.plan.choice
    return {
        "plan": 1,
        "proven": choice.proven,
        "goals": [
            {"name": one.name, "value": round(one.value, 6), "bound": round(one.bound, 6), "proven": one.proven}
            for one in choice.goals
        ],
        "layouts_ruled_out": len(report.plan.cuts),
        "machines": [_machine_data(one, catalogue) for one in report.machines],
        "open": [_gap_data(one, catalogue) for one in report.gaps],
        "left": [
            {
                "group": one.group,
                "kind": one.thing.kind,
                "id": one.thing.entry,
                "title": one.title,
                "count": one.count,
                "conditions": [str(word) for word in _conditions(one.rows)],
                "items": [row.item for row in one.rows if row.item],
                "rows": [row.number for row in one.rows],
            }
            for one in report.leftovers
        ],
        "together": [
            {
                "because": group.because,
                "things": [{**_thing_data(thing, catalogue), "count": count} for thing, count in group.things],
            }
            for group in groups(report.plan.left, catalogue)
        ],
        "left_by_box": dict(boxes_of(report.leftovers)),
        "test_first": [
            {**_thing_data(one.thing, catalogue), "rows": [row.number for row in one.rows]} for one in report.test_first
        ],
        "set_aside": [
            {"row": row.number, "marking": row.marking, "count": row.count, "because": why}
            for row, why in report.plan.pile.set_aside
        ],
    }


def _machine_data(one: MachineReport, catalogue: Catalogue) -> dict[str, Any]:
    made = one.machine
    return {
        "wish": made.selection.wish.id,
        "name": made.selection.wish.name,
        "priority": made.selection.wish.priority,
        "boxes": [{"backplane": house.backplane.id, "supply": house.supply.id} for house in made.frame.houses],
        "worst": str(made.report.worst) if made.report.worst else None,
        "power_proven": one.power_proven,
        "not_known": list(made.report.not_known),
        "pieces": [
            {
                "kind": each.thing.kind,
                "id": each.thing.entry,
                "title": each.title,
                "place": each.place,
                "why": each.why,
                "untested": each.untested,
                "rows": [row.number for row in each.rows],
            }
            for each in one.taken
        ],
        "likes": list(one.likes),
        "likes_missed": list(one.missed),
        "limits": list(one.limits),
        "swaps": [
            {**_thing_data(swap.thing, catalogue), "with": [_thing_data(other, catalogue) for other in swap.instead]}
            for swap in one.swaps
        ],
    }


def _thing_data(thing: Thing, catalogue: Catalogue) -> dict[str, Any]:
    return {"kind": thing.kind, "id": thing.entry, "title": title_of(thing, catalogue)}


def _gap_data(gap: Gap, catalogue: Catalogue) -> dict[str, Any]:
    return {
        "wish": gap.wish.id,
        "name": gap.wish.name,
        "priority": gap.wish.priority,
        "proven": gap.proven,
        "to_find": [_lacking_data(one, catalogue) for one in gap.to_find],
        "other_lists": [[_lacking_data(one, catalogue) for one in other] for other in gap.other_lists],
        "forbidden_by": list(gap.forbidden_by),
        "facts": list(gap.facts),
    }


def _lacking_data(one: Lacking, catalogue: Catalogue) -> dict[str, Any]:
    instead = [title_of(other, catalogue) for other in one.instead]
    return {**_thing_data(one.thing, catalogue), "count": one.count, "instead": instead}
