"""The ways a rule can end that no fixture shows: figures taken away or changed, machines nobody would write down."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from expectations import HERE, checked, written

from minisim.checking import check_wired
from minisim.findings import Finding, Outcome, Report
from minisim.known import Evidence, Known, Unknown
from minisim.loadout.reader import read_loadout
from minisim.wiring.model import Wired, WiredBoard
from minisim.wiring.resolve import resolve

START = """\
      1AB: {board: mid-cpu-dual, settings: {power-up: 2}}
      1CD: {board: mos-memory-dual, settings: {start: 0, kb: 32}}
      2CD: {board: serial-line-single, settings: {address: 777560, vector: 60, console: yes}}
"""
LAST = "      4: {board: boot-diagnostic-terminator-quad, roms: {773000: rom-ours}}\n"
NOTHING = Unknown("taken away")


def machine(name: str) -> Wired:
    """A fixture, resolved."""
    return resolve(read_loadout(HERE / name))


def ended(report: Report, rule: str, place: str) -> Outcome:
    """How a rule ended at a place (the last time it spoke of it)."""
    return [one for one in report.outcomes if (one.rule, one.place) == (rule, place)][-1]


def missing(wired: Wired, rule: str, place: str) -> tuple[str, ...]:
    """What a rule asks for at a place."""
    return ended(check_wired(wired), rule, place).missing


def with_board(wired: Wired, place: str, change: Callable[[WiredBoard], WiredBoard]) -> Wired:
    """The same machine with one board changed."""
    boards = tuple(change(one) if str(one.place) == place else one for one in wired.boards)
    assert boards != wired.boards
    return replace(wired, boards=boards)


def entry(wired: Wired, place: str, **changes: Any) -> Wired:
    """The same machine with figures of one board's catalogue entry changed."""
    return with_board(wired, place, lambda one: replace(one, entry=replace(one.entry, **changes)))


def only(report: Report, rule: str) -> Finding:
    """The one finding of a rule."""
    (one,) = (one for one in report.findings if one.rule == rule)
    return one


# ---- slots and power


@pytest.mark.parametrize("rule", ["SLOT-004", "POWER-001"])
def test_where_the_slot_kinds_are_not_known_nothing_is_said_of_memory_and_they_are_asked_for(rule: str) -> None:
    wired = with_board(machine("SLOT-004/good-extended.yaml"), "main/a/3", lambda one: replace(one, kinds=()))
    assert missing(wired, rule, "main/a/3") == ("slot kinds of backplane main/a",)


def test_memory_that_may_stand_in_both_kinds_of_slots_is_no_mismatch_in_either() -> None:
    wired = entry(machine("SLOT-004/good-modified.yaml"), "main/a/4", slots=("modified", "extended"))
    assert str(ended(check_wired(wired), "SLOT-004", "main/a/4").state) == "passed"


def test_a_set_with_one_slot_of_a_wrong_kind_is_told_which_one(tmp_path: Path) -> None:
    slots = "      1-6: {board: sep-cpu-late-ttl}\n      8-9: {board: sep-late-ttl-cis}\n"
    file = written(tmp_path, slots, supply="sep-large-box", backplane="sep-late-ttl-processor-unit")
    one = only(checked(file), "SLOT-010")
    assert (one.found, one.place) == ("slot 9 of the set is of kind extended", "main/a/8-9")
    assert one.limit == "all its boards may stand in slots of kind processor only"


def test_a_board_of_which_nobody_knows_where_it_may_stand_is_asked_about() -> None:
    wired = entry(machine("SLOT-010/good-mux.yaml"), "main/a/2CD", slots=())
    assert "slot kinds in which" in missing(wired, "SLOT-010", "main/a/2CD")[0]


