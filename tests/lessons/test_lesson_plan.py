"""The desk with a loadout: boards out and in, settings, findings, switched on."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from minisim.lessons.plan import PlanDesk
from minisim.lessons.reader import MACHINES
from minisim.loadout.model import Loadout

DESK = MACHINES / "desk.yaml"


def settings_of(loadout: Loadout) -> dict[str, str]:
    """Of the board in the third place of the list."""
    placed = loadout.boxes[0].units[0].placed[2]
    return {name: setting.text for name, setting in placed.settings.items()}


def test_a_board_keeps_its_settings_and_its_cable_on_the_way_to_another_place() -> None:
    plan = PlanDesk(DESK)
    before = plan.desk.loadout
    assert plan.do("take out 2CD").done
    assert plan.desk.board_at("main/a/2CD") == ""
    assert plan.desk.loadout.cables == ()
    assert plan.do("put in 2ab serial-line-single").done
    assert [end.board for end in plan.desk.loadout.cables] == ["main/a/2AB"]
    assert {one.rule for one in plan.desk.report.findings} == {"GRANT-001", "GRANT-003"}
    plan.do("take out main/a/2AB")
    plan.do("put in main/a/2CD serial-line-single")
    assert settings_of(plan.desk.loadout) == settings_of(before)
    assert plan.desk.report.findings == ()
    assert plan.desk.beside == ()


def test_a_board_may_be_named_by_the_number_on_its_handle() -> None:
    plan = PlanDesk(DESK)
    assert plan.do("put in 2AB M9047").lines == ("grant-card is in main/a/2AB.",)
    assert not plan.do("put in 3AB M9999").done


def test_findings_are_told_in_words_without_a_file() -> None:
    plan = PlanDesk(DESK)
    assert plan.do("check").lines == ("consistent on paper: the rules find nothing",)
    plan.do("set 1CD start 100000")
    first = plan.do("check").lines[0]
    assert not first.startswith(str(DESK))
    assert "[main" in first


def test_a_machine_with_faults_is_switched_on_only_anyway() -> None:
    plan = PlanDesk(DESK)
    plan.do("take out 2CD")
    plan.do("put in 2AB serial-line-single")
    refused = plan.do("boot")
    assert not refused.done
    assert plan.booted is None
    assert "boot anyway" in refused.lines[-1]
    assert plan.do("boot anyway").done
    assert plan.booted is not None


def test_the_list_of_slots_is_that_of_a_mail_and_names_what_lies_beside() -> None:
    plan = PlanDesk(DESK)
    plan.do("take out 2CD")
    lines = plan.do("look").lines
    assert all(len(line) <= 72 for line in lines)
    assert lines[-1] == "Beside the machine: serial-line-single"


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("tak out 2CD", 'did you mean "take out"'),
        ("take out", "the form is take out PLACE"),
        ("take out 3CD", "there is no board in main/a/3CD"),
        ("take out other/a/3CD", "no backplane"),
        ("put in 2CD grant-card", "holds serial-line-single; take it out first"),
        ("put in 2AB grant-crad", 'did you mean "grant-card"'),
        ("put in zz grant-card", "not a place"),
        ("set 1CD kb 33", "not one of"),
        ("set 1CD colour red", "colour"),
        ("boot now", "the forms are"),
    ],
)
def test_what_cant_be_done_changes_nothing_and_says_why(line: str, why: str) -> None:
    plan = PlanDesk(DESK)
    before = plan.desk
    answer = plan.do(line)
    assert not answer.done
    assert why in " ".join(answer.lines)
    assert plan.desk is before


WORDS = ("look", "take", "out", "put", "in", "set", "check", "boot", "2CD", "2AB", "main/a/3AB", "4", "1CD", "kb", "16",
         "grant-card", "serial-line-single", "\x1b", "///", "{", ": ", "é")  # fmt: skip


@settings(max_examples=25)
@given(st.lists(st.lists(st.sampled_from(WORDS), max_size=5), max_size=3))
def test_nothing_that_can_be_typed_makes_it_fail(lines: list[list[str]]) -> None:
    plan = PlanDesk(DESK)
    for words in lines:
        said = plan.do(" ".join(words)).lines
        assert all(line.isprintable() for line in said)
    assert plan.desk.loadout.name == "Desktop tide table"
