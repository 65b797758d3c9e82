"""Every rule is documented, has sources that exist, stands in the file of its name, and has good and bad fixtures."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from expectations import HERE
from setuptools import find_namespace_packages

import minisim.rules
from minisim.rules import Rule, all_rules, find_rule
from minisim.rules._disputes import DISPUTES
from minisim.rules._framework import HEADINGS, in_order, rule_files
from minisim.rules._load_table import TABLE
from minisim.rules.page import pages, remarks, sections
from minisim.sources import read_sources

# Area -> the numbers that must be there, the runner's own two among them.
LISTED = {
    "SLOT": range(1, 12),
    "GRANT": range(1, 10),
    "ADDR": range(1, 6),
    "VECT": range(1, 6),
    "MEM": range(1, 10),
    "DMA": range(1, 4),
    "POWER": range(1, 6),
    "LOAD": range(1, 4),
    "TERM": (1, 2),
    "CLOCK": (1,),
    "CONSOLE": (1, 2, 3, 4, 5),
    "BOOT": (1, 2),
    "CABLE": (1, 2, 3, 4),
    "MEDIA": (1,),
    "CARE": (1,),
    "OPT": (1, 2, 3, 4, 5),
    "INT": (1, 2),
}
WITHOUT_FIXTURES = {"INT-001", "CARE-001"}  # no loadout can make a rule crash, or say how a board is held
FOR_ONE_BUS = {
    "SLOT-001", "SLOT-002", "SLOT-003", "SLOT-004", "SLOT-005", "GRANT-001", "GRANT-003", "GRANT-004", "GRANT-005",
    "GRANT-006", "GRANT-007", "GRANT-008", "GRANT-009", "POWER-001", "POWER-005", "ADDR-003", "MEM-006", "MEM-007",
    "MEM-008", "DMA-001", "DMA-003", "INT-002", "OPT-001", "OPT-002", "OPT-003", "OPT-004", "OPT-005", "CONSOLE-005",
}  # fmt: skip
RULES = pytest.mark.parametrize("rule", all_rules(), ids=lambda rule: rule.id)


def file_of(rule: Rule) -> Path:
    """The file a rule stands in."""
    return Path(minisim.rules.__file__).parent.joinpath(*rule.module.split(".")[2:]).with_suffix(".py")


def test_the_rules_allotted_so_far_are_all_there() -> None:
    listed = {f"{area}-{number:03}" for area, numbers in LISTED.items() for number in numbers}
    assert {rule.id for rule in all_rules()} >= listed


def test_every_rule_file_holds_one_rule_and_no_two_share_id_or_slug() -> None:
    assert sorted(file_of(rule) for rule in all_rules()) == rule_files()
    assert len({rule.slug for rule in all_rules()}) == len(all_rules())
    with pytest.raises(ValueError, match="same id"):
        in_order([*all_rules(), all_rules()[0]])


@RULES
def test_a_rule_stands_in_the_file_of_its_slug_in_the_folder_of_its_area(rule: Rule) -> None:
    path = file_of(rule)
    assert path.stem == rule.slug.replace("-", "_")
    assert re.fullmatch(rf"{path.parent.name.upper()}-\d{{3}}", rule.id)


@RULES
def test_the_documentation_has_every_heading_in_order_with_text_under_it(rule: Rule) -> None:
    parts = sections(rule.doc)
    assert list(parts) == ["", *HEADINGS]
    assert all(parts.values())


@RULES
def test_every_source_exists_and_is_said_for_what_it_stands(rule: Rule) -> None:
    sources = read_sources()
    assert rule.sources
    for key in rule.sources:
        assert key in sources, f"unknown source {key}"
        assert "minisim" not in sources[key].title.lower(), f"{key} points at this project"
    assert list(remarks(sections(rule.doc)["Sources"])) == list(rule.sources)


@RULES
def test_the_example_shows_the_rule_as_it_is_printed(rule: Rule) -> None:
    example = " ".join(sections(rule.doc)["Example"].split())
    assert re.search(rf": (damage|fault|doubt|note) {rule.id} {rule.slug} \[[^\]]+\]: ", example)


@RULES
def test_prerequisites_and_explained_rules_exist(rule: Rule) -> None:
    assert all(find_rule(need) for need in rule.needs)
    assert not rule.explains or find_rule(rule.explains)


@RULES
def test_a_rule_has_good_and_bad_fixtures_on_each_bus_it_speaks_of(rule: Rule) -> None:
    if rule.id in WITHOUT_FIXTURES:
        return
    files = list((HERE / rule.id).glob("*.yaml"))
    buses = ("",) if rule.id in FOR_ONE_BUS else ("backplane: mux-", "backplane: sep-")
    for start in ("good-", "bad-"):
        texts = [path.read_text("utf-8") for path in files if path.name.startswith(start)]
        for bus in buses:
            assert any(bus in text for text in texts), f"{rule.id} has no fixture {start}*.yaml {bus}"


def test_no_fixture_lies_in_a_folder_without_a_rule() -> None:
    folders = {path.name for path in HERE.iterdir() if re.match(r"[A-Z]+-\d", path.name)}
    assert folders <= {one.id for one in all_rules()}


def test_every_rule_gets_a_page_and_the_index_names_all() -> None:
    made = pages()
    index = made[Path("reference/rules/index.md")]
    for rule in all_rules():
        assert f"## {HEADINGS[0]}" in made[Path(f"reference/rules/{rule.id}.md")]
        assert f"[{rule.id}]({rule.id}.md)" in index
    assert all(number in made[Path("reference/rules/disputes.md")] for number in DISPUTES)


def test_every_limit_of_the_load_table_has_a_source_that_exists() -> None:
    keys = {key for row in TABLE for limit in (row.ac, row.dc) for key in limit.sources}
    assert keys <= set(read_sources())
    assert all(limit.sources for row in TABLE for limit in (row.ac, row.dc))


def test_every_folder_of_rules_is_installed() -> None:
    root = Path(__file__).parents[2]
    found = find_namespace_packages(str(root), include=["minisim", "minisim.*"])  # as setup.py does
    assert "find_namespace_packages" in (root / "setup.py").read_text("utf-8")
    assert {f"minisim.rules.{path.parent.name}" for path in rule_files()} <= set(found)
