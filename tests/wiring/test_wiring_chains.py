"""How far the grants get: holes, boards that don't pass, wires, cards, cables between units."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from minisim.wiring.model import GrantKind, Passes, Wired

Wire = Callable[..., Wired]
PROCESSOR = "1AB: {board: mid-cpu-dual}"
LAST = "3AB: {board: serial-line-single}"
TWIN = ["1AB", "1CD", "2CD", "2AB", "3AB", "3CD", "4CD", "4AB"]  # serpentine order [mux-backplanes-wiki]


def reached(wired: Wired, place: str, kind: GrantKind = GrantKind.INTERRUPT) -> Passes:
    board = next(board for board in wired.boards if str(board.place) == place)
    return wired.reached(board.index, kind)


def hop(wired: Wired, place: str, kind: GrantKind = GrantKind.INTERRUPT) -> tuple[Passes, str, Passes, int | None]:
    found = next(hop for hop in wired.chain(kind).hops if str(hop.place) == place and not hop.joint)
    return found.passes, found.why, found.reached, found.broken_at


# ---- multiplexed bus


@pytest.mark.parametrize("position", range(1, 8))
def test_in_a_twin_bus_backplane_only_the_place_right_behind_the_last_board_is_reached(
    mux: Wire, position: int
) -> None:
    """Empty positions between the processor and a board stop the grants [grant-continuity-note]."""
    wired = mux(f"{PROCESSOR}\n{TWIN[position]}: {{board: serial-line-single}}")
    wanted = Passes.YES if position == 1 else Passes.NO
    assert reached(wired, f"main/a/{TWIN[position]}") is wanted
    assert hop(wired, f"main/a/{TWIN[position]}")[3] == (None if position == 1 else 2)


def test_the_positions_follow_the_serpentine(mux: Wire) -> None:
    wired = mux(PROCESSOR)
    assert [f"{one.place.slots[0]}{one.place.rows}" for one in wired.chain(GrantKind.INTERRUPT).hops] == TWIN


def test_both_grants_take_the_same_way_on_the_multiplexed_bus(mux: Wire) -> None:
    wired = mux(f"{PROCESSOR}\n2CD: {{board: serial-line-single}}")
    assert wired.chain(GrantKind.INTERRUPT).hops == wired.chain(GrantKind.DMA).hops


def test_a_grant_card_closes_a_hole(mux: Wire) -> None:
    wired = mux(f"{PROCESSOR}\n1CD: {{board: grant-card}}\n2CD: {{board: serial-line-single}}")
    assert reached(wired, "main/a/2CD") is Passes.YES


def test_a_quad_board_covers_both_its_positions(mux: Wire) -> None:
    wired = mux(f"{PROCESSOR}\n1CD: {{board: grant-card}}\n2: {{board: cartridge-disk-quad}}\n{LAST}")
    assert reached(wired, "main/a/3AB") is Passes.YES
    assert hop(wired, "main/a/2CD")[:2] == hop(wired, "main/a/2AB")[:2] == (Passes.YES, "the board hands the grant on")


def test_behind_a_board_that_passes_no_grant_nothing_is_reached(mux: Wire) -> None:
    """The first quad disk-protocol port must be the last board [slot-order-posts-1999]."""
    wired = mux(f"{PROCESSOR}\n1CD: {{board: grant-card}}\n2: {{board: disk-port-quad-no-through-grant}}\n{LAST}")
    assert reached(wired, "main/a/2") is Passes.YES
    assert hop(wired, "main/a/3AB")[2:] == (Passes.NO, 3)


def test_a_described_board_of_which_nothing_is_said_makes_the_rest_doubtful(mux: Wire) -> None:
    wired = mux(f"{PROCESSOR}\n1CD: {{board: {{describe: {{height: dual}}}}}}\n2CD: {{board: serial-line-single}}")
    assert hop(wired, "main/a/2CD")[2:] == (Passes.UNKNOWN, 2)


def test_a_certain_hole_behind_a_doubtful_board_is_named(mux: Wire) -> None:
    wired = mux(f"{PROCESSOR}\n1CD: {{board: {{describe: {{height: dual}}}}}}\n2AB: {{board: serial-line-single}}")
    assert hop(wired, "main/a/2AB")[2:] == (Passes.NO, 3)


def test_without_a_processor_no_grant_ever_starts(mux: Wire) -> None:
    wired = mux("1AB: {board: serial-line-single}")
    assert hop(wired, "main/a/1AB")[2:] == (Passes.NO, None)


def test_memory_before_the_processor_does_not_stop_the_chain(wire: Wire) -> None:
    """Fast-link memory stands before its processor [fast-link-wiki]."""
    wired = wire(
        "boxes:\n- id: main\n  backplane: mux-mixed-8-22bit\n  slots:\n"
        "    1: {board: private-link-memory-one-mb}\n"
        "    2: {board: fast-cpu-quad-private-memory-link}\n"
        "    3AB: {board: serial-line-single}\n"
    )
    assert reached(wired, "main/a/3AB") is Passes.YES
    assert hop(wired, "main/a/1AB")[2] is Passes.YES


def test_in_private_link_slots_only_rows_a_and_b_carry_the_grants(wire: Wire) -> None:
    wired = wire(
        "boxes:\n- id: main\n  backplane: mux-private-link-9-18bit\n  slots:\n"
        "    1AB: {board: mid-cpu-dual}\n    2: {board: cartridge-disk-quad}\n    3AB: {board: serial-line-single}\n"
        "    4CD: {board: serial-line-single, settings: {address: 776500}}\n"
    )
    assert reached(wired, "main/a/3AB") is Passes.YES
    assert wired.chain(GrantKind.INTERRUPT).hop_of(3) is None
    assert reached(wired, "main/a/4CD") is Passes.NO


# ---- two units

TWO_BOXES = """boxes:
- id: main
  backplane: mux-dual-straight-4
  slots:
    1: {{board: mid-cpu-dual}}
    2: {{board: mos-memory-dual}}
    3: {{board: grant-card}}
