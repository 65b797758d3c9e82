"""The drawing of a backplane: every board in its place, the grants hop by hop, the first broken hop and whom it harms.

What is expected comes from the file as PyYAML reads it, from `GrantChain.hops`, or from the findings of the rules; what
is there is read back from the marks on paper.
"""

from __future__ import annotations

import itertools
import re
from pathlib import Path
from typing import Any

import pytest

from minisim.checking import check_wired
from minisim.findings import State
from minisim.known import Known
from minisim.sheet.drawing.picture import machine_svg
from minisim.wiring.model import GrantKind, Hop, Passes, Wired, WiredBoard

from .drawings import (
    GOOD,
    KITTIWAKE,
    MACHINES,
    RULES,
    SVG,
    Box,
    boards_in_file,
    box_of,
    down_by,
    drawings,
    ids,
    is_well_drawn,
    root,
    texts,
    wired,
    with_data,
    words,
)

every_machine = pytest.mark.parametrize("path", MACHINES, ids=ids)


def kinds(machine: Wired) -> list[tuple[str, GrantKind]]:
    """The ways of grants as pictures name them, with a chain of each."""
    return [("both", GrantKind.DMA)] if machine.bus == "mux" else [(str(kind), kind) for kind in GrantKind]


# ---- paper


@every_machine
def test_every_drawing_is_well_made(path: Path) -> None:
    for drawing in drawings(path):
        assert is_well_drawn(drawing) == []


@every_machine
def test_each_unit_has_one_drawing_under_its_name(path: Path) -> None:
    machine = wired(path)
    assert [one.id for one in drawings(path)] == [f"backplane-{unit.box}-{unit.id}" for unit in machine.units]


@every_machine
def test_picture_and_lines_say_from_which_side_one_looks(path: Path) -> None:
    for drawing in drawings(path):
        said = [words(root(drawing.svg)), " ".join(drawing.lines)]
        assert all("SEEN FROM THE BOARD SIDE" in one for one in said)
        assert "board side" in drawing.description


# ---- boards


def columns(picture: Any) -> dict[str, float]:
    """Letter of a row -> the middle of its column, from the large letters at the head."""
    head = next(one for one in with_data(picture, "part") if one.get("data-part") == "head")
    return {text.words: text.box.x + text.box.width / 2 for text in texts(head) if re.fullmatch("[A-F]", text.words)}


def slots(picture: Any) -> dict[int, Box]:
    """Number of a slot -> its box on paper, and its number is written in it."""
    found = {}
    for group in with_data(picture, "slot"):
        if group.get("data-again") is None:
            assert next(texts(group)).words == group.get("data-slot")
            found[int(group.get("data-slot"))] = box_of(next(group.iter(f"{SVG}rect")))
    return found


@every_machine
def test_each_board_is_drawn_once_over_its_slots_and_rows(path: Path) -> None:
    machine, listed = wired(path), boards_in_file(path)
    seen = []
    for unit, drawing in zip(machine.units, drawings(path), strict=True):
        picture = root(drawing.svg)
        letters, rows_of_paper = columns(picture), slots(picture)
        pitch = min(after - before for before, after in itertools.pairwise(letters.values()))
        for group in with_data(picture, "board"):
            index = int(group.get("data-board"))
            stands, box = listed[index], box_of(group.find(f"{SVG}rect"))
            seen.append(index)
            assert stands.unit == f"{unit.box}/{unit.id}"
            assert box.x == pytest.approx(letters[stands.rows[0]] - pitch / 2, abs=4)
            assert box.right == pytest.approx(letters[stands.rows[-1]] + pitch / 2, abs=4)
            if not _drawn_apart(picture, box):
                assert box.y == pytest.approx(rows_of_paper[stands.slots[0]].y, abs=4)
                assert box.foot == pytest.approx(rows_of_paper[stands.slots[-1]].foot, abs=4)
    assert sorted(seen) == list(range(len(listed)))


def _drawn_apart(picture: Any, box: Box) -> bool:
    """Does it stand in a line of paper of its own, because its place is taken?"""
    spare = [box_of(next(group.iter(f"{SVG}rect"))) for group in with_data(picture, "again")]
    return any(one.overlaps(box) for one in spare)