def test_a_set_whose_order_matters_is_asked_how_it_stands_and_how_it_belongs() -> None:
    wired = machine_of("SLOT-006/good-order.yaml")
    silent = with_board(wired, "main/a/4-5", lambda one: replace(one, placed=replace(one.placed, order=())))
    assert missing(silent, "SLOT-006", "main/a/4-5") == ("in which order the boards of X0013/X0014 (main/a/4-5) stand",)
    unknown = entry(wired, "main/a/4-5", order=NOTHING)
    assert missing(unknown, "SLOT-006", "main/a/4-5") == (
        "in which order the boards of X0013/X0014 (main/a/4-5) belong",
    )


def machine_of(name: str) -> Wired:
    """A fixture with a catalogue of its own, resolved."""
    from minisim.catalogue import Catalogue

    catalogue = Catalogue(extra=[(HERE / name).parent / "catalogue"])
    return resolve(read_loadout(HERE / name, catalogue=catalogue), catalogue)


def test_volts_that_the_owner_measured_go_before_those_of_the_backplane() -> None:
    one = only(checked(HERE / "POWER-001" / "bad-measured.yaml"), "POWER-001")
    assert (one.found, one.severity) == (
        "the board takes 15 V on its memory pins and the backplane gives 12 V",
        "damage",
    )


# ---- lengths and widths


def three_boxes(first: str, second: str) -> Wired:
    """Three backplanes of the multiplexed bus with cables of these lengths; "" where nobody says."""
    wired = machine("LOAD-003/good-mux.yaml")
    lengths = (None, first, second)
    units = tuple(
        replace(one, cable_m=Known(_metres(text), Evidence.OWNER) if text else NOTHING) if text is not None else one
        for one, text in zip(wired.units, lengths, strict=True)
    )
    return replace(wired, units=units)


def _metres(text: str) -> Any:
    from decimal import Decimal

    return Decimal(text)


def test_a_first_cable_of_unknown_length_leaves_the_difference_open() -> None:
    """The second differs from the first by 1.22 m [cpu-guides, from memory, firm]."""
    wired = three_boxes("", "1.83")
    first, second = (wired.units[index] for index in (1, 2))
    wanted = f"length of the cable to {first.box}/{first.id}"
    outcomes = [one for one in check_wired(wired).outcomes if one.rule == "LOAD-003"]
    assert {one.place: one.missing for one in outcomes if one.missing} == {
        f"{first.box}/{first.id}": (wanted,), f"{second.box}/{second.id}": (wanted,)
    }  # fmt: skip


def test_all_cables_together_are_at_most_4_88_m() -> None:
    """[cpu-guides, from memory, firm]"""
    found = [one.found for one in check_wired(three_boxes("0.61", "4.28")).findings if one.rule == "LOAD-003"]
    assert found == ["all cables together are 4.89 m long"]
    assert not [one for one in check_wired(three_boxes("0.61", "4.27")).findings if one.rule == "LOAD-003"]


@pytest.mark.parametrize(
    ("cable", "state"), [("mux-extension-cable-22bit", "passed"), ("mux-extension-cable-first", "not checked")]
)
def test_memory_behind_a_cable_needs_its_upper_address_lines(tmp_path: Path, cable: str, state: str) -> None:
    """A set for 18 bits leaves the upper four lines open in the second box [derived]."""
    lower = (
        "  - id: lower\n    supply: mux-four-slot-box\n    backplane: mux-twin-4-22bit\n"
        f"    joined-by: {{cable: {cable}, length-m: 1.2, connected: yes}}\n"
        "    slots:\n      1CD: {board: mos-memory-parity-22bit-dual, settings: {start: 1000000, kb: 256}}\n"
    )
    slots = START.splitlines(keepends=True)[0] + START.splitlines(keepends=True)[2]
    report = checked(written(tmp_path, slots, backplane="mux-twin-4-22bit", more=lower))
    one = ended(report, "MEM-005", "lower/a/1CD")
    assert str(one.state) == state
    assert one.missing == (() if state == "passed" else ("address bits of the cable to lower/a",))


# ---- memory and DMA


