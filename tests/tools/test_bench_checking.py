"""What the bench checks is as large as it says, and valid on paper."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2] / "tools"))
from bench import checking  # a script's package

import minisim


def test_the_large_machine_has_three_boxes_forty_boards_and_nothing_but_what_is_accepted() -> None:
    loadout = minisim.read_loadout(checking.LARGE)
    boards = sum(len(one.slots) for box in loadout.boxes for unit in box.units for one in unit.placed)
    assert (len(loadout.boxes), boards >= 40) == (3, True)
    assert [one for one in minisim.check(loadout).findings if not one.accepted] == []


def test_the_rows_of_the_table_hold_what_was_measured() -> None:
    large, start = checking.large(1), checking.start_up(1)
    rows = checking.targets(large, start)
    assert [row.bound for row in rows] == [50.0, 150.0, 3.0]
    assert all(row.value is not None and row.value > 0 for row in rows)
    assert f"{large.of(checking.CHECK):.1f} ms" in checking.lines(large, start)[0]
