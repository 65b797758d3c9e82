"""The comparison by profiles: as values, as text, as JSON, and at the command line."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import replace
from pathlib import Path

import jsonschema
import pytest

from minisim.catalogue.reader import Catalogue
from minisim.cli import main
from minisim.compare import compare
from minisim.compare.as_json import as_json, compare_schema
from minisim.compare.report import grouped
from minisim.compare.text import last_line, text
from minisim.trials.model import Evidence, Status
from minisim.trials.reader import TrialFile, read_set, read_text

CATALOGUE = Catalogue()
OWN = """\
trials: 1
title: "Of our own"
needs: [base]
source: handbook-1969
place: "p. 1"
evidence: seen
tables:
  - id: own
    about: "A sum"
    program: "ADD R0,R1"
    given: [r0, r1]
    then: [r1]
    rows:
      - [right, "1", "2", "3"]
      - [wrong, "1", "2", "4"]
  - id: weak
    about: "Nobody knows"
    evidence: unconfirmed
    program: "ADD R0,R1"
    given: [r0, r1]
    then: [r1]
    rows:
      - [right, "1", "2", "3"]
      - [wrong, "1", "2", "5"]
  - id: some
    about: "Some profiles, some modules"
    rows:
      - {id: one, profile: first-hardwired, program: "INC R0", then: {r0: "1"}}
      - {id: mul, needs: [eis], program: "MUL R0,R1", then: {nzvc: "0100"}}
      - {id: cis, needs: [cis], words: ["076030"], then: {}}
