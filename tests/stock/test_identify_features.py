"""Boards without a number, by what can be seen on them."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from minisim.catalogue import Catalogue
from minisim.catalogue.model import BoardEntry
from minisim.known import Known, NotApplicable
from minisim.stock.identify_features import AGREES, PACKAGES, identify_features

CATALOGUE = Catalogue()
BOARDS = [CATALOGUE.board(name) for name in CATALOGUE.ids("boards")]


def facts_of(board: BoardEntry) -> dict[str, Any]:
    """What an owner would see on this board, as far as the catalogue knows it."""
    facts: dict[str, Any] = {"bus": board.bus}
    if isinstance(board.height, Known):
        facts["height"] = board.height.peek
    if board.rows is not None:
        facts["rows"] = board.rows
    if isinstance(board.passes_grant, Known):
        facts["loops_through"] = board.passes_grant.peek == "yes"
    if isinstance(board.passes_dma_grant, Known):
        facts["dma_grant_through"] = board.passes_dma_grant.peek == "yes"
    seen = {
        "processor": board.processor, "memory": board.memory, "rom": board.rom,
        "serial": any(one.device.startswith(("serial-line", "multiplexer")) for one in board.registers),
        "resistors": isinstance(board.terminates, Known) and board.terminates.peek != "no",
    }  # fmt: skip
    assert set(seen) == set(PACKAGES)
    return facts | {"packages": tuple(word for word, there in seen.items() if there)}


@settings(max_examples=120, deadline=None)
@given(st.sampled_from(BOARDS), st.data())
def test_a_board_whose_facts_are_given_is_always_among_the_candidates(board: BoardEntry, data: st.DataObject) -> None:
    facts = facts_of(board)
    keys = data.draw(st.sets(st.sampled_from(sorted(facts)), min_size=1))
    found = identify_features(**{key: facts[key] for key in keys}, catalogue=CATALOGUE)
    assert found.text == "" or board.id in {one.entry for one in found.candidates}
    assert not found.sure


def test_a_firm_figure_that_differs_leaves_a_board_out() -> None:
    found = identify_features(height="quad", catalogue=CATALOGUE)
    for one in found.candidates:
        height = CATALOGUE.board(one.entry).height
        assert not isinstance(height, Known) or height.peek == "quad" or height.evidence.needs_saying
    assert found.candidates


def test_an_unconfirmed_figure_that_differs_only_puts_it_behind_and_is_said() -> None:
    found = identify_features(height="quad", rows="ABCD", loops_through=True, bus="mux", catalogue=CATALOGUE)
    scores = [one.score for one in found.candidates]
    assert scores == sorted(scores, reverse=True)
    differing = [one for one in found.candidates if "differs: " in one.how]
    assert all("the catalogue says" in one.how and one.score <= Decimal("0.4") for one in differing)


@settings(max_examples=100, deadline=None)
@given(st.sampled_from(BOARDS), st.sampled_from(BOARDS), st.data())
def test_a_board_of_which_nothing_differs_stands_before_one_of_which_something_does(
    one: BoardEntry, other: BoardEntry, data: st.DataObject
) -> None:
    facts = {**facts_of(one), **{key: value for key, value in facts_of(other).items() if data.draw(st.booleans())}}
    found = identify_features(**facts, catalogue=CATALOGUE).candidates
    differs = ["differs: " in each.how for each in found]
    assert differs == sorted(differs)
    assert differs == [each.score < AGREES for each in found]


def test_what_the_catalogue_does_not_know_is_said_and_leaves_nothing_out() -> None:
    unknown = {board.id for board in BOARDS if not isinstance(board.passes_grant, Known | NotApplicable)}
    found = identify_features(bus="sep", loops_through=True, connectors=2, catalogue=CATALOGUE)
    open_ones = [one for one in found.candidates if one.entry in unknown]
    assert open_ones
    assert all("not known: grants loop through, 2 connectors" in one.how for one in open_ones)


def test_nothing_asked_gives_nothing() -> None:
    assert identify_features(catalogue=CATALOGUE).candidates == ()


def test_where_one_alone_fits_it_is_still_not_certain(tmp_path: Path) -> None:
    found = identify_features(height="single", bus="sep", loops_through=True, dma_grant_through=True,
                              catalogue=CATALOGUE)  # fmt: skip
    assert not found.sure


@pytest.mark.parametrize("rows", ["2", "AB"])
def test_rows_are_letters_or_a_number(rows: str) -> None:
    found = identify_features(rows=rows, bus="mux", catalogue=CATALOGUE)
    whole = [one for one in found.candidates if "fits: bus mux, " in one.how and "differs" not in one.how]
    assert {CATALOGUE.board(one.entry).rows for one in whole} <= {"AB", None}
