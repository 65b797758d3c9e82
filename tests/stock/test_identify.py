"""What a text on a piece means: misreadings that are certain, that are shown only, and that stay unknown."""

from __future__ import annotations

import random
import re
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from minisim.catalogue import Catalogue
from minisim.known import Known
from minisim.stock.identify import LIKELY, identify
from minisim.stock.identify_index import KINDS, Published, index_of
from minisim.stock.model import Identified

CATALOGUE = Catalogue()
PUBLISHED: list[Published] = sorted(
    {one for found in index_of(CATALOGUE).exact.values() for one in found}, key=lambda one: (one.marking, one.entry)
)

CERTAIN = [
    # text as found in lists; the number it is; words of the explanation
    ("M8043", "M8043", "exact"),
    ("m8043", "M8043", "exact"),
    ("M8O43", "M8043", "a digit was read as a letter: O for 0"),
    ("M8OS9", "M8059", "digits were read as letters: O for 0, S for 5"),
    ("M7Z64", "M7264", "Z for 2"),
    ("M79S4", "M7954", "S for 5"),
    ("M7B56", "M7856", "B for 8"),
    ("M8l86", "M8186", "L for 1"),
    ("M8|86", "M8186", "I for 1"),
    ("M 8043", "M8043", "blanks and dashes"),
    ("M-8043", "M8043", "blanks and dashes"),
    ("M 8 0 4 3", "M8043", "exact"),
    ("8043", "M8043", "the letter in front is missing"),
    ("8O43", "M8043", "the letter in front is missing; a digit was read as a letter"),
    ("M8043C", "M8043", "the ending C is a revision"),
    ("H780-C", "H780", "the ending C is a variant; how it differs is not in the catalogue"),  # as H777-A and H777-C
    ("M8043-YA", "M8043", "the ending YA is a variant; how it differs is not in the catalogue"),
    ("M8043 rev C", "M8043", "revision C stands with it"),
    ("M8186 etch D", "M8186", "revision D stands with it"),
    ("CS REV F M7957", "M7957", "revision F stands with it"),
    ("quad M8186 cpu", "M8186", "exact"),
    ("M8016 YB", "M8016-YB", "blanks and dashes"),
    ("M8013/8014", "M8013", "exact"),
    ("M8067-LA", "M8067", "the ending LA is a variant"),
    ("M8186 in slot 1/2", "M8186", "exact"),
    ("h9281a", "H9281-A", "blanks and dashes"),
    ("3O-2O444-OO", "30-20444-00", "O for 0"),
    ("30-21749-01", "30-21749", "the ending 01 is taken for a version"),
    ("\u041c8043", "M8043", "exact"),  # a letter of another alphabet
]
NOT_CERTAIN = [
    # text; a number that must be shown; words of its explanation
    ("M8403", "M8043", "two digits may have changed places"),
    ("N8043", "M8043", "another letter stands in front"),
    ("M80?3", "M8043", "would be 4"),
    ("M8043?", "M8043", "exact, with a question mark"),
    ("M8048 or M8043", "M8043", "exact"),
    ("M8043 M9999", "M8043", "exact"),
    ("M9400", "M9400-YA", "the ending, which tells variants apart, is missing"),
    ("M8016-YC", "M8016", "variant"),
    ("M930Z", "M9302", "Z for 2"),  # or M930 with revision Z
    ("M930Z", "M930", "revision"),
    ("M804B", "M8048", "or it is M804 with revision B"),
    ("M781B", "M781", "revision"),  # or M7818, which is in no catalogue
    ("781", "M781", "the letter in front is missing"),
    ("dual 8044 board", "M8044", "the letter in front is missing"),
    ("M8044/8045", "M8045", "exact"),
    ("M8043/9999", "M8043", "exact"),
    ("B043", "M8043", "the letter in front is missing; a digit was read as a letter: B for 8"),
    ("H777", "H777", "exact"),
    ("42130", "042130", "with a 0 in front, this word stands first in that ROM content"),
]
UNKNOWN = ["M9999", "", "?", "big board with green wires", "32 KB memory", "2026", "Q1234", "rev C", "M7G6B", "8"]


def marking_of(found: Identified) -> str | None:
    return found.entry.marking if found.entry else None


@pytest.mark.parametrize(("text", "marking", "how"), CERTAIN)
def test_a_misread_number_that_can_mean_one_thing_only_is_certain(text: str, marking: str, how: str) -> None:
    found = identify(text, catalogue=CATALOGUE)
    assert marking_of(found) == marking
    assert how in (found.candidates[0].how if found.candidates else "")


@pytest.mark.parametrize(("text", "marking", "how"), NOT_CERTAIN)
def test_what_may_be_another_number_is_shown_and_not_certain(text: str, marking: str, how: str) -> None:
    found = identify(text, catalogue=CATALOGUE)
    assert not found.sure
    assert found.entry is None
    assert any(one.marking == marking and how in one.how for one in found.candidates), found.candidates


@pytest.mark.parametrize("text", UNKNOWN)
def test_unknown_stays_unknown(text: str) -> None:
    found = identify(text, catalogue=CATALOGUE)
    assert not found.sure
    assert [one for one in found.candidates if one.score >= LIKELY] == []


@pytest.mark.parametrize("text", ["M8042", "M7270A7", "M1234", "G7272", "H7862"])
def test_another_well_formed_number_is_never_taken_for_one_that_is_published(text: str) -> None:
    found = identify(text, catalogue=CATALOGUE)
    assert not found.sure
    assert all(one.score < LIKELY for one in found.candidates)


