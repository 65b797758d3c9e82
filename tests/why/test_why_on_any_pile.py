"""Whatever boards lie in whatever places: every symptom is answered, in text and JSON, and nothing raises."""

from __future__ import annotations

import importlib
import json
import random
import sys
from pathlib import Path
from types import ModuleType

import jsonschema
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from why_machines import RULES, asked

from minisim.checking import check_wired
from minisim.loadout.reader import read_loadout
from minisim.problems import InputError
from minisim.why.as_json import json_text, why_schema
from minisim.why.as_text import text
from minisim.why.diagnosis import explain, recognised
from minisim.why.reader import heads
from minisim.wiring.resolve import resolve

EXAMPLES = [head.examples[0] for head in heads()]
VALID = sorted((RULES / "valid").glob("*.yaml"))


def _piles() -> ModuleType:
    """The generator of random loadouts, which lies with the tests of the rules."""
    sys.path.append(str(RULES))
    return importlib.import_module("piles")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("piles")


PILES = _piles()


@settings(max_examples=10, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(seed=st.integers(0, 2**32), first=st.integers(0, len(EXAMPLES) - 1))
def test_no_pile_and_no_symptom_raises(folder: Path, seed: int, first: int) -> None:
    _asked_of_a_pile(folder, seed, first)


@pytest.mark.slow
@settings(max_examples=200, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(seed=st.integers(0, 2**32), first=st.integers(0, len(EXAMPLES) - 1))
def test_none_of_hundreds_of_piles_and_no_symptom_raises(folder: Path, seed: int, first: int) -> None:
    _asked_of_a_pile(folder, seed, first)


def _asked_of_a_pile(folder: Path, seed: int, first: int) -> None:
    file = folder / "pile.yaml"
    file.write_text(json.dumps(PILES.Pile(random.Random(seed)).tree()), "utf-8")
    try:
        wired = resolve(read_loadout(file, catalogue=PILES.CATALOGUE), PILES.CATALOGUE)
    except InputError:
        return
    report = check_wired(wired)
    for words in EXAMPLES[first::11]:
        found = explain(wired, report, words, recognised(words), PILES.CATALOGUE)
        assert text(found, 78)
        assert text(found, 78, whole=True)
        assert json.loads(json_text(found))["words"] == words


@pytest.mark.parametrize("every", [4, pytest.param(1, marks=pytest.mark.slow)])
@pytest.mark.parametrize("path", VALID, ids=lambda path: path.stem)
def test_every_symptom_is_answered_for_every_valid_machine(path: Path, every: int) -> None:
    """Some symptoms for each machine, others for each; in the slow suite all for all."""
    place = VALID.index(path)
    for number in range(place % every, len(EXAMPLES), every):
        words = EXAMPLES[number]
        found = asked(path, words)
        data = json.loads(json_text(found))
        if every == 1 or number // every % 4 == place % 4:  # the check against the schema takes longest
            jsonschema.validate(data, why_schema())
        assert "{" not in text(found, 78, whole=True)
        assert len(text(found, 78).splitlines()) < 110, words


@pytest.mark.parametrize("path", VALID, ids=lambda path: path.stem)
def test_no_finding_of_fault_is_shown_for_a_valid_machine(path: Path) -> None:
    for words in EXAMPLES[::5]:
        findings = [one for cause in asked(path, words).causes for one in cause.findings]
        assert [one for one in findings if one.severity.rank < 2] == []
