"""The runner: prerequisites, crashes, acceptances, evidence.  Rules that always fail or crash live here alone.

What is checked
    Nothing of a machine: these rules try the machinery.

Why it matters
    A runner that loses findings makes every rule useless.

Example
    x.yaml:1:1: fault SELF-001 always-fails [main]: it fails; it may not (common-practice).

Putting it right
    It can't be.

Known limits
    None.

Sources
    common-practice: test the tester.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from expectations import HERE

from minisim.checking import check_wired
from minisim.findings import Severity, State
from minisim.known import Evidence, Known, Part, Unknown, total
from minisim.loadout.model import Acceptance
from minisim.loadout.reader import read_loadout
from minisim.rules import (
    Result,
    Rule,
    Subject,
    all_rules,
    failed,
    not_checked,
    passed,
    probe,
    rule,
    same_as,
)
from minisim.rules._framework import in_order
from minisim.wiring.model import Wired, WiredBoard
from minisim.wiring.resolve import resolve


@pytest.fixture(scope="module")
def wired() -> Wired:
    """A machine without findings."""
    return resolve(read_loadout(HERE / "GRANT-001" / "good-serpentine.yaml"))


def complaint(subject: Subject, **more: object) -> Result:
    """A finding that says nothing in particular."""
    texts = dict.fromkeys(("found", "limit", "cause", "fix"), "text")
    return failed(subject, **texts, next_measurement=probe("a", "b", "c"), **more)  # type: ignore[arg-type]


def at(wired: Wired, place: str) -> Subject:
    return Subject(place, "", wired.boards[0].mark)


@rule(id="SELF-001", slug="always-fails", severity=Severity.FAULT, sources=("common-practice",))
def always_fails(wired: Wired) -> Iterator[Result]:
    yield complaint(at(wired, "main/a/1AB"))
    yield passed(at(wired, "main/a/1CD"))


@rule(id="SELF-002", slug="always-crashes", severity=Severity.FAULT, sources=("common-practice",))
def always_crashes(wired: Wired) -> Iterator[Result]:
    yield passed(at(wired, "main/a/1AB"))
    raise KeyError("lost")


@rule(id="SELF-003", slug="needs-the-first", severity=Severity.DOUBT, needs=("SELF-001",), sources=("common-practice",))
def needs_the_first(wired: Wired) -> Iterator[Result]:
    yield complaint(at(wired, "main/a/1AB"))
    yield complaint(at(wired, "main/a/1CD"))
    yield complaint(at(wired, "main/a/2CD"), leans_on=("main/a/1AB",))


@rule(id="SELF-004", slug="needs-the-third", severity=Severity.DOUBT, needs=("SELF-003",), sources=("common-practice",))
def needs_the_third(wired: Wired) -> Iterator[Result]:
    yield complaint(at(wired, "main/a/1AB"))


@rule(id="SELF-005", slug="needs-crashed", severity=Severity.DOUBT, needs=("SELF-002",), sources=("common-practice",))
def needs_the_crashed(wired: Wired) -> Iterator[Result]:
    yield complaint(at(wired, "main/a/1CD"))


@rule(id="SELF-006", slug="explains", severity=Severity.NOTE, sources=("common-practice",), explains="SELF-001")
def explains(wired: Wired) -> Iterator[Result]:
    yield complaint(at(wired, "main/a/1AB"))
    yield complaint(at(wired, "main/a/1CD"))


def states(wired: Wired, *rules: Rule) -> list[tuple[str, str, State]]:
    return [(one.rule, one.place, one.state) for one in check_wired(wired, rules).outcomes]


def test_a_rule_that_fails_is_reported_and_the_subjects_that_pass_are_counted(wired: Wired) -> None:
    report = check_wired(wired, [always_fails])
    (finding,) = report.findings
    assert (finding.rule, finding.place, finding.severity) == ("SELF-001", "main/a/1AB", Severity.FAULT)
    assert [one.state for one in report.outcomes] == [State.FAILED, State.PASSED]
    assert report.worst is Severity.FAULT


def test_a_rule_that_crashes_becomes_a_finding_that_names_it_and_the_others_run(wired: Wired) -> None:
    report = check_wired(wired, [always_crashes, always_fails])
    crash = next(one for one in report.findings if one.rule == "INT-001")
    assert "SELF-002 always-crashes" in crash.found and "KeyError" in crash.found
    assert crash.severity is Severity.FAULT
    assert any(one.rule == "SELF-001" for one in report.findings)
    assert ("SELF-002", "main", State.NOT_CHECKED) in states(wired, always_crashes)


def test_a_rule_that_needs_a_crashed_one_is_not_run(wired: Wired) -> None:
    report = check_wired(wired, [always_crashes, needs_the_crashed])
    assert not any(one.rule == "SELF-005" for one in report.findings)
    assert ("SELF-005", "main", State.NOT_CHECKED) in states(wired, always_crashes, needs_the_crashed)


def test_where_a_prerequisite_failed_the_follow_on_is_silent_also_two_steps_on(wired: Wired) -> None:
    report = check_wired(wired, [always_fails, needs_the_first, needs_the_third])
    said = [(one.rule, one.place) for one in report.findings]
    assert said == [("SELF-001", "main/a/1AB"), ("SELF-003", "main/a/1CD")]
    waiting = [(one.rule, one.place, one.needs) for one in report.outcomes if one.state is State.NOT_CHECKED]
    assert waiting == [
        ("SELF-003", "main/a/1AB", "SELF-001 at main/a/1AB to be put right"),
        ("SELF-003", "main/a/2CD", "SELF-001 at main/a/1AB to be put right"),
        ("SELF-004", "main/a/1AB", "SELF-003 at main/a/1AB to be put right"),
    ]
    assert report.not_known == ()


def test_a_rule_that_explains_another_never_stands_alone(wired: Wired) -> None:
    assert [one.place for one in check_wired(wired, [always_fails, explains]).findings if one.rule == "SELF-006"] == [
        "main/a/1AB"
    ]
    assert check_wired(wired, [explains]).findings == ()


def test_an_accepted_finding_keeps_its_reason_and_no_longer_counts(wired: Wired) -> None:
    report = check_wired(accepting(wired, "always-fails", "main/a/1AB", "measured"), [always_fails, needs_the_first])
    first = next(one for one in report.findings if one.rule == "SELF-001")
    assert first.accepted == "measured"
    assert report.worst is Severity.DOUBT  # the follow-on rules are asked again
    asked_again = [one.place for one in report.findings if one.rule == "SELF-003"]
    assert asked_again == ["main/a/1AB", "main/a/1CD", "main/a/2CD"]


def accepting(wired: Wired, rule: str, place: str, because: str) -> Wired:
    """The same machine with one acceptance."""
    taken = Acceptance(rule, place, because, wired.boards[0].mark)
    return replace(wired, loadout=replace(wired.loadout, accept=(taken,)))


def test_accepted_damage_still_counts(wired: Wired) -> None:
    harmful = replace(always_fails, severity=Severity.DAMAGE)
    report = check_wired(accepting(wired, "SELF-001", "main/a/1AB", "why"), [harmful])
    assert report.findings[0].accepted == "why"
    assert report.worst is Severity.DAMAGE


def test_an_acceptance_at_another_place_is_named_with_the_places_that_have_findings(wired: Wired) -> None:
    report = check_wired(accepting(wired, "SELF-001", "main/a/4", "why"), [always_fails])
    (idle,) = [one for one in report.findings if one.rule == "INT-002"]
    assert idle.place == "main/a/4"


def test_what_a_finding_rests_on_is_recorded_by_reading_it(wired: Wired) -> None:
    good = Known(Decimal(1), Evidence.SEEN)
    weak = Known(Decimal(2), Evidence.UNCONFIRMED)
    torn = Known(Decimal(3), Evidence.DISPUTED, (), "one page says otherwise (D12)")

    @rule(id="SELF-007", slug="reads", severity=Severity.DOUBT, sources=("common-practice",))
    def reads(wired: Wired) -> Iterator[Result]:
        assert total([Part("a", good), Part("b", weak)]).least == 3
        yield complaint(at(wired, "main/a/1AB"))
        assert good.value == 1
        yield complaint(at(wired, "main/a/1CD"))
        assert torn.named("c").value == 3
        yield complaint(at(wired, "main/a/2CD"), disputed=("D6",))

    first, second, third = sorted(check_wired(wired, [reads]).findings, key=lambda one: one.place)
    assert (first.evidence, first.rests_on) == (Evidence.UNCONFIRMED, ("b: unconfirmed", "a: seen"))
    assert (second.evidence, second.rests_on) == (Evidence.SEEN, ())
    assert (third.evidence, third.disputed) == (Evidence.DISPUTED, ("D6", "D12"))


def test_the_same_missing_thing_counts_once_whatever_rules_need_it(wired: Wired) -> None:
    @rule(id="SELF-008", slug="lacks", severity=Severity.DOUBT, sources=("common-practice",))
    def lacks(wired: Wired) -> Iterator[Result]:
        yield not_checked(at(wired, "main/a/1AB"), "current of X")
        yield not_checked(at(wired, "main/a/1CD"), "current of X", "current of Y")

    assert check_wired(wired, [lacks, replace(lacks, id="SELF-009")]).not_known == ("current of X", "current of Y")


def test_subjects_that_fail_by_one_cause_share_one_finding(wired: Wired) -> None:
    @rule(id="SELF-010", slug="shares", severity=Severity.FAULT, sources=("common-practice",))
    def shares(wired: Wired) -> Iterator[Result]:
        yield complaint(at(wired, "main/a/1AB"))
        yield same_as(at(wired, "main/a/1CD"), at(wired, "main/a/1AB"))

    report = check_wired(wired, [shares])
    assert len(report.findings) == 1
    assert [(one.place, one.state, one.finding) for one in report.outcomes] == [
        ("main/a/1AB", State.FAILED, report.findings[0]),
        ("main/a/1CD", State.FAILED, report.findings[0]),
    ]


def test_rules_that_need_each_other_are_refused() -> None:
    first = replace(always_fails, needs=("SELF-003",))
    with pytest.raises(ValueError, match="circle"):
        in_order([first, needs_the_first])


def test_exactly_twenty_dc_loads_on_the_separate_line_bus_are_a_note() -> None:
    """20 as such is printed [sep-loading-post-2016]; that "less than 20" is meant there is disputed (D9)."""
    wired = resolve(read_loadout(HERE / "LOAD-002" / "good-sep.yaml"))
    dc = next(one for one in all_rules() if one.id == "LOAD-002")

    def with_loads(each: str, count: int) -> Wired:
        def loaded(board: WiredBoard) -> WiredBoard:
            load = Known(Decimal(each if board.index < count else 0), Evidence.SEEN)
            return replace(board, entry=replace(board.entry, dc=load))

        return replace(wired, boards=tuple(map(loaded, wired.boards)))

    assert [(one.severity, one.disputed) for one in check_wired(with_loads("5", 4), [dc]).findings] == [
        (Severity.NOTE, ("D9",))
    ]
    assert check_wired(with_loads("4.9", 4), [dc]).findings == ()
    assert [one.severity for one in check_wired(with_loads("5.1", 4), [dc]).findings] == [Severity.DOUBT]


def test_an_odd_register_address_is_a_finding(wired: Wired) -> None:
    odd = replace(wired.registers[0], base=Known(0o17561, Evidence.OWNER))
    addr = next(one for one in all_rules() if one.id == "ADDR-004")
    found = check_wired(replace(wired, registers=(odd,)), [addr]).findings
    assert [one.found for one in found] == ["the registers begin at 777561, an odd address"]


def test_an_unknown_processor_terminator_takes_the_stricter_limit_and_says_so() -> None:
    """Which boards hold 120 ohm is disputed (D5); without a far terminator the strict row allows 20 AC loads
    [termination-post-2005]."""
    wired = resolve(read_loadout(HERE / "LOAD-001" / "bad-mux-20.yaml"))
    near = next(one for one in wired.terminators if one.at_end == "near")
    unsure = replace(wired, terminators=(replace(near, strength=Unknown("not known")),))
    load = next(one for one in all_rules() if one.id == "LOAD-001")
    (finding,) = check_wired(unsure, [load]).findings
    assert "D5" in finding.disputed
    assert "20 are allowed" in finding.limit


def test_no_file_of_the_machinery_is_taken_for_a_rule() -> None:
    assert all(not one.id.startswith("SELF") for one in all_rules())
    assert Path(__file__).name.startswith("test_")
