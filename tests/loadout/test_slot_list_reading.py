"""Slot lists as people type them: everything they say is understood, nothing is dropped, what is missing is asked."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from slot_list_helpers import read_mail, whole_understanding

from minisim.loadout.slot_list import Kind
from minisim.loadout.slot_list_text import report_data, report_text
from minisim.loadout.writer import write_loadout
from minisim.problems import InputError

MAILS = Path(__file__).parent / "data" / "mails"
FOUR_LINES = "1 M8186\n2 M8044\n3 empty\n4 M8043 console\n"


@pytest.mark.parametrize("path", sorted(MAILS.glob("*.txt")), ids=lambda path: path.stem)
def test_a_mail_is_understood_whole(path: Path) -> None:
    understood = read_mail(path.read_bytes())
    assert whole_understanding(understood) == path.with_suffix(".expected").read_text("utf-8")


def test_there_are_mails_in_many_styles() -> None:
    assert len(list(MAILS.glob("*.txt"))) >= 15


# ---- before the backplane is known


def test_the_gap_is_named_before_the_backplane_is_known() -> None:
    understood = read_mail(FOUR_LINES)
    assert next(one.topic for one in understood.questions if one.needed) == "backplane"
    (gap,) = understood.gaps
    assert gap.slots == (3,)
    assert gap.users == ("slot 4 M8043, four serial lines (interrupts)",)
    assert understood.verdict is not None
    shared = {(one.finding.rule, one.place) for one in understood.verdict.shared}
    assert ("GRANT-001", "main/a/4") in shared
    assert len(understood.verdict.backplanes) == len(understood.fitting["main/a"]) > 5
    assert understood.verdict.cut_off == ("main/a/4 M8043",)
    assert understood.built is None
    assert "In every backplane it could be (11):" in report_text(understood, 78)


def test_straight_and_serpentine_backplanes_are_among_those_it_could_be() -> None:
    fitting = read_mail(FOUR_LINES).fitting["main/a"]
    assert {"mux-dual-straight-4", "mux-twin-4-18bit", "mux-private-link-9-22bit"} <= set(fitting)
    assert not [name for name in fitting if name.startswith("sep-")]


def test_a_quad_board_rules_out_backplanes_of_dual_height() -> None:
    fitting = read_mail("1 M8186\n2 M8012\n").fitting["main/a"]
    assert fitting
    assert not [name for name in fitting if name.startswith("mux-dual")]


def test_slots_and_bits_in_words_narrow_the_choice() -> None:
    assert read_mail("nine-slot backplane, 22-bit backplane\n1 M8186\n").fitting["main/a"] == (
        "mux-private-link-9-22bit", "mux-twin-9-22bit"
    )  # fmt: skip


def test_what_differs_between_backplanes_is_told_apart() -> None:
    understood = read_mail("1AB M8186\n2AB M8044\n3AB M8043 console\n")
    assert understood.verdict is not None
    only = {one.finding.rule: set(one.only) for one in understood.verdict.others if one.place == "main/a/3"}
    assert "mux-twin-4-18bit" in only["GRANT-001"]  # 1CD and 2CD lie on the way of the snake
    assert "mux-dual-straight-4" not in only["GRANT-001"]
    assert not [one for one in understood.verdict.shared if one.finding.rule == "GRANT-001"]


# ---- two stories of the people who ask


STORY = """processor and memory of the desk:
1 M7264
2 M7944
3 M7944
4 M7946 floppy
5 M8013 cartridge disk, first board
6 M8014 second board
7 empty
8 empty
9 M9400-YA terminator with boot
"""


def test_story_one_no_console_gaps_before_the_terminator_and_memory_in_words() -> None:
    text = report_text(read_mail(STORY), 1000)
    assert "Put one right behind the memory: into slot 4" in text
    assert "the first empty slot is 7" in text
    assert "CONSOLE-002" in text
    assert "slots 7-8 are empty. These boards behind them need the grants: slot 9 M9400-YA" in text
    assert "slot 9 M9400-YA, boot ROM, memory refresh and 120-ohm terminator (does DMA)" in text
    assert "Memory in all: 12 K words (24 KB)." in text


def test_story_two_a_board_taken_out_of_slot_six_and_everything_behind_it_by_name() -> None:
    boards = ["M8186", "M8044", "M8043 776500/300", "M8029", "M8027", "empty, was M8049", "M7950", "M8061", "M8012"]
    lines = [f"{slot} {board}" for slot, board in enumerate(boards, 1)]
    understood = read_mail("\n".join(["Backplane H9275", *lines]))
    (gap,) = understood.gaps
    assert gap.slots == (6,)
    assert gap.users == (
        "slot 7 M7950, sixteen-bit parallel interface with DMA (interrupts and does DMA)",
        "slot 8 M8061, cartridge disk controller (5 or 10 MB) on one quad board (interrupts and does DMA)",
    )


def test_unknown_boards_may_be_what_is_called_missing() -> None:
    understood = read_mail("Backplane H9281-A\n1 M8186\n2 Q5512\n3 terminator\n")
    assert understood.advice == ("What is called missing here may be on boards that are not known (lines 3-4).",)
    choices = [dict(one.choices) for one in understood.questions if one.lines == (4,)]
    assert "M9400-YB" in choices[0]


# ---- answers, and the loadout


def test_answers_complete_the_loadout() -> None:
    understood = read_mail("1AB M8186\n1CD M8044 32 KB start 0\n", backplane="mux-twin-4-18bit", supply="unknown")
    assert understood.complete
    assert understood.built is not None
    written = write_loadout(understood.built.loadout)
    assert "state: as-found" in written
    assert "1CD: {board: mos-memory-dual, settings: {kb: 32, start: 0}}" in written or "start: 0, kb: 32" in written


def test_an_unknown_board_is_described_with_what_is_known() -> None:
    text = "Backplane H9281-A\nSupply unknown\n1 M8186\n2 Q5512 dual, interrupts, no DMA, 1.5 A from +5\n"
    understood = read_mail(text)
    assert understood.built is not None
    written = write_loadout(understood.built.loadout)
    assert 'describe: {height: dual, interrupts: yes, dma: no, amps: {"+5": 1.5}}' in written
    assert "number Q5512" in understood.built.loadout.notes
    (question,) = [one for one in understood.questions if one.needed]
    assert "does it pass the grants" in question.text.lower()


def test_modifications_are_listed_first_to_last() -> None:
    understood = read_mail("Modified: new fan\nBackplane H9281-A\n1 M8186 modified: jumper W1 out\n")
    assert understood.built is not None
    assert understood.built.loadout.modifications == ("new fan", "main/a/1: jumper W1 out")
    assert "As found, with 2 modifications:" in report_text(understood, 78)


def test_two_boards_in_one_place_are_asked_about() -> None:
    understood = read_mail("Backplane H9281-A\nSupply unknown\n1 M8186\n2 M8044\n2 M8043\n")
    (question,) = [one for one in understood.questions if one.topic == "place"]
    assert "M8043 has no place" in question.text
    assert question.lines == (5,)


def test_two_dual_boards_of_one_slot_stand_side_by_side() -> None:
    understood = read_mail("Backplane H9270-A\n1 M8186\n2 M8044\n2 M8043\n")
    assert understood.built is not None
    assert [placed.place for placed in understood.built.loadout.boxes[0].units[0].placed] == ["1AB", "2AB", "2CD"]


def test_left_and_right_are_asked_about_because_nobody_said_from_which_side() -> None:
    understood = read_mail("Backplane H9270-A\n1AB M8186\n2 left M8044\n")
    (question,) = [one for one in understood.questions if one.topic == "rows"]
    assert 'The catalogue does not say which rows are "left".' in question.text


def test_half_a_set_is_asked_about() -> None:
    understood = read_mail("Backplane H9273\n1 M8186\n2 M8013\n3 M8044\n")
    (question,) = [one for one in understood.questions if one.topic == "board"]
    assert "a set of 2 boards (M8013/M8014)" in question.text


def test_a_board_named_in_a_remark_is_asked_about() -> None:
    understood = read_mail("1 M8186\n2 M8044 replaces the old M8045\n")
    (question,) = [one for one in understood.questions if one.topic == "line"]
    assert question.text == "Line 2: the remark names M8045. Does it stand somewhere?"
    assert not question.needed


@pytest.mark.parametrize(
    "words", ["1: M8186, 2: M8044", "1=M8186 2=M8044", "1 - M8186, 2 - M8044", "slot 1: M8186; slot 2: M8044"]
)
def test_several_places_on_one_line(words: str) -> None:
    entries = [one for reading in read_mail(words).list.readings for one in reading.entries]
    assert [(one.slots, one.board) for one in entries] == [((1,), "mid-cpu-dual"), ((2,), "mos-memory-dual")]


# ---- places in every usual way


@pytest.mark.parametrize(
    "words",
    ["2AB M8044", "2 A-B M8044", "2 AB: M8044", "slot 2 rows A,B M8044", "Slot 2, rows A and B: M8044", "2 (A-B) M8044",
     "#2 AB M8044", "2ab M8044", "AB2 M8044", "A2-B2 M8044", "Slot no. 2 A/B - M8044", "02AB M8044",
     "M8044 in slot 2 AB", "* 2AB: M8044", "> 2AB\tM8044", "2 row A-B = M8044", "2A,2B M8044", "2A-B M8044",
     "2-A-B M8044", "Slot2AB M8044", "second slot, AB: M8044", "slot two AB M8044", "Slot A2-B2: M8044",
     "In slot 2 AB: M8044", "pos 2AB M8044", "2 A+B M8044", "[2AB] M8044"],
)  # fmt: skip
def test_a_place_is_read_however_it_is_written(words: str) -> None:
    (entry,) = [one for reading in read_mail(words).list.readings for one in reading.entries]
    assert (entry.slots, entry.rows, entry.board) == ((2,), "AB", "mos-memory-dual")


@pytest.mark.parametrize(
    "words",
    ["5-7 empty", "slots 5 to 7: empty", "5, 6, 7 --", "5..7 vacant", "5 - 7 nothing", "slots 5 thru 7 are empty",
     "5/6/7 free", "5 & 6 & 7 no board", "5\u20137 \u2014", "5\u00a0-\u00a07 empty"],
)  # fmt: skip
def test_a_range_of_empty_slots_is_read_however_it_is_written(words: str) -> None:
    (entry,) = [one for reading in read_mail(f"1 M8186\n{words}").list.readings[1:] for one in reading.entries]
    assert (entry.slots, entry.empty) == ((5, 6, 7), True)


@pytest.mark.parametrize(
    "words", ["18 bit machine", "2 x M8044", "12V is low", "1.5 A from +5", "4 slot box", "3 years old", "9600 baud"]
)
def test_a_number_that_is_no_slot_places_no_board(words: str) -> None:
    understood = read_mail(f"1 M8186\n\n{words}\n")
    assert [entry.slots for unit in understood.list.units for entry in unit.entries] == [(1,)]


@pytest.mark.parametrize(
    ("words", "settings_"),
    [
        ("M7940 console, 9600 baud", {"console": "yes", "baud": "9600"}),
        ("M7940 not console, CSR 776500 vector 300", {"console": "no", "address": "776500", "vector": "300"}),
        ("M7940 @776500/300 20 mA", {"address": "776500", "vector": "300", "wiring": "current-loop"}),
        ("M8044 32K words start 0", {"kb": "64", "start": "0"}),
        ("M8044 64 KB from 0", {"kb": "64", "start": "0"}),
        ("M8044 16KW, starting at 100000", {"kb": "32", "start": "100000"}),
        ("M8044 000000-077777", {"kb": "32", "start": "0"}),
        ("M8044 8192. words", {}),
        ("M8186 power-up mode 1, event-line off", {"power-up": "1", "event-line": "off"}),
        ("M8059 128K words", {"kb": "256"}),
    ],
)
def test_facts_are_taken_from_the_remark(words: str, settings_: dict[str, str]) -> None:
    (entry,) = read_mail(f"2AB {words}").list.units[0].entries
    assert {name: text for name, (text, _) in entry.settings.items()} == settings_


def test_a_size_that_may_be_words_or_bytes_is_asked_about() -> None:
    understood = read_mail("1 M8186\n2 M8044 32K\n")
    assert [one.text for one in understood.questions if "32K" in one.text] == [
        "Line 2, M8044: is 32K meant in words or in bytes, and at which address does its memory start?"
    ]


def test_a_fact_that_can_not_be_is_not_taken_and_said() -> None:
    understood = read_mail("1 M8186\n2 M7940 vector 888, baud 12345\n")
    said = " ".join(understood.list.readings[1].said)
    assert "not taken: vector 888: 8 is not an octal digit" in said
    assert "not taken: baud 12345" in said
    assert "vector 888" in understood.list.units[0].entries[1].remark


# ---- robustness


def test_carriage_returns_marks_and_other_encodings() -> None:
    for data in (
        FOUR_LINES.replace("\n", "\r\n").encode(), b"\xef\xbb\xbf" + FOUR_LINES.encode(), FOUR_LINES.encode("utf-16"),
        FOUR_LINES.replace("\n", "\r").encode(), "3 \u2013 Gr\u00f6\u00dfe\n".encode("cp1252") + FOUR_LINES.encode(),
    ):  # fmt: skip
        boards = [one.board for unit in read_mail(data).list.units for one in unit.entries if one.board]
        assert boards == ["mid-cpu-dual", "mos-memory-dual", "serial-lines-four"]


@pytest.mark.parametrize("data", [b"x" * 300_000, b"1 M8186\n" * 3000, b"\x00" * 500])
def test_what_is_no_slot_list_is_refused(data: bytes) -> None:
    with pytest.raises(InputError):
        read_mail(data)


WORDS = ["1", "2AB", "slot", "3", "-", "M8186", "M8044", "empty", "5-7", "Box", "2:", "rows", "A", "backplane", "H9270",
         "console", "CSR", "777560", "modified:", ">", "|", ";", "\t", "  ", "\n", "\n", "G727", "grant card", "32K",
         "(", "lower", ":", "Notes:", "Supply:", "left", "M8013", "-- ", "Joined by:", "DMA-grant wires:", "3 in",
         "\u2013", "Slot  A-B  C-D", "rest empty", "item", "99-1", "0", "M9400", "start", "vector 888"]  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(st.lists(st.sampled_from(WORDS), max_size=40).map(" ".join) | st.text(max_size=200))
def test_any_text_is_understood_line_by_line_and_no_line_is_lost(text: str) -> None:
    try:
        understood = read_mail(text.encode("utf-8", "replace"))
    except InputError:
        return
    assert report_text(understood, 78)
    data = report_data(understood, "")
    read = [one["number"] for one in data["lines"]]
    assert read == sorted(set(read))
    for reading in understood.list.readings:
        assert reading.kind in Kind
        if reading.kind is Kind.UNKNOWN:
            assert reading.said
    shown = {one.line.number for one in understood.list.readings}
    for number, line in enumerate(text.replace("\r\n", "\n").replace("\r", "\n").split("\n"), 1):
        if line.strip(" \t>").strip():
            assert number in shown or not line.isprintable()


@settings(max_examples=40, deadline=None)
@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    try:
        report_text(read_mail(data), 78)
    except InputError as error:
        assert error.problems
