"""At a limit, just over it, and with a figure missing: where each verdict turns."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from expectations import HERE, checked, written

from minisim.checking import check_wired
from minisim.findings import Outcome, Report
from minisim.known import Evidence, Known, Part, Unknown, total
from minisim.loadout.reader import read_loadout
from minisim.rules._loads import segments
from minisim.wiring.model import Wired
from minisim.wiring.resolve import resolve

# The desktop machine of the worked loadouts: 6.3 A at +5, 0.79 A at +12, 40.98 W.
START = """\
      1AB: {board: mid-cpu-dual, settings: {power-up: 2}}
      1CD: {board: mos-memory-dual, settings: {start: 0, kb: 32}}
      2CD: {board: serial-line-single, settings: {address: 777560, vector: 60, console: yes}}
      4: {board: boot-diagnostic-terminator-quad, roms: {773000: rom-ours}}
"""
NOBODY_KNOWS = "      2AB: {board: {describe: {height: dual, interrupts: no, dma: no, passes-grant: yes}}}\n"


def outcome(report: Report, rule: str, place: str) -> Outcome:
    """How a rule ended at a place."""
    (one,) = (one for one in report.outcomes if (one.rule, one.place) == (rule, place))
    return one


def words(one: Outcome) -> str:
    """`passed`, `not checked`, or the severity of the finding with its disputed points."""
    return " ".join([one.finding.severity, *one.finding.disputed]) if one.finding else str(one.state)


@pytest.mark.parametrize(
    ("rule", "place", "supply", "verdict"),
    [
        ("POWER-002", "main +5", 'rails: {"+5": 6.3, "+12": 2}', "passed"),
        ("POWER-002", "main +5", 'rails: {"+5": 6.29, "+12": 2}', "fault"),
        ("POWER-003", "main", 'rails: {"+5": 9, "+12": 2}, watts: 40.98', "passed"),
        ("POWER-003", "main", 'rails: {"+5": 9, "+12": 2}, watts: 40.97', "fault"),
        ("POWER-004", "main +5", 'rails: {"+5": 9, "+12": 2}, minimum: {"+5": 6.3}', "passed"),
        ("POWER-004", "main +5", 'rails: {"+5": 9, "+12": 2}, minimum: {"+5": 6.31}', "doubt"),
    ],
)
def test_power_turns_at_the_limit_itself(tmp_path: Path, rule: str, place: str, supply: str, verdict: str) -> None:
    report = checked(written(tmp_path, START, supply=f"{{describe: {{{supply}}}}}"))
    assert words(outcome(report, rule, place)) == verdict


def test_under_a_limit_a_current_nobody_knows_leaves_it_open(tmp_path: Path) -> None:
    supply = '{describe: {rails: {"+5": 9, "+12": 2}, minimum: {"+5": 7}, watts: 50}}'
    report = checked(written(tmp_path, START + NOBODY_KNOWS, supply=supply))
    for rule, place in (("POWER-002", "main +5"), ("POWER-003", "main"), ("POWER-004", "main +5")):
        assert outcome(report, rule, place).missing == ("current at +5 of main/a/2AB described",)


def test_a_rail_that_may_be_fed_from_another_is_left_open_not_called_missing(tmp_path: Path) -> None:
    slots = "      2: {board: mos-memory-hex-modified, settings: {start: 0, kb: 64}}\n"
    report = checked(written(tmp_path, slots, supply="sep-five-space-box-early", backplane="sep-nine-slot-unit"))
    assert "what feeds +5 standby in box main" in outcome(report, "POWER-002", "main +5 standby").missing


def test_a_rail_nobody_uses_needs_no_rating(tmp_path: Path) -> None:
    report = checked(written(tmp_path, NOBODY_KNOWS.replace("yes}", 'yes, amps: {"+5": 1}}'), supply="bench-supply"))
    assert outcome(report, "POWER-002", "main +12").state == "passed"
    assert outcome(report, "POWER-002", "main +5").state == "not checked"


def test_core_memory_in_a_unit_of_its_own_is_not_asked_for_the_volts_of_modified_slots(tmp_path: Path) -> None:
    slots = "      1-3: {board: sep-core-memory-16kb, settings: {start: 0}}\n"
    report = checked(written(tmp_path, slots, supply="sep-large-box", backplane="sep-core-memory-16kb-unit"))
    assert outcome(report, "POWER-001", "main/a/1-3").state == "does not apply"


def loaded(wired: Wired, ac: str) -> Wired:
    """The same machine with so many AC loads on each backplane, all known; the backplanes themselves count nothing."""
    load = total([Part("all boards", Known(Decimal(ac), Evidence.SEEN))])
    nothing = Known(Decimal(0), Evidence.SEEN)
    return replace(
        wired, units=tuple(replace(one, ac=load, entry=replace(one.entry, ac=nothing)) for one in wired.units)
    )


def machine(name: str) -> Wired:
    """A good fixture, resolved."""
    return resolve(read_loadout(HERE / name))


def ended(wired: Wired, near: str, far: str) -> Wired:
    """The same machine with these terminators and no others."""
    ends = (("near", near), ("far", far))
    one = wired.terminators[0]
    made = (replace(one, at_end=end, strength=Known(word, Evidence.SEEN)) for end, word in ends if word)
    return replace(wired, terminators=tuple(made))


@pytest.mark.parametrize(
    ("near", "far", "limit"),
    [
        ("weak", "", 20),
        ("weak", "full", 35),
        ("full", "", 35),
        ("full", "full", 45),
        ("weak", "weak", 20),
        ("", "", 20),
    ],
)
def test_one_backplane_takes_the_ac_loads_of_its_row_and_no_more(near: str, far: str, limit: int) -> None:
    """Rows: [termination-post-2005] for 20; the rest from memory, firm (cpu-guides)."""
    wired = ended(machine("LOAD-001/good-mux.yaml"), near, far)
    for ac, verdict in ((str(limit), "passed"), (f"{limit}.1", "doubt")):
        assert words(outcome(check_wired(loaded(wired, ac)), "LOAD-001", "main/a")) == verdict


def test_a_near_end_nobody_knows_takes_the_stricter_row_and_says_that_it_is_disputed() -> None:
    wired = ended(machine("LOAD-001/good-mux.yaml"), "full", "full")
    unsure = tuple(replace(one, strength=Unknown("?")) if one.at_end == "near" else one for one in wired.terminators)
    report = check_wired(loaded(replace(wired, terminators=unsure), "20.1"))
    assert words(outcome(report, "LOAD-001", "main/a")) == "doubt D5"


def test_each_of_two_backplanes_takes_22_ac_loads(tmp_path: Path) -> None:
    lower = (
        "  - id: lower\n    supply: mux-four-slot-box\n    backplane: mux-twin-4-18bit\n"
        "    joined-by: {cable: mux-extension-cable-first, length-m: 1.2, connected: yes}\n    slots: {}\n"
    )
    wired = ended(resolve(read_loadout(written(tmp_path, START, more=lower))), "full", "full")
    for ac, verdict in (("22", "passed"), ("22.1", "doubt")):
        report = check_wired(loaded(wired, ac))
        assert {words(outcome(report, "LOAD-001", place)) for place in ("main/a", "lower/a")} == {verdict}


def test_the_late_box_has_a_limit_of_its_own(tmp_path: Path) -> None:
    slots = "      6AB: {board: mid-cpu-dual, settings: {power-up: 2}}\n"
    wired = ended(resolve(read_loadout(written(tmp_path, slots, backplane="mux-late-12"))), "weak", "")
    for ac, verdict in (("35", "passed"), ("35.1", "doubt")):  # [enclosure-manual]
        assert words(outcome(check_wired(loaded(wired, ac)), "LOAD-001", "main/a")) == verdict


def test_exactly_20_on_the_separate_line_bus_is_a_disputed_note() -> None:
    wired = machine("LOAD-001/good-sep.yaml")
    for ac, verdict in (("19.9", "passed"), ("20", "note D9"), ("20.1", "doubt")):  # [sep-loading-post-2016]
        assert words(outcome(check_wired(loaded(wired, ac)), "LOAD-001", "main/a")) == verdict


def test_a_board_of_which_nobody_knows_whether_it_passes_the_grants_leaves_it_open(tmp_path: Path) -> None:
    slots = START.replace("2CD", "2AB") + "      2CD: {board: {describe: {height: dual, interrupts: no, dma: no}}}\n"
    one = outcome(checked(written(tmp_path, slots)), "GRANT-002", "main/a/2CD")
    assert one.missing == ("whether board described in place (main/a/2CD) passes the grants",)


def test_terminators_behind_an_open_joint_do_not_end_this_bus(tmp_path: Path) -> None:
    lower = (
        "  - id: lower\n    supply: mux-four-slot-box\n    backplane: mux-twin-9-22bit\n"
        "    joined-by: {cable: mux-extension-cable-first, length-m: 1.2, connected: no}\n"
        "    slots:\n      9: {board: boot-diagnostic-terminator-quad}\n"
    )
    slots = "".join(line for line in START.splitlines(keepends=True) if "boot-diag" not in line)
    report = checked(written(tmp_path, slots, more=lower))
    assert words(outcome(report, "TERM-001", "main/a")) == "note D11"


def test_the_lack_of_a_far_terminator_turns_from_note_to_doubt_at_20_ac_loads() -> None:
    wired = ended(machine("LOAD-001/good-mux.yaml"), "weak", "")
    for ac, verdict in (("19.9", "note D11"), ("20", "doubt")):  # [termination-post-2005]
        assert words(outcome(check_wired(loaded(wired, ac)), "TERM-001", "main/a")) == verdict


def test_a_repeater_begins_a_segment_with_a_budget_of_its_own(tmp_path: Path) -> None:
    """[repeater-wiki]: the repeater counts on both sides."""
    parts = (("a", "sep-four-slot-unit", ""), ("r", "sep-repeater-unit", "1-4: {board: sep-bus-repeater}"),
             ("n", "sep-nine-slot-unit", ""))  # fmt: skip
    file = tmp_path / "x.yaml"
    text = "loadout: 1\nname: X\nboxes:\n  - id: main\n    supply: sep-large-box\n    units:\n"
    for name, unit, slots in parts:
        joint = "" if name == "a" else ", joined-by: {cable: sep-bus-cable, length-m: 3.05, connected: yes}"
        text += f"      - {{id: {name}, backplane: {unit}{joint}, slots: {{{slots}}}}}\n"
    file.write_text(text, "utf-8")
    wired = resolve(read_loadout(file))
    report = check_wired(wired)
    assert [one.place for one in report.outcomes if one.rule == "LOAD-002"] == ["main/r", "main/n"]
    assert [segment.dc.least for segment in segments(wired)] == [1, 1]


def test_a_memory_whose_start_nobody_knows_may_fill_a_gap(tmp_path: Path) -> None:
    slots = START + "      2AB: {board: mos-memory-dual, settings: {start: 200000, kb: 32}}\n"
    assert words(outcome(checked(written(tmp_path, slots)), "MEM-001", "main/a/2AB")) == "fault"
    slots += "      3AB: {board: mos-memory-dual, settings: {kb: 32}}\n"
    one = outcome(checked(written(tmp_path, slots)), "MEM-001", "main/a/2AB")
    assert one.missing == ("start of the memory of M8044 (main/a/3AB)",)


def test_a_vector_that_software_sets_clashes_with_nobody() -> None:
    wired = machine("VECT-001/bad-mux.yaml")
    soft = tuple(
        replace(one, vectors=tuple(replace(vector, software_set=True) for vector in one.vectors))
        if str(wired.boards[one.board].place) == "main/a/3AB"
        else one
        for one in wired.registers
    )
    assert not [one for one in check_wired(replace(wired, registers=soft)).findings if one.rule == "VECT-001"]


@pytest.mark.parametrize(("first", "second"), [("18", "22"), ("22", "18")])
def test_memory_in_a_second_box_needs_the_address_lines_of_both(tmp_path: Path, first: str, second: str) -> None:
    slots = START.splitlines(keepends=True)[0] + "".join(START.splitlines(keepends=True)[2:3])
    lower = (
        f"  - id: lower\n    supply: mux-four-slot-box\n    backplane: mux-twin-4-{second}bit\n"
        "    joined-by: {cable: mux-extension-cable-first, length-m: 1.2, connected: yes}\n"
        "    slots:\n      1CD: {board: mos-memory-parity-22bit-dual, settings: {start: 1000000, kb: 256}}\n"
    )
    report = checked(written(tmp_path, slots, backplane=f"mux-twin-4-{first}bit", more=lower))
    assert words(outcome(report, "MEM-005", "lower/a/1CD")) == "fault"


def test_only_extended_slots_of_a_22_bit_unit_have_more_than_18_bits(tmp_path: Path) -> None:
    memory = "{board: mos-memory-hex-modified, settings: {start: 1000000, kb: 256}}"
    slots = f"      1: {{board: sep-cpu-chipset-hex}}\n      7: {memory}\n"
    report = checked(written(tmp_path, slots, supply="sep-large-box", backplane="sep-chipset-22bit-processor-unit"))
    assert words(outcome(report, "MEM-005", "main/a/7")) == "fault"


def test_a_backplane_of_unknown_width_leaves_high_memory_open() -> None:
    wired = machine("MEM-005/good-mux.yaml")
    gone = tuple(replace(one, entry=replace(one.entry, address_bits=Unknown("?"))) for one in wired.units)
    high = tuple(replace(one, start=Known(0o1000000, Evidence.OWNER)) for one in wired.memories)
    states = [one for one in check_wired(replace(wired, units=gone, memories=high)).outcomes if one.rule == "MEM-005"]
    assert states and all(one.missing == ("address bits of backplane main/a",) for one in states)


def test_a_line_whose_address_nobody_knows_may_be_the_console() -> None:
    wired = machine("CONSOLE-002/bad-mux.yaml")
    line = next(one for one in machine("CONSOLE-002/good-mux.yaml").registers if one.device == "serial-line")
    gone = replace(line, base=Unknown("?"), board=1)
    report = check_wired(replace(wired, registers=(*wired.registers, gone)))
    assert outcome(report, "CONSOLE-002", "main").state == "not checked"


def test_a_processor_that_may_have_a_console_line_leaves_it_open() -> None:
    wired = machine("CONSOLE-002/bad-mux.yaml")
    first = wired.boards[wired.processors[0].board]
    assert first.entry.processor is not None
    entry = replace(first.entry, processor=replace(first.entry.processor, console_line="unknown"))
    boards = tuple(replace(one, entry=entry) if one is first else one for one in wired.boards)
    report = check_wired(replace(wired, boards=boards))
    assert outcome(report, "CONSOLE-002", "main").missing == ("console line of M8186 (main/a/1AB)",)


def test_rom_windows_that_only_touch_and_windows_of_one_board_do_not_overlap() -> None:
    wired = machine("BOOT-001/bad-two-roms.yaml")
    first, second = (next(rom for rom in wired.roms if rom.board == board) for board in
                     dict.fromkeys(rom.board for rom in wired.roms))  # fmt: skip
    apart = replace(second, base=first.base + 2 * first.words)
    same = replace(second, board=first.board)
    for roms in ((first, apart), (apart, first), (first, same)):
        places = {one.place for one in check_wired(replace(wired, roms=roms)).findings if one.rule == "BOOT-001"}
        assert places <= {"main"}


def boot(wired: Wired) -> Outcome:
    """How BOOT-001 ended for the machine as a whole."""
    return outcome(check_wired(wired), "BOOT-001", "main")


def test_a_rom_boots_from_either_window_and_from_no_other_place() -> None:
    wired = machine("BOOT-001/good-device-there.yaml")
    (rom,) = (one for one in wired.roms if one.fitted)
    for base, verdict in ((0o13000, "passed"), (0o13600, "passed"), (0o5000, "passed"), (0o6000, "fault")):
        assert words(boot(replace(wired, roms=(replace(rom, base=base),)))) == verdict


def test_one_rom_that_fits_is_enough_beside_one_that_does_not() -> None:
    wired = machine("BOOT-001/good-device-there.yaml")
    (rom,) = (one for one in wired.roms if one.fitted)
    stranger = replace(rom, base=rom.base + 0o200, boots=Known(("cartridge-disk-2mb",), Evidence.FIRM))
    assert boot(replace(wired, roms=(stranger, rom))).state == "passed"
    alone = boot(replace(wired, roms=(stranger,))).finding
    assert alone is not None
    assert "knows cartridge disk 2mb, and the machine has none of these" in alone.found


def test_a_processor_that_may_hold_a_boot_rom_leaves_it_open() -> None:
    wired = machine("BOOT-001/bad-no-rom.yaml")
    first = wired.boards[wired.processors[0].board]
    assert first.entry.processor is not None
    entry = replace(first.entry, processor=replace(first.entry.processor, boot_rom="unknown"))
    boards = tuple(replace(one, entry=entry) if one is first else one for one in wired.boards)
    assert boot(replace(wired, boards=boards)).missing == ("ROM of M8186 (main/a/1AB)",)
