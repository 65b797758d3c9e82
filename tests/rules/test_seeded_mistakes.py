"""One mistake put into a valid loadout gives what it must give, and of faults and damage nothing it doesn't cause.

What it must give is worked out twice: by the maker of the mistake (any severity) and by `judge` (faults and damage).
The quick run takes a few mistakes of each kind and loadout, always the same ones; the slow run takes them all.
"""

from __future__ import annotations

import ast
import random
from collections import defaultdict
from functools import cache
from itertools import chain
from pathlib import Path

import pytest
from expectations import HERE
from mistakes import Mistake, kinds, mistakes, tree_of, units, valid
from seeded import CATALOGUE, findings, wrong
from tallies import tally

from minisim.findings import Finding
from minisim.rules import all_rules

EACH = pytest.mark.parametrize("path", valid(), ids=lambda path: path.stem)
A_FEW = 2
MORE = {"strange board": 8}
RARE = ("fast-link-office: swap: main/a/3 and main/a/2",)  # alone in the sample to reach MEM-007

NEVER_SEEDED = {
    "CARE-001": "no finding ever carries it: it is a line for the hand at the machine",
    "INT-001": "only a crash of a rule makes it",
    "DMA-002": "no entry of the catalogue says whether a board buffers its DMA",
    "OPT-004": "its option belongs to the five-board processor, and no backplane of the catalogue takes that",
}


@cache
def sample(path: Path) -> tuple[list[Mistake], set[str]]:
    """A few of each kind, and one for each rule a maker aims at, the same in each run; and all kinds there are."""
    by_kind: dict[str, list[Mistake]] = defaultdict(list)
    by_aim: dict[str, Mistake] = {}
    rare: list[Mistake] = []
    for one in mistakes(path):
        by_kind[one.kind].append(one)
        by_aim.update({rule: one for rule, _ in one.aims})
        rare += [one] if str(one) in RARE else []
    dice = random.Random(path.stem)
    some = [dice.sample(these, min(MORE.get(name, A_FEW), len(these))) for name, these in by_kind.items()]
    return list({str(one): one for one in chain(by_aim.values(), rare, *some)}.values()), set(by_kind)


@cache
def tried(path: Path, folder: Path) -> list[tuple[Mistake, tuple[Finding, ...] | None]]:
    """The sample of one loadout with its findings."""
    return [(one, findings(one, folder)) for one in sample(path)[0]]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One folder for the file that is written over and over."""
    return tmp_path_factory.mktemp("mistakes")


@EACH
def test_a_seeded_mistake_gives_its_findings_and_no_other_fault(path: Path, folder: Path) -> None:
    results = [wrong(one, found) for one, found in tried(path, folder)]
    tally("seeded mistakes", len(results), sum(map(bool, results)), "mistakes")
    assert not any(results), "".join(results)


def test_every_rule_is_hit_by_a_seeded_mistake_or_says_why_not(folder: Path) -> None:
    hit = {one.rule for path in valid() for _, found in tried(path, folder) for one in found or ()}
    assert {one.id for one in all_rules()} - hit == set(NEVER_SEEDED)


def test_a_rule_that_no_mistake_reaches_has_a_bad_fixture_of_its_own() -> None:
    machinery = {one.id for one in all_rules() if one.check is None}
    assert [rule for rule in set(NEVER_SEEDED) - machinery if not list((HERE / rule).glob("bad-*.yaml"))] == []


def test_every_kind_of_mistake_is_made_on_both_buses_where_both_know_it() -> None:
    made = defaultdict(set)
    for path in valid():
        bus = CATALOGUE.backplane(units(tree_of(path))[0][1]["backplane"]).bus
        for kind in sample(path)[1]:
            made[kind].add(bus)
    lonely = {name: buses for name, buses in made.items() if len(buses) < 2}
    assert set(made) == set(kinds())
    assert lonely == {"jumpers": {"mux"}, "regulators": {"sep"}, "wire": {"sep"}, "memory volts": {"sep"}}


def test_one_mistake_is_told_once_by_a_rule_at_a_place(folder: Path) -> None:
    several = ("ADDR-001", "TERM-001")  # of several devices of one board, of both ends of a bus
    for path in valid():
        for mistake, found in tried(path, folder):
            said = [(one.rule, one.place) for one in found or () if one.rule not in several]
            assert len(said) == len(set(said)), str(mistake)


def test_a_way_of_grants_is_broken_once(folder: Path) -> None:
    once = ("GRANT-001", "GRANT-006", "GRANT-007")
    for path in valid():
        for mistake, found in tried(path, folder):
            rules = [one.rule for one in found or ()]
            assert all(rules.count(rule) <= 1 for rule in once), str(mistake)


def test_the_second_opinion_asks_nothing_of_the_project() -> None:
    names = []
    for file in [*(HERE / "judge").glob("*.py"), *HERE.glob("mistakes*.py"), HERE / "legal.py"]:
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.ImportFrom):
                names.append(node.module or "")
            elif isinstance(node, ast.Import):
                names += [alias.name for alias in node.names]
    assert names and not [name for name in names if name.split(".")[0] == "minisim"]


@pytest.mark.slow
@EACH
def test_every_mistake_gives_its_findings_and_no_other_fault(path: Path, folder: Path) -> None:
    results = [wrong(one, findings(one, folder)) for one in mistakes(path)]
    tally("every seeded mistake", len(results), sum(map(bool, results)), "mistakes")
    assert not any(results), "".join(results)