def test_memory_of_unknown_place_may_reach_beyond_a_narrow_dma_board() -> None:
    wired = machine("DMA-001/bad-18-bit-floppy.yaml")
    gone = tuple(replace(one, start=NOTHING) for one in wired.memories)
    board = next(one for one in wired.boards if getattr(one.entry.dma, "peek", "") == "yes")
    needs = missing(replace(wired, memories=gone), "DMA-001", str(board.place))
    assert needs and all(need.startswith("start of the memory of") for need in needs)


@pytest.mark.parametrize(("kb", "wanted"), [(32, False), (256, True)])
def test_dma_of_a_board_nobody_knows_is_asked_for_only_where_memory_is_large(
    tmp_path: Path, kb: int, wanted: bool
) -> None:
    """16 bits reach 64 KB [derived]."""
    slots = START + "      2AB: {board: {describe: {height: dual, interrupts: no, passes-grant: yes}}}\n"
    wired = resolve(read_loadout(written(tmp_path, slots)))
    sized = tuple(replace(one, size=Known(kb * 1024, Evidence.OWNER)) for one in wired.memories)
    asked = ("DMA of board described in place (main/a/2AB)",) if wanted else ()
    assert missing(replace(wired, memories=sized), "DMA-001", "main/a/2AB") == asked


def test_a_map_that_is_there_leaves_open_whether_software_sets_its_windows() -> None:
    """The map is off at power-up [map-wiki]."""
    report = checked(HERE / "valid" / "mapped-registry.yaml")
    asked = [need for need in report.not_known if need.startswith("whether software sets the windows of the map")]
    assert len(asked) == 1


# ---- addresses and vectors


def test_a_vector_nobody_knows_is_asked_for() -> None:
    wired = machine("VECT-001/good-mux.yaml")
    first = next(one for one in wired.registers if one.vectors)
    gone = tuple(replace(one, vector=NOTHING, vectors=()) if one is first else one for one in wired.registers)
    place = str(wired.boards[first.board].place)
    assert "vector of the" in missing(replace(wired, registers=gone), "VECT-001", place)[0]


def test_registers_of_unknown_number_are_asked_for_as_that() -> None:
    wired = machine("ADDR-001/good-mux.yaml")
    first = next(one for one in wired.registers if isinstance(one.base, Known))
    gone = tuple(replace(one, words=NOTHING) if one is first else one for one in wired.registers)
    needs = {need for one in check_wired(replace(wired, registers=gone)).outcomes if one.rule == "ADDR-001"
             for need in one.missing}  # fmt: skip
    assert any(need.startswith("number of registers of the") for need in needs)


def test_a_kind_behind_the_published_order_has_no_computed_place() -> None:
    wired = machine("ADDR-002/good-sep.yaml")
    floating = next(one for one in wired.registers if one.rank is not None and isinstance(one.base, Known))
    gone = tuple(replace(one, computed=NOTHING) if one is floating else one for one in wired.registers)
    place = str(wired.boards[floating.board].place)
    assert missing(replace(wired, registers=gone), "ADDR-002", place)


# ---- boot, clock, console


def test_a_start_inside_a_program_that_begins_elsewhere_is_a_doubt() -> None:
    wired = machine("BOOT-002/good-mux.yaml")
    roms = tuple(replace(one, start=Known(0o173010, Evidence.OWNER)) if one.fitted else one for one in wired.roms)
    one = only(check_wired(replace(wired, roms=roms)), "BOOT-002")
    assert (one.severity, one.fix) == ("doubt", "set the start to 173010")


def test_where_the_windows_of_a_rom_board_are_not_known_the_first_fetch_is_left_open() -> None:
    report = checked(HERE / "valid" / "three-box-network.yaml")
    assert ended(report, "BOOT-002", "main").missing == ("ROM of M7195-FA (main/a/3AB)",)


def test_a_switch_of_the_first_fetch_that_nobody_states_is_asked_for(tmp_path: Path) -> None:
    text = (HERE / "BOOT-002" / "good-sep.yaml").read_text("utf-8").replace(", start: 173030", "")
    file = tmp_path / "x.yaml"
    file.write_text(text, "utf-8")
    assert ended(checked(file), "BOOT-002", "main").missing == ("switch start of the board at main/a/3AB",)