- id: lower
  units:
  - id: b
    backplane: mux-dual-straight-4
    {joint}
    slots:
      2: {{board: serial-line-single}}
"""


def test_the_end_boards_of_a_bus_cable_hand_the_grants_on(wire: Wire) -> None:
    joint = "joined-by: {cable: mux-extension-cable-first, connected: yes}"
    wired = wire(TWO_BOXES.format(joint=joint))
    assert [unit.joined for unit in wired.units] == [True, True]
    assert hop(wired, "main/a/4AB")[:2] == (Passes.YES, "end board of the bus cable")
    assert reached(wired, "lower/b/2") is Passes.YES


@pytest.mark.parametrize(
    ("joint", "why"),
    [
        ("joined-by: {cable: mux-extension-cable-first, connected: no}", "the cable to lower/b is not plugged in"),
        ("wires: {}", "no cable joins lower/b to the unit before it"),
    ],
)
def test_behind_an_open_joint_nothing_is_reached(wire: Wire, joint: str, why: str) -> None:
    wired = wire(TWO_BOXES.format(joint=joint))
    joints = [one for one in wired.chain(GrantKind.INTERRUPT).hops if one.joint]
    assert [(one.number, one.why, one.passes) for one in joints] == [(5, why, Passes.NO)]
    assert not wired.units[1].joined
    assert hop(wired, "lower/b/2AB")[2] is Passes.NO


# ---- separate-line bus

CPU = "1-2: {board: sep-cpu-two-boards-mmu-later}"


def test_an_empty_small_peripheral_slot_stops_the_interrupt_grants_but_not_the_dma_grant(sep: Wire) -> None:
    """[grant-card-wiki], [small-peripheral-wiki]: the wire CA1-CB1 stays in where no DMA board sits."""
    wired = sep(f"{CPU}\n4CF: {{board: sep-serial-line}}")
    assert hop(wired, "main/a/4CF")[2:] == (Passes.NO, 3)
    assert hop(wired, "main/a/4CF", GrantKind.DMA)[2] is Passes.YES


def test_a_single_card_in_d_passes_the_interrupt_grants_only(sep: Wire) -> None:
    """[grant-card-wiki]"""
    wired = sep(f"{CPU}\n3D: {{board: sep-grant-card-interrupts}}\n4CF: {{board: sep-serial-line}}", "3: out")
    assert hop(wired, "main/a/3CF") == (Passes.YES, "the board hands the grant on", Passes.YES, None)
    assert hop(wired, "main/a/3CF", GrantKind.DMA)[0] is Passes.NO
    assert hop(wired, "main/a/4CF", GrantKind.DMA)[2:] == (Passes.NO, 3)


def test_a_dual_card_passes_both_grants_with_the_wire_out(sep: Wire) -> None:
    """[grant-card-wiki]"""
    wired = sep(f"{CPU}\n3CD: {{board: sep-grant-card-interrupts-and-dma}}\n4CF: {{board: sep-serial-line}}", "3: out")
    assert hop(wired, "main/a/4CF")[2] is hop(wired, "main/a/4CF", GrantKind.DMA)[2] is Passes.YES


def test_a_dma_board_passes_the_grant_itself_with_the_wire_out(sep: Wire) -> None:
    wired = sep(f"{CPU}\n3CF: {{board: sep-floppy-double-density}}", "3: out")
    assert hop(wired, "main/a/3CF", GrantKind.DMA)[:2] == (
        Passes.YES,
        "wire CA1-CB1 out; the board hands the grant on",
    )


def test_a_board_without_dma_needs_the_wire(sep: Wire) -> None:
    """[grant-chain-practice], of the serial-and-clock board."""
    wired = sep(f"{CPU}\n3CF: {{board: sep-serial-line-and-clock}}", "3: out")
    assert hop(wired, "main/a/3CF", GrantKind.DMA)[0] is Passes.NO


def test_a_hex_board_passes_the_interrupt_grants_in_d(sep: Wire) -> None:
    wired = sep(f"{CPU}\n3: {{board: mos-memory-hex-modified}}\n4CF: {{board: sep-serial-line}}")
    assert reached(wired, "main/a/4CF") is Passes.YES


def test_a_board_in_a_and_b_is_no_position_of_the_chain(gauge: Wired) -> None:
    assert gauge.chain(GrantKind.INTERRUPT).hop_of(1) is None and str(gauge.boards[1].place) == "main/a/3AB"


def test_behind_an_empty_processor_place_all_is_doubtful(sep: Wire) -> None:
    wired = sep("1: {board: sep-cpu-one-board-basic}\n3CF: {board: sep-serial-line}")
    assert hop(wired, "main/a/2")[0] is Passes.UNKNOWN
    assert hop(wired, "main/a/3CF")[2:] == (Passes.UNKNOWN, 2)


def test_a_set_that_fills_its_own_unit_is_one_position(wire: Wire) -> None:
    wired = wire(
        "boxes:\n- id: main\n  units:\n"
        "  - {id: a, backplane: sep-two-board-mmu-processor-unit, slots: {1-2: {board: sep-cpu-two-boards-mmu-later},"
        " 3D: {board: sep-grant-card-interrupts}, 4D: {board: sep-grant-card-interrupts},"
        " 5D: {board: sep-grant-card-interrupts}, 6D: {board: sep-grant-card-interrupts},"
        " 7D: {board: sep-grant-card-interrupts}, 8D: {board: sep-grant-card-interrupts},"
        " 9D: {board: sep-grant-card-interrupts}}}\n"
        "  - {id: b, backplane: sep-small-cartridge-controller-unit, joined-by: {cable: sep-bus-jumper-short},"
        " slots: {1-4: {board: sep-disk-controller-small-cartridge}}}\n"
    )
    chain = wired.chain(GrantKind.DMA)
    assert str(chain.hops[-1].place) == "main/b/1-4" and len(chain.hops) == 10
    assert reached(wired, "main/b/1-4", GrantKind.DMA) is Passes.YES
