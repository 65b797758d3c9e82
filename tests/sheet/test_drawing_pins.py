"""The drawings from the pin side: how the DMA-grant wires must stand, and the wires for four more address lines.

Facts: the wire CA1-CB1 is out where a DMA board sits and in elsewhere, or a dual grant card passes the grant
(small-peripheral-wiki, grant-card-wiki, grant-chain-practice); BC1, BD1, BE1, BF1 carry address 18 to 21
(backplane-upgrade-wiki).  Pin letters leave out G, I, O and Q.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import Any

import pytest

from minisim.checking import check_wired
from minisim.findings import State
from minisim.sheet.blocks import Drawing
from minisim.sheet.drawing.pins import pin_drawings
from minisim.wiring.model import GrantKind

from .drawings import GOOD, KITTIWAKE, MACHINES, RULES, SVG, ids, is_well_drawn, root, texts, wired, with_data, words

every_machine = pytest.mark.parametrize("path", MACHINES, ids=ids)
WIDE = RULES / "MEM-005" / "bad-mux.yaml"


def wires(drawing: Drawing) -> dict[int, tuple[str, str]]:
    """Slot -> how the loadout has the wire, and how it must stand."""
    return {int(one.get("data-slot")): (one.get("data-wire"), one.get("data-must")) for one in _rows(drawing)}


def _rows(drawing: Drawing) -> list[Any]:
    return with_data(root(drawing.svg), "wire")


@every_machine
def test_every_drawing_is_well_made_and_says_that_it_is_mirrored(path: Path) -> None:
    for drawing in pin_drawings(wired(path)):
        assert is_well_drawn(drawing) == []
        assert "SEEN FROM THE PIN SIDE, MIRRORED" in words(root(drawing.svg))
        assert "SEEN FROM THE PIN SIDE, MIRRORED" in " ".join(drawing.lines)


@every_machine
def test_every_slot_with_a_wire_is_in_the_drawing_of_its_unit_and_no_other(path: Path) -> None:
    machine = wired(path)
    hops = machine.chain(GrantKind.DMA).hops
    wanted: dict[str, list[int]] = {}
    for hop in hops:
        if hop.wire is not None:
            wanted.setdefault(f"pins-{hop.place.box}-{hop.place.unit}", []).append(hop.place.slots[0])
    drawn = {one.id: list(wires(one)) for one in pin_drawings(machine) if not one.id.startswith("pins-wide")}
    assert drawn == wanted


def test_the_demo_machine_wants_every_wire_in_but_that_beside_the_dual_card() -> None:
    (drawing,) = pin_drawings(wired(KITTIWAKE / "gauge.yaml"))
    wanted = dict.fromkeys(range(3, 10), ("in", "in")) | {8: ("out", "either")}
    assert wires(drawing) == wanted


def test_the_wire_of_a_board_with_dma_must_be_out_and_of_a_set_at_one_slot() -> None:
    drawing = next(one for one in pin_drawings(wired(RULES / "valid" / "dues-cabinet.yaml")) if one.id == "pins-main-b")
    others = dict.fromkeys((1, 5, 6, 7, 8, 9), ("in", "in"))
    assert wires(drawing) == others | {2: ("out", "out"), 3: ("out", "one-out"), 4: ("out", "one-out")}
    assert "Out at one of them at least" in " ".join(drawing.lines)


def test_a_wire_that_is_out_where_nobody_behind_waits_is_not_called_wrong() -> None:
    path = RULES / "GRANT-007" / "good-empty-behind-the-turnaround-terminator.yaml"
    drawing = next(one for one in pin_drawings(wired(path)) if one.id == "pins-main-b")
    assert wires(drawing)[2] == ("out", "in-once-needed")
    assert "WRONG" not in " ".join(drawing.lines)


@every_machine
def test_what_is_called_wrong_is_what_the_rules_find(path: Path) -> None:
    """GRANT-005 and GRANT-006 name the slots in what they put right; behind an open joint they name none."""
    machine = wired(path)
    report = check_wired(machine)
    rules = ("GRANT-005", "GRANT-006")
    waits = any(one.rule in rules and one.state is State.NOT_CHECKED and not one.missing for one in report.outcomes)
    if waits or any(not unit.joined for unit in machine.units):
        pytest.skip("the rules wait for another finding, or speak of the joint first")
    acts = [
        finding.fix
        for finding in report.findings
        if finding.rule in rules and "one of them for a set" not in finding.fix
    ]
    wanted = {place for act in acts for place in re.findall(r"[\w-]+/[\w-]+/\d+", act)}
    wrong = {
        f"{drawing.id.removeprefix('pins-').replace('-', '/')}/{row.get('data-slot')}"
        for drawing in pin_drawings(machine)
        for row in _rows(drawing)
        if "WRONG" in words(row)
    }
    wired_slots = {
        f"{hop.place.box}/{hop.place.unit}/{hop.place.slots[0]}"
        for hop in machine.chain(GrantKind.DMA).hops
        if hop.wire is not None
    }
    assert wrong == wanted & wired_slots


def test_the_picture_shows_a_wrong_wire_as_it_must_be() -> None:
    (drawing,) = pin_drawings(wired(RULES / "GRANT-006" / "bad-wire-out.yaml"))
    joined = {row.get("data-slot"): len(row.findall(f"{SVG}polyline")) for row in _rows(drawing)}
    assert joined == {str(slot): 1 for slot in range(3, 10)}
    assert "loadout: out - WRONG" in words(next(row for row in _rows(drawing) if row.get("data-slot") == "5"))


def connector(drawing: Drawing) -> tuple[list[str], list[str]]:
    """The letters over the large connector from left to right, and the pins with a ring."""
    (group,) = with_data(root(drawing.svg), "connector")
    letters = sorted((text.box.x, text.words) for text in texts(group) if re.fullmatch("[A-Z]", text.words))
    ringed = [pin.get("data-pin") for pin in with_data(group, "pin") if pin.get("data-ringed") == "yes"]
    return [letter for _, letter in letters], ringed


def test_the_pins_are_mirrored_and_have_eighteen_letters() -> None:
    (drawing,) = pin_drawings(wired(KITTIWAKE / "gauge.yaml"))
    letters, ringed = connector(drawing)
    assert letters == list("VUTSRPNMLKJHFEDCBA")
    assert set(ringed) == {"CA1", "CB1"}
    heads = [text for text in texts(root(drawing.svg)) if re.fullmatch("[A-F]", text.words) and text.size == 20]
    assert [text.words for text in sorted(heads, key=lambda text: text.box.x)] == list("FEDCBA")


def test_a_narrow_backplane_is_widened_only_where_memory_asks_for_it() -> None:
    (drawing,) = pin_drawings(wired(WIDE))
    assert drawing.id == "pins-wide-main-a"
    assert set(connector(drawing)[1]) == {"BC1", "BD1", "BE1", "BF1"}
    assert "backplane-upgrade-wiki" in " ".join(drawing.lines)
    assert is_well_drawn(drawing) == []
    narrow = [path for path in GOOD if wired(path).bus == "mux"]
    assert narrow
    assert not [path.stem for path in narrow if pin_drawings(wired(path))]


def test_the_wires_go_in_the_order_of_the_places_and_only_on_rows_a_and_b_of_private_links(tmp_path: Path) -> None:
    """Grants and bus run 1AB 1CD 2CD 2AB and so on in twin-bus slots, straight down in private-link slots."""
    twin = " ".join(pin_drawings(wired(WIDE))[0].lines)
    assert "1AB, 1CD, 2CD, 2AB, 3AB, 3CD, 4CD, 4AB" in twin and "DC1, DD1, DE1, DF1; derived" in twin
    text = (RULES / "valid" / "two-board-disk.yaml").read_text()
    shutil.copytree(RULES / "valid" / "media", tmp_path / "media")
    path = tmp_path / "x.yaml"
    path.write_text(text.replace("start: 400000", "start: 1000000"))
    (drawing,) = pin_drawings(wired(path))
    straight = " ".join(drawing.lines)
    assert "1AB, 2AB, 3AB, 4AB, 5AB, 6AB, 7AB, 8AB, 9AB" in straight and "DC1" not in words(root(drawing.svg))
    assert "wires on the A-B side only" in straight