def test_a_rom_whose_device_stands_at_an_address_nobody_knows_is_left_open() -> None:
    wired = machine("BOOT-001/good-device-there.yaml")
    (rom,) = (one for one in wired.roms if one.fitted)
    devices = rom.boots.peek if isinstance(rom.boots, Known) else ()
    gone = tuple(replace(one, base=NOTHING) if one.device in devices else one for one in wired.registers)
    if not isinstance(rom.expects, Known):
        rom = replace(rom, expects=Known(0o17170, Evidence.FIRM))
    needs = missing(replace(wired, roms=(rom,), registers=gone), "BOOT-001", "main")
    assert needs and needs[0].startswith("address of the device that the ROM of")


def test_a_processor_of_which_nobody_knows_whether_it_takes_ticks_is_asked_about() -> None:
    wired = machine("CLOCK-001/good-mux.yaml")
    first = wired.boards[wired.processors[0].board]
    assert first.entry.processor is not None
    unsure = replace(first.entry.processor, line_clock="unknown")
    gone = tuple(one for one in wired.registers if one.device not in ("line-clock", "event-line"))
    changed = entry(replace(wired, registers=gone), str(first.place), processor=unsure)
    assert missing(changed, "CLOCK-001", "main")[0].startswith("line clock of")


def test_a_terminal_that_works_at_one_speed_only_is_held_against_line_and_cable(tmp_path: Path) -> None:
    """110 baud [components-1969]."""
    cables = "cables:\n  - {from: main/a/2CD, line: 0, to: teleprinter-with-reader-punch, baud: 300}\n"
    slots = START.replace("console: yes", "console: yes, baud: 300") + LAST
    one = only(checked(written(tmp_path, slots, more=cables)), "CONSOLE-003")
    assert one.found == "line and cable say 300 baud, this terminal works at 110 only"
    assert one.fix == "set line and cable to 110 baud"


def test_a_speed_that_only_one_side_states_is_asked_for_at_the_other(tmp_path: Path) -> None:
    cables = "cables:\n  - {from: main/a/2CD, line: 0, to: terminal-eia}\n"
    slots = START.replace("console: yes", "console: yes, baud: 300") + LAST
    asked = checked(written(tmp_path, slots, more=cables)).not_known
    assert "speed of the terminal at main/a/2CD" in asked


def test_what_is_not_stated_of_several_lines_is_one_thing_not_known(tmp_path: Path) -> None:
    second = "      2AB: {board: serial-line-single, settings: {address: 776500, vector: 300, bits: 8, wiring: eia}}\n"
    cables = "cables:\n" + "".join(f"  - {{from: main/a/{place}, line: 0, to: terminal}}\n" for place in ("2CD", "2AB"))
    asked = checked(written(tmp_path, START + second + LAST, more=cables)).not_known
    assert [need for need in asked if "at both ends" in need] == [
        "character length, parity, stop bits and wiring at both ends of the line of main/a/2CD and main/a/2AB"
    ]


def test_a_loop_fed_from_both_sides_is_said_as_that(tmp_path: Path) -> None:
    cables = "cables:\n  - {from: main/a/2CD, line: 0, to: terminal-20ma, baud: 300, loop: active}\n"
    settings = "console: yes, baud: 300, wiring: current-loop, loop: active"
    one = only(checked(written(tmp_path, START.replace("console: yes", settings) + LAST, more=cables)), "CONSOLE-003")
    assert (one.found, one.cause) == ("both sides of the current loop are active", "two supplies drive one loop")
    assert one.fix == "make the board's side passive"


# ---- cables


def test_an_unmade_cable_leads_to_a_drive_of_which_no_cable_is_known(tmp_path: Path) -> None:
    slots = (
        START + "      2AB: {board: {describe: {height: dual, interrupts: no, dma: no, passes-grant: yes}}}\n" + LAST
    )
    cables = "cables:\n  - {from: main/a/2AB, to: nine-track-800-drive, cable: floppy-cable}\n"
    asked = ended(checked(written(tmp_path, slots, more=cables)), "CABLE-002", "main/a/2AB")
    assert asked.missing == ("kinds of cable that lead to nine-track-800-drive",)