def test_two_things_that_share_a_number_are_both_shown() -> None:
    found = identify("H777", catalogue=CATALOGUE)
    assert len({one.entry for one in found.candidates if one.score == 1}) == 2
    assert not found.sure


def test_cards_of_one_set_are_one_thing() -> None:
    found = identify("M8013/M8014", catalogue=CATALOGUE)
    assert found.sure
    assert {one.marking for one in found.candidates} == {"M8013", "M8014"}


def test_evidence_and_sources_are_those_of_the_number() -> None:
    for one in identify("M8048", catalogue=CATALOGUE).candidates[:1]:
        markings = CATALOGUE.board(one.entry).markings
        assert isinstance(markings, Known)
        assert (one.evidence, one.sources) == (str(markings.evidence), markings.sources)


def test_an_id_and_the_first_word_of_a_rom_are_understood() -> None:
    name = CATALOGUE.ids("boards")[0]
    by_id = identify(name, catalogue=CATALOGUE).entry
    assert by_id is not None
    assert by_id.entry == name
    by_word = identify("042114", catalogue=CATALOGUE).entry  # the letters D and L
    assert by_word is not None
    assert by_word.kind == "roms"


def test_the_index_finds_every_number_the_reader_finds() -> None:
    read = {
        (kind, name, marking)
        for kind in KINDS
        for name in CATALOGUE.ids(kind)
        for figure in [getattr(CATALOGUE.entry(kind, name), "markings", None)]
        if isinstance(figure, Known)
        for marking in figure.peek
    }
    assert {(one.kind, one.entry, one.marking) for one in PUBLISHED} == read


@pytest.mark.parametrize("one", PUBLISHED, ids=lambda one: f"{one.marking}={one.entry}")
def test_every_published_number_is_itself(one: Published) -> None:
    found = identify(one.marking, catalogue=CATALOGUE)
    assert (one.entry, 1.0) in {(each.entry, each.score) for each in found.candidates}
    if len({each.entry for each in PUBLISHED if each.marking == one.marking}) == 1:
        assert found.entry is not None
        assert found.entry.entry == one.entry


LOOKS_LIKE = {"0": "OQD", "1": "IL|", "8": "B", "5": "S", "2": "Z", "6": "G", "O": "0", "B": "8", "S": "5", "G": "6"}


@settings(max_examples=120, deadline=None)
@given(st.data())
def test_one_character_read_as_its_double_leaves_the_right_thing_among_the_candidates(data: st.DataObject) -> None:
    one = data.draw(st.sampled_from([one for one in PUBLISHED if set(one.marking) & set(LOOKS_LIKE)]))
    place = data.draw(st.sampled_from([i for i, char in enumerate(one.marking) if char in LOOKS_LIKE]))
    double = data.draw(st.sampled_from(LOOKS_LIKE[one.marking[place]]))
    text = f"{one.marking[:place]}{double}{one.marking[place + 1 :]}"
    assert one.entry in {each.entry for each in identify(text, catalogue=CATALOGUE).candidates}


@settings(max_examples=120, deadline=None)
@given(st.one_of(st.text(max_size=400), st.from_regex(re.compile(r"[MHG8BO ?*|-]{1,3}[0-9OBSZIlQDG?*-]{0,9}.{0,6}"))))
def test_no_text_makes_it_fail_and_sure_means_one_thing(text: str) -> None:
    found = identify(text, catalogue=CATALOGUE)
    likely = {one.entry for one in found.candidates if one.score >= LIKELY}
    assert found.text == text
    assert not found.sure or len(likely) == 1
    assert all(0 < one.score <= 1 and one.how for one in found.candidates)
    assert [one.score for one in found.candidates] == sorted((one.score for one in found.candidates), reverse=True)


@settings(max_examples=80, deadline=None)
@given(st.from_regex(r"\A[MHG][0-9]{4}\Z"))
def test_a_well_formed_number_is_certain_only_where_it_is_published(text: str) -> None:
    found = identify(text, catalogue=CATALOGUE)
    assert found.sure == (len({one.entry for one in PUBLISHED if one.marking == text}) == 1)


def test_many_questions_are_quick() -> None:
    draw = random.Random(8)  # seed: any
    texts = [f"M{draw.randrange(10_000):04}" if draw.random() < 0.7 else f"quad M8O{draw.randrange(99)} rev C, {n}"
             for n in range(10_000)]  # fmt: skip
    began = time.process_time()
    for text in texts:
        identify(text, catalogue=CATALOGUE)
    assert time.process_time() - began < 3  # 0.2 s as measured; only a slip in the order of growth is caught


def test_an_entry_of_the_owner_is_found_by_its_number(tmp_path: Path) -> None:
    (tmp_path / "boards").mkdir()
    (tmp_path / "boards" / "club-memory.yaml").write_text("markings: {value: [K-100], evidence: owner}\n", "utf-8")
    own = Catalogue(extra=[tmp_path])
    for text in ("K-1OO", "k100", "two K-100 in a bag"):
        found = identify(text, catalogue=own).entry
        assert found is not None, text
        assert (found.entry, found.evidence) == ("club-memory", "owner")


def test_an_entry_that_can_not_be_read_is_left_out(tmp_path: Path) -> None:
    (tmp_path / "boards").mkdir()
    (tmp_path / "boards" / "broken.yaml").write_bytes(b"markings: {value: [\xff, evidence\n")
    (tmp_path / "boards" / "odd.yaml").write_bytes(b"markings: [X1234]\n")
    assert identify("X1234", catalogue=Catalogue(extra=[tmp_path])).candidates == ()
