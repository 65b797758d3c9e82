"""What became different since the machine last worked, in the order in which it is likely to matter."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from minisim.loadout.model import Loadout
from minisim.logbook.model import Entry, Log
from minisim.logbook.summary import KINDS, summary_of


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that is not what it was; `before` or `after` empty: it was not there, it is gone.

    `kind` is a word of `summary.KINDS`, or `moved`: `before` and `after` are then places, and `where` names the board.
    """

    kind: str
    where: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Changes:
    """Since `worked`: changes of the loadout, and what was entered afterwards."""

    worked: Entry
    changes: tuple[Change, ...]
    entries: tuple[Entry, ...]
    same_file: bool  # the loadout is byte for byte what it was


def changes_since_worked(log: Log, loadout: Loadout) -> Changes | None:
    """What changed since the last entry that says it worked; None where there is none."""
    worked = log.last_worked
    if worked is None:
        return None
    changes = tuple(sorted(differences(worked.machine, summary_of(loadout)), key=_rank))
    return Changes(worked, changes, log.after(worked), worked.what == loadout.sha256)


def differences(before: Mapping[str, str], after: Mapping[str, str]) -> Iterator[Change]:
    """What differs between two tables of `summary_of`; what hangs on a board that moved is compared where it is now."""
    moved = dict(_moved(before, after))
    for old, new in moved.items():
        yield Change("moved", before[f"board {old}"], old, new)
    there = {_follow(name, moved): value for name, value in before.items()}
    for name in dict.fromkeys((*there, *after)):
        kind, _, where = name.partition(" ")
        if there.get(name, "") != after.get(name, ""):
            yield Change(kind, where, there.get(name, ""), after.get(name, ""))


def _follow(name: str, moved: Mapping[str, str]) -> str:
    """The name of a fact after the boards have moved: `setting main/a/3 vector` -> `setting main/a/4 vector`."""
    kind, _, where = name.partition(" ")
    place, blank, rest = where.partition(" ")
    return f"{kind} {moved.get(place, place)}{blank}{rest}"


def _moved(before: Mapping[str, str], after: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """(old place, new place) of boards that are of a kind and left one place for another that was free."""
    gone = _places(before, after)
    come = _places(after, before)
    for old in gone:
        kind, item = before[f"board {old}"], before.get(f"item {old}", "")
        alike = (new for new in come if after[f"board {new}"] == kind and after.get(f"item {new}", "") == item)
        new = next(alike, None)
        if new is not None:
            come.remove(new)
            yield old, new


def _places(there: Mapping[str, str], elsewhere: Mapping[str, str]) -> list[str]:
    return [name[len("board ") :] for name in there if name.startswith("board ") and name not in elsewhere]


def _rank(change: Change) -> tuple[int, str]:
    order = ("moved", *KINDS)
    return (order.index(change.kind) if change.kind in order else len(order)), change.where
