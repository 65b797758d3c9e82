"""The forms of output that other programs read, held against their published shapes."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft4Validator
from lxml import etree

from minisim.catalogue import Catalogue
from minisim.checking import check
from minisim.findings import Finding, Mark, Report, Severity
from minisim.formatters import FORMATTERS, FORMS, github, html_page, junit, sarif, text
from minisim.loadout.reader import read_loadout
from minisim.problems import Problem

TESTS = Path(__file__).parents[1]
SCHEMAS = TESTS / "data" / "schemas"
RULES = TESTS / "rules"
HOLE = RULES / "GRANT-001" / "bad-serpentine.yaml"
BAD = sorted(RULES.glob("*-0*/bad-*.yaml"))
PROBLEM = Problem(Mark("broken file.yaml", 3, 1), 'unknown key "a,b:c%"\nsecond line')


def reports(*files: Path) -> list[Report]:
    catalogue = Catalogue()
    return [check(read_loadout(file, catalogue=catalogue), catalogue) for file in files]


def finding(**changes: Any) -> Finding:
    """A finding of a rule that exists, with parts changed."""
    plain = reports(HOLE)[0].findings[0]
    return replace(plain, **changes)


def report_of(*findings: Finding) -> Report:
    return Report("A machine", "some folder/a machine.yaml", findings, ())


def result_of(one: Finding) -> dict[str, Any]:
    return run_of([report_of(one)])["results"][0]


def run_of(all_reports: list[Report], problems: list[Problem] | None = None) -> dict[str, Any]:
    log = json.loads(sarif(all_reports, problems or []))
    schema = json.loads((SCHEMAS / "sarif-2.1.0.json").read_text("utf-8"))
    assert [error.message for error in Draft4Validator(schema).iter_errors(log)] == []
    return log["runs"][0]


def test_every_word_of_format_has_its_form() -> None:
    assert FORMS == ("text", "json", "sarif", "junit", "github", "html")
    for form in FORMATTERS.values():
        assert form(reports(HOLE), [PROBLEM]).endswith("\n")


# ---- SARIF


def test_sarif_of_every_bad_fixture_is_valid_and_names_each_rule_with_its_page() -> None:
    run = run_of(reports(*BAD[::4]), [PROBLEM])
    rules = run["tool"]["driver"]["rules"]
    assert [rule["id"] for rule in rules] == sorted({result["ruleId"] for result in run["results"]})
    for rule in rules:
        assert rule["name"] and rule["shortDescription"]["text"] and rule["fullDescription"]["text"]
        assert "## Putting it right" in rule["help"]["markdown"]
        assert rule["defaultConfiguration"]["level"] in ("error", "warning", "note")
    for result in run["results"]:
        assert rules[result["ruleIndex"]]["id"] == result["ruleId"]


def test_a_fingerprint_stays_when_the_lines_of_the_file_move(tmp_path: Path) -> None:
    moved = tmp_path / HOLE.name
    moved.write_text("# one more line\n\n" + HOLE.read_text("utf-8"), "utf-8")
    before, after = (run_of(reports(file))["results"] for file in (HOLE, moved))
    assert [one["partialFingerprints"] for one in before] == [one["partialFingerprints"] for one in after]
    assert len({str(one["partialFingerprints"]) for one in before}) == len(before)
    lines = [one["locations"][0]["physicalLocation"]["region"]["startLine"] for one in (before[0], after[0])]
    assert lines[1] == lines[0] + 2


def test_two_findings_of_one_rule_at_one_place_have_two_fingerprints() -> None:
    run = run_of([report_of(finding(found="one"), finding(found="another"))])
    assert len({one["partialFingerprints"]["subject/v1"] for one in run["results"]}) == 2


@pytest.mark.parametrize(
    ("name", "uri", "base"),
    [
        ("some folder/ä machine.yaml", "some%20folder/%C3%A4%20machine.yaml", True),
        ("a:b.yaml", "./a%3Ab.yaml", True),
        ("100%.yaml", "100%25.yaml", True),
        ("./x/../y.yaml", "y.yaml", True),
        ("/elsewhere/x y.yaml", "file:///elsewhere/x%20y.yaml", False),
    ],
)
def test_a_file_is_named_relative_and_encoded(name: str, uri: str, base: bool) -> None:
    place = result_of(finding(mark=Mark(name, 4, 2)))["locations"][0]["physicalLocation"]
    assert place["artifactLocation"]["uri"] == uri
    assert ("uriBaseId" in place["artifactLocation"]) is base
    assert place["region"] == {"startLine": 4, "startColumn": 2}


def test_the_other_party_of_a_conflict_is_a_related_location_with_its_line() -> None:
    run = run_of(reports(RULES / "CONSOLE-001" / next(p.name for p in BAD if p.parent.name == "CONSOLE-001")))
    related = next(one["relatedLocations"] for one in run["results"] if one["ruleId"] == "CONSOLE-001")
    assert re.search(r" at line \d+$", related[0]["message"]["text"])
    line = int(related[0]["message"]["text"].rsplit(" ", 1)[1])
    assert related[0]["physicalLocation"]["region"] == {"startLine": line}


def test_an_acceptance_suppresses_a_fault_and_never_damage() -> None:
    taken = result_of(finding(accepted="the card comes on Saturday"))
    assert taken["suppressions"] == [
        {"kind": "inSource", "status": "accepted", "justification": "the card comes on Saturday"}
    ]
    damage = result_of(finding(accepted="I know", severity=Severity.DAMAGE))
    assert "suppressions" not in damage and "I know" in damage["message"]["text"]


def test_what_is_not_known_is_a_notification_and_no_result() -> None:
    good = reports(RULES / "GRANT-001" / "good-serpentine.yaml")
    run = run_of(good)
    assert run["results"] == [] and good[0].not_known
    note = run["invocations"][0]["toolExecutionNotifications"][0]
    assert note["level"] == "note" and good[0].not_known[0] in note["message"]["text"]
    assert run["invocations"][0]["executionSuccessful"] is True
    assert run_of([], [PROBLEM])["invocations"][0]["executionSuccessful"] is False


# ---- JUnit XML


@pytest.fixture(scope="module")
def junit_schema() -> Any:
    return etree.XMLSchema(etree.parse(SCHEMAS / "junit-10.xsd"))


def test_junit_of_bad_fixtures_and_unusable_files_follows_the_schema(junit_schema: Any) -> None:
    tree = etree.fromstring(junit(reports(*BAD[::5]), [PROBLEM]).encode())
    junit_schema.assertValid(tree)
    for suite in tree:
        cases = suite.findall("testcase")
        assert len(cases) == int(suite.get("tests"))
        for word, tag in (("failures", "failure"), ("errors", "error"), ("skipped", "skipped")):
            assert int(suite.get(word)) == len(suite.findall(f"testcase/{tag}"))
    assert int(tree.get("failures")) == len(tree.findall(".//failure")) > 10


def test_the_schema_of_junit_refuses_a_spoiled_report(junit_schema: Any) -> None:
    tree = etree.fromstring(junit(reports(HOLE)).encode())
    del tree[0].attrib["tests"]
    assert not junit_schema.validate(tree)


def test_junit_skips_what_the_owner_has_taken_on_with_the_reason() -> None:
    one = reports(RULES / "INT-002" / "good-accepted.yaml")
    tree = etree.fromstring(junit(one).encode())
    assert tree.get("failures") == "0"
    assert any("started from the console by hand" in case.get("message") for case in tree.findall(".//skipped"))


def test_what_xml_cant_hold_is_replaced(junit_schema: Any) -> None:
    made = junit([replace(reports(HOLE)[0], file="bell\x07.yaml")])
    junit_schema.assertValid(etree.fromstring(made.encode()))
    assert "bell?.yaml" in made


# ---- annotations


def test_an_annotation_escapes_properties_and_messages_each_in_its_way() -> None:
    name = "50%, a:b\n.yaml"
    out = github([report_of(finding(mark=Mark(name, 1, 2), found="100%, see: a\r\nb"))])
    assert out.count("\n") == 1
    head, _, told = out.removeprefix("::error ").partition("::")
    assert head.startswith("file=50%25%2C a%3Ab%0A.yaml,line=1,col=2,title=fault GRANT-001 ")
    assert "100%25, see: a%0D%0Ab" in told


def test_an_accepted_damage_stays_an_error_and_an_accepted_fault_becomes_a_notice() -> None:
    assert github([report_of(finding(accepted="later"))]).startswith("::notice ")
    assert github([report_of(finding(accepted="later", severity=Severity.DAMAGE))]).startswith("::error ")


# ---- HTML


class _Page(HTMLParser):
    """Collects tags, texts and addresses, and refuses tags that don't close."""

    VOID = ("meta", "br")

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.ids: set[str] = set()
        self.links: list[str] = []
        self.tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        given = dict(attrs)
        self.ids |= {str(given["id"])} if "id" in given else set()
        self.links += [str(given[name]) for name in ("href", "src") if name in given]
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def page_of(*args: Any) -> tuple[_Page, str]:
    page, source = _Page(), html_page(*args)
    page.feed(source)
    assert page.open == []
    return page, source


