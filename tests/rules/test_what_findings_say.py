"""Sentences of findings that were once wrong: acts that could not be done, sources that said no such thing."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from expectations import HERE, checked, written

from minisim.checking import check_wired
from minisim.findings import Finding
from minisim.formatters import message, summary, text
from minisim.known import Unknown
from minisim.loadout.reader import read_loadout
from minisim.wiring.resolve import resolve

START = """\
      1AB: {board: mid-cpu-dual, settings: {power-up: 2}}
      1CD: {board: mos-memory-dual, settings: {start: 0, kb: 32}}
      2CD: {board: serial-line-single, settings: {address: 777560, vector: 60, console: yes}}
      4: {board: boot-diagnostic-terminator-quad, roms: {773000: rom-ours}}
"""


def findings(folder: Path, slots: str, **where: str) -> dict[str, Finding]:
    """The findings of a machine written in place, by `RULE place`."""
    return {f"{one.rule} {one.place}": one for one in checked(written(folder, slots, **where)).findings}


def only(fixture: str, rule: str) -> Finding:
    """The one finding of a rule in a fixture."""
    (one,) = (one for one in checked(HERE / fixture).findings if one.rule == rule)
    return one


def test_an_open_joint_is_put_right_by_the_cable_not_by_a_wire() -> None:
    one = only("GRANT-007/bad-cable-not-plugged.yaml", "GRANT-007")
    assert one.fix == "plug in the bus cable" and "both ends of the bus cable" in one.next_measurement


def test_a_limit_that_the_owner_states_names_no_document(tmp_path: Path) -> None:
    supply = '{describe: {rails: {"+5": 5, "+12": 2}, minimum: {"+12": 1.5}, watts: 20}}'
    found = findings(tmp_path, START, supply=supply)
    for key in ("POWER-002 main +5", "POWER-003 main", "POWER-004 main +12"):
        assert found[key].sources == () and found[key].limit.endswith("as the loadout states")
        assert " (mux-chassis-page" not in message(found[key])


def test_a_rail_that_is_missing_cites_nothing() -> None:
    assert only("POWER-002/bad-no-such-rail.yaml", "POWER-002").sources == ()


def test_a_start_taken_for_granted_is_not_called_a_described_board(tmp_path: Path) -> None:
    slots = "      1: {board: first-cpu-quad}\n      2CD: {board: static-memory-dual-small, settings: {start: 10000}}\n"
    line = message(findings(tmp_path, slots)["MEM-002 main/a/2CD"])
    assert "(assumed: start of the memory of M7264 (main/a/1))" in line and "described" not in line


def test_holes_behind_the_first_board_cut_off_are_not_said_to_be_before_it(tmp_path: Path) -> None:
    slots = START.replace("2CD:", "2AB:") + "      3CD: {board: floppy-double-density}\n"
    one = findings(tmp_path, slots)["GRANT-001 main/a/2AB"]
    assert "main/a/2CD before it is empty, and so is main/a/3AB further on" in one.found
    assert one.fix == "fit a grant card in main/a/2CD, main/a/3AB"


@pytest.mark.parametrize(
    ("slot", "act"),
    [
        ("4: {board: cartridge-disk-two-board}", "2 slots from 4 on"),
        ("4AB: {board: cartridge-disk-quad}", "give the board a place with rows ABCD"),
    ],
)
def test_a_board_that_does_not_fit_is_told_what_it_needs(tmp_path: Path, slot: str, act: str) -> None:
    start = START.replace("1CD", "2AB").replace("2CD", "3AB").replace("      4:", "      6:")
    found = findings(tmp_path, f"{start}      {slot}\n", backplane="mux-private-link-9-18bit")
    (one,) = (one for one in found.values() if one.rule == "SLOT-007")
    assert act in one.fix


def test_one_row_is_not_called_rows(tmp_path: Path) -> None:
    slots = "      9CF: {board: sep-line-clock}\n"
    found = findings(tmp_path, slots, supply="sep-large-box", backplane="sep-two-board-mmu-processor-unit")
    assert "a single board covers 1 row," in found["SLOT-007 main/a/9CF"].found


def test_a_board_in_the_link_rows_is_sent_to_the_bus_rows_with_the_source_that_says_so() -> None:
    one = only("SLOT-010/bad-dual-in-link-rows.yaml", "SLOT-010")
    assert one.fix == "move the board to rows AB of a slot" and one.sources == ("slot-order-posts-1999",)


def test_a_place_that_does_damage_is_left_before_power_comes_on() -> None:
    one = only("SLOT-002/bad-terminator-in-modified-slot.yaml", "SLOT-002")
    assert one.fix == "move the terminator to a bus-end slot before power comes on"
    assert "common-practice" not in one.sources


def test_a_second_processor_is_not_sent_to_the_place_of_the_first() -> None:
    one = only("SLOT-011/bad-two-processors.yaml", "SLOT-011")
    assert one.fix == "take one of the two out, M8186 (main/a/2AB) or M8186 (main/a/1AB)" and one.also


def test_the_lowest_memory_is_named_once() -> None:
    line = message(only("MEM-009/bad-mux.yaml", "MEM-009"))
    assert "M8044 (main/a/1CD): the lowest memory begins at 020000; " in line


def test_the_line_that_can_be_the_console_is_named(tmp_path: Path) -> None:
    slots = START.replace("address: 777560, vector: 60, console: yes", "address: 776500, vector: 300")
    assert findings(tmp_path, slots)["CONSOLE-002 main"].fix == "set M7940 (main/a/2CD) to 777560 and vector 60"


def test_the_place_for_a_far_terminator_is_named() -> None:
    one = only("GRANT-007/bad-cable-not-plugged.yaml", "TERM-001")
    assert one.fix == "fit a terminator in the last place of the bus (main/a/9AB)"


def test_a_pair_of_drives_is_fed_once() -> None:
    one = only("POWER-002/bad-drives.yaml", "POWER-002")
    assert [name for name in one.rests_on if "pair" in name] == [
        "main/a/4AB:2 floppy-5-inch-ten-sector-pair: unconfirmed"
    ]


def test_a_boot_board_without_stated_roms_is_not_known_to_boot() -> None:
    report = checked(HERE / "BOOT-001" / "good-boards-of-unknown-roms.yaml")
    (one,) = (one for one in report.outcomes if one.rule == "BOOT-001")
    assert one.state == "not checked" and one.missing == ("contents of the ROM of M8012 (main/a/4)",)


@pytest.mark.parametrize("what", ["address of the device that the ROM of", "address the ROM of"])
def test_a_rom_is_not_said_to_boot_while_an_address_is_not_known(what: str) -> None:
    file = HERE / "BOOT-001" / "good-device-there.yaml"
    wired = resolve(read_loadout(file))
    gone: Unknown = Unknown("not known")
    if "device" in what:
        wired = replace(wired, registers=tuple(replace(one, base=gone) for one in wired.registers))
    else:
        wired = replace(wired, roms=tuple(replace(one, expects=gone) for one in wired.roms))
    (one,) = (one for one in check_wired(wired).outcomes if one.rule == "BOOT-001")
    assert one.state == "not checked" and one.needs.startswith(what)


def test_long_lists_of_what_is_not_known_are_folded_on_the_first_screen_only() -> None:
    report = checked(HERE / "LOAD-002" / "good-sep.yaml")
    short, whole = text([report]), text([report], whole=True)
    assert "AC load of 6 boards (--all names them)" in short and "M9312, main/a/3CF" not in short
    assert "M9312, main/a/3CF" in whole and "M9312, main/a/3CF" in summary(report)


def test_empty_processor_places_are_one_thing_not_known_for_each_grant(tmp_path: Path) -> None:
    slots = "      1-6: {board: sep-cpu-late-ttl}\n      14CF: {board: sep-line-printer}\n"
    file = written(tmp_path, slots, supply="sep-large-box", backplane="sep-late-ttl-processor-unit")
    needs = [need for need in checked(file).not_known if need.startswith("whether main/")]
    assert needs == ["whether main/a/7, main/a/8, main/a/13 pass the interrupt grants"]


@pytest.mark.parametrize(
    ("fixture", "rule", "disputed"),
    [
        ("SLOT-001/bad-twin-bus-slot.yaml", "SLOT-001", "D14"),
        ("SLOT-002/bad-terminator-in-modified-slot.yaml", "SLOT-002", "D8"),
        ("ADDR-002/bad-sep.yaml", "ADDR-002", "D1"),
        ("LOAD-001/bad-mux-backplane-counted.yaml", "LOAD-001", "D15"),
        ("TERM-001/bad-mux-few-loads.yaml", "TERM-001", "D11"),
        ("VECT-002/bad-sep.yaml", "VECT-002", "D3"),
    ],
)
def test_a_disputed_point_that_decides_is_named(fixture: str, rule: str, disputed: str) -> None:
    assert only(fixture, rule).disputed == (disputed,)


def test_the_disputed_step_of_the_mixed_backplane_is_named_by_both_grant_rules(tmp_path: Path) -> None:
    slots = """\
      1AB: {board: fast-cpu-dual}
      2AB: {board: grant-card}
      3AB: {board: grant-card}
      4AB: {board: grant-card}
      5AB: {board: grant-card}
      5CD: {board: grant-card}
      6AB: {board: serial-line-single, settings: {address: 777560, vector: 60, console: yes}}
