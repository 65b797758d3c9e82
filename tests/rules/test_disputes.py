"""Where two documents differ, both stand under the finding, with the test that tells them apart."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from expectations import HERE, checked, fixtures, written

from minisim.catalogue import Catalogue
from minisim.formatters import json_text, text
from minisim.rules import all_rules
from minisim.rules._disputes import DISPUTES, as_data, dispute, sources
from minisim.rules.page import pages
from minisim.sources import read_sources

CATALOGUE = Path(__file__).parents[2] / "minisim" / "catalogue"
NUMBER = re.compile(r"\bD\d+\b")
EACH = pytest.mark.parametrize("number", DISPUTES)


def test_the_fifteen_points_of_the_buses_and_those_of_the_devices_are_there_in_order() -> None:
    assert list(DISPUTES) == [f"D{number}" for number in range(1, 19)]


@EACH
def test_a_point_has_a_question_two_readings_that_differ_and_a_test(number: str) -> None:
    one = DISPUTES[number]
    assert one.question and one.taken.says != one.other.says and len(one.test) > 20
    assert all(reading.sources or reading.known for reading in (one.taken, one.other))
    assert not one.sentence.endswith(".") and "  " not in one.sentence


def test_every_source_of_a_reading_exists() -> None:
    assert set(sources()) <= set(read_sources())


@EACH
def test_the_data_hold_what_the_sentence_says(number: str) -> None:
    data, sentence = as_data(number), dispute(number)
    assert sentence.startswith(f"{number}: {data['question']}. Taken here: ")
    readings = data["readings"]
    assert isinstance(readings, list) and [one["taken"] for one in readings] == [True, False]
    for one in readings:
        assert one["says"] in sentence and all(key in sentence for key in one["sources"])
    assert str(data["test"]) in sentence


def test_a_number_nobody_knows_is_said_and_breaks_nothing() -> None:
    assert dispute("D99").startswith("D99: ") and as_data("D99")["readings"] == []


@EACH
def test_the_page_of_disputes_shows_both_readings_and_the_test(number: str) -> None:
    page, one = pages()[Path("reference/rules/disputes.md")], DISPUTES[number]
    assert f"## {number}\n" in page
    assert all(part in page for part in (str(one.taken), str(one.other), one.test))


def test_every_number_in_a_rule_or_in_the_catalogue_is_one_of_these() -> None:
    told = {number for rule in all_rules() for number in NUMBER.findall(rule.doc)}
    for folder in ("boards", "backplanes", "supplies", "cables", "drives"):
        for path in (CATALOGUE / folder).glob("*.yaml"):
            told.update(number for line in path.read_text("utf-8").splitlines() if "disputed" in line.lower()
                        for number in NUMBER.findall(line) if not line.startswith("markings"))  # fmt: skip
    assert told <= set(DISPUTES)


def test_every_disputed_figure_that_a_rule_can_read_names_its_point() -> None:
    for folder in ("boards", "backplanes", "supplies", "cables"):
        for path in (CATALOGUE / folder).glob("*.yaml"):
            for line in path.read_text("utf-8").splitlines():
                assert "evidence: disputed" not in line or NUMBER.search(line), f"{path.name}: {line}"


def test_under_every_disputed_finding_stand_both_readings_and_the_deciding_test() -> None:
    seen = set()
    for path in fixtures():
        report = checked(path)
        shown = text([report], whole=True)
        for finding in report.findings:
            for number in finding.disputed:
                seen.add(number)
                one = DISPUTES[number]
                assert f"Disputed {number}: " in shown
                assert one.taken.says in shown and one.other.says in shown and one.test in shown
    assert seen >= {"D1", "D3", "D5", "D6", "D8", "D11", "D14", "D15", "D16"}


def test_a_level_on_which_documents_differ_is_said_where_it_decides() -> None:
    one = next(one for one in checked(HERE / "GRANT-008" / "bad-disk-behind-a-line.yaml").findings)
    assert not one.disputed  # the disk port and the line: nobody doubts their levels
    level = Catalogue().board("floppy-single-density").registers[0].level
    assert "D17" in getattr(level, "note", "")


def test_an_outcome_that_passed_on_a_disputed_figure_names_it_and_the_list_explains_it(tmp_path: Path) -> None:
    slots = (
        "      1AB: {board: fast-cpu-dual}\n      2AB: {board: grant-card}\n      3AB: {board: grant-card}\n"
        "      4AB: {board: grant-card}\n"
        "      5AB: {board: serial-line-single, settings: {address: 777560, vector: 60, console: yes}}\n"
    )
    report = checked(written(tmp_path, slots, supply="mux-twelve-slot-box", backplane="mux-mixed-13-22bit"))
    (one,) = (one for one in report.outcomes if (one.rule, one.place) == ("GRANT-001", "main/a/5AB"))
    assert (str(one.state), one.disputed) == ("passed", ("D6",))
    shown = text([report], whole=True)
    assert "GRANT-001 bus-grant-gap [main/a/5AB]: passed, disputed (D6)" in shown
    assert f": disputed {dispute('D6')}." in shown


def test_the_json_form_holds_the_readings_of_every_point_it_names() -> None:
    report = checked(HERE / "SLOT-002" / "bad-terminator-in-modified-slot.yaml")
    (file,) = json.loads(json_text([report]))["files"]
    named = {number for one in file["findings"] for number in one["disputed"]}
    assert named <= {one["number"] for one in file["disputes"]} == set(report.disputed)
    assert as_data("D8") in file["disputes"]
