"""Changes of the text: reading it again gives what the change means, and no other line is touched.

What a change means is written here a second time, on the loadout instead of the text.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from putting import KITTIWAKE, RULES, lines_changed, plain, read

from minisim.fixing.edits import (
    Edit,
    HaltOff,
    Move,
    MoveBoards,
    PlugJoint,
    PutBoard,
    RemoveBoard,
    SetAcceptance,
    SetCable,
    SetOption,
    SetRegulator,
    SetSetting,
    SetWire,
)
from minisim.fixing.sheet import Sheet
from minisim.fixing.splices import CannotEdit
from minisim.loadout.model import Acceptance, CableEnd, Loadout, Placed, Setting, Unit
from minisim.loadout.places import read_place
from minisim.loadout.writer import write_loadout
from minisim.problems import InputError

BASES = [
    KITTIWAKE / "desk.yaml",
    KITTIWAKE / "gauge.yaml",
    RULES / "DMA-003" / "bad-no-map.yaml",
    RULES / "GRANT-007" / "bad-cable-not-plugged.yaml",
    RULES / "CONSOLE-003" / "bad-mux-wiring.yaml",
    RULES / "INT-002" / "bad-nothing-there.yaml",
    RULES / "POWER-005" / "bad-two-regulators.yaml",
]
BYTE_ORDER_MARK = b"\xef\xbb\xbf"
ANY_LINE = [b""]
STYLES = ("as written", "crlf", "bom", "no last end", "our own writing")


@cache
def text_of(path: Path, style: str) -> bytes:
    data = path.read_bytes()
    if style == "our own writing":
        return write_loadout(read(data, path)).encode()
    changed = {"crlf": data.replace(b"\n", b"\r\n"), "bom": b"\xef\xbb\xbf" + data, "no last end": data.rstrip(b"\n")}
    return changed.get(style, data)


# ---- what a change means, on the loadout


def units(loadout: Loadout, change: Any) -> Loadout:
    """The loadout with `change(box/unit, unit)` in the place of every unit."""
    boxes = tuple(
        replace(box, units=tuple(change(f"{box.id}/{unit.id}", unit) for unit in box.units)) for box in loadout.boxes
    )
    return replace(loadout, boxes=boxes)


def place_of(where: str, placed: Placed) -> str:
    return f"{where}/{read_place(placed.place)}"


def boards(loadout: Loadout, change: Any) -> Loadout:
    """The loadout with `change(place, board)` in the place of every board; None takes it out."""

    def in_unit(where: str, unit: Unit) -> Unit:
        made = (change(place_of(where, one), one) for one in unit.placed)
        return replace(unit, placed=tuple(one for one in made if one is not None))

    return units(loadout, in_unit)


def at(placed: Placed, place: str) -> Placed:
    where = read_place(place.split("/")[2])
    return replace(placed, slots=where.slots, rows=where.rows)


def followed(loadout: Loadout, moves: dict[str, str]) -> Loadout:
    cables = tuple(replace(one, board=moves.get(one.board, one.board)) for one in loadout.cables)
    accept = tuple(replace(one, at=moves.get(one.at, one.at)) for one in loadout.accept)
    return replace(loadout, cables=cables, accept=accept)


def meaning(loadout: Loadout, edit: Edit) -> Loadout:
    match edit:
        case MoveBoards():
            moves = dict(edit.moves())
            held = {place_of(f"{b.id}/{u.id}", p): p for b in loadout.boxes for u in b.units for p in u.placed}
            stay = boards(loadout, lambda place, one: None if place in moves else one)
            comes = {end: at(held[start], end) for start, end in moves.items()}

            def arrived(where: str, unit: Unit) -> Unit:
                new = tuple(one for end, one in comes.items() if end.rsplit("/", 1)[0] == where)
                return replace(unit, placed=(*unit.placed, *new))

            return followed(units(stay, arrived), moves)
        case PutBoard():
            where = read_place(edit.place.split("/")[2])
            made = Placed("", where.slots, where.rows, edit.board, "", (), {}, (), loadout.mark)
            unit_of = edit.place.rsplit("/", 1)[0]
            return units(
                loadout, lambda name, unit: replace(unit, placed=(*unit.placed, made)) if name == unit_of else unit
            )
        case RemoveBoard():
            gone = boards(loadout, lambda place, one: None if place == edit.place else one)
            cables = tuple(one for one in loadout.cables if one.board != edit.place)
            return replace(gone, cables=cables, accept=tuple(one for one in loadout.accept if one.at != edit.place))
        case SetSetting():
            return boards(loadout, lambda place, one: with_setting(one, edit) if place == edit.place else one)
        case SetOption():
            return boards(loadout, lambda place, one: with_option(one, edit) if place == edit.place else one)
        case SetWire():
            return units(loadout, lambda name, unit: with_wire(unit, edit) if name == edit.unit else unit)
        case SetRegulator():
            return units(
                loadout,
                lambda name, unit: (
                    replace(unit, regulators={**unit.regulators, edit.slot: edit.regulator})
                    if name == edit.unit
                    else unit
                ),
            )
        case PlugJoint():
            return units(
                loadout,
                lambda name, unit: (
                    replace(unit, joined_by=replace(unit.joined_by, connected=True)) if name == edit.unit else unit
                ),
            )
        case SetCable():
            return replace(loadout, cables=changed_at(loadout.cables, edit.number, with_word, edit))
        case HaltOff():
            return replace(loadout, switches=replace(loadout.switches, halt=False))
        case SetAcceptance():
            return replace(loadout, accept=changed_at(loadout.accept, edit.number, with_spelling, edit))
    raise AssertionError(edit)


def with_setting(board: Placed, edit: SetSetting) -> Placed:
    value: Any = edit.value
    if edit.setting in ("address", "vector", "start"):
        value = int(edit.value, 8)
        value -= 0o760000 if edit.setting == "address" else 0
    elif edit.setting in ("baud", "kb", "power-up"):
        value = int(edit.value)
    return replace(
        board, settings={**board.settings, edit.setting: Setting(edit.setting, edit.value, value, board.mark)}
    )


def with_option(board: Placed, edit: SetOption) -> Placed:
    kept = tuple(one for one in board.options if one != edit.option)
    return replace(board, options=(*kept, edit.option) if edit.named else kept)


def with_wire(unit: Unit, edit: SetWire) -> Unit:
    wires = {**unit.wires.get("dma-grant", {}), edit.slot: edit.fitted}
    return replace(unit, wires={**unit.wires, "dma-grant": wires})


def with_word(cable: CableEnd, edit: SetCable) -> CableEnd:
    name = {"from": "board"}.get(edit.key, edit.key)
    value: Any = int(edit.value) if edit.key in ("baud", "unit", "line") else edit.value
    return replace(cable, **{name: value})


def with_spelling(acceptance: Acceptance, edit: SetAcceptance) -> Acceptance | None:
    return replace(acceptance, **{edit.key: edit.value}) if edit.key else None


def changed_at(items: tuple[Any, ...], number: int, change: Any, edit: Edit) -> tuple[Any, ...]:
    made = (change(one, edit) if index == number else one for index, one in enumerate(items))
    return tuple(one for one in made if one is not None)


# ---- changes to try


@st.composite
def an_edit(draw: st.DrawFn, loadout: Loadout) -> Edit:
    places = [place_of(f"{b.id}/{u.id}", p) for b in loadout.boxes for u in b.units for p in u.placed]
    unit = draw(st.sampled_from([f"{b.id}/{u.id}" for b in loadout.boxes for u in b.units]))
    place = draw(st.sampled_from(places))
    free = f"{unit}/{draw(st.integers(1, 9))}{draw(st.sampled_from(['', 'AB', 'CD', 'D', 'CF']))}"
    made: list[Edit] = [
        MoveBoards((Move("it", place, free),)),
        MoveBoards((Move("it", place, places[0]), Move("that", places[0], place))) if place != places[0] else HaltOff(),
        PutBoard("grant-card", "card", free),
        RemoveBoard("it", place),
        SetWire(unit, draw(st.integers(1, 9)), draw(st.booleans())),
        PlugJoint(unit),
        SetRegulator(unit, draw(st.integers(1, 2)), draw(st.sampled_from(["first", "last"]))),
        HaltOff(),
        SetOption("it", place, draw(st.sampled_from(["fpp", "mmu", "eis"])), draw(st.booleans())),
    ]
    for setting, value in (("address", "776510"), ("vector", "310"), ("start", "100000"), ("baud", "300"),
                           ("console", "no"), ("wiring", "eia"), ("kb", "64")):  # fmt: skip
        made.append(SetSetting("it", place, setting, value))
    for number in range(len(loadout.cables)):
        made += [SetCable(number, "it", "baud", "300"), SetCable(number, "it", "from", place)]
    for number in range(len(loadout.accept)):
        made += [SetAcceptance(number, "r", "p"), SetAcceptance(number, "r", "p", "at", place)]
    return draw(st.sampled_from(made))


def applied(edit: Edit, data: bytes) -> bytes:
    text = data.decode()
    bom = text.startswith("\ufeff")
    sheet = Sheet(text.removeprefix("\ufeff"))
    return (("\ufeff" if bom else "") + sheet.with_(edit.splices(sheet)).text).encode()


@settings(max_examples=60)
@given(st.data(), st.sampled_from(list(product(BASES, STYLES))))
def test_reading_the_changed_text_gives_what_the_change_means(data: st.DataObject, base: tuple[Path, str]) -> None:
    path, style = base
    before = text_of(path, style)
    loadout = read(before, path)
    edit = data.draw(an_edit(loadout))
    try:
        after = applied(edit, before)
        changed = read(after, path)
    except (CannotEdit, InputError):
        assume(False)
    assert plain(changed) == plain(meaning(loadout, edit))


@settings(max_examples=60)
@given(st.data(), st.sampled_from(list(product(BASES, STYLES))))
def test_no_other_line_is_touched(data: st.DataObject, base: tuple[Path, str]) -> None:
    path, style = base
    before = text_of(path, style)
    loadout = read(before, path)
    edit = data.draw(an_edit(loadout))
    try:
        after = applied(edit, before)
        read(after, path)
    except (CannotEdit, InputError):
        assume(False)
    end = b"\n" if style == "no last end" else b""  # else the line before a new last one would count
    gone, come = lines_changed(before + end, after + end)
    assert after.startswith(BYTE_ORDER_MARK) == before.startswith(BYTE_ORDER_MARK)
    assert after.endswith(b"\n") == before.endswith(b"\n")
    assert all(line.endswith(b"\r\n") == (style == "crlf") for line in come[:-1])
    assert len(come) <= most_lines(edit, loadout)
    assert [line for line in gone if not any(word in line for word in touched(edit))] == []


def touched(edit: Edit) -> list[bytes]:
    """One of these words stands on every line that the change may take away."""
    match edit:
        case RemoveBoard():
            return ANY_LINE  # a whole entry goes: the named cases below look at its lines
        case MoveBoards():
            across = any(one.start.rsplit("/", 1)[0] != one.end.rsplit("/", 1)[0] for one in edit.boards)
            return (
                ANY_LINE if across else [place.split("/")[2].encode() for one in edit.moves().items() for place in one]
            )
        case SetSetting():
            return [edit.setting.encode(), b"board:", b"settings:"]
        case SetOption():
            return [b"options:", b"board:", edit.option.encode()]
        case SetWire():
            return [b"dma-grant"]
        case SetCable():
            return [edit.key.encode(), b"to:"]
        case SetAcceptance():
            return [b"accept:", b"rule"]
        case PutBoard():
            return []
    return [b"halt", b"joined-by", b"regulators"]


def most_lines(edit: Edit, loadout: Loadout) -> int:
    """So many lines may come: one, or for boards moved one for each and for each cable and acceptance."""
    if isinstance(edit, MoveBoards):
        across = any(one.start.rsplit("/", 1)[0] != one.end.rsplit("/", 1)[0] for one in edit.boards)
        return 40 if across else len(edit.boards) + len(loadout.cables) + len(loadout.accept)
    return 0 if isinstance(edit, RemoveBoard) else 1


# ---- named cases


def changed(text: str, *edits: Edit) -> str:
    sheet = Sheet(text)
    for edit in edits:
        sheet = sheet.with_(edit.splices(sheet))
    return sheet.text


HEAD = "loadout: 1\nname: X\nboxes:\n  - id: main\n    backplane: mux-twin-4-18bit\n    slots:\n"
MESSY = (
    HEAD
    + """\
      # the processor stands first
      1AB: {board: mid-cpu-dual}     # bought at the fair
      # the console,
      # checked twice
      "2CD":                         # one line
        board:   serial-line-single
        settings: {address: '777560',  vector: 60}      # as in the manual

        # still about the console

      4:
        board: boot-diagnostic-terminator-quad