@every_machine
def test_no_two_boards_overlap_and_only_a_place_taken_twice_is_drawn_apart(path: Path) -> None:
    listed = boards_in_file(path)
    claims = [(one.unit, slot, row) for one in listed for slot in one.slots for row in one.rows]
    apart = 0
    for drawing in drawings(path):
        picture = root(drawing.svg)
        boxes = [box_of(group.find(f"{SVG}rect")) for group in with_data(picture, "board")]
        assert not any(one.overlaps(other) for one, other in itertools.combinations(boxes, 2))
        apart += sum(_drawn_apart(picture, box) for box in boxes)
    assert bool(apart) == (len(set(claims)) < len(claims))


@every_machine
def test_each_board_names_its_number_its_item_and_has_a_box_to_tick(path: Path) -> None:
    machine = wired(path)
    for drawing in drawings(path):
        for group in with_data(root(drawing.svg), "board"):
            board = machine.boards[int(group.get("data-board"))]
            first = next(texts(group)).words
            marks = board.entry.markings
            number = marks.peek[0] if isinstance(marks, Known) and marks.peek else "number: read"
            assert first.startswith(number[: len(first)])
            assert len(group.findall(f"{SVG}rect")) == 2  # the frame and the box
            assert str(board.place).rpartition("/")[2] in " ".join(drawing.lines)
    ticks = sum(line.count("looked at: [ ]") for drawing in drawings(path) for line in drawing.lines)
    assert ticks == len(machine.boards)


@every_machine
def test_no_text_of_a_board_leaves_its_frame_or_meets_another(path: Path) -> None:
    for drawing in drawings(path):
        for group in with_data(root(drawing.svg), "board"):
            frame, said = box_of(group.find(f"{SVG}rect")), [text.box for text in texts(group)]
            assert all(box.x >= frame.x and box.right <= frame.right + 1 for box in said)
            assert all(box.y >= frame.y - 1 and box.y + box.height / 1.2 <= frame.foot + 1 for box in said)
            assert not [(a, b) for a, b in itertools.combinations(said, 2) if a.overlaps(_less(b))]


def _less(box: Box) -> Box:
    """A line without the room for tails of letters, which lines share."""
    return Box(box.x, box.y + box.height * 0.25, box.width, box.height * 0.55)


@every_machine
def test_every_part_that_nobody_fills_is_there(path: Path) -> None:
    machine = wired(path)
    wanted = {str(part.place) for part in machine.slots if not part.boards}
    groups = [group for drawing in drawings(path) for group in with_data(root(drawing.svg), "empty")]
    assert {group.get("data-empty") for group in groups} == wanted
    assert all(words(group) for group in groups)


# ---- grants


@every_machine
def test_the_hops_stand_in_the_order_of_the_chain_in_their_slots_and_rows(path: Path) -> None:
    machine = wired(path)
    pictures = [root(drawing.svg) for drawing in drawings(path)]
    for name, kind in kinds(machine):
        drawn = []
        for picture in pictures:
            for way in with_data(picture, "grants"):
                if way.get("data-grants") == name:
                    stops = [one for one in way.iterchildren() if one.get("data-hop")]
                    drawn += [(int(stop.get("data-hop")), stop.get("data-at")) for stop in stops]
                    _stands_right(machine.chain(kind).hops, stops, picture, kind if machine.bus == "sep" else None)
        assert drawn == [(hop.number, str(hop.place)) for hop in machine.chain(kind).hops]


def _stands_right(hops: tuple[Hop, ...], stops: list[Any], picture: Any, kind: GrantKind | None) -> None:
    """Each number in its slot and its column: C and D hold the grants of the separate-line bus."""
    letters, rows_of_paper = columns(picture), slots(picture)
    pitch = min(after - before for before, after in itertools.pairwise(letters.values()))
    for stop in stops:
        hop = hops[int(stop.get("data-hop")) - 1]
        number = next(texts(stop))
        assert re.fullmatch(rf"{hop.number}\??", number.words)
        if hop.joint:
            assert number.box.foot < min(box.y for box in rows_of_paper.values())
            continue
        middle = number.box.y + number.box.height / 2
        assert rows_of_paper[hop.place.slots[-1]].y <= middle <= rows_of_paper[hop.place.slots[-1]].foot
        row = {None: hop.place.rows[:1] or "A", GrantKind.DMA: "C", GrantKind.INTERRUPT: "D"}[kind]
        assert abs(number.box.x + number.box.width / 2 - letters[row]) <= pitch / 2


