"""The bring-up pages: which board comes when, the dummy load, what the console must answer, and how it is asked."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from minisim.catalogue import Catalogue
from minisim.loadout.reader import read_loadout
from minisim.sheet.blocks import BLANK, Block, Items, Page, Table, Words
from minisim.sheet.bringup import bring_up_pages
from minisim.sheet.bringup.supply import limits
from minisim.wiring.resolve import resolve

from .machines import DEMO, MACHINES, TESTS, VALID, document, raw

BY_NAME = pytest.mark.parametrize("path", MACHINES, ids=lambda path: path.stem)
STATION = DEMO[0].parent
CATALOGUE = Path(__file__).parents[2] / "minisim" / "catalogue"

# Words after power-up. Receive status 0, transmit status with READY (bit 7): handbook-1969 p. 54. Line clock: the
# monitor bit (bit 7) is set at power-up: line-clock-manual. Reader: no DONE, no ERROR with a tape in, punch READY:
# handbook-1969 p. 56.
AFTER_POWER_UP = {
    "receive status": ("000000",),
    "transmit status": ("000200",),
    "clock status": ("000200", "000000"),  # boards whose register has no monitor bit: devices.md 1.5
    "reader status": ("000000",),
    "punch status": ("000200",),
}


def stages(path: Path) -> list[Page]:
    return [page for page in document(path).pages if page.id.startswith("stage-")]


def table(page: Page, name: str) -> Table | None:
    found = [block for block in page.blocks if isinstance(block, Table) and block.id == name]
    return found[0] if found else None


def tables(path: Path, start: str) -> list[Table]:
    blocks: list[Block] = [block for page in stages(path) for block in page.blocks]
    return [block for block in blocks if isinstance(block, Table) and block.id.startswith(start)]


def listed(page: Page) -> list[str]:
    return [item for block in page.blocks if isinstance(block, Items) for item in block.items]


def said(page: Page) -> str:
    return " ".join(block.text for block in page.blocks if isinstance(block, Words))


@BY_NAME
def test_there_is_a_page_for_each_stage_in_order(path: Path) -> None:
    pages = stages(path)
    assert [page.id for page in pages] == [f"stage-{number}" for number in range(len(pages))]
    assert all(page.starts_sheet for page in pages)
    assert all(f"of {len(pages) - 1}" in page.title for page in pages)


@BY_NAME
def test_every_board_is_put_in_once(path: Path) -> None:
    places = [row[0] for one in tables(path, "put-in-") for row in one.rows]
    assert sorted(places) == sorted(raw(path).places)


@BY_NAME
def test_resistors_follow_from_amperes_and_volts(path: Path) -> None:
    """R = U / I and P = U I, in exact decimals; what is shown is rounded to what anybody measures."""
    for one in tables(path, "dummy-"):
        for rail, amps, ohms, watts, buy in one.rows:
            volts = Decimal(re.sub(r"[^\d].*", "", rail.lstrip("+-")))
            current = Decimal(amps.removesuffix(" A"))
            for shown, exact in (
                (ohms.removesuffix(" ohm"), volts / current),
                (watts.removesuffix(" W"), volts * current),
                (buy.removesuffix(" W"), 2 * volts * current),
            ):
                assert abs(Decimal(shown) - exact) <= max(exact * Decimal("0.2"), Decimal("0.1")), (rail, shown, exact)


def test_the_limits_of_a_rail_are_five_per_cent() -> None:
    """4.75 to 5.25 V: printed in the data sheets of the 74 series; the others are common practice."""
    assert limits("+5") == limits("+5 standby") == ("4.75", "5.25")
    assert limits("+12") == ("11.4", "12.6")
    assert limits("-15") == ("-14.25", "-15.75")
    assert limits("+20") == ("19", "21")


@BY_NAME
def test_every_rail_has_blanks_for_what_is_measured(path: Path) -> None:
    for number, page in enumerate(stages(path)):
        for one in (block for block in page.blocks if isinstance(block, Table) and block.id.startswith("rails-")):
            assert one.rows, number
            assert all(row[-3:] == (BLANK,) * 3 for row in one.rows)


@BY_NAME
def test_expected_words_are_those_of_the_manuals(path: Path) -> None:
    seen = 0
    for one in tables(path, "answers-"):
        for address, what, expect, sure, blank in one.rows:
            assert re.fullmatch("[0-7]{6}|[0-7]{8}", address)
            assert blank == BLANK and sure
            register = what.partition(": ")[2]
            if register in AFTER_POWER_UP:
                assert expect in AFTER_POWER_UP[register], (address, what)
                seen += 1
    assert seen


def test_the_first_word_of_the_boot_rom_is_that_of_its_file() -> None:
    """Oracle: the bytes of the files, low byte first."""
    images = [(STATION / "media" / f"boot-{name}.rom").read_bytes() for name in ("reader", "blocktape")]
    first = [f"{image[0] | image[1] << 8:06o}" for image in images]
    found = [row for one in tables(STATION / "gauge.yaml", "answers-1") for row in one.rows if "boot ROM" in row[1]]
    assert [(row[0], row[2]) for row in found] == [("773000", first[0]), ("773200", first[1])]


@BY_NAME
def test_ends_of_memory_follow_from_start_and_size_in_the_file(path: Path) -> None:
    wanted = set()
    for board in raw(path).places.values():
        settings = board.get("settings") or {}
        if "start" in settings and "kb" in settings:
            start, size = int(settings["start"], 8), 1024 * int(settings["kb"])
            wanted.add(start)
            if start + size <= _io_page(path):
                wanted.add(start + size - 2)
    shown = {int(row[0], 8) for one in tables(path, "answers-") for row in one.rows if "of memory" in row[1]}
    assert wanted <= shown


def _io_page(path: Path) -> int:
    """Start of the I/O page by the digits of the addresses that are shown."""
    rows = [row for one in tables(path, "answers-") for row in one.rows]
    return 0o17760000 if any(row[0].startswith("1777") and len(row[0]) == 8 for row in rows) else 0o760000


@BY_NAME
def test_nobody_answers_behind_the_memory_unless_other_memory_is_there(path: Path) -> None:
    starts: set[int] = set()
    for page in stages(path)[1:]:
        put_in = table(page, f"put-in-{page.id.removeprefix('stage-')}")
        assert put_in is not None
        for row in put_in.rows:
            settings = raw(path).places[row[0]].get("settings") or {}
            if "start" in settings and "kb" in settings:
                starts.add(int(settings["start"], 8))
        answers = table(page, f"answers-{page.id.removeprefix('stage-')}")
        for row in answers.rows if answers else ():
            if row[1] == "first word behind the memory":
                assert row[2] == "no answer"
                assert int(row[0], 8) not in starts


@BY_NAME
def test_only_memory_is_written_to_and_the_transmit_data(path: Path) -> None:
    for page in stages(path):
        patterns = table(page, "patterns")
        for row in patterns.rows if patterns else ():
            assert int(row[0], 8) < 0o160000
            assert row[1] == row[2]


def test_the_three_words_are_those_of_the_handbook_and_end_where_they_must() -> None:
    """CLR R0 005000, INC R0 005200, HALT 000000 (handbook-1969): R0 is 1, the PC points behind the HALT."""
    page = stages(STATION / "desk.yaml")[1]
    program = table(page, "program")
    assert program is not None
    words = [(row[1], row[2]) for row in program.rows]
    assert words == [("005000", "CLR R0"), ("005200", "INC R0"), ("000000", "HALT")]
    assert [row[0] for row in program.rows] == ["001000", "001002", "001004"]
    assert "001006" in said(page) and "000001" in said(page)


@pytest.mark.parametrize(
    ("name", "wanted", "unwanted"),
    [
        ("desk", 'the prompt "@"', "load address"),  # terminal debugger: wiki-terminal-debugger
        ("gauge", "load address, examine", 'the prompt "@"'),  # panel: console-chapter-1969
        ("ledger", 'its prompt is ">>>"', 'the prompt "@"'),  # another console: console-manual-page
    ],
)
def test_each_processor_is_spoken_to_in_its_own_way(name: str, wanted: str, unwanted: str) -> None:
    page = stages(STATION / f"{name}.yaml")[1]
    assert wanted in said(page)
    assert unwanted not in said(page)


@BY_NAME
def test_stage_0_shows_the_supply_and_asks_for_no_board(path: Path) -> None:
    first = stages(path)[0]
    assert not [block for block in first.blocks if isinstance(block, Table) and block.id.startswith("put-in")]
    assert "second person" in said(first)
    assert [block.id for block in first.blocks if isinstance(block, Table) and block.id.startswith("rails-0-")] == [
        f"rails-0-{box}" for box in raw(path).boxes
    ]


@BY_NAME
def test_the_record_has_a_row_for_each_stage(path: Path) -> None:
    record = next(page for page in document(path).pages if page.id == "record")
    rows = table(record, "stage-record")
    assert rows is not None
    assert [row[0] for row in rows.rows] == [page.title for page in stages(path)]
    assert all(row[1:] == (BLANK,) * 4 for row in rows.rows)


@cache
def _entry(kind: str, name: str) -> Any:
    return yaml.load((CATALOGUE / kind / f"{name}.yaml").read_text(), yaml.CBaseLoader)


@BY_NAME
def test_a_least_load_of_the_catalogue_is_met_by_the_resistor(path: Path) -> None:
    """Oracle: the supply's file."""
    data = yaml.load(path.read_text(), yaml.CBaseLoader)
    for box in data["boxes"]:
        if not isinstance(box.get("supply"), str):
            continue
        least = _entry("supplies", box["supply"]).get("minimum", {})
        rows = [row for one in tables(path, f"dummy-{box['id']}") for row in one.rows]
        drawn = {row[0]: Decimal(row[1].removesuffix(" A")) for row in rows}
        for rail, figure in least.items():
            value = figure.get("value", "unknown")
            if value not in ("unknown", "none") and Decimal(value) > 0:
                assert drawn[rail] >= Decimal(value), (box["id"], rail)