cables:
  # the green one
  - {from: "main/a/2CD", to: terminal, baud: 9600}   # 3 m
  - from: main/a/4
    to: terminal
accept:
  - rule: CLOCK-001
    at: main/a/2CD
    because: "no clock: not needed"
"""
)


def test_a_move_keeps_quotes_columns_and_comments_and_takes_cables_and_acceptances_along() -> None:
    move = MoveBoards((Move("M7940", "main/a/2CD", "main/a/3AB"),))
    wanted = MESSY.replace('"2CD":  ', '"3AB":  ').replace('"main/a/2CD"', '"main/a/3AB"')
    assert changed(MESSY, move) == wanted.replace("at: main/a/2CD", "at: main/a/3AB")


def test_a_shorter_place_moves_no_comment() -> None:
    text = (
        HEAD + "      2CD: {board: grant-card}   # here\n      3:                         # there\n        board: x\n"
    )
    wanted = text.replace("2CD: {board: grant-card}   # here", "3D: {board: grant-card}    # here")
    assert changed(text, MoveBoards((Move("it", "main/a/2CD", "main/a/3D"),))) == wanted


def test_a_board_taken_out_takes_its_comments_cables_and_acceptances_along() -> None:
    wanted = (
        HEAD
        + """\
      # the processor stands first
      1AB: {board: mid-cpu-dual}     # bought at the fair

        # still about the console

      4:
        board: boot-diagnostic-terminator-quad
