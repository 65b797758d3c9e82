"""A loadout written as a slot list for a mail: 72 plain columns, gaps and settings shown, and read back the same."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from slot_list_helpers import CATALOGUE, held_by_text, read_mail

from minisim.catalogue.model import BackplaneEntry, BoardEntry
from minisim.findings import Mark
from minisim.known import Known
from minisim.loadout.fields import IO_PAGE_TOP
from minisim.loadout.model import Box, Described, Joint, Loadout, Placed, RomFitted, Setting, Switches, Unit
from minisim.loadout.places import PlaceText, rows_of
from minisim.loadout.reader import read_loadout
from minisim.loadout.settings import setting_field
from minisim.loadout.slot_list_writing import slot_list_text

ROOT = Path(__file__).parents[2]
MARK = Mark("x.yaml", 1, 1)
STATION = sorted((ROOT / "loadouts" / "kittiwake").glob("*.yaml"))


def test_every_line_has_72_plain_columns_at_most() -> None:
    for path in STATION:
        text = slot_list_text(read_loadout(path, catalogue=CATALOGUE), CATALOGUE)
        assert text.isascii()
        assert max(map(len, text.splitlines())) <= 72


@pytest.mark.parametrize("path", STATION, ids=lambda path: path.stem)
def test_the_machines_of_the_station_read_back_the_same(path: Path) -> None:
    loadout = read_loadout(path, catalogue=CATALOGUE)
    understood = read_mail(slot_list_text(loadout, CATALOGUE))
    assert understood.built is not None
    assert held_by_text(understood.built.loadout) == held_by_text(loadout)
    assert understood.complete
    assert not understood.list.not_understood


def test_gaps_dead_boards_and_what_is_left_out_are_shown() -> None:
    understood = read_mail("Backplane H9270-A\nSupply H780\n1 M8186\n2AB M8044\n4AB M8043 console\n")
    assert understood.built is not None
    lines = slot_list_text(understood.built.loadout, CATALOGUE).splitlines()
    assert "1CD     -           empty                     gap: no grant passes" in lines
    assert "3       -           empty                     gap: no grant passes" in lines
    assert "Grants: pass 1AB 1CD 2CD 2AB 3AB 3CD 4CD 4AB" in lines
    dead = next(number for number, line in enumerate(lines) if line.startswith("4AB"))
    assert "[no grant arrives]" in lines[dead + 1]
    desk = slot_list_text(read_loadout(STATION[1], catalogue=CATALOGUE), CATALOGUE)
    assert "Not in this text: 1 cable, the image of the ROM in 4" in desk


def test_modifications_are_always_shown() -> None:
    understood = read_mail("Backplane H9281-A\n1 M8186 modified: wire from pin 3 to pin 4\n")
    assert understood.built is not None
    assert "Modified: main/a/1: wire from pin 3 to pin 4" in slot_list_text(understood.built.loadout, CATALOGUE)


def test_every_board_of_the_catalogue_is_written_so_that_it_is_known_again() -> None:
    for name in CATALOGUE.ids("boards"):
        board = CATALOGUE.board(name)
        backplane = next(one for one in _backplanes() if one.bus == board.bus and len(one.slots) >= 9)
        loadout = _loadout([_box("main", [_unit("a", backplane, [_placed(board, 1, backplane, board.rows or "")])])])
        understood = read_mail(slot_list_text(loadout, CATALOGUE))
        assert understood.built is not None, name
        assert held_by_text(understood.built.loadout) == held_by_text(loadout), name


# ---- random loadouts


def _backplanes() -> list[BackplaneEntry]:
    entries = [CATALOGUE.backplane(name) for name in CATALOGUE.ids("backplanes")]
    return [one for one in entries if one.slots]


def _loadout(boxes: list[Box], **more: Any) -> Loadout:
    facts: dict[str, Any] = {
        "name": "Tide store", "state": "planned", "cables": (), "switches": Switches(None, False, MARK), "accept": (),
        "modifications": (), "notes": "", "file": "x.yaml", "path": Path("x.yaml"), "sha256": "", "mark": MARK,
    }  # fmt: skip
    return Loadout(boxes=tuple(boxes), **{**facts, **more})


def _box(name: str, units: list[Unit], supply: str | None = None) -> Box:
    return Box(name, supply, None, tuple(units), MARK, MARK)


def _unit(name: str, backplane: BackplaneEntry, placed: list[Placed], joint: Joint | None = None) -> Unit:
    return Unit(name, backplane.id, {}, joint, tuple(placed), MARK, MARK)


def _placed(board: BoardEntry | Described, slot: int, backplane: BackplaneEntry, rows: str, **more: Any) -> Placed:
    count = board.boards.peek if isinstance(board, BoardEntry) and isinstance(board.boards, Known) else 1
    slots = tuple(range(slot, slot + count))
    rows = "" if set(rows_of(backplane, slot)) <= set(rows) else rows
    facts: dict[str, Any] = {"item": "", "options": (), "settings": {}, "roms": ()}
    kind = board.id if isinstance(board, BoardEntry) else board
    return Placed(str(PlaceText(slots, rows)), slots, rows, kind, mark=MARK, **{**facts, **more})


@st.composite
def settings_of(draw: st.DrawFn, board: BoardEntry) -> dict[str, Setting]:
    """Some settings of a board, with values its fields can read."""
    made: dict[str, Setting] = {}
    for name, entry in board.settings.items():
        if not draw(st.booleans()):
            continue
        if entry.kind == "list":
            text = draw(st.sampled_from(entry.values))
        elif entry.kind == "range":
            text = str(draw(st.integers(int(entry.values[0]), int(entry.values[1]))))
        else:
            numbers = {"address": st.integers(0, IO_PAGE_TOP // 2).map(lambda word: f"{0o760000 + 2 * word:o}"),
                       "vector": st.integers(0, 0o177).map(lambda number: f"{number * 4:o}"),
                       "start": st.integers(0, 0o17777).map(lambda number: f"{number * 8:o}"),
                       "baud": st.integers(50, 38400).map(str), "power-up": st.integers(0, 7).map(str)}  # fmt: skip
            text = draw(numbers.get(name, st.sampled_from(["abc", "on", "x-1", "27"])))
        made[name] = Setting(name, text, setting_field(board, name).read(text), MARK)
    return made


@st.composite
def described_boards(draw: st.DrawFn) -> Described:
    """A board nobody knows."""
    maybe = st.none() | st.booleans()
    registers = draw(st.none() | st.integers(0, IO_PAGE_TOP // 2).map(lambda word: word * 2))
    vector = draw(st.none() | st.integers(0, 0o177).map(lambda number: number * 4))
    loads = st.none() | st.decimals(0, 20, places=1).map(lambda value: Decimal(str(value)))
    rails = st.dictionaries(st.sampled_from(["+5", "+12", "-12", "+15"]), st.decimals(0, 30, places=2), max_size=3)
    return Described(
        draw(st.sampled_from([None, "dual", "quad"])), draw(maybe), draw(maybe), draw(maybe), draw(rails), draw(loads),
        draw(loads), registers, draw(st.integers(1, 4096)) if registers is not None else 0, vector,
        draw(st.integers(1, 64)) if vector is not None else 0, draw(st.none() | st.integers(4, 7)), MARK,
    )  # fmt: skip


def _half(board: BoardEntry, backplane: BackplaneEntry, draw: st.DrawFn) -> str:
    rows = board.rows or ""
    return (
        draw(st.sampled_from(["AB", "CD"]))
        if rows == "AB" and backplane.bus == "mux" and backplane.rows != "AB"
        else rows
    )


@st.composite
def placed_boards(draw: st.DrawFn, backplane: BackplaneEntry) -> list[Placed]:
    """Boards in different slots of a backplane; sets take as many as they need."""
    boards = [board for name in CATALOGUE.ids("boards") if (board := CATALOGUE.board(name)).bus == backplane.bus]
    boards = [one for one in boards if isinstance(one.boards, Known) and set(one.rows or "") <= set(backplane.rows)]
    made: list[Placed] = []
    slot = min(backplane.slots)
    while slot <= max(backplane.slots):
        what = draw(st.sampled_from(["empty", "board", "board", "described"]))
        if what == "described":
            thing = draw(described_boards())
            rows = {"dual": "AB", "quad": "ABCD" if backplane.bus == "mux" else "CDEF"}.get(thing.height or "", "")
            if set(rows) <= set(rows_of(backplane, slot)):
                made.append(_placed(thing, slot, backplane, rows, item=draw(ITEMS)))
        elif what == "board":
            board = draw(st.sampled_from(boards))
            placed = _placed(
                board, slot, backplane, _half(board, backplane, draw), item=draw(ITEMS),
                options=draw(options_of(board)), settings=draw(settings_of(board)), roms=draw(roms_of(board)),
            )  # fmt: skip
            there = all(
                one in backplane.slots and set(placed.rows) <= set(rows_of(backplane, one)) for one in placed.slots
            )
            if there:
                made.append(placed)
                slot = placed.slots[-1]
        slot += 1
    return made


ITEMS = st.sampled_from(["", "", "K-017", "box3.7"])


def options_of(board: BoardEntry) -> st.SearchStrategy[tuple[str, ...]]:
    """Options the board can have."""
    names = [name for name, how in board.processor.options.items() if how != "never"] if board.processor else []
    return st.lists(st.sampled_from(names), unique=True).map(tuple) if names else st.just(())


def roms_of(board: BoardEntry) -> st.SearchStrategy[tuple[RomFitted, ...]]:
    """A ROM in one of the board's places."""
    places = sorted({*board.rom.windows, *(at for at, _ in board.rom.sockets)}) if board.rom else []
    roms = st.sampled_from(CATALOGUE.ids("roms"))
    one = st.builds(lambda at, rom: (RomFitted(at, rom, None, None, MARK),), st.sampled_from(places or [0]), roms)
    return st.just(()) | one if places else st.just(())


