"""Machines built strictly from the published limits: nothing to find, and a pinned set of what nobody knows.

Beside each loadout of `valid/` lies `valid/pinned/` with everything the report may say of it, each thing once.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
import yaml
from judge import verdict
from mistakes import VALID, tree_of, valid

from minisim.catalogue import Catalogue
from minisim.checking import check
from minisim.findings import Report
from minisim.loadout.reader import read_loadout

CATALOGUE = Catalogue()
EACH = pytest.mark.parametrize("path", valid(), ids=lambda path: path.stem)


@cache
def report(path: Path) -> Report:
    """What the checker says of one of them."""
    return check(read_loadout(path, catalogue=CATALOGUE), CATALOGUE)


def pinned(path: Path) -> dict[str, list[object]]:
    """What it may say."""
    tree = yaml.safe_load((path.parent / "pinned" / path.name).read_text("utf-8"))
    assert set(tree) == {"not-known", "findings"}
    return dict(tree)


@EACH
def test_a_valid_loadout_has_exactly_the_findings_pinned(path: Path) -> None:
    found = [{"rule": one.rule, "place": one.place, "severity": str(one.severity)} for one in report(path).findings]
    assert found == pinned(path)["findings"]


@EACH
def test_a_valid_loadout_leaves_exactly_the_pinned_things_open(path: Path) -> None:
    assert sorted(report(path).not_known) == sorted(map(str, pinned(path)["not-known"]))


@EACH
def test_nothing_pinned_is_a_fault_or_damage(path: Path) -> None:
    assert all(dict(one)["severity"] in ("doubt", "note") for one in pinned(path)["findings"])  # type: ignore[call-overload]


@EACH
def test_the_second_opinion_finds_nothing_either(path: Path) -> None:
    assert verdict(tree_of(path)).must == frozenset()


def test_the_valid_loadouts_differ_in_bus_backplane_and_supply() -> None:
    trees = [tree_of(path) for path in valid()]
    used = {
        (unit["backplane"], box["supply"])
        for tree in trees
        for box in tree["boxes"]
        for unit in box.get("units", [box])
    }
    buses = {CATALOGUE.backplane(backplane).bus for backplane, _ in used}
    assert len(trees) >= 12 and buses == {"mux", "sep"} and len({one for one, _ in used}) >= 15
    assert {len(tree["boxes"]) for tree in trees} == {1, 2, 3}


def test_every_pin_belongs_to_a_loadout() -> None:
    assert {path.name for path in (VALID / "pinned").glob("*")} == {path.name for path in valid()}