cables:
  - from: main/a/4
    to: terminal
"""
    )
    assert changed(MESSY, RemoveBoard("M7940", "main/a/2CD")) == wanted.replace(
        "cables:\n", "cables:\n  # the green one\n"
    )


def test_the_last_cable_goes_with_its_list() -> None:
    text = HEAD + "      2CD: {board: x}\n      4: {board: y}\ncables:\n  - {from: main/a/2CD, to: terminal}\n"
    assert changed(text, RemoveBoard("it", "main/a/2CD")) == HEAD + "      4: {board: y}\n"


def test_the_only_board_goes_with_its_slots() -> None:
    text = HEAD + "      2CD: {board: x}\nnotes: y\n"
    assert changed(text, RemoveBoard("it", "main/a/2CD")) == HEAD.replace("    slots:\n", "") + "notes: y\n"


def test_a_word_that_is_not_there_is_added_where_its_neighbours_stand() -> None:
    flow = HEAD + "      2CD: {board: x}   # one\n"
    assert changed(flow, SetSetting("it", "main/a/2CD", "vector", "60")) == flow.replace(
        "{board: x}", "{board: x, settings: {vector: 60}}"
    )
    block = HEAD + "      2CD:\n        board: x   # one\n        roms: {773000: rom-ours}\n"
    assert changed(block, SetSetting("it", "main/a/2CD", "vector", "60")) == block.replace(
        "# one\n", "# one\n        settings: {vector: 60}\n"
    )
    deep = HEAD + "      2CD:\n        board: x\n        settings:\n          start: 0   # low\n          # (end)\n"
    assert changed(deep, SetSetting("it", "main/a/2CD", "kb", "32")) == deep.replace(
        "# low\n", "# low\n          kb: 32\n"
    )


def test_a_card_goes_between_its_neighbours_below_the_comments_of_the_one_before() -> None:
    text = HEAD + "      1AB:\n        board: x\n          # of 1AB\n      # of 2AB\n      2AB: {board: y}\n"
    wanted = text.replace("# of 1AB\n", "# of 1AB\n      1CD: {board: grant-card}\n")
    assert changed(text, PutBoard("grant-card", "M9047", "main/a/1CD")) == wanted


def test_a_list_of_boards_between_braces_is_kept_so() -> None:
    flow = HEAD.replace("slots:\n", "slots: {1AB: {board: x}, 4: {board: y}}   # all\n")
    put = changed(flow, PutBoard("grant-card", "M9047", "main/a/2CD"))
    assert put == flow.replace("{board: x}, ", "{board: x}, 2CD: {board: grant-card}, ")
    assert changed(put, RemoveBoard("card", "main/a/2CD")) == flow


def test_a_board_goes_to_another_backplane_with_its_lines_and_their_indent() -> None:
    text = """\
