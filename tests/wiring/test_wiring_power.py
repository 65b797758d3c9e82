"""Rails, watts and loads as intervals, and the boards that take one rail or another."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

import pytest

from minisim.known import Evidence, Known, NotApplicable, Unknown
from minisim.wiring.model import Wired, WiredRail
from minisim.wiring.power import volts

Wire = Callable[..., Wired]


def rails(wired: Wired, box: int = 0) -> dict[str, WiredRail]:
    return {rail.rail: rail for rail in wired.boxes[box].rails}


def memory_in(wire: Wire, supply: str) -> dict[str, Decimal]:
    """Load of a memory board that takes 12 V or 15 V, by rail, in a box with this supply."""
    wired = wire(
        f"boxes:\n- id: main\n  supply: {supply}\n  backplane: sep-nine-slot-unit\n"
        "  slots:\n    2: {board: mos-memory-hex-modified}\n"
    )
    return {name: rail.load.least for name, rail in rails(wired).items() if rail.load.parts}


def test_a_board_that_takes_one_rail_or_another_counts_once(wire: Wire) -> None:
    """Amperes: [memory-board-wiki]; the large box has both rails, 12 V comes first."""
    taken = memory_in(wire, "sep-large-box")
    assert taken == {"+5": Decimal("1.8"), "+5 standby": Decimal("1.3"), "+12": Decimal("0.7"), "-12": Decimal("0.02")}


def test_in_a_box_without_12_volts_it_takes_15(wire: Wire) -> None:
    taken = memory_in(wire, "sep-two-space-box-25")
    assert taken["+15"] == Decimal("0.7") and "+12" not in taken


def test_a_rail_the_supply_does_not_have_is_shown_as_such(wire: Wire) -> None:
    wired = wire(
        "boxes:\n- id: main\n  supply: mux-four-slot-box\n  backplane: mux-twin-4-18bit\n  slots:\n"
        "    1AB: {board: {describe: {height: dual, amps: {'-12': 0.1}}}}\n"
    )
    assert rails(wired)["-12"].rating == NotApplicable()


def test_without_a_supply_nothing_is_known_of_the_ratings(wire: Wire) -> None:
    wired = wire("boxes:\n- {id: main, backplane: mux-twin-4-18bit}\n")
    assert isinstance(rails(wired)["+5"].rating, Unknown) and isinstance(wired.boxes[0].watts_rating, Unknown)
    assert isinstance(wired.event_line, Unknown)


def test_a_supply_of_ones_own_has_the_ratings_of_the_owner(wire: Wire) -> None:
    wired = wire(
        "boxes:\n- id: main\n  supply: {describe: {rails: {'+5': 10}, minimum: {'+5': 1}, watts: 60}}\n"
        "  backplane: mux-twin-4-18bit\n  slots: {1AB: {board: mos-memory-dual}}\n"
    )
    rail = rails(wired)["+5"]
    assert (rail.rating, rail.minimum) == (Known(Decimal(10), Evidence.OWNER), Known(Decimal(1), Evidence.OWNER))
    assert wired.boxes[0].watts_rating == Known(Decimal(60), Evidence.OWNER)
    assert rails(wired)["+12"].rating == NotApplicable()


def test_each_box_feeds_its_own_boards(wire: Wire) -> None:
    wired = wire(
        "boxes:\n- id: main\n  supply: mux-four-slot-box\n  backplane: mux-twin-4-18bit\n"
        "  slots: {1AB: {board: mos-memory-dual}}\n"
        "- id: lower\n  supply: mux-four-slot-box\n  units:\n"
        "  - id: b\n    backplane: mux-twin-4-18bit\n    joined-by: {cable: mux-extension-cable-first}\n"
        "    slots: {1CD: {board: serial-line-single}}\n"
    )
    # [module-comparison-serial] 1.0 A; memory 1.7 A unconfirmed
    assert [rails(wired, box)["+5"].load.least for box in (0, 1)] == [Decimal("1.7"), Decimal("1.0")]
    assert [unit.ac.least for unit in wired.units] == [Decimal(2), Decimal("2.5")]
    assert wired.dc.least == Decimal(2)


def test_a_described_board_without_currents_is_an_unknown_part(mux: Wire) -> None:
    wired = mux("1AB: {board: {describe: {height: dual}}}")
    assert rails(wired)["+5"].load.unknown == ("main/a/1AB described",)
    assert not wired.units[0].ac.complete and not wired.dc.complete


@pytest.mark.parametrize(("rail", "volt"), [("+5", 5), ("+5 standby", 5), ("-12", 12), ("+20", 20)])
def test_volts_of_a_rail(rail: str, volt: int) -> None:
    assert volts(rail) == volt


# ---- ends of the bus


def test_a_terminator_with_boards_behind_it_stands_inside(mux: Wire) -> None:
    wired = mux("1AB: {board: mid-cpu-dual}\n1CD: {board: terminator-dual}\n2CD: {board: serial-line-single}")
    assert [one.at_end for one in wired.terminators] == ["near", "inside"]


def test_a_terminator_built_into_the_backplane_is_listed(wire: Wire) -> None:
    wired = wire("boxes:\n- {id: main, backplane: mux-twin-9-22bit}\n")
    assert [(one.board, one.at_end) for one in wired.terminators] == [(None, "far")]
    assert isinstance(wired.terminators[0].strength, Known) and wired.terminators[0].strength.peek == "full"


def test_resistor_packs_in_sockets_may_be_out(wire: Wire) -> None:
    wired = wire("boxes:\n- {id: main, backplane: mux-mixed-8-22bit}\n")
    assert isinstance(wired.terminators[0].strength, Unknown)


def test_a_terminator_in_a_unit_with_another_behind_it_stands_inside(wire: Wire) -> None:
    text = (
        "boxes:\n- id: main\n  units:\n"
        "  - {{id: a, backplane: sep-nine-slot-unit, slots: {{9AB: {{board: sep-plain-terminator}}}}}}\n"
        "  - {{id: b, backplane: sep-nine-slot-unit, joined-by: {{cable: sep-bus-jumper-short, connected: {state}}}}}\n"
    )
    assert wire(text.format(state="yes")).terminators[0].at_end == "inside"
    assert wire(text.format(state="no")).terminators[0].at_end == "far"
