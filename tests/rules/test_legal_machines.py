"""Random machines within every limit have no finding; with one mistake they have those that it causes."""

from __future__ import annotations

import json
import random
from collections import Counter
from pathlib import Path

import legal
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from mistakes import Tree, kinds, mistakes_of
from seeded import CATALOGUE, findings, wrong
from tallies import tally

from minisim.checking import check
from minisim.loadout.reader import read_loadout

SEEDS = st.integers(0, 2**32)
BUSES = pytest.mark.parametrize("bus", [legal.mux, legal.sep], ids=lambda maker: maker.__name__)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One folder for the file that is written over and over."""
    return tmp_path_factory.mktemp("legal")


def said_of(tree: Tree, folder: Path) -> list[str]:
    """Every finding as text."""
    file = folder / "legal.yaml"
    file.write_text(json.dumps(tree), "utf-8")
    report = check(read_loadout(file, catalogue=CATALOGUE), CATALOGUE)
    return [f"{one.severity} {one.rule} {one.place}: {one.found}" for one in report.findings]


@BUSES
@settings(max_examples=25)
@given(seed=SEEDS)
def test_a_machine_within_the_limits_has_no_finding(folder: Path, bus: object, seed: int) -> None:
    assert said_of(bus(random.Random(seed)), folder) == []  # type: ignore[operator]  # one of the two makers


@pytest.mark.slow
@BUSES
@settings(max_examples=60)
@given(seed=SEEDS)
def test_none_of_dozens_within_the_limits_has_a_finding(folder: Path, bus: object, seed: int) -> None:
    assert said_of(bus(random.Random(seed)), folder) == []  # type: ignore[operator]  # one of the two makers


@BUSES
@settings(max_examples=30)
@given(seed=SEEDS)
def test_one_mistake_in_it_gives_its_findings_and_no_other_fault(folder: Path, bus: object, seed: int) -> None:
    _one_mistake(folder, bus, seed)


@pytest.mark.slow
@BUSES
@settings(max_examples=2500)
@given(seed=SEEDS)
def test_one_mistake_in_thousands_gives_its_findings_and_no_other_fault(folder: Path, bus: object, seed: int) -> None:
    _one_mistake(folder, bus, seed)


def _one_mistake(folder: Path, bus: object, seed: int) -> None:
    dice = random.Random(seed)
    tree = bus(dice)  # type: ignore[operator]  # one of the two makers
    made = list(mistakes_of(f"seed {seed}", tree, dice.choice(kinds())))
    if made:
        mistake = dice.choice(made)
        difference = wrong(mistake, findings(mistake, folder))
        tally("mistakes in random machines", 1, bool(difference), "mistakes")
        assert not difference


# [float-address-wiki, float-post-2016]; the last two from memory, firm.
EXAMPLES = [
    ({1: 1, 2: 1}, {1: 0o760010, 2: 0o760040}),
    ({1: 1, 2: 1, 4: 1}, {4: 0o760100}),
    ({8: 1}, {8: 0o760100}),
    ({26: 1}, {26: 0o760334}),
    ({32: 1}, {32: 0o760440}),
]


@pytest.mark.parametrize(("counts", "first"), EXAMPLES)
def test_the_order_of_addresses_is_that_of_the_published_examples(
    counts: dict[int, int], first: dict[int, int]
) -> None:
    found = legal.addresses(Counter(counts))
    assert {rank: found[rank][0] for rank in first} == first
