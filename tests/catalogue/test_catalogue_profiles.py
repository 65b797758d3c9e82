"""The seventeen profiles and the fifty-three rows, held against the published table they were taken from."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from trees import CATALOGUE

from minisim.catalogue.model import FlagValue, Profile
from minisim.known import Figure, Known, NotApplicable, Unknown

DATA = Path(__file__).parents[1] / "data" / "profiles-published.yaml"
PUBLISHED: dict[str, Any] = yaml.load(DATA.read_text("utf-8"), yaml.CSafeLoader)
PROFILES = {entry["id"]: entry for entry in PUBLISHED["profiles"]}
WORDS = {
    "from memory, firm": "firm",
    "unconfirmed": "unconfirmed",
    "derived": "derived",
    "common practice": "common-practice",
}


def _flags(profile: Profile) -> dict[str, FlagValue]:
    return {flag.row: flag for flag in profile.flags.values()}


def test_all_profiles_and_rows_are_there() -> None:
    assert set(CATALOGUE.ids("profiles")) == set(PROFILES)
    assert len(PROFILES) == 17
    assert [row.id for row in CATALOGUE.rows()] == [f"D{number:02}" for number in range(1, 54)]


def test_the_rows_are_those_published() -> None:
    for row, published in zip(CATALOGUE.rows(), PUBLISHED["rows"], strict=True):
        assert (row.id, row.flag, row.what) == (published["id"], published["flag"], published["what"])
        assert dict(row.values) == published["values"]
        assert row.note == published.get("note", "")


def _same(figure: Figure[Any], value: Any, evidence: str) -> bool:
    """The figure says what the published value and evidence say."""
    if value is None:
        return isinstance(figure, Unknown)
    if value == "not_applicable":
        return isinstance(figure, NotApplicable)
    if not isinstance(figure, Known):
        return False
    seen = evidence.startswith("seen")
    word = "seen" if seen else WORDS[evidence]
    keys = tuple(re.findall(r"\[([a-z0-9-]+)\]", evidence)) if seen else ()
    return (figure.peek, figure.evidence.value, figure.sources) == (value, word, keys)


@pytest.mark.parametrize("name", PROFILES)
def test_every_flag_says_what_is_published(name: str) -> None:
    flags = _flags(CATALOGUE.profile(name))
    for published in PROFILES[name]["flags"]:
        flag = flags[published["id"]]
        assert flag.name == published["flag"]
        values = published["value"] if isinstance(published["value"], dict) else {"": published["value"]}
        figures = flag.value if not isinstance(flag.value, (Known, Unknown, NotApplicable)) else {"": flag.value}
        assert set(values) == set(figures)
        for key, value in values.items():
            assert _same(figures[key], value, published["evidence"]), (name, published)


@pytest.mark.parametrize("name", PROFILES)
def test_the_plain_figures_are_those_published(name: str) -> None:
    profile, published = CATALOGUE.profile(name), PROFILES[name]
    assert (profile.description, profile.technology) == (published["description"], published["technology"])
    assert list(profile.notes) == published.get("notes", [])
    for key in ("boards", "address_bits", "modes", "register_sets"):
        assert _same(getattr(profile, key), published[key]["value"], published[key]["evidence"]), key
    if published["console"]["value"] == "none":
        assert isinstance(profile.console, NotApplicable)
    else:
        assert _same(profile.console, published["console"]["value"], published["console"]["evidence"])
    for option, record in published["options"].items():
        assert _same(profile.options[option], record["value"], record["evidence"]), option


@pytest.mark.parametrize("name", PROFILES)
def test_the_model_does_what_is_documented_and_the_likely_thing_where_nothing_is(name: str) -> None:
    for published in PROFILES[name]["flags"]:
        flag = _flags(CATALOGUE.profile(name))[published["id"]]
        value, likely = published["value"], published.get("likely")
        if isinstance(value, dict):
            assert isinstance(flag.model, dict) and set(flag.model) == set(value)
            for key, word in value.items():
                wanted = word if word is not None else (likely or {}).get(key)
                assert wanted is None or flag.model[key] == wanted
        elif value is not None or likely is not None:
            assert flag.model == (value if value is not None else likely)
        else:
            assert flag.because


def test_every_published_flag_is_looked_at_and_none_is_added() -> None:
    assert sum(len(entry["flags"]) for entry in PROFILES.values()) == 17 * 53
    for name, entry in PROFILES.items():
        assert [flag["id"] for flag in entry["flags"]] == list(_flags(CATALOGUE.profile(name))), name


@pytest.mark.parametrize("name", PROFILES)
def test_what_is_recalled_doubtfully_is_kept_apart_from_the_value(name: str) -> None:
    flags = _flags(CATALOGUE.profile(name))
    for published in PROFILES[name]["flags"]:
        assert flags[published["id"]].likely == published.get("likely", ""), published["id"]


@pytest.mark.parametrize("name", PROFILES)
def test_buses_average_and_the_debugger_s_width_are_those_published(name: str) -> None:
    profile, published = CATALOGUE.profile(name), PROFILES[name]
    assert _same(profile.buses, tuple(published["buses"]["value"]), published["buses"]["evidence"])
    average = published["average_instruction_us"]
    ns = None if average["value"] is None else round(average["value"] * 1000)
    assert _same(profile.average, ns, average["evidence"])
    if "debugger_address_bits" in published:
        bits = published["debugger_address_bits"]
        assert _same(profile.debugger_address_bits, bits["value"], bits["evidence"])


def test_the_bus_map_is_where_it_is_known_to_be() -> None:
    """From memory of the handbooks, firm: three profiles have it, one as an option."""
    words = {name: CATALOGUE.profile(name).options["map"] for name in PROFILES}
    assert all(isinstance(figure, Known) and figure.evidence.value == "firm" for figure in words.values())
    having = {name: figure.peek for name, figure in words.items() if isinstance(figure, Known)}
    assert {name for name, word in having.items() if word == "standard"} == {
        "fast-ttl-cache",
        "late-ttl-commercial",
        "late-single-chip-sep",
    }
    assert {name for name, word in having.items() if word == "option"} == {"chipset-four-level-sep"}


def test_every_model_value_is_a_word_of_its_row() -> None:
    rows = {row.id: row for row in CATALOGUE.rows()}
    wrong = []
    for name in PROFILES:
        for flag in CATALOGUE.profile(name).flags.values():
            words = flag.model.values() if isinstance(flag.model, dict) else [flag.model]
            legal = {*rows[flag.row].values, "not_applicable"}
            wrong += [f"{name} {flag.row}: {word}" for word in words if word not in legal]
    assert wrong == []


def test_a_reason_stands_exactly_where_nothing_is_even_recalled() -> None:
    with_reason = {
        (name, flag.row) for name in PROFILES for flag in CATALOGUE.profile(name).flags.values() if flag.because
    }
    bare = {
        (name, flag["id"])
        for name, profile in PROFILES.items()
        for flag in profile["flags"]
        if flag["value"] is None and "likely" not in flag
    }
    assert with_reason == bare | {("one-board-ttl-basic", "D08")}  # one of its five instructions


def test_rows_that_tell_the_same_fact_agree() -> None:
    """D14 is the entry rtt of D08; D21 the number of register sets; D09 to D11 the options."""
    options = {"eis": ("D09", {"none": "never"}), "fis": ("D10", {"none": "never"}), "fpp": ("D11", {"none": "never"})}
    for name in PROFILES:
        profile = CATALOGUE.profile(name)
        flags = _flags(profile)
        later = flags["D08"].model
        assert isinstance(later, dict) and later["rtt"] == flags["D14"].model, name
        assert isinstance(profile.register_sets, Known)
        assert flags["D21"].model == str(profile.register_sets.peek), name
        for option, (row, words) in options.items():
            figure = profile.options[option]
            assert isinstance(figure, Known)
            word = flags[row].model
            assert (words.get(str(word), word) == "never") == (figure.peek == "never"), (name, option)


def test_printed_times_are_nanoseconds() -> None:
    average = {name: CATALOGUE.profile(name).average_ns for name in PROFILES}
    assert average["chipset-one-level"] == 5883  # [tradeoffs-1978]
    assert average["fast-ttl-three-mode"] == 863  # [tradeoffs-1978]
    assert average["late-ttl-commercial"] is None
    assert sum(value is not None for value in average.values()) == 8


def test_cycle_tables_are_there_where_one_is_printed() -> None:
    """[wiki-chipset-four-level]"""
    tables = {name: CATALOGUE.profile(name).cycle_table for name in PROFILES}
    printed = {name: (table.base_ns, table.cycle_ns) for name, table in tables.items() if table}
    assert printed == {"chipset-four-level": (1700, 1200), "chipset-four-level-sep": (1200, 800)}
    assert isinstance(CATALOGUE.profile("chipset-four-level-quad").cycles, Unknown)


def test_documented_means_that_nothing_is_unknown() -> None:
    flags = CATALOGUE.profile("one-board-ttl-basic").flags
    assert not flags["later_base_instructions"].documented
    assert flags["eis"].documented
    assert flags["swab_v"].documented
    assert flags["fis_uses_stack"].documented
