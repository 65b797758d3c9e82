"""Several lists as one.  What two lists say of the same thing is put together; where they differ, both stay and say so.

The same thing is: the same name of a piece (item); or, where neither row has one, the same marking in the same box.
Within one list nothing is put together.  Rows without an item and without a box are never the same: two people may
well have one each.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from minisim.stock.model import ConditionNote, Row, Stock
from minisim.stock.words import plain
from minisim.stock.writer import extra_columns, kept_columns, with_cells

FROM = "from"
_COMPARED = ("marking", "count", "condition", "box", "what", "photo")


@dataclass(frozen=True, slots=True)
class Source:
    """A row and the list it stands in."""

    file: str
    row: Row

    def __str__(self) -> str:
        return f"{self.file} row {self.row.number}"


@dataclass(frozen=True, slots=True)
class Conflict:
    """Two lists say different things of the same; both rows are in the merged list."""

    about: str  # "item K-017", "M0000 in box A1"
    field: str
    first: tuple[Source, ...]
    first_says: str
    second: tuple[Source, ...]
    second_says: str


@dataclass(frozen=True, slots=True)
class Joined:
    """Rows of two lists that became one."""

    about: str
    first: tuple[Source, ...]
    second: tuple[Source, ...]


@dataclass(slots=True)
class Merged:
    """The new list, what was put together, and what is not decided."""

    rows: list[Row] = field(default_factory=list)
    extra: tuple[str, ...] = ()
    joined: list[Joined] = field(default_factory=list)
    conflicts: list[Conflict] = field(default_factory=list)
    read: int = 0  # pieces in all lists together


@dataclass(slots=True)
class _Held:
    """A row of the merged list on its way: where it comes from, and what it is in conflict with."""

    sources: list[Source]
    row: Row
    conflict: list[str] = field(default_factory=list)


def merge(stocks: Sequence[Stock]) -> Merged:
    """Put lists together, the first one first; the order within each is kept."""
    names = list(dict.fromkeys(name for stock in stocks for name in extra_columns(stock) if name != FROM))
    kept = kept_columns([*names, FROM])
    merged = Merged(extra=tuple(kept.values()), read=sum(stock.pieces for stock in stocks))
    held: list[_Held] = []
    for stock in stocks:
        _take(held, [_source(stock.file, row, kept) for row in stock.rows], merged)
    for each in held:
        origin = "; ".join(map(str, each.sources))
        conflict = "; ".join(filter(None, [each.row.conflict, *each.conflict]))
        cells = {**each.row.cells, kept[FROM]: origin}
        merged.rows.append(replace(each.row, cells=cells, conflict=conflict))
    return merged


def _source(file: str, row: Row, kept: Mapping[str, str]) -> Source:
    return Source(file, replace(row, cells=with_cells(row, kept)))


def _take(held: list[_Held], sources: list[Source], merged: Merged) -> None:
    """Add one more list to what is held already."""
    by_item = {each.row.item: each for each in held if each.row.item}
    by_place: dict[tuple[str, str], list[_Held]] = {}
    for each in held:
        if key := _place(each.row):
            by_place.setdefault(key, []).append(each)
    new: list[_Held] = []
    groups: dict[tuple[str, str], list[Source]] = {}
    for source in sources:
        key = _place(source.row)
        if source.row.item and source.row.item in by_item:
            _same_item(by_item[source.row.item], source, new, merged)
        elif key and key in by_place:
            groups.setdefault(key, []).append(source)
        else:
            new.append(_Held([source], source.row))
    for key, group in groups.items():
        _same_place(by_place[key], group, new, merged)
    order = {id(source): index for index, source in enumerate(sources)}
    new.sort(key=lambda each: order.get(id(each.sources[0]), 0))
    held.extend(new)


def _place(row: Row) -> tuple[str, str] | None:
    """What makes two rows without a name the same: marking (or words) and box."""
    known = row.understood.entry
    what = f"{known.kind}/{known.entry}/{known.marking}" if known else plain(row.marking or row.what)
    return (what, plain(row.box)) if not row.item and row.box and what else None


# --- the same piece ---------------------------------------------------------------------------------------------------


def _same_item(held: _Held, source: Source, new: list[_Held], merged: Merged) -> None:
    """One piece, in two lists: what one leaves open the other may say; a longer history knows later."""
    about = f"item {source.row.item}"
    first, second = held.row, source.row
    later = _later(first.history, second.history)
    compared = [name for name in _COMPARED if name != "condition" or later is None]
    differing = [name for name in compared if _differs(getattr(first, name), getattr(second, name))]
    differing += ["history"] if later is None and first.history and second.history else []
    if differing:
        for name in differing:
            said = (_shown(getattr(first, name)), _shown(getattr(second, name)))
            merged.conflicts.append(Conflict(about, name, tuple(held.sources), said[0], (source,), said[1]))
            held.conflict.append(f"{source}: {name} {said[1]}")
        both = "; ".join(f"{name} {_shown(getattr(first, name))}" for name in differing)
        new.append(_Held([source], second, [f"{held.sources[0]}: {both}"]))
        return
    merged.joined.append(Joined(about, tuple(held.sources), (source,)))
    held.row = _together(first, second, first if later is None else later(first, second))
    held.sources.append(source)


def _differs(first: object, second: object) -> bool:
    """Do two values contradict each other?  An empty one, or an unknown condition, contradicts nothing."""
    if isinstance(first, str) and isinstance(second, str):
        return plain(first) != plain(second) and bool(first) and bool(second) and "unknown" not in (first, second)
    return first != second


def _shown(value: object) -> str:
    if isinstance(value, tuple):
        return f"of {len(value)} notes"
    return f'"{value}"' if isinstance(value, str) and " " in value else str(value)


def _later(first: tuple[ConditionNote, ...], second: tuple[ConditionNote, ...]) -> Callable[[Row, Row], Row] | None:
    """Which row knows later: the one whose history goes on where the other's ends; None: nobody knows."""
    if len(second) > len(first) and second[: len(first)] == first:
        return lambda _, later: later
    if len(first) > len(second) and first[: len(second)] == second:
        return lambda later, _: later
    return (lambda earlier, _: earlier) if first and first == second else None


