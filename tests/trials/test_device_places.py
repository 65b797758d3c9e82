"""Where a test program is told that its device is.  Addresses and vectors: as placements and loadout set them."""

from __future__ import annotations

from pathlib import Path

import pytest
from program_rig import placement, rig

import minisim
from minisim.catalogue import Catalogue
from minisim.devices._controller import Drive
from minisim.machine.build import machine_of
from minisim.media.geometry import geometry_of
from minisim.media.held import HeldMedium
from minisim.trials.own import Where
from minisim.trials.places import places_of, where_of
from minisim.wiring.resolve import resolve

ROOT = Path(__file__).resolve().parents[2]
PROFILE = "two-board-ttl-mmu"


def medium(kind: str) -> HeldMedium:
    """A blank one in memory."""
    geometry = geometry_of(Catalogue().medium(kind))
    assert geometry is not None
    return HeldMedium(geometry, bytes(geometry.size))


# Where each kind of device is usually found, as documents print it (see the sources of each model).
USUAL = {
    "line-clock": (0o177546, 0o100),
    "programmable-clock": (0o172540, 0o104),
    "paper-tape": (0o177550, 0o70),
    "line-printer": (0o177514, 0o200),
    "parallel": (0o167770, 0o300),
    "multiplexer": (0o160100, 0o300),
    "cartridge-disk-2mb": (0o177400, 0o220),
    "cartridge-disk-10mb": (0o174400, 0o160),
    "floppy-single": (0o177170, 0o264),
    "floppy-double": (0o177170, 0o264),
    "serial-block-tape": (0o176500, 0o300),
}


@pytest.mark.parametrize("device", sorted(USUAL))
def test_a_device_is_found_at_its_first_register_with_its_first_vector(device: str) -> None:
    address, vector = USUAL[device]
    pairs = ((vector, 5), (vector + 4, 5)) if device in ("multiplexer", "parallel", "serial-block-tape") else ()
    machine = rig(PROFILE, None, placement(device, address & 0o17777, *pairs))
    assert where_of(machine, device) == Where(address, vector, 0)


@pytest.mark.parametrize("device", [*sorted(USUAL), "no-such-device"])
def test_what_is_not_fitted_is_nowhere(device: str) -> None:
    machine = rig(PROFILE)
    assert where_of(machine, device) is None
    assert places_of(machine, device) == ()


def test_a_device_that_is_set_elsewhere_is_found_there() -> None:
    machine = rig(PROFILE, None, placement("cartridge-disk-2mb", 0o17440, (0o224, 5)))
    assert where_of(machine, "cartridge-disk-2mb") == Where(0o177440, 0o224, 0)


def test_the_first_of_several_is_told_and_all_can_be_asked_for() -> None:
    more = placement("parallel", 0o7770, (0o300, 5), (0o304, 5)), placement("parallel", 0o7760, (0o310, 5), (0o314, 5))
    machine = rig(PROFILE, None, *more)
    assert places_of(machine, "parallel") == (Where(0o167770, 0o300), Where(0o167760, 0o310))
    assert where_of(machine, "parallel") == Where(0o167770, 0o300)


def test_the_switch_register_has_an_address_and_no_vector() -> None:
    assert where_of(rig(PROFILE, switches=True), "switch-register") == Where(0o177570, None, 0)


# --- serial lines -----------------------------------------------------------------------------------------------------


def test_the_console_is_tested_only_where_it_is_the_only_line() -> None:
    assert where_of(rig(PROFILE), "serial-line") == Where(0o177560, 0o60, 0)
    two = rig(PROFILE, None, placement("serial-line", 0o16500, (0o300, 4), (0o304, 4)))
    assert where_of(two, "serial-line") == Where(0o176500, 0o300, 0)
    assert places_of(two, "serial-line") == (Where(0o176500, 0o300), Where(0o177560, 0o60))


def test_the_lines_of_one_board_are_lines_of_their_own() -> None:
    board = placement("serial-line", 0o16500, (0o300, 4), (0o304, 4), (0o310, 4), (0o314, 4), lines=2)
    found = places_of(rig(PROFILE, None, board), "serial-line")
    assert found == (Where(0o176500, 0o300), Where(0o176510, 0o310), Where(0o177560, 0o60))


def test_a_line_with_tape_drives_at_its_end_is_no_free_line() -> None:
    machine = rig(PROFILE, None, placement("serial-block-tape", 0o16500, (0o300, 4), (0o304, 4)))
    assert where_of(machine, "serial-block-tape") == Where(0o176500, 0o300, 0)
    assert where_of(machine, "serial-line") == Where(0o177560, 0o60, 0)


# --- drives -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("loaded", "unit"), [((), 0), ((0,), 0), ((2,), 2), ((3, 1), 1)])
def test_the_unit_is_that_of_the_first_drive_with_a_medium(loaded: tuple[int, ...], unit: int) -> None:
    drives = tuple(
        Drive(number, "", f"test:{number}", (), medium("cartridge-2mb") if number in loaded else None)
        for number in (3, 0, 1, 2)
    )
    machine = rig(PROFILE, None, placement("cartridge-disk-2mb", 0o17400, (0o220, 5), drives=drives))
    assert where_of(machine, "cartridge-disk-2mb") == Where(0o177400, 0o220, unit)


def test_a_drive_that_the_host_took_off_line_is_passed_over() -> None:
    drives = tuple(Drive(number, "", f"test:{number}", (), medium("floppy-8-inch-single")) for number in (0, 1))
    machine = rig(PROFILE, None, placement("floppy-single", 0o17170, (0o264, 5), drives=drives))
    drives[0].off_line = "the host has no room"
    assert where_of(machine, "floppy-single") == Where(0o177170, 0o264, 1)


# --- machines from loadouts -------------------------------------------------------------------------------------------


def test_a_machine_of_a_loadout_is_asked_the_same_way() -> None:
    """The numbers stand in the file, as settings of the boards."""
    catalogue = Catalogue()
    gauge = minisim.read_loadout(ROOT / "loadouts" / "kittiwake" / "gauge.yaml")
    with machine_of(resolve(gauge, catalogue), catalogue) as machine:
        assert where_of(machine, "serial-block-tape") == Where(0o176500, 0o300, 0)
        assert where_of(machine, "serial-line") == Where(0o177560, 0o60, 0)
        assert where_of(machine, "paper-tape") == Where(0o177550, 0o70, 0)
        assert where_of(machine, "line-clock") == Where(0o177546, 0o100, 0)
        assert where_of(machine, "floppy-double") is None


def test_a_frozen_machine_is_asked_the_same_way() -> None:
    machine = rig(PROFILE, None, placement("parallel", 0o7770, (0o300, 5), (0o304, 5)))
    assert where_of(minisim.thaw(machine.freeze()), "parallel") == Where(0o167770, 0o300, 0)