@every_machine
def test_the_line_goes_from_hop_to_hop(path: Path) -> None:
    """One line into every hop but the first of the machine, and one into every further unit."""
    machine = wired(path)
    for name, kind in kinds(machine):
        lines = 0
        for drawing in drawings(path):
            for way in with_data(root(drawing.svg), "grants"):
                lines += len(way.findall(f"{SVG}polyline")) if way.get("data-grants") == name else 0
        hops = machine.chain(kind).hops
        changes = [after for before, after in itertools.pairwise(hops) if _unit(before) != _unit(after)]
        assert lines == len(hops) - 1 + len([hop for hop in changes if not hop.joint])


def _unit(hop: Hop) -> tuple[str, str]:
    return hop.place.box, hop.place.unit


def test_interrupts_and_dma_are_told_apart_without_colour() -> None:
    picture = root(drawings(KITTIWAKE / "gauge.yaml")[0].svg)
    ways = {way.get("data-grants"): way for way in with_data(picture, "grants")}
    dashes = {name: {line.get("stroke-dasharray") for line in way.iter(f"{SVG}polyline")} for name, way in ways.items()}
    assert dashes == {"interrupt": {None}, "dma": {"13 7"}}
    assert not list(ways["interrupt"].iter(f"{SVG}rect")) and not list(ways["dma"].iter(f"{SVG}circle"))


@every_machine
def test_a_number_is_black_where_a_grant_arrives_and_has_a_question_mark_where_nobody_knows(path: Path) -> None:
    machine = wired(path)
    for name, kind in kinds(machine):
        start = _start(machine, kind)
        for drawing in drawings(path):
            for way in with_data(root(drawing.svg), "grants"):
                if way.get("data-grants") == name:
                    for stop in with_data(way, "hop"):
                        hop = machine.chain(kind).hops[int(stop.get("data-hop")) - 1]
                        arrives = Passes.NO if hop.number < start else hop.reached
                        node = stop[0]
                        assert (node.get("fill") == "black") == (arrives is Passes.YES)
                        doubt = arrives is Passes.UNKNOWN or (hop.passes is Passes.UNKNOWN and arrives is Passes.YES)
                        assert words(stop).endswith("?") == doubt


@every_machine
def test_each_slot_with_a_wire_says_whether_it_is_in(path: Path) -> None:
    machine = wired(path)
    for unit, drawing in zip(machine.units, drawings(path), strict=True):
        wanted = {
            hop.place.slots[0]: hop.wire
            for hop in machine.chain(GrantKind.DMA).hops
            if hop.wire is not None and _unit(hop) == (unit.box, unit.id)
        }
        rows = [group for group in with_data(root(drawing.svg), "slot") if group.get("data-again") is None]
        said = {int(group.get("data-slot")): words(group) for group in rows}
        assert {slot: "CA1-CB1: in" in text for slot, text in said.items() if "CA1-CB1" in text} == wanted


# ---- the first broken hop


def _start(machine: Wired, kind: GrantKind) -> int:
    owners = [
        hop for hop in machine.chain(kind).hops if hop.board is not None and machine.boards[hop.board].entry.processor
    ]
    return owners[0].number if owners else 0


def _yes(figure: object) -> bool:
    return isinstance(figure, Known) and figure.peek == "yes"


def _wants(machine: Wired, board: WiredBoard, kind: GrantKind) -> bool:
    """By the catalogue: on the multiplexed bus both grants go the same way."""
    entry = board.entry
    if machine.bus == "mux":
        return _yes(entry.interrupts) or _yes(entry.dma)
    return _yes(entry.dma if kind is GrantKind.DMA else entry.interrupts)