def test_a_drive_on_a_wrong_board_is_sent_to_its_controller_where_there_is_one(tmp_path: Path) -> None:
    slots = START + "      2AB: {board: floppy-single-density}\n" + LAST
    cables = "cables:\n  - {from: main/a/2CD, to: floppy-8-inch-single-pair}\n"
    one = only(checked(written(tmp_path, slots, more=cables)), "CABLE-001")
    assert one.fix == "hang it on its controller (M7946 (main/a/2AB))"


def test_a_unit_with_a_number_too_high_gets_the_lowest_free_one(tmp_path: Path) -> None:
    slots = START + "      2AB: {board: floppy-single-density}\n" + LAST
    lines = "".join(f"  - {{from: main/a/2AB, unit: {unit}, to: floppy-8-inch-single-pair}}\n" for unit in (0, 2))
    one = only(checked(written(tmp_path, slots, more=f"cables:\n{lines}")), "CABLE-003")
    assert one.fix == "give the unit number 1"


def test_a_multiplexer_from_which_nothing_leaves_is_asked_about_where_other_cables_are_listed(tmp_path: Path) -> None:
    slots = START.replace("2CD:", "2CD:") + "      2AB: {board: grant-card}\n"
    slots += "      3: {board: async-mux-four-line-quad, settings: {address: 760100, vector: 300, grant-jumpers: in}}\n"
    cables = "cables:\n  - {from: main/a/2CD, line: 0, to: terminal}\n"
    assert "what hangs on M7957 (main/a/3)" in checked(written(tmp_path, slots + LAST, more=cables)).not_known
    assert not [need for need in checked(written(tmp_path, slots + LAST)).not_known if "what hangs on" in need]


# ---- grants, options


def test_jumpers_that_are_wrong_and_harm_nobody_are_let_pass(tmp_path: Path) -> None:
    slots = START + "      2AB: {board: grant-card}\n"
    slots += (
        "      3: {board: async-mux-four-line-quad, settings: {address: 760100, vector: 300, grant-jumpers: out}}\n"
    )
    assert str(ended(checked(written(tmp_path, slots)), "GRANT-004", "main/a/3").state) == "passed"


def test_a_weak_far_end_of_several_backplanes_is_a_doubt() -> None:
    """120 ohm at both ends of two or three backplanes [cpu-guides, from memory, firm]."""
    wired = machine("LOAD-003/good-mux.yaml")
    weak = Known("weak", Evidence.SEEN)
    ends = tuple(replace(one, strength=weak) if one.at_end == "far" else one for one in wired.terminators)
    found = [one for one in check_wired(replace(wired, terminators=ends)).findings if one.rule == "TERM-001"]
    assert ("doubt", "a weak terminator ends the bus at the far end") in {
        (str(one.severity), one.found) for one in found
    }


def test_an_unknown_near_end_of_several_backplanes_is_asked_for() -> None:
    wired = machine("LOAD-003/good-mux.yaml")
    ends = tuple(replace(one, strength=NOTHING) if one.at_end == "near" else one for one in wired.terminators)
    first = wired.units[0]
    assert missing(replace(wired, terminators=ends), "TERM-001", f"{first.box}/{first.id}")


def test_a_level_nobody_knows_is_asked_for_where_position_alone_decides() -> None:
    """One request line on the first processors [micro-processor-handbook, from memory, firm]."""
    wired = machine("GRANT-008/bad-disk-behind-a-line.yaml")
    place = only(check_wired(wired), "GRANT-008").place
    board = next(one for one in wired.boards if str(one.place) == place)
    gone = tuple(
        replace(one, vectors=tuple(replace(vector, level=NOTHING) for vector in one.vectors))
        if one.board == board.index
        else one
        for one in wired.registers
    )
    asked = missing(replace(wired, registers=gone), "GRANT-008", place)
    assert len(asked) == 1 and asked[0].startswith("request level of ")
