"""What rules say beyond the one line a fixture holds: what is asked for, let pass, and named as source."""

from __future__ import annotations

from pathlib import Path

import pytest
from expectations import HERE, checked, written

from minisim.catalogue import Catalogue
from minisim.checking import check
from minisim.findings import Finding, Report, Severity, State
from minisim.formatters import text
from minisim.loadout.reader import read_loadout

MUX = """\
      1AB: {board: mid-cpu-dual, settings: {power-up: 2}}
      1CD: {board: mos-memory-dual, settings: {start: 0, kb: 32}}
      2CD: {board: serial-line-single, settings: {address: 777560, vector: 60, console: yes}}
"""
LAST = "      4: {board: boot-diagnostic-terminator-quad, roms: {773000: rom-ours}}\n"
SEP = {"supply": "sep-large-box", "backplane": "sep-two-board-mmu-processor-unit"}
DEMO = Path(__file__).parents[2] / "loadouts" / "kittiwake"


def only(fixture: str) -> Finding:
    """The finding of the rule a fixture stands under."""
    path = HERE / fixture
    (one,) = (one for one in checked(path).findings if one.rule == path.parent.name)
    return one


def needs(report: Report, rule: str) -> set[str]:
    """What a rule could not check for want of."""
    return {need for one in report.outcomes if one.rule == rule for need in one.missing}


def states(report: Report, rule: str) -> dict[str, State]:
    """How a rule ended, by place."""
    return {one.place: one.state for one in report.outcomes if one.rule == rule}


@pytest.mark.parametrize("path", sorted(DEMO.glob("*.yaml")), ids=lambda path: path.stem)
def test_no_demo_machine_has_a_fault(path: Path) -> None:
    worst = check(read_loadout(path), Catalogue()).worst
    assert worst not in (Severity.DAMAGE, Severity.FAULT)


def test_jumpers_that_nobody_states_are_asked_for_only_where_they_matter(tmp_path: Path) -> None:
    quad = "      {}: {{board: async-mux-four-line-quad}}\n"
    behind = "      3AB: {board: line-printer-interface}\n"
    between = checked(written(tmp_path, MUX.replace("2CD:", "2CD:") + "      2AB: {board: grant-card}\n" + behind))
    assert needs(between, "GRANT-004") == set()
    quad_first = MUX.replace("      2CD", "      3AB") + quad.format(2)
    assert needs(checked(written(tmp_path, quad_first)), "GRANT-004") == {
        "state of the grant jumpers, if there are any, of M7957 (main/a/2)"
    }
    quad_last = MUX + "      2AB: {board: grant-card}\n" + quad.format(3)
    assert states(checked(written(tmp_path, quad_last)), "GRANT-004")["main/a/3"] is State.PASSED


def test_jumpers_that_are_out_are_told_once_and_not_by_the_rule_of_boards_without_through_grant() -> None:
    rules = [one.rule for one in checked(HERE / "GRANT-004" / "bad-out-in-twin-bus.yaml").findings]
    assert rules == ["GRANT-004"]
    assert [str(one) for one in only("GRANT-004/bad-out-in-twin-bus.yaml").also] == ["M7940 (main/a/3AB) at line 12"]


def test_a_wire_nobody_states_is_named_as_shipped() -> None:
    """Out where a board does DMA [small-peripheral-wiki]."""
    assert "as the backplane is shipped" in only("GRANT-005/bad-not-stated.yaml").found
    assert "as the backplane is shipped" not in only("GRANT-005/bad-wire-in.yaml").found


def test_levels_are_asked_of_four_level_processors_and_held_against_boards_of_one_level(tmp_path: Path) -> None:
    report = checked(written(tmp_path, MUX + "      2AB: {board: disk-port-dual}\n" + LAST))
    assert needs(report, "GRANT-008") == {"whether M7940 (main/a/2CD) watches the higher request lines"}
    assert "level 5 stands behind M7940" in only("GRANT-008/bad-disk-behind-a-line.yaml").found