def _waiting(machine: Wired, kind: GrantKind, hop: Hop) -> set[str]:
    """Boards behind a hop that want a grant, and turnaround terminators in its slot or behind."""
    hops = machine.chain(kind).hops
    behind = {one.board for one in hops if one.number > hop.number and one.board not in (None, hop.board)}
    found = [board for board in machine.boards if board.index in behind and _wants(machine, board, kind)]
    unit = next(one.index for one in machine.units if (one.box, one.id) == _unit(hop))
    ends = [one for one in machine.boards if _yes(one.entry.turnaround)]
    found += [one for one in ends if (one.unit, one.place.slots[0]) >= (unit, hop.place.slots[0])]
    return {str(board.place) for board in found}


def _broken(machine: Wired, kind: GrantKind) -> tuple[Hop, set[str]] | None:
    """The first hop behind the processor that stops a grant for which somebody waits.

    On the multiplexed bus the end board of a cable fills the place before an open joint: then the joint is the hole,
    unless a board before the joint waits behind that place.
    """
    start, hops = _start(machine, kind), machine.chain(kind).hops
    for hop in hops:
        waiting = _waiting(machine, kind, hop)
        if start == 0 or hop.number <= start or hop.passes is not Passes.NO or not waiting:
            continue
        joint = next((one.number for one in hops if one.joint and one.number > hop.number), None)
        if machine.bus == "mux" and hop.board is None and joint is not None:
            near = [one for one in hops if hop.number < one.number < joint and one.board is not None]
            if not any(str(machine.boards[one.board].place) in waiting for one in near if one.board is not None):
                continue
        return hop, waiting
    return None


@every_machine
def test_the_first_broken_hop_is_crossed_and_named_with_everything_behind_it(path: Path) -> None:
    machine = wired(path)
    for name, kind in kinds(machine):
        wanted, crossed = _broken(machine, kind), []
        for drawing in drawings(path):
            picture = root(drawing.svg)
            for way in with_data(picture, "grants"):
                if way.get("data-grants") == name:
                    crossed += [int(mark.get("data-broken")) for mark in with_data(way, "broken")]
            if wanted:
                hop, waiting = wanted
                shown = (words(picture), " ".join(drawing.lines))
                for said in (*shown, drawing.description):
                    assert f"at hop {hop.number} ({hop.place})" in said
                    assert all(place in said for place in waiting)
                assert all(place in said for place in _others_behind(machine, kind, hop) for said in shown)
        assert crossed == ([wanted[0].number] if wanted else [])


def test_a_turnaround_terminator_behind_a_broken_hop_stops_the_processor() -> None:
    """An open grant before it becomes a lasting acknowledge (sep-terminators-wiki)."""
    stopped = "the processor stands still at power-up"
    assert stopped in drawings(RULES / "GRANT-007" / "bad-no-card.yaml")[0].description
    assert stopped not in drawings(RULES / "GRANT-007" / "bad-before-a-board.yaml")[0].description


def _others_behind(machine: Wired, kind: GrantKind, hop: Hop) -> set[str]:
    behind = {one.board for one in machine.chain(kind).hops if one.number > hop.number and one.board is not None}
    return {str(machine.boards[index].place) for index in behind - {hop.board}}


@pytest.mark.parametrize("path", GOOD, ids=ids)
def test_a_machine_without_findings_about_grants_has_no_cross_and_no_hatching(path: Path) -> None:
    for drawing in drawings(path):
        picture = root(drawing.svg)
        assert not with_data(picture, "broken") and not with_data(picture, "grant-card")
        assert "BROKEN" not in words(picture) and "BROKEN" not in " ".join(drawing.lines)


# ---- grant cards


def _cards_of_findings(machine: Wired) -> set[str] | None:
    """Places in which GRANT-001 and GRANT-007 ask for a card; None where they wait for another finding."""
    report = check_wired(machine)
    rules = ("GRANT-001", "GRANT-007")
    if any(one.rule in rules and one.state is State.NOT_CHECKED and not one.missing for one in report.outcomes):
        return None
    acts = [finding.fix for finding in report.findings if finding.rule in rules]
    return {place for act in acts if "grant card" in act for place in re.findall(r"[\w-]+/[\w-]+/\d+[A-F]*", act)}