@BY_NAME
def test_the_only_register_that_is_written_to_is_a_transmit_buffer(path: Path) -> None:
    """The address behind "write ... to" is base + 6 (devices.md 1.4); nothing else in the I/O page is written to."""
    for page in stages(path)[1:]:  # with the supply alone there is nothing to write to
        rows = [row for block in page.blocks if isinstance(block, Table) for row in block.rows]
        buffers = {int(row[0], 8) + 2 for row in rows if row[1].endswith("transmit status")}
        for item in listed(page):
            written = re.findall(r"write [0-7]+ to ([0-7]+)", item)
            assert {int(address, 8) for address in written} <= buffers, item
            if not written and not item.startswith("Memory of"):
                assert not re.search("[Ww]rit", item.replace("Write nothing there", "")), item


def test_how_a_processor_is_spoken_to_is_never_said_without_how_sure_that_is() -> None:
    """Profiles: seen for the second chip set, unconfirmed for its board on the separate-line bus, no document known."""
    by_name = {path.stem: said(stages(path)[1]) for path in VALID}
    assert "in this way: seen in print [wiki-terminal-debugger]" in by_name["two-board-disk"]
    assert "in this way: unconfirmed." in by_name["mapped-registry"]
    assert not [name for name, words in by_name.items() if "[]" in words]


