"""The search for flags that no trial case can tell, on small sets of cases: what it tells, and what it calls wrong."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent / "tools"))

import flags_mutation as tool

from minisim.catalogue.reader import Catalogue

PROFILE = "first-hardwired"  # D05: 4, seen in [handbook-1969]
JUMPS = """
trials: 1
title: "Jump to a register"
needs: [base]
source: handbook-1969
evidence: seen
tables:
  - id: jump
    about: "JMP with a register as destination"
    row: D05
    program: "JMP R1"
    then: [trap]
    rows:
      - {id: register, profile: first-hardwired, then: {trap: "4"}}
      - {id: register, profile: late-ttl-commercial, then: {trap: "10"}}
  - id: trace
    about: "RTT lets one instruction run before the trace trap"
    program: "RTT"
    given: {"sp": "002000", "word 002000": "003000", "word 002002": "000020"}
    then: {pc: "003000", sp: "002004"}
    needs: [rtt]
    rows:
      - {id: rtt}
  - id: loop
    about: "SOB counts down; where it is not there it traps to 10"
    program: "SOB R0,1000"
    given: {r0: "000002"}
    rows:
      - {id: sob, profile: first-hardwired, then: {trap: "10"}}
      - {id: sob, profile: late-ttl-commercial, then: {r0: "000001", pc: "001000"}}
"""


@pytest.fixture
def jumps(tmp_path: Path) -> Path:
    """A small file of cases."""
    file = tmp_path / "jumps.yaml"
    file.write_text(JUMPS, "utf-8")
    return file


def mutation(file: Path, reasons: dict[str, str]) -> tool.Mutation:
    catalogue = Catalogue()
    profiles = [catalogue.profile(name) for name in (PROFILE, "late-ttl-commercial")]
    return tool.Mutation(tool._cases([str(file)]), profiles, reasons)


def target(row: str, fact: str = "") -> tool.Target:
    return next(one for one in tool.targets() if one.row == row and one.fact == fact)


def test_a_flag_that_a_case_tells_names_the_case_and_the_turn(jumps: Path) -> None:
    outcome = mutation(jumps, {}).outcome(target("D05"))
    assert (outcome.profile, outcome.before, outcome.after) == (PROFILE, "4", "10")
    assert outcome.cases == ("jump/register",)
    assert not outcome.is_wrong
    assert str(outcome) == "D05 jump_register_trap: 4 -> 10 in first-hardwired: 1 case, first jump/register"


def test_a_flag_that_no_case_tells_is_wrong_without_a_reason(jumps: Path) -> None:
    silent = mutation(jumps, {}).outcome(target("D06"))
    assert silent.is_wrong
    assert str(silent) == "D06 swab_v: no case tells it, and no reason is given"
    excused = mutation(jumps, {"D06": "nobody looks"}).outcome(target("D06"))
    assert not excused.is_wrong
    assert str(excused) == "D06 swab_v: no case tells it: nobody looks"


def test_a_reason_is_wrong_where_a_case_tells_the_flag(jumps: Path) -> None:
    outcome = mutation(jumps, {"D05": "nobody can"}).outcome(target("D05"))
    assert outcome.is_wrong
    assert str(outcome).endswith("first jump/register; but unobservable.yaml says: nobody can")


def test_each_fact_of_a_flag_is_turned_alone(jumps: Path) -> None:
    bench = mutation(jumps, {})
    assert bench.outcome(target("D08", "sob")).cases == ("loop/sob",)
    assert bench.outcome(target("D08", "mark")).cases == ()
    profile = Catalogue().profile(PROFILE)
    copy = target("D08", "sob").turned(profile, "yes")
    assert copy.flags["later_base_instructions"].model == {
        "sob": "yes", "mark": "no", "sxt": "no", "xor": "no", "rtt": "no",
    }  # fmt: skip
    assert profile.flags["later_base_instructions"].model["sob"] == "no", "the profile itself is left alone"


def test_a_fact_that_stands_in_two_rows_is_turned_in_both() -> None:
    profile = Catalogue().profile(PROFILE)
    for one in (target("D08", "rtt"), target("D14")):
        copy = one.turned(profile, "yes")
        assert (copy.flags["later_base_instructions"].model["rtt"], copy.flags["rtt"].model) == ("yes", "yes")


def test_a_case_that_differed_before_tells_nothing(tmp_path: Path) -> None:
    spoilt = tmp_path / "spoilt.yaml"
    spoilt.write_text(JUMPS.replace('trap: "4"', 'trap: "14"').replace('trap: "10"', 'trap: "14"'), "utf-8")
    assert mutation(spoilt, {}).outcome(target("D05")).cases == ()


def test_a_flag_that_makes_no_sense_for_a_profile_is_left_alone(jumps: Path) -> None:
    profile = Catalogue().profile(PROFILE)
    assert target("D26").word_in(profile) == tool.NOT_APPLICABLE
    assert target("D51", "csm").word_in(profile) == tool.NOT_APPLICABLE
    assert not mutation(jumps, {"D26": "no FIS here"}).outcome(target("D26")).is_wrong


def test_all_53_flags_are_turned_and_those_of_facts_fact_by_fact() -> None:
    found = list(tool.targets())
    assert list(dict.fromkeys(one.row for one in found)) == [f"D{number:02}" for number in range(1, 54)]
    assert [one.fact for one in found if one.row == "D51"] == ["d_space", "map_and_22bit", "csm"]


def test_the_sum_counts_flags_and_not_facts() -> None:
    told = tool.Outcome(target("D05"), "", PROFILE, "4", "10", ("jump/register",))
    half = [tool.Outcome(target("D08", "sob"), "", cases=("loop/sob",)), tool.Outcome(target("D08", "mark"), "")]
    excused = tool.Outcome(target("D06"), "nobody looks")
    line = tool.summary([told, *half, excused], 12.3)
    assert line == "3 flags: 1 told by cases, 1 with a reason why none can, 1 wrong; 12 s"


def test_a_file_that_cant_be_read_ends_with_2(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    broken = tmp_path / "broken.yaml"
    broken.write_text("trials: 1\n", "utf-8")
    assert tool.main([str(broken)]) == 2
    assert f'{broken}:1:1: key "title" is missing' in capsys.readouterr().err


@pytest.mark.slow
def test_the_cases_of_the_project_tell_every_flag_or_a_reason_stands(capsys: pytest.CaptureFixture[str]) -> None:
    assert tool.main([]) == 0, capsys.readouterr().out
