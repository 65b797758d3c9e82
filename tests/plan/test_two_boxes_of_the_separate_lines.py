"""Two boxes of the separate-line bus: the cable takes a bus end of each, the processor's box comes first."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from minisim.plan.outfit import Machine
from minisim.plan.planner import plan

from .workshop import CATALOGUE, READER, problems, stock, wish, wishes

FRAME = {
    ("backplanes", "sep-two-board-mmu-processor-unit"): 1,
    ("supplies", "sep-large-box"): 1,
    ("backplanes", "sep-nine-slot-unit"): 1,
    ("supplies", "sep-five-space-box-early"): 1,
    ("cables", "sep-bus-cable"): 1,
}
LEAST = {
    ("boards", "sep-cpu-two-boards-mmu-later"): 1,
    ("boards", "sep-boot-terminator"): 1,
    ("boards", "sep-serial-line-and-clock"): 1,
    ("boards", "mos-memory-hex-modified"): 1,
    ("boards", "sep-paper-tape"): 1,
    ("cables", "paper-tape-cable"): 1,
    ("drives", "paper-tape-reader-punch"): 1,
}
PLAIN = {("boards", "sep-plain-terminator"): 1}
TURNED = {
    ("boards", "sep-turnaround-terminator"): 1,
    ("boards", "sep-grant-card-interrupts"): 16,
    ("boards", "sep-grant-card-interrupts-and-dma"): 2,
}
NEEDS = {"boot": READER, "bus": "sep", "boxes": 2, "memory_kb": 64}
WISH = wish("office", 1, joined_by="sep-bus-cable", devices=("paper-tape",), **NEEDS)


def made(pieces: Mapping[tuple[str, str], int]) -> Machine:
    given_stock = stock(pieces)
    found = plan(given_stock, wishes(WISH), CATALOGUE)
    assert problems(found, given_stock) == []
    assert found.choice.proven and not found.open
    (machine,) = found.machines
    return machine


@pytest.mark.parametrize("far", [PLAIN, TURNED], ids=["plain terminator", "turnaround terminator"])
def test_it_is_planned_and_passes(far: dict[tuple[str, str], int]) -> None:
    machine = made({**FRAME, **LEAST, **far})
    assert machine.report.worst is None
    assert "joined-by: {cable: sep-bus-cable, length-m: 1.52}" in machine.text


@pytest.mark.parametrize("far", [PLAIN, TURNED], ids=["plain terminator", "turnaround terminator"])
def test_the_plugs_of_the_cable_have_their_places_to_themselves(far: dict[tuple[str, str], int]) -> None:
    """The bus leaves the processor's unit at 9AB and enters the other at 1AB (notes of the two backplanes)."""
    taken = {(one.box, one.place) for one in made({**FRAME, **LEAST, **far}).stands}
    assert not taken & {(0, "9AB"), (0, "9"), (1, "1AB"), (1, "1")}


def test_the_near_terminator_stands_by_the_processor_and_the_far_one_at_the_end() -> None:
    stands = {one.board.id: (one.box, one.place) for one in made({**FRAME, **LEAST, **PLAIN}).stands}
    assert stands["sep-boot-terminator"] == (0, "3AB")
    assert stands["sep-plain-terminator"] == (1, "9AB")
    assert stands["sep-cpu-two-boards-mmu-later"] == (0, "1-2")


def test_behind_a_turnaround_every_empty_place_of_both_boxes_has_a_card() -> None:
    machine = made({**FRAME, **LEAST, **TURNED})
    used = {(one.box, int(one.place.rstrip("ABCDEF"))) for one in machine.stands if "-" not in one.place}
    assert {(1, slot) for slot in range(1, 10)} <= used
    assert {(0, slot) for slot in range(3, 10)} <= used


def test_a_second_processor_unit_is_no_second_box() -> None:
    pieces = {**FRAME, **LEAST, **PLAIN, ("backplanes", "sep-two-board-mmu-processor-unit"): 2}
    del pieces["backplanes", "sep-nine-slot-unit"]
    found = plan(stock(pieces), wishes(WISH), CATALOGUE)
    assert not found.machines


def test_a_cable_of_the_other_bus_joins_nothing() -> None:
    pieces = {**FRAME, **LEAST, **PLAIN, ("cables", "mux-extension-cable-first"): 1}
    other = wish("office", 1, joined_by="mux-extension-cable-first", **NEEDS)
    assert not plan(stock(pieces), wishes(other), CATALOGUE).machines


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.sampled_from(sorted({**FRAME, **LEAST, **PLAIN})), max_size=3, unique=True), st.integers(0, 6))
def test_whatever_is_missing_no_wrong_machine_comes_out(missing: list[tuple[str, str]], printers: int) -> None:
    pieces = {**FRAME, **LEAST, **PLAIN, ("boards", "sep-line-printer"): printers}
    for thing in missing:
        del pieces[thing]
    given_stock = stock(pieces)
    found = plan(given_stock, wishes(WISH), CATALOGUE)
    assert problems(found, given_stock) == []
    assert bool(found.machines) == (not missing)