def test_a_line_clock_that_no_register_quiets_is_switched_off_before_the_program() -> None:
    """The file of the first machine says `event-line: on`, that of the other `off` (devices.md 2)."""
    assert "Switch the line clock off first" in said(stages(STATION / "desk.yaml")[1])
    assert "Switch the line clock off first" not in said(stages(STATION / "chart.yaml")[1])


def test_the_line_of_the_console_itself_may_be_busy() -> None:
    """Loading the buffer clears READY: devices.md 1.4."""
    assert "bit 7 (000200) as 0" in said(stages(STATION / "desk.yaml")[1])
    assert "bit 7 (000200) as 0" not in said(stages(STATION / "gauge.yaml")[1])  # a panel asks past the line


def test_a_machine_that_has_no_model_says_why_words_are_missing() -> None:
    catalogue = Catalogue()
    loadout = read_loadout(TESTS / "rules" / "SLOT-011" / "bad-sep-no-processor.yaml", catalogue=catalogue)
    pages = bring_up_pages(loadout, resolve(loadout, catalogue), catalogue)
    assert "there is no processor" in said(pages[1])


def test_amperes_before_a_board_are_those_of_the_stage_before() -> None:
    """Of +5 V: 8 A before the floppy controller of 1.5 A (its file: seen in print), 9.5 A with it."""
    pages = stages(TESTS / "rules" / "valid" / "desk-with-floppies.yaml")
    loads = [(table(page, f"rails-{number}-main") or pytest.fail()).rows[0][2] for number, page in enumerate(pages)]
    drawn = Decimal(_entry("boards", "floppy-single-density")["amps"]["+5"]["value"])
    before, after = Decimal(loads[2].split(" A")[0]), Decimal(loads[3].split(" A")[0])
    assert after == before + drawn
    assert loads[3] == f"{after} A, before {before} A"


def test_memory_that_the_console_cannot_reach_is_not_written_to_from_it() -> None:
    """At 2000000 octal: beyond 18 bits, which end at 777777."""
    items = [item for page in stages(TESTS / "rules" / "valid" / "chart-room-cartridge.yaml") for item in listed(page)]
    beyond = [item for item in items if "from 02000000" in item]
    assert beyond
    assert all("18 bits" in item and "rite" not in item for item in beyond)


@BY_NAME
def test_the_record_has_every_rail_and_every_board(path: Path) -> None:
    record = next(page for page in document(path).pages if page.id == "record")
    boards = table(record, "record-boards")
    assert boards is not None
    assert sorted(row[0] for row in boards.rows) == sorted(raw(path).places)
    for box in raw(path).boxes:
        last, signed = (
            table(stages(path)[-1], f"rails-{len(stages(path)) - 1}-{box}"),
            table(record, f"record-rails-{box}"),
        )
        assert last is not None and signed is not None
        assert [row[:2] for row in signed.rows] == [row[:2] for row in last.rows]
        assert all(row[2:] == (BLANK,) * 4 for row in signed.rows)


def test_nobody_is_told_to_write_to_a_clock() -> None:
    """Named case: the test of a clock that comes later once asked for a 0 in its status register."""
    catalogue = Catalogue()
    loadout = read_loadout(TESTS / "rules" / "ADDR-001" / "bad-mux-clocks.yaml", catalogue=catalogue)
    pages = bring_up_pages(loadout, resolve(loadout, catalogue), catalogue)
    assert not [item for page in pages[1:] for item in listed(page) if "Clock of" in item and "written" in item]
