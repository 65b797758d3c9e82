"""Whatever boards lie in whatever places: every drawing is well made and no two boards lie over each other."""

from __future__ import annotations

import itertools
import json
import random
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from minisim.loadout.reader import read_loadout
from minisim.problems import InputError
from minisim.sheet.blocks import Drawing
from minisim.sheet.drawing.backplane import backplane_drawing
from minisim.sheet.drawing.pins import pin_drawings
from minisim.sheet.drawing.switches import switch_drawing
from minisim.wiring.model import Wired
from minisim.wiring.resolve import resolve

from .drawings import RULES, SVG, box_of, is_well_drawn, root, with_data

if str(RULES) not in sys.path:
    sys.path.append(str(RULES))

from piles import CATALOGUE, Pile  # stands beside the tests of the rules

SEEDS = st.integers(0, 2**32)


def machine(seed: int, folder: Path) -> Wired | None:
    """One pile; None where the reader refuses it."""
    file = folder / "pile.yaml"
    file.write_text(json.dumps(Pile(random.Random(seed)).tree()), "utf-8")
    try:
        return resolve(read_loadout(file, catalogue=CATALOGUE), CATALOGUE)
    except InputError:
        return None


def all_drawings(wired: Wired) -> list[Drawing]:
    packs = (switch_drawing(wired, board.index) for board in wired.boards)
    backplanes = [backplane_drawing(wired, unit.index) for unit in wired.units]
    return [*backplanes, *pin_drawings(wired), *(drawing for drawing in packs if drawing)]


def looked_at(seed: int, folder: Path) -> None:
    wired = machine(seed, folder)
    drawn = []
    for drawing in all_drawings(wired) if wired else []:
        assert is_well_drawn(drawing) == [], f"pile {seed}"
        boards = with_data(root(drawing.svg), "board")
        boxes = [box_of(board.find(f"{SVG}rect")) for board in boards]
        assert not any(one.overlaps(other) for one, other in itertools.combinations(boxes, 2)), f"pile {seed}"
        drawn += [int(board.get("data-board")) for board in boards]
    assert sorted(drawn) == list(range(len(wired.boards) if wired else 0)), f"pile {seed}"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One folder for the file that is written over and over."""
    return tmp_path_factory.mktemp("piles")


@settings(max_examples=8, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(seed=SEEDS)
def test_every_drawing_of_a_pile_is_well_made(folder: Path, seed: int) -> None:
    looked_at(seed, folder)


@pytest.mark.slow
@settings(max_examples=2000, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(seed=SEEDS)
def test_every_drawing_of_thousands_of_piles_is_well_made(folder: Path, seed: int) -> None:
    looked_at(seed, folder)
