"""The symptom files: each is recognised by its own words, rests on known rules and sources, and says all it must."""

from __future__ import annotations

import re
from pathlib import Path

import jsonschema
import pytest
import yaml

from minisim.problems import InputError
from minisim.rules import all_rules
from minisim.sources import read_sources
from minisim.why.facts import FACTS
from minisim.why.lists import BOARDS, LISTS
from minisim.why.model import Symptom
from minisim.why.page import pages
from minisim.why.reader import SHARED, heads, read_symptom, read_symptom_text, shared_causes, symptom_files
from minisim.why.sayings import SAYINGS
from minisim.why.schema import symptom_schema
from minisim.why.words import recognise

DOCS = Path(__file__).parents[2] / "docs"
SYMPTOMS = [read_symptom(path) for path in symptom_files()]
PHRASES = [(one.head.id, example) for one in SYMPTOMS for example in one.head.examples]


def test_there_are_at_least_twenty_five_symptoms() -> None:
    assert len(SYMPTOMS) >= 25


@pytest.mark.parametrize(("name", "example"), PHRASES)
def test_an_example_is_recognised_as_its_own_symptom_and_no_other(name: str, example: str) -> None:
    found = recognise(example, heads())
    assert [one.head.id for one in found] == [name]
    assert found[0].problem == ""


@pytest.mark.parametrize("symptom", SYMPTOMS, ids=lambda one: one.head.id)
def test_every_rule_and_source_of_a_cause_exists(symptom: Symptom) -> None:
    rules, sources = {rule.id for rule in all_rules()}, set(read_sources())
    for cause in symptom.causes:
        assert set(cause.rules) <= rules, cause.id
        assert cause.sources, cause.id
        assert set(cause.sources) <= sources, cause.id


def test_a_source_named_inside_a_sentence_exists() -> None:
    keys = {"common practice", *read_sources()}
    said = [tell.say for symptom in SYMPTOMS for tell in symptom.tells]
    named = [key for text in said for inside in re.findall(r"\[(.*?)\]", text) for key in inside.split(", ")]
    assert named
    assert set(named) <= keys


@pytest.mark.parametrize("symptom", SYMPTOMS, ids=lambda one: one.head.id)
def test_a_cause_has_a_weight_and_a_whole_probe(symptom: Symptom) -> None:
    assert symptom.otherwise
    for cause in symptom.causes:
        assert cause.weight > 0, cause.id
        for text in (cause.cause, cause.measure, cause.expect, cause.if_not):
            assert text, cause.id
            assert not text.endswith("."), f"{cause.id}: the full stop is added when it is shown"


@pytest.mark.parametrize("symptom", SYMPTOMS, ids=lambda one: one.head.id)
def test_a_hand_goes_in_with_power_off_or_is_told_what_to_mind(symptom: Symptom) -> None:
    for cause in symptom.causes:
        off = any(words in cause.measure for words in ("power off", "plug out", "before power"))
        assert not cause.hand or off or cause.mind, cause.id
        assert not ("power off" in cause.measure or "plug out" in cause.measure) or cause.hand, cause.id


@pytest.mark.parametrize("path", symptom_files(), ids=lambda path: path.stem)
def test_a_file_fits_the_published_schema(path: Path) -> None:
    jsonschema.validate(yaml.safe_load(path.read_text("utf-8")), symptom_schema())


def test_the_schema_refuses_an_unknown_fact() -> None:
    data = yaml.safe_load(symptom_files()[0].read_text("utf-8"))
    data["causes"][0]["when"] = ["made-of-cheese"]
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(data, symptom_schema())


def test_nothing_that_files_may_name_is_idle() -> None:
    text = "".join(path.read_text("utf-8") for path in (*symptom_files(), SHARED))
    assert [name for name in FACTS if not re.search(rf"[\[{{ ,]{name}\b", text)] == []
    assert [name for name in SAYINGS if f"{{{name}}}" not in text] == []
    assert [name for name in LISTS if f"look-at: {name}" not in text] == []
    assert [name for name in BOARDS if f"about: {name}" not in text] == []
    assert [name for name in shared_causes() if f"use: {name}," not in text] == []


