"""Two machines worked out from the catalogue by hand (derived): sums, positions, registers, windows."""

from __future__ import annotations

from decimal import Decimal

from minisim.known import Figure, Known, NotApplicable
from minisim.wiring.model import GrantKind, Passes, Wired, WiredRail


def rails(wired: Wired) -> dict[str, WiredRail]:
    return {rail.rail: rail for rail in wired.boxes[0].rails}


def value(figure: Figure[int]) -> int | None:
    return figure.peek if isinstance(figure, Known) else None


def positions(wired: Wired, place: str) -> list[int]:
    board = next(board for board in wired.boards if str(board.place) == place)
    return [hop.number for hop in wired.chain(GrantKind.INTERRUPT).hops if hop.board == board.index]


def registers(wired: Wired) -> set[tuple[str, int]]:
    """18-bit address of every run of registers with the number of words."""
    found = [(value(one.base), value(one.words)) for one in wired.registers]
    return {(f"{0o760000 + base:o}", words) for base, words in found if base is not None and words is not None}


# ---- desktop machine


def test_the_desktop_machine_takes_the_current_worked_out_by_hand(desk: Wired) -> None:
    assert {name: (rail.load.least, rail.load.complete) for name, rail in rails(desk).items()} == {
        "+5": (Decimal("6.3"), True),
        "+12": (Decimal("0.79"), True),
    }
    assert rails(desk)["+5"].rating == Known(Decimal(18), rails(desk)["+5"].rating.evidence, ("mux-chassis-page",))  # type: ignore[union-attr]
    assert round(desk.boxes[0].watts.least) == 41


def test_the_desktop_machine_loads_the_bus_as_worked_out_by_hand(desk: Wired) -> None:
    assert (desk.units[0].ac.least, desk.units[0].ac.complete) == (Decimal("8.5"), True)
    assert (desk.dc.least, desk.dc.complete) == (Decimal(4), True)
    own = desk.units[0].entry.ac
    assert isinstance(own, Known) and desk.units[0].ac.least + own.peek == Decimal("12.9")  # D15


def test_the_boards_of_the_desktop_machine_hold_their_grant_positions(desk: Wired) -> None:
    places = ("main/a/1AB", "main/a/1CD", "main/a/2CD", "main/a/4")
    assert [positions(desk, place) for place in places] == [[1], [2], [3], [7, 8]]


def test_the_registers_and_the_rom_window_of_the_desktop_machine(desk: Wired) -> None:
    assert registers(desk) == {("777520", 3), ("777546", 1), ("777560", 4)}
    assert [(f"{0o760000 + rom.base:o}", rom.words) for rom in desk.roms] == [("773000", 256)]


def test_the_desktop_machine_has_only_the_event_line_as_clock(desk: Wired) -> None:
    event = next(one for one in desk.registers if one.device == "event-line")
    assert event.base == NotApplicable() and [vector.vector for vector in event.vectors] == [0o100]
    assert isinstance(desk.event_line, Known) and desk.event_line.peek == "supply of box main"


def test_the_desktop_machine_boots_through_the_window_at_173000(desk: Wired) -> None:
    assert (value(desk.boot.start), value(desk.boot.start_ps)) == (0o173000, 0o340)
    assert desk.boot.rom == 0
    assert desk.boot.device is not None and desk.registers[desk.boot.device].device == "serial-line"
    assert desk.boot.cable is not None and desk.boot.cable.to == "terminal"


def test_both_ends_of_the_desktop_machine_are_terminated(desk: Wired) -> None:
    ends = [(str(desk.boards[one.board].place), one.at_end) for one in desk.terminators if one.board is not None]
    assert ends == [("main/a/1AB", "near"), ("main/a/4", "far")]


# ---- tide-gauge logger


def test_the_gauge_takes_at_least_the_current_worked_out_by_hand(gauge: Wired) -> None:
    assert {name: rail.load.least for name, rail in rails(gauge).items()} == {
        "+5": Decimal("6.9"),
        "+5 standby": Decimal("1.3"),
        "+12": Decimal("0.7"),
        "-12": Decimal("0.02"),
        "+15": Decimal("0.05"),
        "-15": Decimal("0.15"),
    }
    assert [name.split()[0] for name in rails(gauge)["+5"].load.unknown] == ["main/a/1-2", "main/a/3AB"]
    assert all(rail.load.complete for name, rail in rails(gauge).items() if name != "+5")


def test_the_bus_loads_of_the_gauge_are_known_only_in_part(gauge: Wired) -> None:
    assert gauge.dc.least == Decimal(2)
    assert [name.split()[0] for name in gauge.dc.unknown] == ["main/a/1-2", "main/a/4"]
    assert gauge.units[0].ac.least == 0 and len(gauge.units[0].ac.unknown) == 6


def test_every_grant_of_the_gauge_reaches_slot_9(gauge: Wired) -> None:
    for kind in GrantKind:
        hops = gauge.chain(kind).hops
        assert [hop.place.slots[0] for hop in hops] == list(range(1, 10))
        assert all(hop.reached is Passes.YES and hop.passes is Passes.YES for hop in hops)


def test_only_the_dual_card_passes_the_dma_grant_without_a_wire(gauge: Wired) -> None:
    by_board = [hop.number for hop in gauge.chain(GrantKind.DMA).hops if "wire CA1-CB1 in" not in hop.why]
    assert by_board == [1, 2, 8]


def test_the_registers_and_windows_of_the_gauge(gauge: Wired) -> None:
    assert registers(gauge) == {("772100", 1), ("777546", 1), ("777550", 4), ("777560", 4)}
    vectors = {one.device: [vector.vector for vector in one.vectors] for one in gauge.registers}
    assert vectors == {
        "serial-line": [0o60, 0o64],
        "line-clock": [0o100],
        "memory-parity": [],
        "paper-tape": [0o70, 0o74],
    }
    windows = {0o760000 + rom.base & ~0o777 for rom in gauge.roms}
    assert {f"{window:o}" for window in windows} == {"765000", "773000"}
    assert sum(rom.words for rom in gauge.roms) == 512  # [boot-terminator-wiki]


def test_the_power_up_fetch_of_the_gauge_is_redirected_to_the_rom(gauge: Wired) -> None:
    assert (value(gauge.boot.start), value(gauge.boot.start_ps)) == (0o173000, 0o340)  # 5.1 of the device facts, firm
    assert gauge.boot.rom is not None and gauge.roms[gauge.boot.rom].base == 0o13000


def test_the_terminators_of_the_gauge_stand_at_both_ends(gauge: Wired) -> None:
    ends = [(str(gauge.boards[one.board].place), one.at_end) for one in gauge.terminators if one.board is not None]
    assert ends == [("main/a/3AB", "near"), ("main/a/9AB", "far")]


def test_the_processor_of_the_gauge_has_its_standard_options(gauge: Wired) -> None:
    processor = gauge.processors[0]
    assert (processor.profile, processor.options) == ("two-board-ttl-mmu", ("eis", "mmu"))
