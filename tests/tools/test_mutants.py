"""The planted defects and the tool that plants them: what it refuses, and that a planted defect is really told."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent / "tools"))

from mutants.defects import KINDS, MODULES, ROOT, Defect, DefectError, by_file, place, planted, read
from mutants.run import Fate

from minisim.trials.scope import modules

TOOLS = ROOT / "tools"
LATER = {"sob", "mark", "sxt", "xor", "rtt"}
C_TEXT = """\
static int sum(int a, int b)
{
    const int whole = a + b;
    return whole;
}

static int difference(int a, int b)
{
    seen = a;
    return a - b + (a - b);
}
"""


def defect(within: str = "static int sum(", old: str = "a + b", new: str = "a - b", name: str = "one") -> Defect:
    return Defect(7, name, "wrong-operation", "base", "it does something", "core/sum.c", within, old, new)


def written(folder: Path, *rows: str, head: str = "file: core/sum.c\nmodule: base\n") -> Path:
    (folder / "sum.yaml").write_text(head + "mutants:\n" + "".join(f"  - {row}\n" for row in rows), "utf-8")
    return folder


ROW = '{id: one, in: "f(", from: "a", to: "b", kind: wrong-flag, what: "it does something"}'


# --- the defects of the project ------------------------------------------------------------------------------------


def test_every_defect_has_its_one_place_in_the_core_and_none_overlaps_another() -> None:
    for file, here in by_file(read()):
        text = (ROOT / "cpu" / file).read_text(encoding="utf-8")
        assert all(text[(at := place(one, text)) : at + len(one.old)] == one.old for one in here)
        changed = planted(text, here)
        assert all(f"ms_mutant == {one.number} " in changed or f"ms_mutant == {one.number})" in changed for one in here)


def test_there_are_more_than_a_hundred_of_every_kind_and_in_every_module() -> None:
    found = read()
    assert len(found) >= 100
    assert {one.kind for one in found} == set(KINDS)
    assert {one.module for one in found} == set(MODULES)


def test_every_module_of_the_core_is_among_those_of_the_defects() -> None:
    """`modes` are the instructions of memory management; the later base instructions stand together."""
    assert set(modules()) - LATER - {"modes"} <= set(MODULES)


def test_every_defect_and_every_reason_is_told_in_a_sentence() -> None:
    for one in read():
        assert len(one.what.split()) >= 3, one.id
        assert not one.survives or len(one.survives.split()) >= 8, one.id
        assert one.old != one.new, one.id


# --- planting --------------------------------------------------------------------------------------------------------


def test_an_expression_gets_a_switch_around_it() -> None:
    assert "const int whole = (ms_mutant == 7 ? (a - b) : (a + b));" in planted(C_TEXT, [defect()])


def test_a_statement_gets_a_switch_before_it() -> None:
    changed = planted(C_TEXT, [defect(old="return whole;", new="return 0;")])
    assert "{ if (ms_mutant == 7) { return 0; } else { return whole; } }" in changed


def test_two_defects_may_have_the_very_same_place() -> None:
    changed = planted(C_TEXT, [defect(), defect(new="a * b", name="two")])
    assert "(ms_mutant == 7 ? (a - b) : ms_mutant == 7 ? (a * b) : (a + b))" in changed


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        (defect(within="static int product("), '"static int product(" stands 0 times in cpu/core/sum.c, not once'),
        (defect(within="static int"), '"static int" stands 2 times in cpu/core/sum.c, not once'),
        (defect(old="a * b"), '"a * b" does not stand behind "static int sum(" in cpu/core/sum.c'),
        (defect(old="seen = a;", new=";"), '"seen = a;" does not stand behind "static int sum(" in cpu/core/sum.c'),
        (
            defect(within="static int difference(", old="a - b"),
            '"a - b" stands 2 times, not once, behind "static int difference(" in cpu/core/sum.c',
        ),
    ],
)
def test_a_place_that_is_not_one_is_refused(wrong: Defect, message: str) -> None:
    with pytest.raises(DefectError) as refused:
        planted(C_TEXT, [wrong])
    assert str(refused.value) == f"one: {message}"


def test_two_defects_that_overlap_are_refused() -> None:
    with pytest.raises(DefectError) as refused:
        planted(C_TEXT, [defect(), defect(old="const int whole = a", new="const int whole = b", name="two")])
    assert str(refused.value) == "two and one overlap in cpu/core/sum.c"


@pytest.mark.parametrize(
    ("row", "message"),
    [
        (ROW.replace('to: "b", ', ""), "sum.yaml: one: to missing"),
        (ROW.replace("id:", "name: x, id:"), "sum.yaml: one: name means nothing here"),
        (ROW.replace('"b"', '"b;"'), "sum.yaml: one: one is a statement, the other an expression"),
        (ROW.replace('"b"', "0"), "sum.yaml: one: to must be a text; put it in quotes"),
        (ROW.replace("wrong-flag", "odd"), f'sum.yaml: one: kind is one of {", ".join(KINDS)}, not "odd"'),
        (ROW.replace("id:", "module: abacus, id:"),
         f'sum.yaml: one: module is one of {", ".join(MODULES)}, not "abacus"'),
    ],
)  # fmt: skip
def test_a_row_that_is_wrong_is_refused(tmp_path: Path, row: str, message: str) -> None:
    with pytest.raises(DefectError) as refused:
        read(written(tmp_path, row))
    assert str(refused.value) == message


def test_two_rows_with_one_id_are_refused(tmp_path: Path) -> None:
    with pytest.raises(DefectError) as refused:
        read(written(tmp_path, ROW, ROW))
    assert str(refused.value) == "two defects have the same id: one"


def test_rows_are_read_and_numbered(tmp_path: Path) -> None:
    first, second = read(written(tmp_path, ROW, ROW.replace("one", "two").replace("what:", "module: eis, what:")))
    assert (first.number, first.id, first.module, first.file) == (1, "one", "base", "core/sum.c")
    assert (second.number, second.id, second.module, second.is_statement) == (2, "two", "eis", False)


# --- the report -----------------------------------------------------------------------------------------------------


def reported(fates: list[Fate], reasons: list[str], capsys: pytest.CaptureFixture[str]) -> tuple[int, list[str]]:
    defects = [
        Defect(n + 1, fate.id, "wrong-flag", "base", "it is wrong", "f", "f(", "a", "b", reason)
        for n, (fate, reason) in enumerate(zip(fates, reasons, strict=True))
    ]
    code = tool().report(defects, fates)
    return code, capsys.readouterr().out.splitlines()


def tool() -> object:
    """tools/mutants.py, whose name is also that of the folder beside it."""
    from importlib.util import module_from_spec, spec_from_file_location

    spec = spec_from_file_location("mutants_tool", TOOLS / "mutants.py")
    assert spec is not None and spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_report_of_killed_and_excused_defects_ends_well(capsys: pytest.CaptureFixture[str]) -> None:
    fates = [Fate("one", "cases", "add/plain"), Fate("two", "programs", "base"), Fate("three", "", "")]
    code, lines = reported(fates, ["", "", "nobody can see it"], capsys)
    assert code == 0
    assert lines == [
        "module        made       by cases    by programs  by properties  survived",
        "base             3              1              1              0         1",
        "survived: three (base, wrong-flag): it is wrong",
        "    because nobody can see it",
        "mutants: 3 made, 2 killed (1 by cases, 1 by programs, 0 by properties), 1 survived, each with its reason",
    ]


def test_a_survivor_without_a_reason_and_a_reason_that_is_wrong_end_in_1(capsys: pytest.CaptureFixture[str]) -> None:
    code, lines = reported([Fate("one", "", ""), Fate("two", "cases", "add/plain")], ["", "nobody can see it"], capsys)
    assert code == 1
    assert lines[2:] == [
        "survived: one (base, wrong-flag): it is wrong",
        "    nobody says why",
        "killed: two (base, wrong-flag): it is wrong",
        "    by cases: add/plain; but its row says: nobody can see it",
        "mutants: 2 made, 1 killed (1 by cases, 0 by programs, 0 by properties), 1 survived, "
        "2 without a reason or with a wrong one",
    ]


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-P", str(TOOLS / "mutants.py"), *arguments]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)


def test_a_defect_that_is_not_there_is_told() -> None:
    done = run("--only", "no-such-defect")
    assert (done.returncode, done.stderr) == (2, 'mutants: there is no defect "no-such-defect"\n')


@pytest.mark.slow
def test_two_planted_defects_are_told_by_the_trial_cases() -> None:
    """ADD's V where signs differ; C of a right shift one place beside."""
    done = run("--only", "add-v-of-sub", "--only", "ash-c-right", "--by", "cases", "--all")
    lines = done.stdout.splitlines()
    assert done.returncode == 0, done.stderr
    assert [line for line in lines if line.startswith("killed")] == [
        "killed: add-v-of-sub (base, wrong-flag): V where signs differ",
        "killed: ash-c-right (eis, shift-by-one): C takes the bit beside the last one shifted out",
    ]
    assert lines[-1] == "mutants: 2 made, 2 killed (2 by cases, 0 by programs, 0 by properties), none survived"