def test_every_fact_list_and_saying_has_a_sentence_for_the_reference() -> None:
    assert all(fact.doc for fact in FACTS.values())
    assert all(function.__doc__ for function in (*LISTS.values(), *BOARDS.values(), *SAYINGS.values()))


def test_every_rule_that_speaks_of_trouble_is_behind_some_symptom() -> None:
    named = {rule for symptom in SYMPTOMS for cause in symptom.causes for rule in cause.rules}
    trouble = {rule.id for rule in all_rules() if rule.severity.value != "note" and not rule.id.startswith("INT-")}
    assert trouble - named == set()


def test_no_text_for_people_is_hexadecimal_or_shouts() -> None:
    for path in (*symptom_files(), SHARED):
        text = path.read_text("utf-8")
        assert not re.search(r"\b0x[0-9a-f]", text), path
        assert "!" not in re.sub(r" ![a-z-]+", "", text), path


def test_the_generated_pages_are_current() -> None:
    for path, text in pages().items():
        assert (DOCS / path).read_text("utf-8") == text, f"docs/{path} is not current: run make docs"


# ---- files that can't be used

GOOD = """why: 1
title: it hums
examples: [it hums]
phrases: [hums]
causes:
  - id: bees
    cause: Bees live in the box
    weight: 50
    measure: listen
    expect: bees
    if-not: no bees
    sources: [common-practice]
otherwise: Call somebody.
"""


def problems_of(text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        read_symptom_text(text.encode(), "x.yaml", "x")
    return [str(problem) for problem in caught.value.problems]


def test_a_small_file_is_enough() -> None:
    symptom = read_symptom_text(GOOD.encode(), "x.yaml", "x")
    assert [cause.id for cause in symptom.causes] == ["bees"]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("why: 1", "why: 2", "x.yaml:1:6: why: version 1 is the only one there is"),
        ("title: it hums", "titel: it hums", 'x.yaml:2:1: unknown key "titel"; did you mean "title"?'),
        ("weight: 50", "weight: 500", 'x.yaml:8:13: weight: "500" is none of 0 to 100 (decimal)'),
        ("weight: 50", "hand: maybe", 'x.yaml:8:11: hand: "maybe" is neither yes nor no'),
        ("weight: 50", "when: [buss]", 'x.yaml:8:12: unknown fact "buss"; did you mean "bus"?'),
        ("weight: 50", "when: [bus]", 'x.yaml:8:12: fact "bus" takes an argument'),
        ("weight: 50", "when: [{drives: now}]", 'x.yaml:8:12: fact "drives" takes no argument'),
        ("weight: 50", "look-at: the-moon", 'x.yaml:8:14: look-at: "the-moon" is none of grant-places'),
        ("measure: listen", 'measure: "listen at {plase}"', 'x.yaml:9:14: unknown word "{plase}"'),
        ("phrases: [hums]", 'phrases: ["hums {adress}"]', 'x.yaml:4:11: unknown number "adress"'),
        ("phrases: [hums]", "phrases: [the]", "x.yaml:4:11: a phrase needs a word that says something"),
        (
            "  - id: bees\n",
            "  - use: bees\n    weight: 1\n  - id: bees\n",
            'x.yaml:6:5: there is no shared cause "bees"',
        ),
        ("otherwise: Call somebody.\n", "", 'x.yaml:1:1: key "otherwise" is missing'),
        ("    measure: listen\n", "", 'x.yaml:6:5: key "measure" is missing'),
    ],
)
def test_a_mistake_in_a_file_is_told_with_its_place(old: str, new: str, said: str) -> None:
    assert any(problem.startswith(said) for problem in problems_of(GOOD.replace(old, new))), problems_of(
        GOOD.replace(old, new)
    )


def test_all_mistakes_of_a_file_are_told_at_once() -> None:
    text = GOOD.replace("weight: 50", "weight: x").replace("listen", "{ear}").replace("why: 1", "why: 7")
    assert len(problems_of(text)) == 3


def test_a_file_that_is_no_symptom_file_is_said_to_be_none() -> None:
    assert problems_of("- a\n- b\n") == ['x.yaml:1:1: a symptom file begins with "why: 1"']
    assert len(problems_of("")) == 1
