"""Every backplane of the catalogue resolves, empty and with a board in every slot."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from minisim.catalogue import Catalogue
from minisim.wiring.addresses import address_map
from minisim.wiring.model import GrantKind, Passes, Wired

Wire = Callable[[str], Wired]
ALL = Catalogue().ids("backplanes")


@pytest.mark.parametrize("backplane", ALL)
def test_an_empty_backplane_resolves(wire: Wire, catalogue: Catalogue, backplane: str) -> None:
    wired = wire(f"boxes:\n- {{id: main, backplane: {backplane}}}\n")
    entry = catalogue.backplane(backplane)
    for kind in GrantKind:
        hops = wired.chain(kind).hops
        assert len(hops) == (len(entry.grant_order) or 1)
        assert all(hop.board is None and hop.reached is Passes.NO for hop in hops)
    assert {part.place.slots[0] for part in wired.slots} == set(entry.slots)
    assert wired.registers == wired.memories == wired.roms == wired.processors == ()
    assert [row.what for row in address_map(wired)] == ["free", "free"]


@pytest.mark.parametrize("backplane", ALL)
def test_the_parts_of_a_slot_never_overlap(wire: Wire, catalogue: Catalogue, backplane: str) -> None:
    wired = wire(f"boxes:\n- {{id: main, backplane: {backplane}}}\n")
    for slot in catalogue.backplane(backplane).slots:
        rows = "".join(part.place.rows for part in wired.slots if part.place.slots == (slot,))
        assert len(rows) == len(set(rows))


@pytest.mark.parametrize("backplane", ALL)
def test_a_described_board_in_every_slot_resolves(wire: Wire, catalogue: Catalogue, backplane: str) -> None:
    slots = sorted(catalogue.backplane(backplane).slots) or [1]
    boards = "".join(f"    {slot}: {{board: {{describe: {{passes-grant: yes}}}}}}\n" for slot in slots)
    wired = wire(f"boxes:\n- id: main\n  backplane: {backplane}\n  slots:\n{boards}")
    assert [board.place.slots for board in wired.boards] == [(slot,) for slot in slots]


@pytest.mark.parametrize("board", Catalogue().ids("boards"))
def test_every_board_of_the_catalogue_resolves(wire: Wire, catalogue: Catalogue, board: str) -> None:
    backplane = "mux-twin-9-22bit" if catalogue.board(board).bus == "mux" else "sep-nine-slot-unit"
    wired = wire(f"boxes:\n- id: main\n  backplane: {backplane}\n  slots:\n    2: {{board: {board}}}\n")
    assert len(wired.boards) == 1
    assert address_map(wired)
