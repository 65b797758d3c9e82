"""Whatever boards lie in whatever places: nothing raises, hangs or takes long, and every finding can be printed."""

from __future__ import annotations

import json
import random
import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from piles import CATALOGUE, Pile

from minisim.checking import check
from minisim.findings import Report
from minisim.formatters import FORMATTERS, text
from minisim.loadout.reader import read_loadout
from minisim.problems import InputError

LONGEST = 1.0  # seconds of the processor's time for one loadout; a watchdog, no measure: most take a hundredth of it
SEEDS = st.integers(0, 2**32)


def report_of(seed: int, folder: Path) -> Report | None:
    """What is said of one pile; None where the reader refuses it, which it must do in order."""
    file = folder / "pile.yaml"
    file.write_text(json.dumps(Pile(random.Random(seed)).tree()), "utf-8")
    try:
        return check(read_loadout(file, catalogue=CATALOGUE), CATALOGUE)
    except InputError as error:
        assert str(error)
        return None


def watched(seed: int, folder: Path) -> Report | None:
    """The same under the watchdog, with no rule of it crashed."""
    begun = time.process_time()
    report = report_of(seed, folder)
    taken = time.process_time() - begun
    assert taken <= LONGEST, f"pile {seed} took {taken:.2f} s"
    assert report is None or [one.found for one in report.findings if one.rule == "INT-001"] == [], f"pile {seed}"
    return report


@pytest.fixture(scope="module")
def sixty(folder: Path) -> list[Report]:
    """What is said of sixty piles, where the reader takes them."""
    return [report for seed in range(60) if (report := watched(seed, folder))]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One folder for the file that is written over and over."""
    return tmp_path_factory.mktemp("piles")


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(seed=SEEDS)
def test_no_pile_makes_a_rule_raise_hang_or_take_a_second(folder: Path, seed: int) -> None:
    watched(seed, folder)


@pytest.mark.slow
@settings(max_examples=4000, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(seed=SEEDS)
def test_no_pile_of_thousands_makes_a_rule_raise_hang_or_take_a_second(folder: Path, seed: int) -> None:
    watched(seed, folder)


def test_most_piles_get_past_the_reader_and_every_report_can_be_printed_in_every_form(sixty: list[Report]) -> None:
    assert len(sixty) > 30
    assert text(sixty) and text(sixty, whole=True)
    assert all(form(sixty, ()) for form in FORMATTERS.values())


def test_piles_reach_most_rules(sixty: list[Report]) -> None:
    hit = {one.rule for report in sixty for one in report.findings}
    assert len(hit) > 35
