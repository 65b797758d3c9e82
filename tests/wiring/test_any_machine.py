"""Whatever stands wherever: a loadout that can be read resolves, and what Wired says hangs together."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from minisim.catalogue import Catalogue
from minisim.known import Known
from minisim.loadout.reader import read_loadout
from minisim.wiring.addresses import address_map
from minisim.wiring.model import GrantChain, Passes, Wired
from minisim.wiring.resolve import resolve

CATALOGUE = Catalogue()
BOARDS = st.sampled_from(CATALOGUE.ids("boards"))
PLACES = st.tuples(st.integers(1, 9), st.sampled_from(["", "AB", "CD", "D", "CF", "AF"]))
UNITS = st.lists(
    st.tuples(
        st.sampled_from(CATALOGUE.ids("backplanes")),
        st.sampled_from(["", "sep-bus-jumper-short", "mux-extension-cable-first"]),
        st.dictionaries(PLACES, BOARDS, max_size=8),
    ),
    min_size=1,
    max_size=3,
)
Unit = tuple[str, str, dict[tuple[int, str], str]]


def has(backplane: str, slot: int, rows: str) -> bool:
    """Does the backplane have such a place, as far as the reader asks?"""
    entry = CATALOGUE.backplane(backplane)
    if entry.slots and slot not in entry.slots:
        return False
    kinds = entry.slots.get(slot, {entry.rows: "there"})
    there = {row for own, kind in kinds.items() if kind != "none" for row in own}
    return set({"CF": "CDEF", "AF": "ABCDEF"}.get(rows, rows)) <= there


def written(units: list[Unit]) -> str:
    lines = ["loadout: 1", "name: any machine", "boxes:", "- id: main", "  units:"]
    for number, (backplane, cable, boards) in enumerate(units):
        lines.append(f"  - id: u{number}\n    backplane: {backplane}")
        if cable and number:
            lines.append(f"    joined-by: {{cable: {cable}}}")
        places = [
            f"      {slot}{rows}: {{board: {board}}}"
            for (slot, rows), board in boards.items()
            if has(backplane, slot, rows)
        ]
        lines += ["    slots:", *places] if places else []
    return "\n".join(lines) + "\n"


@given(UNITS)
@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_machine_resolves_and_hangs_together(tmp_path_factory: pytest.TempPathFactory, units: list[Unit]) -> None:
    file = Path(tmp_path_factory.getbasetemp()) / "any.yaml"
    file.write_text(written(units), encoding="utf-8")
    wired = resolve(read_loadout(file, catalogue=CATALOGUE), CATALOGUE)
    for chain in wired.chains:
        check_chain(wired, chain)
    check_claims(wired)
    check_registers(wired)
    assert {row.board for row in address_map(wired)} - {None} <= {board.index for board in wired.boards}


def check_chain(wired: Wired, chain: GrantChain) -> None:
    """A grant that was lost stays lost, and the hop that is blamed does not pass it."""
    order = {Passes.YES: 0, Passes.UNKNOWN: 1, Passes.NO: 2}
    states = [order[hop.reached] for hop in chain.hops]
    assert states == sorted(states)
    assert [hop.number for hop in chain.hops] == list(range(1, len(chain.hops) + 1))
    starts = any(hop.board in {one.board for one in wired.processors} for hop in chain.hops)
    for hop in chain.hops:
        assert (hop.broken_at is None) == (hop.reached is Passes.YES or not starts)
        if hop.broken_at is not None:
            blamed = chain.hops[hop.broken_at - 1]
            assert blamed.number < hop.number and blamed.passes is hop.reached


def check_claims(wired: Wired) -> None:
    """Every board claims every row it covers in every slot of its place."""
    claimed = {
        (index, slot, row)
        for part in wired.slots
        for index in part.boards
        for slot in part.place.slots
        for row in part.place.rows
    }
    wanted = {(board.index, slot, row) for board in wired.boards for slot in board.place.slots for row in board.rows}
    assert claimed == wanted


def check_registers(wired: Wired) -> None:
    """Addresses are even offsets of the I/O page, vectors multiples of 4, computed places of a kind all different."""
    for one in wired.registers:
        if isinstance(one.base, Known):
            assert 0 <= one.base.peek < 0o20000 and one.base.peek % 2 == 0
        assert all(0 <= vector.vector <= 0o774 and vector.vector % 4 == 0 for vector in one.vectors)
    floating = [one.computed.peek for one in wired.registers if isinstance(one.computed, Known)]
    assert len(floating) == len(set(floating))
