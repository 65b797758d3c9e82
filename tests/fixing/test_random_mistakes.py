"""A mistake put into a loadout that is right: --fix ends without its findings, and never with a worse one."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from putting import KITTIWAKE, ROOT, RULES, fixtures, proposed, situation_of

from minisim.findings import Finding, Severity
from minisim.fixing import Proposal, propose
from minisim.fixing.comparing import badness, counts
from minisim.fixing.edits import Edit, Move, MoveBoards, RemoveBoard, SetSetting, SetWire
from minisim.fixing.situation import Situation, after, is_card
from minisim.fixing.splices import CannotEdit
from minisim.problems import InputError
from minisim.wiring.model import WiredBoard

RIGHT = [
    KITTIWAKE / "desk.yaml",
    KITTIWAKE / "gauge.yaml",
    RULES / "GRANT-001" / "good-card-in-the-gap.yaml",
    RULES / "GRANT-007" / "good-cards.yaml",
    RULES / "MEM-002" / "good-mux.yaml",
    RULES / "VECT-001" / "good-mux.yaml",
    RULES / "ADDR-001" / "good-sep.yaml",
]


@cache
def right(path: Path) -> Situation:
    """A loadout that is right."""
    found = situation_of(path.read_bytes(), path)
    assert not open_ones(found)
    return found


def open_ones(situation: Situation) -> list[Finding]:
    """What --fix puts right without being asked for more."""
    return [one for one in situation.report.findings if counts(one) and one.severity.rank <= Severity.DOUBT.rank]


def slips(situation: Situation) -> Iterator[Edit]:
    """Slips of the pen and of the hand, each of which can be taken back."""
    boards = [one for one in situation.wired.boards if one.entry.processor is None]
    for board in boards:
        place = str(board.place)
        if is_card(board):
            yield RemoveBoard("it", place, card=True)
        for other in boards:
            if other.rows == board.rows and other.index > board.index:
                yield MoveBoards((Move("it", place, str(other.place)), Move("that", str(other.place), place)))
        yield from settings_of(board, boards)
    for unit in situation.wired.units:
        for slot in unit.entry.slots if unit.entry.bus == "sep" else ():
            yield SetWire(f"{unit.box}/{unit.id}", slot, False)


def settings_of(board: WiredBoard, boards: list[WiredBoard]) -> Iterator[Edit]:
    """The address, vector or start of another board, and some that fit none."""
    wrong = {"address": ["777560", "777774", "775600"], "vector": ["60", "304", "302"], "start": ["40000", "400000"]}
    for name, values in wrong.items():
        if name in board.placed.settings and board.entry.rom is None:
            others = [one.placed.settings[name].text for one in boards if name in one.placed.settings]
            for value in dict.fromkeys([*values, *others]):
                if value != board.placed.settings[name].text:
                    yield SetSetting("it", str(board.place), name, value)


@cache
def wrong(path: Path) -> list[Situation]:
    """Every slip in a loadout that can be read and leads to findings."""
    found = []
    for edit in slips(right(path)):
        try:
            made = after(right(path), [edit])
        except (CannotEdit, InputError):
            continue
        if open_ones(made):
            found.append(made)
    return found


def put_right_again(made: Situation, folder: Path) -> Proposal:
    """The proposal for a text in a file of its own, with the media of the loadout it came from."""
    file = folder / "made.yaml"
    file.write_bytes(made.data)
    return propose(file, catalogue=made.source.catalogue, media_root=Path(made.source.file).parent)


@settings(max_examples=5)
@given(data=st.data())
def test_a_slip_is_put_right_and_nothing_is_worse(
    data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    made = data.draw(st.sampled_from(wrong(data.draw(st.sampled_from(RIGHT)))))
    proposal = put_right_again(made, tmp_path_factory.mktemp("slip"))
    assert proposal.left == () and not proposal.bounded, made.data.decode()
    again = situation_of(proposal.data, Path(made.source.file))
    assert open_ones(again) == [] and badness(again) <= badness(made)


@settings(max_examples=3)
@given(data=st.data())
def test_two_slips_never_end_worse_than_they_began(
    data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    _two_slips(data, tmp_path_factory)


@pytest.mark.slow
@settings(max_examples=60)
@given(data=st.data())
def test_dozens_of_two_slips_never_end_worse_than_they_began(
    data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    _two_slips(data, tmp_path_factory)


def _two_slips(data: st.DataObject, tmp_path_factory: pytest.TempPathFactory) -> None:
    path = data.draw(st.sampled_from(RIGHT))
    first = data.draw(st.sampled_from(wrong(path)))
    second = data.draw(st.sampled_from(list(slips(first))))
    try:
        made = after(first, [second])
    except (CannotEdit, InputError):
        assume(False)
    proposal = put_right_again(made, tmp_path_factory.mktemp("slips"))
    again = situation_of(proposal.data, path)
    assert badness(again) <= badness(made)
    assert {one.finding.rule for one in proposal.left} == {one.rule for one in open_ones(again)}


def test_there_are_slips_of_many_kinds() -> None:
    rules = {one.rule for path in RIGHT for made in wrong(path) for one in open_ones(made)}
    assert len(rules) >= 15


@pytest.mark.slow
@pytest.mark.parametrize(
    "path", fixtures("*/bad-*.yaml", "*/good-*.yaml"), ids=lambda path: f"{path.parent.name}/{path.stem}"
)
def test_no_fixture_ends_worse_and_a_second_run_finds_nothing_more(path: Path, tmp_path: Path) -> None:
    proposal = proposed(path)
    before, now = situation_of(proposal.before, path), situation_of(proposal.data, path)
    assert badness(now) <= badness(before) and now.report == proposal.after
    assert proposal.diff or proposal.data == proposal.before
    if proposal.diff and not (path.parent / "catalogue").is_dir():
        assert not put_right_again(now, tmp_path).diff


@pytest.mark.slow
def test_every_slip_of_every_good_loadout_is_put_right(tmp_path: Path) -> None:
    left = [
        (path.relative_to(ROOT), made.data.decode())
        for path in RIGHT
        for made in wrong(path)
        if put_right_again(made, tmp_path).left
    ]
    assert left == []
