"""What hangs on the boards, how long the joints are, and wires and jumpers that a loadout states."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from minisim.known import Evidence, Known, NotApplicable, Unknown
from minisim.wiring.model import GrantKind, Passes, Wired

Wire = Callable[..., Wired]
TWO_UNITS = """\
boxes:
- id: main
  supply: sep-large-box
  units:
  - id: a
    backplane: sep-two-board-mmu-processor-unit
    slots:
      1-2: {board: sep-cpu-two-boards-mmu-later}
  - id: b
    backplane: sep-four-slot-unit
    joined-by: {cable: CABLE}
    slots:
      1D: {board: sep-grant-card-interrupts}
"""


def test_a_cable_knows_its_board_its_line_and_what_hangs_on_it(wire: Wire) -> None:
    wired = wire(
        "boxes:\n- id: main\n  backplane: mux-twin-4-18bit\n  slots:\n    1AB: {board: mid-cpu-dual}\n"
        "    2CD: {board: serial-lines-four, settings: {address: 776500, vector: 300}}\n"
        "cables:\n- {from: main/a/2CD, line: 2, to: terminal, cable: serial-cable-10-pin, baud: 300}\n"
    )
    (one,) = wired.cables
    assert one.board is not None and str(wired.boards[one.board].place) == "main/a/2CD"
    assert one.registers is not None and wired.registers[one.registers].unit == 2
    assert one.drive.id == "terminal" and one.cable is not None and one.cable.id == "serial-cable-10-pin"


def test_the_length_of_a_joint_is_stated_or_the_only_one_made_or_unknown(wire: Wire) -> None:
    def length(cable: str) -> object:
        return wire(TWO_UNITS.replace("CABLE", cable)).units[1].cable_m

    assert length("sep-bus-cable, length-m: 4.57") == Known(Decimal("4.57"), Evidence.OWNER)
    made = length("sep-bus-jumper-folded")  # 2 ft, one length [bus-jumper-posts]
    assert isinstance(made, Known) and made.peek == Decimal("0.61") and made.sources == ("bus-jumper-posts",)
    assert isinstance(length("sep-bus-cable"), Unknown)
    assert wire(TWO_UNITS.replace("CABLE", "sep-bus-cable")).units[0].cable_m == NotApplicable()


def test_a_position_tells_of_its_wire(sep: Wire) -> None:
    wired = sep("1-2: {board: sep-cpu-two-boards-mmu-later}\n5CF: {board: sep-paper-tape}", "5: out")
    wires = {str(hop.place): hop.wire for hop in wired.chain(GrantKind.DMA).hops}
    assert wires["main/a/5CF"] is False and wires["main/a/6CF"] is True
    assert all(hop.wire is None for hop in wired.chain(GrantKind.INTERRUPT).hops)


def test_jumpers_that_are_out_open_rows_c_and_d_of_a_twin_bus_slot_alone(mux: Wire) -> None:
    """[slot-order-posts-1999]"""
    slots = "1AB: {board: mid-cpu-dual}\n1CD: {board: grant-card}\n2: {board: async-mux-four-line-quad%s}"
    closed, opened = mux(slots % ""), mux(slots % ", settings: {grant-jumpers: out}")
    assert [hop.passes for hop in closed.chain(GrantKind.INTERRUPT).hops[2:4]] == [Passes.YES, Passes.YES]
    assert [hop.passes for hop in opened.chain(GrantKind.INTERRUPT).hops[2:4]] == [Passes.NO, Passes.YES]
    assert opened.chain(GrantKind.INTERRUPT).hops[2].why == "the grant jumpers of the board are out"