def test_the_page_stands_alone_and_every_link_leads_into_it() -> None:
    page, source = page_of(reports(*BAD[::6]), [PROBLEM])
    assert page.links and all(link.startswith("#") and link[1:] in page.ids for link in page.links)
    assert not set(page.tags) & {"img", "link", "iframe", "object"}
    assert "http:" not in source and "https:" not in source and "@import" not in source and "url(" not in source


def test_every_word_of_the_owner_is_escaped() -> None:
    nasty = '<script>alert("x")</script>&'
    fields = ("place", "board", "found", "limit", "cause", "fix", "next_measurement", "accepted", "slug", "rule")
    one = finding(**dict.fromkeys(fields, nasty), also=(nasty,), rests_on=(f"{nasty}: unconfirmed",), sources=(nasty,))
    report = Report(nasty, nasty, (one,), (), "as-found", (nasty,), (nasty,))
    page, source = page_of([report], [Problem(Mark(nasty, 1, 1), nasty)])
    assert page.tags.count("script") == 1 and "alert(" in source
    assert "<script>alert" not in source


def test_the_page_holds_the_rules_that_found_something_and_the_cautions() -> None:
    page, source = page_of(reports(HOLE))
    assert {"rule-GRANT-001", "rule-GRANT-003", "cautions"} <= page.ids
    assert source.count("<h4>Why it matters</h4>") == 2
    assert "Local electrical codes" in source and "Not known, so not checked" in source
    assert source.index("power off, plug out") < source.index("Put right")
    clean, _ = page_of(reports(RULES / "GRANT-001" / "good-serpentine.yaml"))
    assert "cautions" not in clean.ids