"""
    found = findings(tmp_path, slots, supply="mux-twelve-slot-box", backplane="mux-mixed-13-22bit")
    assert found["GRANT-001 main/a/6AB"].disputed == found["GRANT-003 main/a/6AB"].disputed == ("D6",)


def test_a_joint_further_out_hides_no_hole_before_it() -> None:
    one = only("GRANT-001/bad-hole-before-an-open-joint.yaml", "GRANT-001")
    assert one.fix == "fit a grant card in main/a/2AB and plug in the bus cable"


def test_memory_beyond_18_bits_of_the_separate_line_bus_is_not_measured_on_pins_of_the_other_bus() -> None:
    one = only("MEM-005/bad-sep.yaml", "MEM-005")
    assert "BC1" not in one.next_measurement and one.sources == ("map-wiki", "extended-slot-wiki")


def test_the_board_to_be_set_elsewhere_is_the_one_with_switches(tmp_path: Path) -> None:
    slots = START + "      2AB: {board: parallel-16-bit, settings: {address: 777514, vector: 200}}\n"
    found = findings(tmp_path, slots + "      3AB: {board: line-printer-interface}\n")
    assert found["ADDR-001 main/a/3AB"].fix == "set M7941 (main/a/2AB) to another address (767770 is free)"
    assert found["VECT-001 main/a/3AB"].fix == "set M7941 (main/a/2AB) to another vector (300 is free)"
