"""Processor options: asked for, standard, in a socket, on a board of its own, and what is missing."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from minisim.catalogue import Catalogue
from minisim.loadout.reader import read_loadout
from minisim.machine.build import machine_of
from minisim.machine.errors import BusTimeout
from minisim.wiring.addresses import address_bits
from minisim.wiring.model import Wired, WiredOption
from minisim.wiring.options import options_line
from minisim.wiring.resolve import resolve

Wire = Callable[[str], Wired]
RULES = Path(__file__).parents[1] / "rules"
HEAD = "boxes:\n- id: main\n  backplane: {}\n  slots:\n"
LATE = "1-6: {board: sep-cpu-late-ttl%s}"


def choices(wired: Wired) -> dict[str, WiredOption]:
    """The options of the first processor by name."""
    return {one.name: one for one in wired.processors[0].choices}


def machine(wire: Wire, unit: str, *slots: str) -> Wired:
    """A machine of one unit of the separate-line bus."""
    return wire(HEAD.format(unit) + "".join(f"    {line}\n" for line in slots))


def fixture(catalogue: Catalogue, rule: str, name: str) -> Wired:
    """One of the machines the rules are tried with."""
    own = RULES / rule / "catalogue"
    catalogue = Catalogue(extra=[own]) if own.is_dir() else catalogue
    return resolve(read_loadout(RULES / rule / f"{name}.yaml", catalogue=catalogue), catalogue)


def test_a_socket_holds_what_the_owner_names_and_nothing_else(mux: Wire) -> None:
    found = choices(mux("1AB: {board: mid-cpu-dual, options: [fpp]}"))
    assert (found["fpp"].where, found["fpp"].asked, found["fpp"].fitted) == ("socket", True, True)
    assert (found["mmu"].where, found["mmu"].asked, found["mmu"].fitted) == ("socket", False, False)
    assert (found["eis"].where, found["eis"].asked, found["eis"].fitted) == ("standard", False, True)
    assert "fis" not in found


def test_an_option_of_a_board_is_there_with_its_board_whether_it_is_named_or_not(catalogue: Catalogue) -> None:
    for name in ("good-board-of-this-processor", "good-first-version-not-known"):
        wired = fixture(catalogue, "OPT-002", name)
        fpp = choices(wired)["fpp"]
        assert fpp.fitted and [str(wired.boards[index].place) for index in fpp.boards] == ["main/a/3"]
        assert "fpp" in wired.processors[0].options


def test_an_option_without_its_board_is_missing_and_names_the_boards_that_bring_it(catalogue: Catalogue) -> None:
    wired = fixture(catalogue, "OPT-001", "bad-floating-board-not-there")
    fpp = choices(wired)["fpp"]
    assert fpp.missing and not fpp.fitted
    assert [entry.id for entry in fpp.made] == ["sep-two-board-fpp"]
    assert wired.processors[0].options == ("eis", "mmu")
    assert options_line(wired.processors[0], wired.boards) == "eis standard, fpp missing, mmu standard"


@pytest.mark.parametrize(
    ("rule", "name"), [("OPT-003", "bad-in-another-unit"), ("OPT-002", "bad-board-of-another-processor")]
)
def test_a_board_elsewhere_or_of_another_processor_adds_nothing(catalogue: Catalogue, rule: str, name: str) -> None:
    wired = fixture(catalogue, rule, name)
    assert wired.processors[0].options == ("eis", "mmu")
    assert choices(wired)["fpp"].boards == ()


def test_an_option_that_needs_another_one_works_only_with_it(catalogue: Catalogue) -> None:
    alone, both = (fixture(catalogue, "OPT-004", name) for name in ("bad-floating-without-integer", "good-both"))
    assert choices(alone)["fis"].lacks == ("eis",) and not choices(alone)["fis"].missing
    assert alone.processors[0].options == ()
    assert options_line(alone.processors[0], alone.boards) == "fis without its eis"
    assert both.processors[0].options == ("eis", "fis")


def test_each_option_board_of_the_large_processor_adds_its_own(wire: Wire) -> None:
    unit = "sep-late-ttl-processor-unit"
    assert machine(wire, unit, LATE % "").processors[0].options == ("eis", "mmu", "map")
    assert machine(wire, unit, LATE % "", "7: {board: sep-late-ttl-fpp}").processors[0].options == (
        "eis", "fpp", "mmu", "map",
    )  # fmt: skip
    assert "cis" in machine(wire, unit, LATE % "", "7-8: {board: sep-late-ttl-cis}").processors[0].options


def test_the_bus_map_of_the_chip_set_is_a_board_of_its_own(wire: Wire) -> None:
    """facts of the board: 18 bits without the map board, 22 with it (firm)"""
    unit, cpu = "sep-chipset-22bit-processor-unit", "1: {board: sep-cpu-chipset-hex%s}"
    assert choices(machine(wire, unit, cpu % ", options: [map]"))["map"].missing
    assert address_bits(machine(wire, unit, cpu % "")) == 18
    wired = machine(wire, unit, cpu % "", "2: {board: sep-chipset-map}")
    assert choices(wired)["map"].fitted and address_bits(wired) == 22
    assert options_line(wired.processors[0], wired.boards) == "eis standard, mmu standard, map by M7134 at main/a/2"


@pytest.mark.parametrize(
    ("rule", "name", "options"),
    [
        ("OPT-001", "bad-floating-board-not-there", ("eis", "mmu")),
        ("OPT-001", "good-board-beside", ("eis", "fpp", "mmu")),
        ("OPT-004", "good-both", ("eis", "fis")),
        ("OPT-004", "bad-floating-without-integer", ()),
    ],
)
def test_the_machine_is_built_with_the_options_wired_tells(
    catalogue: Catalogue, rule: str, name: str, options: tuple[str, ...]
) -> None:
    wired = fixture(catalogue, rule, name)
    assert machine_of(wired, Catalogue()).layout.options == options == tuple(sorted(wired.processors[0].options))


def test_the_registers_of_the_bus_map_are_the_processor_s(wire: Wire) -> None:
    """770200: addresses of the map registers [map-wiki]; without the board nobody answers there."""
    unit, cpu = "sep-chipset-22bit-processor-unit", "1: {board: sep-cpu-chipset-hex}"
    made = machine_of(machine(wire, unit, cpu, "2: {board: sep-chipset-map}"), Catalogue())
    assert not any("bus-map" in note for note in made.notes)
    made.write(0o170200, 0o123456)
    assert made.read(0o170200) == 0o123456
    with pytest.raises(BusTimeout):
        machine_of(machine(wire, unit, cpu), Catalogue()).read(0o170200)


def test_a_settable_stack_limit_is_an_option_where_the_profile_has_it_so(wire: Wire, catalogue: Catalogue) -> None:
    """row D24 of microcoded-mid: fixed_400_register_option"""
    block = catalogue.board("sep-cpu-five-boards-mid").processor
    assert block is not None and block.options["stack-limit"] == "unknown"
    asked = machine(
        wire, "sep-two-board-mmu-processor-unit", "1-5: {board: sep-cpu-five-boards-mid, options: [stack-limit]}"
    )
    assert asked.processors[0].options == ("stack-limit",)
    with_limit = [
        name
        for name in catalogue.ids("profiles")
        if catalogue.profile(name).model("stack_limit") == "fixed_400_register_option"
    ]
    boards = [catalogue.board(name) for name in catalogue.ids("boards")]
    having = {
        one.processor.profile for one in boards if one.processor and one.processor.options["stack-limit"] != "never"
    }
    assert having == set(with_limit)
