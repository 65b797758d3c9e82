"""The page of profiles: every value of every flag with its mark, and the rows that no program can see."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from minisim.catalogue.model import FlagValue
from minisim.catalogue.reader import Catalogue
from minisim.cpu.profiles_page import MARKS, cell, marked, profiles_page
from minisim.cpu.unobservable import unobservable
from minisim.known import Evidence, Known, NotApplicable, Unknown
from minisim.problems import InputError

CATALOGUE = Catalogue()
PAGE = "\n".join(profiles_page(CATALOGUE))
NAMES = CATALOGUE.ids("profiles")


def matrix() -> dict[tuple[str, str], str]:
    """The cells of the matrix as printed: (row, profile) -> text."""
    found: dict[tuple[str, str], str] = {}
    heads: list[str] = []
    for line in PAGE[PAGE.index("## The table of differences") : PAGE.index("## Row by row")].splitlines():
        cells = [text.strip() for text in line.strip("|").split("|")]
        if cells[0] == "Row":
            heads = cells[1:]
        elif re.match(r"D\d\d ", cells[0]):
            found |= {(cells[0][:3], head): text for head, text in zip(heads, cells[1:], strict=True)}
    return found


def test_the_matrix_holds_every_row_of_every_profile_once() -> None:
    assert set(matrix()) == {(row.id, name) for row in CATALOGUE.rows() for name in NAMES}
    assert len(matrix()) == 17 * 53


def test_a_cell_gives_the_value_with_its_mark() -> None:
    """[handbook-1969] for the first machine; its other values recalled."""
    cells = matrix()
    assert cells["D24", "first-hardwired"] == "fixed_400 s"
    assert cells["D06", "first-hardwired"] == "unchanged u"
    assert cells["D23", "first-hardwired"] == "4 f"
    assert cells["D07", "first-hardwired"] == "? program"
    assert cells["D43", "first-hardwired"] == "-"
    assert cells["D08", "two-board-ttl-basic"] == "no u: sob mark sxt xor; ? no: rtt"
    assert cells["D51", "fast-ttl-cache"] == "yes f: d_space map_and_22bit; no f: csm"


def test_every_mark_that_stands_in_the_matrix_is_explained() -> None:
    used = {word for text in matrix().values() for word in re.findall(r" ([a-z])(?=:|;|$)", text)}
    explained = {mark for mark, _ in MARKS.values()}
    assert used and used <= explained and len(explained) == len(MARKS)
    assert {evidence for evidence in Evidence if evidence not in MARKS} == {Evidence.OWNER, Evidence.ASSUMED}


def test_figures_are_marked_by_what_is_known() -> None:
    assert marked(Known(("mux", "sep"), Evidence.SEEN)) == "mux, sep s"
    assert marked(Unknown("a value"), "after") == "? after"
    assert marked(Unknown("a value")) == "?"
    assert marked(NotApplicable()) == "-"
    facts = {"sob": Known("yes", Evidence.FIRM), "rtt": Known("yes", Evidence.UNCONFIRMED)}
    assert cell(FlagValue("D08", "later", facts, {"sob": "yes", "rtt": "yes"})) == "yes f: sob; yes u: rtt"


def test_each_row_has_a_part_of_its_own_with_words_note_and_reasons() -> None:
    parts = re.split(r"\n### (D\d\d) ", PAGE)
    texts = dict(zip(parts[1::2], parts[2::2], strict=True))
    assert list(texts) == [row.id for row in CATALOGUE.rows()]
    for row in CATALOGUE.rows():
        assert row.what in texts[row.id] and row.note in texts[row.id]
        flat = " ".join(texts[row.id].split())
        assert all(f"`{word}`: " in flat or f": {word}`: " in flat for word in row.values)
        for name in NAMES:
            assert CATALOGUE.profile(name).flags[row.flag].because in flat, (row.id, name)


def test_a_row_that_no_trial_case_can_tell_says_why() -> None:
    for row, why in unobservable().items():
        assert f"No trial case tells the words of this row apart. {why}" in PAGE
        assert row in {one.id for one in CATALOGUE.rows()}


def test_reasons_are_read_where_the_file_is_there(tmp_path: Path) -> None:
    file = tmp_path / "unobservable.yaml"
    assert unobservable(file) == {}
    file.write_text('rows:\n  - {row: D13, why: "power never fails"}\n', "utf-8")
    assert unobservable(file) == {"D13": "power never fails"}


@pytest.mark.parametrize(
    "text", ["rows: D13\n", "rows: [D13]\n", "rows: [{row: D13}]\n", "- D13\n", "rows: [{row: D13, why: }]\n"]
)
def test_a_broken_file_of_reasons_is_told_with_its_place(tmp_path: Path, text: str) -> None:
    file = tmp_path / "unobservable.yaml"
    file.write_text(text, "utf-8")
    with pytest.raises(InputError, match=r"unobservable.yaml:1:\d+: rows of"):
        unobservable(file)