def _together(first: Row, second: Row, later: Row) -> Row:
    """One row from two that do not contradict each other."""
    texts = {name: getattr(first, name) or getattr(second, name) for name in ("marking", "box", "what", "photo")}
    condition = later.condition
    if condition.value == "unknown":
        condition = second.condition if first.condition.value == "unknown" else first.condition
    notes = " / ".join(dict.fromkeys(note for note in (first.notes, second.notes) if note))
    history = max(first.history, second.history, key=len)
    cells = {
        name: " / ".join(dict.fromkeys(filter(None, (text, second.cells.get(name, "")))))
        for name, text in first.cells.items()
    }
    known = first.understood if first.understood.candidates else second.understood
    return replace(
        first, **texts, condition=condition, notes=notes, history=history, cells=cells, understood=known
    )  # fmt: skip


# --- the same marking in the same box ---------------------------------------------------------------------------------


def _same_place(held: list[_Held], group: list[Source], new: list[_Held], merged: Merged) -> None:
    """The same box counted by two people: the same counts are the same pieces, others are for the owner to decide."""
    first, second = _counts(each.row for each in held), _counts(source.row for source in group)
    row = held[0].row
    about = f"{row.marking or row.what} in box {row.box}"
    before = tuple(source for each in held for source in each.sources)
    if first == second:
        merged.joined.append(Joined(about, before, tuple(group)))
        pairs = zip(_ordered(held, lambda one: one.row), _ordered(group, lambda one: one.row), strict=False)
        for each, source in pairs:
            each.row = _together(each.row, source.row, each.row)
            each.sources.append(source)
        _rest(held, group)
        return
    says = (_said(first), _said(second))
    merged.conflicts.append(Conflict(about, "count and condition", before, says[0], tuple(group), says[1]))
    for each in held:
        each.conflict.append(f"{group[0]}: {says[1]}")
    new += [_Held([source], source.row, [f"{before[0]}: {says[0]}"]) for source in group]


def _rest(held: list[_Held], group: list[Source]) -> None:
    """Where one list wrote in two rows what the other wrote in one: the further rows leave their words as well."""
    for source in _ordered(group, lambda one: one.row)[len(held) :]:
        last = held[-1]
        last.row = _together(last.row, source.row, last.row)
        last.sources.append(source)


def _ordered(things: Sequence, row: Callable) -> list:  # type: ignore[type-arg]
    return sorted(things, key=lambda one: (row(one).condition, row(one).count, row(one).number))


def _counts(rows: Iterable[Row]) -> Counter[str]:
    counts: Counter[str] = Counter()
    for row in rows:
        counts[row.condition.value] += row.count
    return counts


def _said(counts: Counter[str]) -> str:
    return ", ".join(f"{count} {condition}" for condition, count in sorted(counts.items()))