"""
TWO = ("first-hardwired", "late-ttl-commercial")


def own() -> TrialFile:
    return read_text(OWN.encode(), "own.yaml", "own")


def test_every_case_has_a_result_for_every_profile_in_their_order() -> None:
    found = compare(own().cases, TWO)
    statuses = {case: [result.status.value for result in results] for case, results in found.results.items()}
    assert statuses == {
        "own/right": ["agrees"] * 2,
        "own/wrong": ["differs"] * 2,
        "weak/right": ["agrees-unconfirmed"] * 2,
        "weak/wrong": ["differs-unconfirmed"] * 2,
        "some/one": ["agrees", "not-documented"],
        "some/mul": ["not-fitted", "agrees"],
        "some/cis": ["not-fitted", "agrees"],
    }
    assert found.profiles == TWO


def test_the_sums_are_those_of_the_results() -> None:
    found = compare(own().cases, TWO)
    assert (len(found.differences), len(found.doubts), len(found.compared)) == (2, 2, 11)
    assert found.cases_by_module == {"base": 5, "eis": 1, "cis": 1}
    assert found.waiting == {}
    assert (found.rests_on(Evidence.SEEN), found.rests_on(Evidence.UNCONFIRMED)) == (7, 4)
    assert sum(count.total() for count in found.by_module.values()) == 14
    assert found.reasons == {"eis is not fitted": 1, "cis is not fitted": 1}


def test_a_doubt_counts_only_strictly() -> None:
    doubt = compare([case for case in own().cases if case.id == "weak/wrong"], TWO)
    assert doubt.agreed() and not doubt.agreed(strict=True)
    assert not compare(own().cases, TWO).agreed()


def test_differences_that_are_alike_are_told_once() -> None:
    (group,) = grouped(compare(own().cases, TWO).differences)
    assert (group.case.id, group.profiles) == ("own/wrong", TWO)


def test_a_changed_profile_can_be_passed_in() -> None:
    # D06, SWAB: V is cleared or stays [micronote-005]; the profile says which, the case does not look at it
    cases = [case for case in read_set().cases if case.row == "D06"]
    profile = CATALOGUE.profile(TWO[1])
    flag = profile.flags["swab_v"]
    assert flag.model == "cleared"
    changed = replace(profile, flags={**profile.flags, "swab_v": replace(flag, model="unchanged")})
    assert compare(cases, [profile]).agreed(strict=True)
    assert not compare(cases, [changed]).agreed(strict=True)


def test_a_further_catalogue_gives_its_profiles(tmp_path: Path) -> None:
    data = CATALOGUE.path("profiles", TWO[1]).read_text("utf-8").replace(f"id: {TWO[1]}", "id: of-my-own")
    (tmp_path / "profiles").mkdir()
    (tmp_path / "profiles" / "of-my-own.yaml").write_text(data)
    found = compare(own().cases[:1], ["of-my-own"], catalogue=Catalogue(extra=[tmp_path]))
    assert (found.profiles, found.agreed()) == (("of-my-own",), True)


def test_progress_is_told_profile_by_profile() -> None:
    told: list[tuple[int, int]] = []
    compare(own().cases, TWO, progress=lambda done, whole: told.append((done, whole)))
    assert told == [(7, 14), (14, 14)]


def test_the_whole_set_agrees_with_what_is_documented() -> None:
    found = compare(read_set().cases)
    assert [(result.case.id, result.profile) for result in found.differences] == []
    assert len(found.profiles) == 17
    modules = found.cases_by_module
    assert modules["base"] >= 120 and modules["eis"] >= 40 and modules["fis"] >= 20


def test_both_cores_give_the_same_results() -> None:
    cases = read_set().cases[::5]
    profiles = ("late-ttl-commercial", "first-hardwired", "microcoded-mid")
    fast, slow = (compare(cases, profiles, core=core) for core in ("fast", "reference"))
    assert fast.results == slow.results


def test_no_case_leaves_anything_for_the_next() -> None:
    cases = read_set().cases
    forwards, backwards = (compare(some, ["fast-ttl-cache", "microcoded-mid"]) for some in (cases, cases[::-1]))
    assert forwards.results == backwards.results


# --- forms ------------------------------------------------------------------------------------------------------------


def test_the_text_shows_matrix_differences_counts_and_the_sum() -> None:
    shown = text(compare(own().cases, TWO))
    lines = shown.splitlines()
    assert "own (7)                       #  #" in lines
    assert "    wrong                     #  #" in lines
    assert "    right                     =  =" not in lines
    assert "own/wrong: A sum" in lines
    assert "  on all 2 profiles" in lines
    assert "  own.yaml:15: seen in print, [handbook-1969], p. 1" in lines
    assert "  set up: r0: 000001, r1: 000002; program at 001000: 060001, 1 instruction" in lines
    assert "  r1: documented 000004, found 000003, XOR 000007: R1 differs in bits 2, 1, 0" in lines
    assert lines[-1] == last_line(compare(own().cases, TWO)) == (
        "Cases: 5 base, 1 EIS, 1 CIS; 2 profiles; 2 differences; of 11 compared results 7 rest on seen or derived "
        "values, 0 on firm ones, 4 on unconfirmed ones"
    )


def test_profiles_that_differ_are_named_with_their_numbers() -> None:
    more = "      - {id: two, profile: microcoded-mid, program: NOP, then: {r0: '1'}}\n"
    cases = read_text((OWN + more).encode(), "own.yaml", "own").cases
    lines = text(compare([case for case in cases if case.id == "some/two"], [*TWO, "microcoded-mid"])).splitlines()
    assert "  on 3 microcoded-mid" in lines


def test_all_prints_a_row_for_every_case_and_every_row_fits_80_columns() -> None:
    found = compare(read_set().cases[:60])
    lines = text(found, whole=True).splitlines()
    assert sum(line.startswith("    ") for line in lines) >= 60
    assert [line for line in lines[:-1] if len(line) > 80] == []
    assert shown_marks(lines) <= {"=", "~", "#", "?", "-", "."}


def shown_marks(lines: list[str]) -> set[str]:
    start = next(number for number, line in enumerate(lines) if line.startswith("file, table, case"))
    rows = lines[start + 1 : lines.index("", start)]
    return {mark for row in rows for mark in row[28:].split()}


def test_the_json_fits_its_schema_and_says_the_same() -> None:
    found = compare(own().cases, TWO, ["eis"])
    data = json.loads(as_json(found))
    schema = compare_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(data, schema)
    assert data["options"] == ["eis"]
    assert data["profiles"] == list(TWO)
    wrong = next(case for case in data["cases"] if case["id"] == "own/wrong")
    assert wrong["results"][0]["differences"] == [
        {"what": "r1", "documented": "000004", "found": "000003", "xor": "000007", "bits": [0, 1, 2],
         "words": "R1 differs in bits 2, 1, 0"},
    ]  # fmt: skip
    counted = Counter(result["status"] for case in data["cases"] for result in case["results"])
    assert counted[Status.DIFFERS] == data["counts"]["differences"] == 2
    assert counted[Status.DIFFERS_UNCONFIRMED] == data["counts"]["doubts"] == 2


# --- at the command line ----------------------------------------------------------------------------------------------


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.chdir(tmp_path)
    Path("own.yaml").write_text(OWN)
    Path("good.yaml").write_text(OWN.replace('      - [wrong, "1", "2", "4"]\n', "").replace("handbook-1969", "null"))
    return "own.yaml"


def test_the_exit_code_says_whether_anything_differs(file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compare", file]) == 1
    assert main(["compare", "good.yaml"]) == 0
    assert main(["compare", "good.yaml", "--strict"]) == 1
    assert main(["compare", "mul-even", "--profile", "microcoded-mid"]) == 0
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["--profile", "first-hardwire"], 'there is no profile "first-hardwire"; did you mean "first-hardwired"?'),
        (["--option", "esi"], 'none of these profiles can have option "esi"; did you mean "eis"?'),
        (["--profile", "first-hardwired", "--option", "eis"], "none of these profiles can have option \"eis\""),
        (["mul-evn"], 'there is no case, table or file "mul-evn"; did you mean "mul-even"?'),
        (["mul-even/smal"], 'there is no case, table or file "mul-even/smal"; did you mean "mul-even/small"?'),
        (["none.yaml"], 'there is no case, table or file "none.yaml"'),
        (["good.yaml", "own.yaml"], 'two files have a case "own/right"'),
    ],
)
def test_what_is_not_there_ends_with_2_and_the_nearest_spelling(
    words: list[str], message: str, file: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["compare", *words]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith(f"minisim compare: {message}")


def test_a_file_that_is_wrong_ends_with_2_and_every_place(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bad = tmp_path / "bad.yaml"
    bad.write_text(OWN.replace('"3"]', '"8"]').replace("evidence: seen", "evidence: sen"))
    assert main(["compare", str(bad)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert all(line.startswith(f"{bad}:") for line in err.splitlines())
    assert f'{bad}:6:11: unknown evidence "sen"' in err
    assert err.count('"8": an octal number is expected') == 2


def test_no_option_and_a_few_options_can_be_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    call = ["compare", "mul-even", "--profile", "microcoded-mid", "--json"]
    for options, status in (([], "agrees"), (["--option", "none"], "not-fitted"), (["--option", "eis"], "agrees")):
        assert main([*call, *options]) == 0
        data = json.loads(capsys.readouterr().out)
        assert {result["status"] for case in data["cases"] for result in case["results"]} == {status}


def test_a_case_a_table_and_a_file_of_the_set_can_be_named(capsys: pytest.CaptureFixture[str]) -> None:
    counts = ((["mul-even/small"], 1), (["mul-even", "mul-even/small"], 17), (["worked-examples.yaml"], 112))
    for words, count in counts:
        assert main(["compare", *words, "--profile", "late-ttl-commercial", "--json"]) == 0
        assert len(json.loads(capsys.readouterr().out)["cases"]) == count


@pytest.mark.parametrize("what", ["trials", "comparison", "loadout"])
def test_each_schema_is_printed(what: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema", what]) == 0
    schema = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator.check_schema(schema)
    assert schema["$schema"].endswith("2020-12/schema")
