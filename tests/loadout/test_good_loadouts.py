"""Good loadouts: what the reader makes of every key."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest

from minisim.catalogue.reader import Catalogue
from minisim.loadout.model import Described, Loadout, Placed
from minisim.loadout.reader import read_loadout

Read = Callable[[str], Loadout]


def placed(loadout: Loadout, place: str) -> Placed:
    return next(one for box in loadout.boxes for unit in box.units for one in unit.placed if one.place == place)


def where(path: Path, piece: str) -> tuple[int, int]:
    """Line and column of the only place where the piece stands, counted from 1."""
    text = path.read_text()
    assert text.count(piece) == 1
    before = text[: text.index(piece)]
    return before.count("\n") + 1, len(before) - before.rfind("\n")


def values(board: Placed) -> dict[str, object]:
    return {name: setting.value for name, setting in board.settings.items()}


@pytest.fixture
def gauge(folder: Path, catalogue: Catalogue) -> Loadout:
    return read_loadout(folder / "gauge.yaml", catalogue=catalogue)


@pytest.fixture
def everything(folder: Path, catalogue: Catalogue) -> Loadout:
    return read_loadout(folder / "everything.yaml", catalogue=catalogue)


def test_settings_have_the_type_of_their_name_and_board(gauge: Loadout) -> None:
    assert values(placed(gauge, "3CDEF")) == {
        "address": 0o17560,
        "vector": 0o60,
        "console": "yes",
        "baud": 9600,
        "clock": "on",
    }
    assert values(placed(gauge, "3AB")) == {
        "start-from": "high",
        "power-up-redirect": "on",
        "start": 0o173030,  # a word: this board has no memory
        "low-window": "in",
    }
    assert values(placed(gauge, "4")) == {"start": 0, "kb": 64, "address": 0o12100}


def test_a_single_slot_wins_over_the_range_it_lies_in(gauge: Loadout) -> None:
    wires = gauge.boxes[0].units[0].wires["dma-grant"]
    assert wires == {3: True, 4: True, 5: True, 6: True, 7: True, 8: False, 9: True}
    mark = gauge.boxes[0].units[0].wires_marks[8]
    assert (mark.line, mark.column) == where(gauge.path, "8: out")


def test_the_order_of_range_and_single_slot_does_not_matter(gauge: Loadout, folder: Path, catalogue: Catalogue) -> None:
    path = folder / "gauge.yaml"
    path.write_text(path.read_text().replace("{3-9: in, 8: out}", "{8: out, 3-9: in}"))
    assert read_loadout(path, catalogue=catalogue).boxes[0].units[0].wires == gauge.boxes[0].units[0].wires


def test_a_cable_may_name_its_place_in_the_long_or_the_short_form(gauge: Loadout) -> None:
    assert placed(gauge, "3CDEF").rows == "CDEF"
    assert [end.board for end in gauge.cables] == ["main/a/3CF", "main/a/5CF", "main/a/6CF"]


def test_files_are_found_beside_the_loadout_and_its_hash_is_kept(gauge: Loadout, folder: Path) -> None:
    rom = placed(gauge, "3AB").roms[0]
    assert (rom.at, rom.rom, rom.image) == (0o13000, "rom-ours", folder / "media" / "boot-reader.rom")
    assert gauge.cables[1].media == folder / "media" / "tides.papertape"
    assert gauge.sha256 == hashlib.sha256((folder / "gauge.yaml").read_bytes()).hexdigest()


def test_a_box_with_one_unit_calls_it_a(folder: Path, catalogue: Catalogue) -> None:
    desk = read_loadout(folder / "desk.yaml", catalogue=catalogue)
    assert [unit.id for unit in desk.boxes[0].units] == ["a"]
    assert [one.place for one in desk.boxes[0].units[0].placed] == ["1AB", "1CD", "2CD", "4"]
    assert placed(desk, "4").roms[0].image is None


def test_boards_point_at_their_place_and_settings_at_their_value(gauge: Loadout) -> None:
    board = placed(gauge, "3CDEF")
    assert (board.mark.line, board.mark.column) == where(gauge.path, "3CDEF")
    mark = board.settings["address"].mark
    assert (mark.line, mark.column) == where(gauge.path, "0o177560")


def test_a_board_described_in_place_keeps_what_is_known(everything: Loadout) -> None:
    board = placed(everything, "3AB").board
    assert isinstance(board, Described)
    assert (board.height, board.interrupts, board.dma, board.passes_grant) == ("dual", True, False, True)
    assert board.amps == {"+5": Decimal("1.5"), "+12": Decimal("0.1")}
    assert (board.ac, board.dc) == (Decimal(2), Decimal(1))
    assert (board.registers, board.words, board.vector, board.vectors, board.level) == (0o4000, 4, 0o300, 2, 4)
    nothing = placed(everything, "6AB").board
    assert isinstance(nothing, Described)
    assert (nothing.height, nothing.interrupts, nothing.registers, nothing.words) == (None, None, None, 0)


def test_two_boxes_an_own_supply_and_a_joint(everything: Loadout) -> None:
    main, lower = everything.boxes
    assert main.described is not None
    assert main.described.rails == {"+5": Decimal(36), "+12": Decimal("6.5")}
    assert (main.described.minimum, main.described.watts) == ({"+5": Decimal("4.5")}, Decimal(230))
    assert (lower.supply, lower.described, [unit.id for unit in lower.units]) == (None, None, ["b", "c"])
    joint = lower.units[0].joined_by
    assert joint is not None
    assert (joint.cable, joint.length_m, joint.connected) == ("mux-extension-cable-22bit", Decimal("1.22"), False)
    assert lower.units[1].joined_by is not None
    assert lower.units[1].joined_by.connected


def test_drives_switches_acceptances_modifications_and_notes(everything: Loadout) -> None:
    disk = everything.cables[1]
    assert (disk.unit, disk.to, disk.write_protect) == (0, "cartridge-disk-10mb-drive", True)
    assert (everything.switches.register, everything.switches.halt) == (0o173000, True)
    assert [(one.rule, one.at) for one in everything.accept] == [
        ("POWER-002", "main +5"),
        ("bus-grant-gap", "main/a/3CF"),
    ]
    assert everything.modifications == ("W5 on the processor cut", "two green wires on the disk controller")
    assert everything.state == "as-found"
    assert everything.notes.startswith("Came from the harbour office.\n")
    assert placed(everything, "2").item == "K-017"


def test_an_address_the_board_cannot_be_set_to_is_left_to_the_rule(read: Read) -> None:
    loadout = read(
        "{loadout: 1, name: x, boxes: [{id: m, backplane: mux-twin-4-18bit, "
        "slots: {1AB: {board: serial-line-single, settings: {address: 764000, vector: 61}}}}]}"
    )
    assert values(placed(loadout, "1AB")) == {"address": 0o4000, "vector": 0o61}


def test_the_two_machines_of_the_station_are_the_ones_worked_out_by_hand(folder: Path, catalogue: Catalogue) -> None:
    for name in ("gauge", "desk"):
        station = read_loadout(folder / f"station-{name}.yaml", catalogue=catalogue)
        by_hand = read_loadout(folder / f"{name}.yaml", catalogue=catalogue)
        theirs, ours = (
            [
                (str(one.board), one.slots, one.rows or "-")
                for box in loadout.boxes
                for unit in box.units
                for one in unit.placed
            ]
            for loadout in (station, by_hand)
        )
        assert theirs == ours
        assert station.boxes[0].supply == by_hand.boxes[0].supply
        assert station.boxes[0].units[0].backplane == by_hand.boxes[0].units[0].backplane
        assert station.boxes[0].units[0].wires == by_hand.boxes[0].units[0].wires
        assert [(end.board, end.line, end.to, end.media_text) for end in station.cables] == [
            (end.board, end.line, end.to, end.media_text) for end in by_hand.cables
        ]