loadout: 1
name: X
boxes:
  - id: main
    backplane: mux-dual-straight-4
    slots:
      1AB: {board: x}
      # for the printer
      2AB:
        board: y   # green handle
        settings:
          vector: 300
  - id: lower
    units:
      - id: b
        backplane: mux-dual-straight-4
        slots:
          1AB: {board: z}
"""
    moved = changed(text, MoveBoards((Move("it", "main/a/2AB", "lower/b/3AB"),)))
    assert (
        moved
        == """\
loadout: 1
name: X
boxes:
  - id: main
    backplane: mux-dual-straight-4
    slots:
      1AB: {board: x}
  - id: lower
    units:
      - id: b
        backplane: mux-dual-straight-4
        slots:
          1AB: {board: z}
          # for the printer
          3AB:
            board: y   # green handle
            settings:
              vector: 300
"""
    )


def test_a_wire_of_one_slot_is_written_beside_the_range_that_covers_it() -> None:
    text = HEAD.replace("    slots", "    wires: {dma-grant: {1-9: in}}   # as shipped\n    slots")
    assert changed(text, SetWire("main/a", 5, False)) == text.replace("{1-9: in}", "{1-9: in, 5: out}")
    assert changed(text, SetWire("main/a", 5, True)) == text


def test_what_cannot_be_edited_is_refused_not_guessed() -> None:
    text = HEAD + "      1AB: {board: x}\n"
    for edit in (HaltOff(), PlugJoint("main/a"), RemoveBoard("it", "main/a/2AB"), SetWire("low/a", 1, True)):
        with pytest.raises(CannotEdit):
            changed(text, edit)