def test_the_computed_address_is_the_published_default_and_the_dispute_is_named() -> None:
    """A lone eight-line multiplexer belongs at 760100 [F3, from memory, firm]."""
    one = only("ADDR-002/bad-sep.yaml")
    assert one.limit == "by the order of kinds it belongs at 760100" and one.disputed == ("D1",)


def test_the_gaps_of_absent_kinds_are_counted(tmp_path: Path) -> None:
    """Rank 22 alone: gaps of 21 kinds before it, worked out by hand by the rule of [float-address-wiki]."""
    slots = MUX + "      2AB: {board: sync-line-dual, settings: {address: 760370, vector: 300}}\n" + LAST
    (one,) = (one for one in checked(written(tmp_path, slots)).findings if one.rule == "ADDR-002")
    assert one.fix == "set M8020 (main/a/2AB) to 760270"


def test_18_bits_end_at_248_kb() -> None:
    """248 KB and the I/O page fill 18 bits [map-wiki]."""
    one = only("MEM-004/bad-sep.yaml")
    assert one.found == "000000 to 777777 reaches over 760000"
    assert one.fix == "limit M7891 (main/a/4) to end at 760000, or count the part above as lost"


def test_memory_over_the_page_is_a_note_on_one_bus_and_a_fault_on_the_other() -> None:
    assert only("MEM-004/bad-mux.yaml").severity is Severity.NOTE
    assert only("MEM-004/bad-sep.yaml").severity is Severity.FAULT


def test_the_next_free_parity_register_is_proposed() -> None:
    assert only("MEM-003/bad-mux.yaml").fix == "set the parity register of M8059 (main/a/3AB) to 772102"


def test_a_board_that_may_refresh_others_is_asked_for(tmp_path: Path) -> None:
    slots = """\
      1AB: {board: small-cpu-dual, settings: {power-up: 2}}
      1CD: {board: early-memory-dual, settings: {start: 0}}
      2CD: {board: serial-line-single, settings: {address: 777560, vector: 60, console: yes}}
"""
    report = checked(written(tmp_path, slots + LAST))
    assert needs(report, "MEM-008") == {"whether M7270 (main/a/1AB) refreshes the memory of other boards"}


def test_limits_of_length_name_the_document_of_the_figure() -> None:
    assert only("LOAD-003/bad-sep.yaml").sources == ("sep-loading-post-2016",)
    assert only("LOAD-003/bad-mux-short.yaml").sources == ("cpu-guides",)
    assert only("LOAD-003/bad-sep.yaml").found == "the cables of this segment are 16.77 m long"


def test_a_fourth_backplane_is_too_many(tmp_path: Path) -> None:
    """At most three [mounting-box-guide]."""
    lines = (HERE / "LOAD-003" / "good-mux.yaml").read_text("utf-8").splitlines()
    at = next(number for number, line in enumerate(lines) if line.strip() == "- id: c")
    middle = next(number for number, line in enumerate(lines) if line.strip() == "- id: b")
    extra = [line.replace("- id: b", "- id: x") for line in lines[middle:at]]
    file = tmp_path / "four.yaml"
    file.write_text("\n".join([*lines[:at], *extra, *lines[at:]]) + "\n", "utf-8")
    found = [one for one in checked(file).findings if one.rule == "LOAD-003"]
    assert any(
        one.found == "this is backplane 4 of the bus" and one.sources == ("mounting-box-guide",) for one in found
    )


def test_a_length_nobody_states_is_asked_for(tmp_path: Path) -> None:
    text_ = (HERE / "LOAD-003" / "good-sep.yaml").read_text("utf-8").replace(", length-m: 6.1", "")
    file = tmp_path / "x.yaml"
    file.write_text(text_, "utf-8")
    assert needs(checked(file), "LOAD-003") == {"length of the cable to main/c"}


def test_one_boot_terminator_board_may_stand_in_any_modified_slot() -> None:
    report = checked(HERE / "SLOT-004" / "good-extended.yaml")
    assert states(report, "TERM-002")["main/a/8AB"] is State.PASSED


