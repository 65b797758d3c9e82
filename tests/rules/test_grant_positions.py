"""A serial line tried in every position of two backplanes: GRANT-001 speaks exactly where a hole lies before it."""

from __future__ import annotations

from pathlib import Path

import pytest

from minisim.checking import check
from minisim.loadout.reader import read_loadout

# Orders of the positions [mux-backplanes-wiki, backplane-upgrade-wiki]; of the mixed one [slot-order-posts-1999].
TWIN_BUS = ["1AB", "1CD", "2CD", "2AB", "3AB", "3CD", "4CD", "4AB"]
MIXED = ["1AB", "2AB", "3AB", "4AB", "4CD", "5CD", "5AB", "6AB", "6CD", "7CD", "7AB", "8AB", "8CD"]
MEMORY = "{board: mos-memory-dual, settings: {start: 0, kb: 32}}"
LINE = "{board: serial-line-single, settings: {address: 777560, vector: 60, console: yes}}"


def gaps(folder: Path, backplane: str, slots: dict[str, str]) -> dict[str, str]:
    """Place -> what GRANT-001 says there."""
    file = folder / "machine.yaml"
    rows = "".join(f"      {place}: {board}\n" for place, board in slots.items())
    head = "loadout: 1\nname: A line in every place\nboxes:\n  - id: main\n"
    file.write_text(f"{head}    backplane: {backplane}\n    slots:\n{rows}", "utf-8")
    report = check(read_loadout(file))
    return {one.place: one.found for one in report.findings if one.rule == "GRANT-001"}


@pytest.mark.parametrize(
    ("backplane", "order"), [("mux-twin-4-18bit", TWIN_BUS), ("mux-mixed-8-22bit", MIXED)], ids=["twin", "mixed"]
)
def test_a_line_has_a_gap_before_it_exactly_where_positions_are_left_empty(
    tmp_path: Path, backplane: str, order: list[str]
) -> None:
    first = {order[0]: "{board: mid-cpu-dual, settings: {power-up: 2}}", order[1]: MEMORY}
    for index, place in enumerate(order[2:], 2):
        found = gaps(tmp_path, backplane, {**first, place: LINE})
        empty = [f"main/a/{one}" for one in order[2:index]]
        assert list(found) == ([f"main/a/{place}"] if empty else [])
        assert all(one in found[f"main/a/{place}"] for one in empty)


def test_filling_every_hole_with_a_grant_card_closes_the_chain(tmp_path: Path) -> None:
    cards = dict.fromkeys(TWIN_BUS[2:-1], "{board: grant-card}")
    first = {"1AB": "{board: mid-cpu-dual, settings: {power-up: 2}}", "1CD": MEMORY}
    assert gaps(tmp_path, "mux-twin-4-18bit", {**first, **cards, TWIN_BUS[-1]: LINE}) == {}


def test_a_board_of_which_nobody_knows_whether_it_interrupts_is_not_checked_behind_a_hole(tmp_path: Path) -> None:
    file = tmp_path / "machine.yaml"
    file.write_text(
        "loadout: 1\nname: X\nboxes:\n  - id: main\n    backplane: mux-twin-4-18bit\n    slots:\n"
        "      1AB: {board: mid-cpu-dual, settings: {power-up: 2}}\n"
        "      2AB: {board: {describe: {height: dual, passes-grant: yes}}}\n",
        "utf-8",
    )
    assert any("interrupts and DMA of" in need for need in check(read_loadout(file)).not_known)
