"""Whatever boards lie in whatever places: no rule crashes, and every finding can be printed in every form."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from minisim.catalogue import Catalogue
from minisim.checking import check
from minisim.findings import Report
from minisim.formatters import FORMATTERS, text
from minisim.loadout.reader import read_loadout
from minisim.problems import InputError

CATALOGUE = Catalogue()
ROWS = ("", "AB", "CD", "D", "CF", "AF", "ABCD")


def pile(dice: random.Random, folder: Path) -> Report | None:
    """A machine of boards thrown into places; None where no such place exists."""
    backplane = dice.choice(CATALOGUE.ids("backplanes"))
    supply = dice.choice(CATALOGUE.ids("supplies"))
    slots = [f"{dice.randint(1, 9)}{dice.choice(ROWS)}" for _ in range(dice.randint(0, 8))]
    kinds = CATALOGUE.ids("boards")
    boards = "".join(f"      {one}: {{board: {dice.choice(kinds)}}}\n" for one in dict.fromkeys(slots))
    lines = f"loadout: 1\nname: X\nboxes:\n  - id: main\n    supply: {supply}\n    backplane: {backplane}\n"
    file = folder / "pile.yaml"
    file.write_text(lines + (f"    slots:\n{boards}" if boards else ""), "utf-8")
    try:
        return check(read_loadout(file, catalogue=CATALOGUE), CATALOGUE)
    except InputError:
        return None


@pytest.mark.parametrize("seed", range(5))
def test_no_rule_crashes_on_boards_thrown_together(tmp_path: Path, seed: int) -> None:
    dice = random.Random(seed)
    reports = [report for _ in range(60) if (report := pile(dice, tmp_path))]
    assert len(reports) > 10
    assert [one.found for report in reports for one in report.findings if one.rule == "INT-001"] == []
    assert text(reports) and text(reports, whole=True)
    assert all(form(reports, ()) for form in FORMATTERS.values())