def test_regulators_are_asked_for_only_where_the_supply_has_some(tmp_path: Path) -> None:
    lines = (HERE / "POWER-005" / "good-one-regulator.yaml").read_text("utf-8").splitlines()
    slots = [line for line in lines if not line.strip().startswith("regulators:")]
    file = tmp_path / "x.yaml"
    file.write_text("\n".join(slots) + "\n", "utf-8")
    assert needs(checked(file), "POWER-005") == {"which +5 regulator feeds each slot of main/a/1-2"}
    file.write_text("\n".join(slots).replace("sep-four-regulator-box", "sep-large-box") + "\n", "utf-8")
    assert needs(checked(file), "POWER-005") == set()


def test_the_speed_of_a_line_without_a_switch_is_asked_for() -> None:
    report = check(read_loadout(DEMO / "ledger.yaml"), Catalogue())
    assert any(need.startswith("speed of the line of M7090") for need in needs(report, "CONSOLE-003"))


def test_what_hangs_on_the_boot_device_is_asked_for_where_other_cables_are_listed(tmp_path: Path) -> None:
    roms = "      4: {board: boot-diagnostic-terminator-quad, roms: {773000: rom-mux-boot-diagnostics}}\n"
    slots = MUX + "      2AB: {board: floppy-single-density}\n" + roms
    cables = "cables:\n  - {from: main/a/2CD, line: 0, to: terminal}\n"
    assert needs(checked(written(tmp_path, slots)), "MEDIA-001") == set()
    report = checked(written(tmp_path, slots, more=cables))
    assert needs(report, "MEDIA-001") == {"what hangs on the floppy single of M7946 (main/a/2AB)"}


def test_two_boxes_that_can_tick_are_asked_which_one_does() -> None:
    report = checked(HERE / "CLOCK-001" / "bad-mux-two-sources.yaml")
    (one,) = (one for one in report.findings if one.rule == "CLOCK-001")
    assert one.found.startswith("M7195-FA (main/a/1CD) and the supply of box main")


def test_a_reversed_board_is_a_caution_and_never_counts_as_passed() -> None:
    report = checked(HERE / "GRANT-001" / "good-serpentine.yaml")
    assert "CARE-001" not in {one.rule for one in report.outcomes}


def test_all_ends_with_the_count_of_passed_and_not_checked() -> None:
    report = checked(HERE / "GRANT-001" / "bad-serpentine.yaml")
    lines = text([report], whole=True).splitlines()
    counts = {state: sum(one.state is state for one in report.outcomes) for state in State}
    wanted = (
        f"{report.file}: {counts[State.PASSED]} passed, {counts[State.FAILED]} failed, "
        f"{counts[State.NOT_CHECKED]} not checked, {counts[State.NOT_APPLICABLE]} do not apply"
    )
    assert wanted in lines and counts[State.PASSED] > 30
    assert wanted not in text([report]).splitlines()


def test_accepted_findings_push_nothing_off_the_first_screen(tmp_path: Path) -> None:
    """Five faults taken on, and a doubt behind them: the doubt stands on the screen."""
    lines = "".join(
        f"      {place}: {{board: serial-line-single, settings: {{address: 776500, vector: 300}}}}\n"
        for place in ("2AB", "3AB", "3CD", "4CD")
    )
    accept = "".join(
        f"  - {{rule: {rule}, at: main/a/{place}, because: known to us}}\n"
        for rule in ("ADDR-001", "VECT-001")
        for place in ("3AB", "3CD", "4CD")
    )
    off = MUX.replace("power-up: 2", "power-up: 2, event-line: off")
    roms = "      4AB: {board: boot-refresh-terminator-dual}\n"
    report = checked(written(tmp_path, off + lines + roms, more=f"accept:\n{accept}"))
    assert sum(bool(one.accepted) for one in report.findings) == 6
    assert "doubt CLOCK-001" in text([report])
