"""What holds for every kind and every finding."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from minisim.consequence import NotShownError, Shown, kinds, served, show
from minisim.findings import Severity
from minisim.rules import all_rules

from .machines import HERE, RULES, fixture, machine, shown

SHOWN = sorted(HERE.glob("*.yaml")) + sorted(path for rule in served() for path in RULES.glob(f"{rule}/bad*.yaml"))


def test_every_kind_serves_rules_that_there_are_and_says_what_it_is() -> None:
    known = {rule.slug: rule for rule in all_rules()}
    for kind in kinds():
        assert kind.rules and set(kind.rules) <= set(known)
        assert all(known[rule].severity is not Severity.DAMAGE for rule in kind.rules)
        assert kind.tell.__doc__


@cache
def told_of(path: Path) -> tuple[tuple[str, tuple[Shown, ...]], ...]:
    """What is shown of each finding of a loadout; the others must have a reason."""
    wired, report, catalogue = machine(path)
    told = []
    for finding in report.findings:
        try:
            told.append((finding.rule, show(finding, wired, report, catalogue)))
        except NotShownError as reason:
            assert str(reason)
    return tuple(told)


def test_every_rule_that_is_served_is_shown_in_one_loadout_at_least() -> None:
    assert set(served()) <= {rule for path in SHOWN for rule, _ in told_of(path)}


@pytest.mark.parametrize("path", SHOWN, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_what_is_shown_has_words_numbers_and_a_trace(path: Path) -> None:
    for _, told in told_of(path):
        for one in told:
            assert one.trace and one.facts
            for sentence in (one.does, one.expected, one.happened):
                assert not sentence[0].islower() and sentence.endswith((".", '"'))


def test_the_same_finding_is_shown_the_same_each_time() -> None:
    path = HERE / "disk-behind-a-hole.yaml"
    assert shown(path, "GRANT-001") == shown(path, "GRANT-001")


def test_damage_is_never_powered() -> None:
    with pytest.raises(NotShownError, match=r"is damage: .* not powered"):
        shown(fixture("SLOT-008", "mux-in-sep"), "SLOT-008")


def test_a_fault_beside_damage_is_not_powered_either(tmp_path: Path) -> None:
    text = fixture("SLOT-008", "mux-in-sep").read_text("utf-8")
    both = tmp_path / "both.yaml"
    both.write_text(text.replace("start: 0, kb: 64", "start: 20000, kb: 64"), "utf-8")
    with pytest.raises(
        NotShownError, match="the machine has SLOT-008 board-of-wrong-bus at main/a/8CD, which is damage"
    ):
        shown(both, "MEM-009")


def test_a_rule_that_none_serves_is_named_with_those_that_are() -> None:
    with pytest.raises(NotShownError, match=r"nothing shows POWER-002 rail-overload; shown are ADDR-001, .*VECT-005"):
        shown(fixture("POWER-002", "mux"), "POWER-002")