PLAIN = st.text(st.characters(min_codepoint=0x20, max_codepoint=0x7E, exclude_characters="*_`>|;"), max_size=90).map(
    lambda text: " ".join(text.split())
)


@st.composite
def loadouts(draw: st.DrawFn) -> Loadout:
    """One or two boxes with one or two backplanes of one bus."""
    bus = draw(st.sampled_from(["mux", "sep"]))
    backplanes = st.sampled_from([one for one in _backplanes() if one.bus == bus])
    boxes = []
    for box in draw(st.sampled_from([["main"], ["main", "lower"], ["2"]])):
        units = []
        for name in draw(st.sampled_from([["a"], ["a", "b"], ["upper", "lower"]])):
            backplane = draw(backplanes)
            joint = Joint(
                "mux-extension-cable-22bit", draw(st.none() | st.just(Decimal("1.2"))), draw(st.booleans()), MARK
            )
            units.append(_unit(name, backplane, draw(placed_boards(backplane)), joint if units or boxes else None))
        supply = draw(st.none() | st.sampled_from([one for one in CATALOGUE.ids("supplies") if one.startswith(bus)]))
        boxes.append(_box(box, units, supply))
    return _loadout(
        boxes, name=draw(PLAIN.filter(bool)), state=draw(st.sampled_from(["planned", "as-found"])), notes=draw(PLAIN),
        modifications=tuple(draw(st.lists(PLAIN.filter(bool), max_size=3))),
        switches=Switches(draw(st.none() | st.integers(0, 0o177777)), draw(st.booleans()), MARK),
    )  # fmt: skip


@settings(max_examples=25, deadline=None)
@given(loadouts())
def test_any_loadout_reads_back_the_same_up_to_what_text_can_not_hold(loadout: Loadout) -> None:
    text = slot_list_text(loadout, CATALOGUE)
    assert text.isascii()
    assert max(map(len, text.splitlines())) <= 72
    understood = read_mail(text)
    if not any(unit.placed for box in loadout.boxes for unit in box.units):
        return
    assert not understood.list.not_understood, text
    assert understood.built is not None, text
    assert held_by_text(understood.built.loadout) == held_by_text(loadout), text