def test_more_than_five_findings_are_folded_with_their_count() -> None:
    many = report_of(*(finding(place=f"main/a/{number}") for number in range(1, 9)))
    _, source = page_of([many])
    assert "<summary>3 more: 3 faults</summary>" in source
    assert source.count('<details class="finding fault" open>') == 5
    assert "3 more: 3 faults (--all shows them)" in text([many])


def test_a_machine_as_found_is_said_to_be_that_in_every_form() -> None:
    found = Report("X", "x.yaml", (), (), "as-found", ("grant wire cut at slot 5",))
    for made in (text([found]), html_page([found])):
        assert "s found, with 1 modification: grant wire cut at slot 5" in made
    data = json.loads(FORMATTERS["json"]([found], []))["files"][0]
    assert (data["state"], data["modifications"]) == ("as-found", ["grant wire cut at slot 5"])


# ---- start-up


def test_a_check_that_prints_text_imports_no_other_form() -> None:
    script = (
        "import sys; from minisim.cli import main; main(['check', sys.argv[1]]);"
        "print(sorted({'json', 'xml.etree.ElementTree', 'html', 'multiprocessing', 'concurrent.futures',"
        " 'subprocess', 'difflib', 'importlib.metadata', 'minisim.staging'} & set(sys.modules)))"
    )
    good = RULES / "GRANT-001" / "good-serpentine.yaml"
    done = subprocess.run([sys.executable, "-c", script, good], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"
