"""Mistakes that owners make, put into a valid loadout one at a time.

A loadout is a tree of texts here.  Each mistake is the whole loadout with one thing wrong, the findings it must cause
(worked out here from what was done, never asked of the rules), and whether the reader must refuse it.  What else it
causes of faults and damage is for `judge` to say.
"""

from __future__ import annotations

import copy
import importlib
import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml
from judge.book import plain, slots_of
from judge.machine import ALL, Board, read

Tree = Any
Said = tuple[str, str]  # rule, place
HERE = Path(__file__).parent
VALID = HERE / "valid"


@dataclass(frozen=True)
class Mistake:
    """One loadout with one mistake."""

    loadout: str
    kind: str
    what: str
    tree: Tree
    aims: frozenset[Said] = frozenset()
    refused: bool = False

    def __str__(self) -> str:
        return f"{self.loadout}: {self.kind}: {self.what}"

    def text(self) -> str:
        """As a file: what JSON writes is YAML too."""
        return json.dumps(self.tree)


PARTS = ("mistakes_in_places", "mistakes_in_settings", "mistakes_in_wiring")  # each enters its kinds when it is read
Made = Iterator[tuple[str, Tree, list[Said] | None]]  # what, the tree, what it aims at; None: to be refused
Maker = Callable[[Tree], Made]
_MAKERS: dict[str, Maker] = {}


def kind(name: str) -> Callable[[Maker], Maker]:
    """Enter a maker of mistakes under the name of its kind."""

    def enter(maker: Maker) -> Maker:
        _MAKERS[name] = maker
        return maker

    return enter


def valid() -> list[Path]:
    """The valid loadouts."""
    return sorted(VALID.glob("*.yaml"))


def tree_of(path: Path) -> Tree:
    """A loadout as a tree of texts."""
    return yaml.load(path.read_text("utf-8"), yaml.CBaseLoader)


def mistakes(path: Path) -> Iterator[Mistake]:
    """Every mistake of every kind that this loadout allows, always in the same order."""
    for name in kinds():
        yield from mistakes_of(path.stem, tree_of(path), name)


def mistakes_of(loadout: str, tree: Tree, name: str) -> Iterator[Mistake]:
    """Every mistake of one kind in one loadout."""
    for what, made, aims in _makers()[name](tree):
        yield Mistake(loadout, name, what, made, frozenset(aims or ()), aims is None)


def kinds() -> list[str]:
    """The kinds of mistakes."""
    return list(_makers())


def _makers() -> dict[str, Maker]:
    for part in PARTS:
        importlib.import_module(part)
    return _MAKERS


# ---- the tree: where things are


def units(tree: Tree) -> list[tuple[str, Tree]]:
    """Every unit with the name of its place: `main/a`."""
    return [
        (f"{box['id']}/{unit['id'] if unit is not box else 'a'}", unit)
        for box in tree["boxes"]
        for unit in box.get("units", [box])
    ]


@dataclass(frozen=True)
class Spot:
    """One board in the tree: its unit by number, the key of its place."""

    unit: int
    key: str
    place: str
    board: Board

    def of(self, tree: Tree) -> Tree:
        """What is written of it in another copy of the tree."""
        return units(tree)[self.unit][1]["slots"][self.key]


def spots(tree: Tree) -> list[Spot]:
    """Every board."""
    boards = iter(read(tree).boards)
    return [
        Spot(number, key, board.place, board)
        for number, (_, unit) in enumerate(units(tree))
        for key, board in zip(unit.get("slots") or {}, boards, strict=False)
    ]


def free_places(tree: Tree, rows: str, count: int = 1) -> Iterator[tuple[int, str]]:
    """Unit and key of every run of free slots with these rows."""
    machine = read(tree)
    for number, unit in enumerate(machine.units):
        for slot in unit.slots:
            run = range(slot, slot + count)
            there = all(set(rows) <= {row for own in unit.slots.get(one, {}) for row in own} for one in run)
            if there and not any(machine.at(number, one, rows) for one in run):
                yield number, key_of(run, rows, unit.about)


def key_of(run: range, rows: str, backplane: Tree) -> str:
    """The key of a place, without rows where they are those of the whole slot."""
    whole = "ABCD" if plain(backplane["bus"]) == "mux" else ALL
    shown = "" if rows == whole else rows if len(rows) <= 2 else rows[0] + rows[-1]
    return (f"{run[0]}-{run[-1]}" if len(run) > 1 else f"{run[0]}") + shown


def place_of(tree: Tree, unit: int, key: str) -> str:
    """A place as findings print it."""
    return f"{units(tree)[unit][0]}/{key}"


def changed(tree: Tree) -> Tree:
    """A copy to be spoiled."""
    return copy.deepcopy(tree)


def put(tree: Tree, unit: int, key: str, written: Tree) -> None:
    """Put a board into a place."""
    slots = units(tree)[unit][1]
    slots["slots"] = slots.get("slots") or {}
    slots["slots"][key] = written


def take(tree: Tree, spot: Spot, *, cables: bool = True) -> Tree:
    """Take a board out, with what hangs on it."""
    if cables:
        tree["cables"] = [one for one in tree["cables"] if one["from"] != spot.place]
    return units(tree)[spot.unit][1]["slots"].pop(spot.key)


def settings(written: Tree) -> Tree:
    """The settings of a board, made if there are none."""
    return written.setdefault("settings", {})


def a_place_for(tree: Tree, rows: str) -> tuple[int, str] | None:
    """The first free place with these rows that carries the bus."""
    machine = read(tree)
    for number, key in free_places(tree, rows):
        kinds_there = slots_of(machine.units[number].about)[int(key.rstrip(ALL))]
        there = {word for own, word in kinds_there.items() if set(own) & set(rows)}
        if not there & {"dedicated", "bus-end"} and not ("private-link" in there and rows == "CD"):
            return number, key
    return None
