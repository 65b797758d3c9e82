"""Files of trial cases: what is written is what comes out, and everything wrong is told at once with its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from minisim.problems import InputError
from minisim.trials.model import Case, Evidence
from minisim.trials.reader import read_file, read_files, read_text

HEAD = 'trials: 1\ntitle: "t"\nneeds: [base]\nsource: null\nevidence: derived\ntables:\n'


def cases_of(text: str) -> tuple[Case, ...]:
    return read_text(text.encode(), "x.yaml", "x").cases


def problems_of(text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        read_text(text.encode(), "x.yaml", "x")
    return [str(problem) for problem in caught.value.problems]


def table(rows: str, more: str = "") -> str:
    columns = "    given: [r0, r1]\n    then: [r1]\n"
    return f"{HEAD}  - id: add\n    about: a sum\n    program: ADD R0,R1\n{columns}{more}    rows:\n{rows}"


def test_a_row_is_a_case_named_after_its_table() -> None:
    (case,) = cases_of(table('      - [plain, "000001", "2", "000003"]\n'))
    (line,) = case.lines
    assert (case.id, case.about, case.module, case.file) == ("add/plain", "a sum", "base", "x")
    assert line.code is not None
    assert (line.code.at, line.code.words, line.steps) == (0o1000, (0o060001,), 1)
    assert [(key.text, value) for key, value in line.given] == [("r0", 1), ("r1", 2)]
    assert [(key.text, value) for key, value in line.then] == [("r1", 3)]
    assert (line.evidence, line.sources, line.mark.line) == (Evidence.DERIVED, (), 13)


def test_rows_of_one_id_are_one_case_with_values_by_profile() -> None:
    text = table(
        '      - [one, first-hardwired, seen, handbook-1969, "1", "1", "2"]\n'
        '      - [one, small-single-chip late-ttl-commercial, firm, null, "1", "1", "3"]\n',
        "    columns-first: [profile, evidence, source]\n    row: D06\n",
    )
    (case,) = cases_of(text)
    assert case.row == "D06"
    first, second = case.line_for("first-hardwired"), case.line_for("late-ttl-commercial")
    assert first is not None and second is not None
    assert (first.evidence, first.sources, second.evidence, second.sources) == (
        Evidence.SEEN, ("handbook-1969",), Evidence.FIRM, (),
    )  # fmt: skip
    assert [value for _, value in second.then] == [3]
    assert case.line_for("microcoded-mid") is None


def test_a_row_may_be_a_mapping_that_says_everything_itself() -> None:
    text = (
        f"{HEAD}  - id: own\n    about: a\n    rows:\n"
        "      - {id: halts, about: b, words: ['000000'], at: '2000', given: {options: ''},"
        " then: {halted: yes, register 177776: '000000'}, mask: [z]}\n"
    )
    (case,) = cases_of(text)
    (line,) = case.lines
    assert case.about == "b"
    assert line.code is not None and line.code.blocks == ((0o2000, b"\0\0"),)
    assert [(key.text, key.number, value) for key, value in line.then] == [
        ("halted", 0, "yes"),
        ("register 177776", 0o17776, 0),
    ]
    assert line.given[0][1] == ""
    assert line.mask == {"z"}


def test_semicolons_part_the_statements_of_one_line_and_begin_remarks_in_several() -> None:
    one = table("      - [a, '1', '1', '1']\n").replace("ADD R0,R1", '"INC R0; INC R1"')
    several = table("      - [a, '1', '1', '1']\n").replace("ADD R0,R1", "|\n      INC R0 ; INC R1\n      CLR R2\n")
    assert [case.lines[0].code and case.lines[0].code.words for case in cases_of(one)] == [(0o5200, 0o5201)]
    assert [case.lines[0].code and case.lines[0].code.words for case in cases_of(several)] == [(0o5200, 0o5002)]


def test_an_empty_cell_says_nothing() -> None:
    (case,) = cases_of(table('      - [a, "1", "", "1"]\n'))
    assert [key.text for key, _ in case.lines[0].given] == ["r0"]


def test_what_stands_nearer_wins() -> None:
    text = table("      - {id: a, steps: 3, evidence: firm, needs: [eis]}\n", "    steps: 2\n")
    (case,) = cases_of(text)
    assert (case.lines[0].steps, case.lines[0].evidence, case.module) == (3, Evidence.FIRM, "eis")


MISTAKES = {
    "steps": ("    steps: many\n", ":12:12: steps: \"many\" is no decimal count up to 1000000"),
    "evidence": ("    evidence: sen\n", ':12:15: unknown evidence "sen"; did you mean "seen"? (allowed: seen, derived'),
    "source": ("    source: handbok-1969\n", ':12:13: unknown source "handbok-1969"; did you mean "handbook-1969"?'),
    "needs": ("    needs: [esi]\n", ':12:13: unknown module "esi"; did you mean "eis"?'),
    "key": ("    mas: [z]\n", ':12:5: unknown key "mas"; did you mean "mask"?'),
    "mask": ("    mask: [nzv]\n", ':12:12: unknown mask "nzv"; did you mean "nzvc"?'),
    "row": ("    row: D99\n", ':12:10: unknown row of the table of differences "D99"'),
    "at": ("    at: '1001'\n", ':12:9: at: "1001" is no even octal address'),
    "column": ("    columns-first: [profil]\n", ':12:21: unknown column "profil"; did you mean "profile"?'),
}


@pytest.mark.parametrize("mistake", MISTAKES)
def test_a_mistake_in_a_table_is_told_with_its_place_and_the_nearest_spelling(mistake: str) -> None:
    line, message = MISTAKES[mistake]
    found = problems_of(table("      - [a, '1', '1', '1']\n", line))
    assert any(problem.startswith(f"x.yaml{message}") for problem in found), found


CELLS = {
    "digit": ('      - [a, "8", "1", "1"]\n', ':13:13: given r0: "8": an octal number is expected'),
    "wide": ('      - [a, "200000", "1", "1"]\n', ':13:13: given r0: "200000": it goes up to 177777'),
    "short": ('      - [a, "1", "1"]\n', ":13:9: the row has 3 cells; id and columns make 4"),
    "id": ('      - [A b, "1", "1", "1"]\n', ':13:10: id of the row: "A b" is no id'),
    "twice": (  # the rows, then the message
        '      - [a, "1", "1", "1"]\n      - [a, "1", "1", "1"]\n', ':13:9: row "a" stands twice; rows of',
    ),
    "nested": ("      - [a, [], '1', '1']\n", ":13:13: given r0: a text is expected, not a list"),
    "text": ("      - nothing\n", ":13:9: a row is a list of cells, or a mapping"),
    "program": ("      - {id: a, program: ADDQ R1}\n", ':13:26: program "ADDQ R1": there is no instruction ADDQ'),
    "both": ("      - {id: a, program: HALT, words: ['0']}\n", ":13:32: either program or words, not both"),
    "side": ("      - {id: a, given: {halted: yes}}\n", ':13:25: given: "halted" stands only in then'),
    "odd": ("      - {id: a, then: {word 001001: '1'}}\n", ":13:24: then: 001001 is odd; a word has an even address"),
    "page": ("      - {id: a, then: {register 001000: '1'}}\n", ":13:24: then: 001000 is not in the I/O page"),
    "codes": ("      - {id: a, given: {nzvc: 01x0}}\n", ':13:31: given nzvc: "01x0": four characters 0 or 1 are'),
    "vector": ("      - {id: a, then: {trap: '5'}}\n", ':13:30: then trap: "5": vectors are multiples of four'),
    "cycles": ("      - {id: a, then: {cycles: see}}\n", ':13:32: then cycles: "see": `read 001000, write'),
    "float": ("      - {id: a, given: {float: tau}}\n", ':13:32: given float: "tau": a number such as 0.5'),
    "no number": ("      - {id: a, then: {f-words: 1 2}}\n", ":13:9: then f-words: given has no float"),
    "too long": (
        "      - {id: a, given: {decimal: '123', digits: '2', decimal-type: unsigned zoned}, then: {bytes: '0'}}\n",
        ":13:9: then bytes: 123 has more than 2 digits",
    ),
    "too large": (
        f"      - {{id: a, given: {{float: '1{'0' * 39}'}}, then: {{f-words: '0 0'}}}}\n", ":13:9: then f-words: 1000",
    ),
    "no tape": ("      - {id: a, then: {frames: '1'}}\n", ":13:9: then frames: given has neither tape-address nor"),
    "physical": (
        "      - {id: a, given: {virtual: '0'}, then: {physical: '0'}}\n", ":13:9: then physical: the case reads",
    ),
    "words": ("      - {id: a, words: ['0'], then: {encoding: '0'}}\n", ":13:9: then encoding: the program is written"),
    "card": ("      - {id: a, given: {request: 3 300}}\n", ':13:34: given request: "3 300": a level 4 to 7'),
}  # fmt: skip


@pytest.mark.parametrize("mistake", CELLS)
def test_a_mistake_in_a_row_is_told_with_its_place(mistake: str) -> None:
    rows, message = CELLS[mistake]
    found = problems_of(table(rows))
    assert any(problem.startswith(f"x.yaml{message}") for problem in found), found


def test_a_wrong_column_names_the_columns_there_are() -> None:
    (problem,) = problems_of(table("      - [a, '1', '1', '1']\n").replace("then: [r1]", "then: [nvzc]"))
    assert problem.startswith('x.yaml:11:12: then: there is no key "nvzc"; did you mean "nzvc"? (allowed: r0, ')


def test_all_mistakes_of_a_file_are_told_at_once() -> None:
    text = table('      - [a, "9", "1", "1"]\n      - [b, "1", "x", "1"]\n', "    steps: no\n")
    assert [problem.split(": ")[0] for problem in problems_of(text)] == ["x.yaml:12:12", "x.yaml:14:13", "x.yaml:15:18"]


def test_what_neither_row_nor_table_nor_file_says_is_missing() -> None:
    text = 'trials: 1\ntitle: "t"\ntables:\n  - id: a\n    program: HALT\n    rows:\n      - [b]\n'
    assert problems_of(text) == [
        "x.yaml:7:9: neither the row nor its table nor the file says source (a key of the bibliography, or null),"
        " evidence, needs, about"
    ]


def test_a_profile_can_be_named_by_one_row_of_a_case_only() -> None:
    rows = '      - [a, first-hardwired, "1", "1", "1"]\n      - [a, first-hardwired, "1", "1", "2"]\n'
    (problem,) = problems_of(table(rows, "    columns-first: [profile]\n"))
    assert problem == 'x.yaml:15:9: row "a" speaks for first-hardwired twice, first in line 14'


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "x.yaml:1:1: the file is empty"),
        ("[]", 'x.yaml:1:1: a file of trial cases begins with "trials: 1"'),
        ("loadout: 1\n", "x.yaml:1:1: this is a loadout file; minisim check reads it"),
        ("trials: 2\ntitle: a\ntables: []\n", "x.yaml:1:9: trials: version 1 is the only one there is"),
        ("trials: 1\n", 'x.yaml:1:1: key "title" is missing'),
        ("trials: 1\ntitle: a\n", 'x.yaml:1:1: key "tables" is missing'),
        ("trials: 1\ntitle: a\ntables: [3]\n", "x.yaml:3:10: a table is a mapping, not a text"),
        ("trials: 1\ntitle: a\ntables: [{}]\n", 'x.yaml:3:10: table: key "id" is missing'),
        ("trials: {}\ntitle: []\ntables: {}\n", "x.yaml:3:9: tables: a list of tables is expected"),
        ("trials: 1\n  x: [", "x.yaml:2:"),
    ],
)
def test_what_is_no_file_of_trials_is_refused_with_its_place(text: str, message: str) -> None:
    assert any(problem.startswith(message) for problem in problems_of(text))


def test_a_table_stands_in_one_file_only(tmp_path: Path) -> None:
    for name in ("a", "b"):
        (tmp_path / f"{name}.yaml").write_text(table("      - [a, '1', '1', '1']\n"))
    found = read_files(sorted(tmp_path.glob("*.yaml")))
    assert [file.name for file in found.files] == ["a"]
    assert [str(problem) for problem in found.problems] == [
        f'{tmp_path}/b.yaml:13:9: table "add" stands in a too; ids are unique'
    ]
    with pytest.raises(InputError):
        _ = found.cases


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="can't read"):
        read_file(tmp_path / "none.yaml")