@every_machine
def test_the_hatched_places_are_those_in_which_the_rules_ask_for_a_card(path: Path) -> None:
    machine = wired(path)
    wanted = _cards_of_findings(machine)
    if wanted is None:
        pytest.skip("the rules wait for another finding")
    groups = [group for drawing in drawings(path) for group in with_data(root(drawing.svg), "grant-card")]
    assert {group.get("data-grant-card") for group in groups} == wanted
    assert all(words(group) == "grant card" for group in groups)
    lines = [line for drawing in drawings(path) for line in drawing.lines if "needs a grant card" in line]
    assert len(lines) == len(wanted)


def test_the_hatching_of_a_small_peripheral_slot_covers_connector_d_alone() -> None:
    """A single-height card in D passes the interrupt grants (grant-card-wiki)."""
    picture = root(drawings(RULES / "GRANT-007" / "bad-no-card.yaml")[0].svg)
    letters = columns(picture)
    pitch = letters["B"] - letters["A"]
    groups = with_data(picture, "grant-card")
    assert [group.get("data-grant-card") for group in groups] == ["main/a/6CF", "main/a/8CF"]
    for group in groups:
        box = box_of(group.find(f"{SVG}rect"))
        assert letters["D"] - pitch / 2 <= box.x and box.right <= letters["D"] + pitch / 2
        assert len(group.find(f"{SVG}path").get("d").split("M")) > 10  # slanted lines, drawn one by one


# ---- places taken twice, pieces of the stock


def test_a_place_taken_twice_is_said_in_picture_and_lines() -> None:
    (drawing,) = drawings(RULES / "SLOT-009" / "bad-mux.yaml")
    (spare,) = with_data(root(drawing.svg), "again")
    assert spare.get("data-slot") == "4" and "This place is taken twice." in words(spare)
    at = next(number for number, line in enumerate(drawing.lines) if line.strip().startswith("4CD  M9047"))
    assert "This place is taken twice." in [line.strip() for line in drawing.lines[at + 1 : at + 4]]


def test_the_piece_of_the_stock_is_named_in_its_frame(tmp_path: Path) -> None:
    path = tmp_path / "x.yaml"
    text = (RULES / "GRANT-001" / "good-serpentine.yaml").read_text()
    path.write_text(text.replace("board: mos-memory-dual,", "board: mos-memory-dual, item: K-017,"))
    (drawing,) = drawings(path)
    (named,) = [group for group in with_data(root(drawing.svg), "board") if "item K-017" in words(group)]
    assert named.get("data-place") == "main/a/1CD"
    assert "item K-017" in " ".join(drawing.lines)


# ---- the ends, and the whole machine


def test_the_joints_say_from_where_and_to_where_the_bus_goes_and_by_which_cable() -> None:
    first, second, third = drawings(RULES / "valid" / "three-box-network.yaml")
    assert "The bus begins in this backplane." in words(root(first.svg))
    assert "goes on to middle/b by the cable mux-extension-cable-22bit (0.61 m)." in words(root(first.svg))
    assert "comes from main/a by the cable mux-extension-cable-22bit (0.61 m)." in words(root(second.svg))
    assert "The backplane itself holds a terminator: full, at the far end" in words(root(third.svg))


def test_a_set_is_one_frame_with_its_parts() -> None:
    picture = root(drawings(RULES / "valid" / "two-board-disk.yaml")[0].svg)
    one = next(group for group in with_data(picture, "board") if group.get("data-place") == "main/a/5-6")
    assert [part.get("data-part-of-set") for part in with_data(one, "part-of-set")] == ["5", "6"]
    assert "Which board of it stands in which slot: not known." in words(one)


def test_the_picture_of_the_machine_has_every_unit_under_the_one_before() -> None:
    machine = wired(RULES / "valid" / "three-box-network.yaml")
    picture = root(machine_svg(machine))
    units = with_data(picture, "unit")
    assert [unit.get("data-unit") for unit in units] == ["main/a", "middle/b", "lower/c"]
    tops = [down_by(unit) for unit in units]
    feet = [max(text.box.foot for text in texts(unit)) for unit in units]
    assert all(
        foot <= top for foot, top in zip(feet, [*tops[1:], float(picture.get("viewBox").split()[3])], strict=True)
    )
