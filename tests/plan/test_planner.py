"""Plans: complete machines that pass the check, nothing used twice, the best division, and what is missing."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from minisim.plan.missing import gap_of
from minisim.plan.pile import Thing
from minisim.plan.planner import Plan, plan
from minisim.plan.report import report_of
from minisim.plan.text import lines
from minisim.plan.wishes import Like, Wish
from minisim.problems import InputError
from minisim.stock.model import Condition, Stock

from .workshop import CATALOGUE, DESK, MARK, READER, problems, row, stock, wired, wish, wishes


def made(given: Stock, *wanted: Wish) -> Plan:
    """A plan without anything wrong with it."""
    found = plan(given, wishes(*wanted), CATALOGUE)
    assert problems(found, given) == []
    return found


def test_the_desktop_machine_comes_out_of_its_own_pieces() -> None:
    found = made(stock(DESK), wish(bus="mux", memory_kb=32, slots=4))
    (machine,) = found.machines
    assert machine.report.worst is None and found.choice.proven and not found.cuts
    assert set(found.left.values()) == {0}
    assert wired(machine).boards[0].entry.id == "mid-cpu-dual"


@pytest.mark.parametrize("missing", [thing for thing in DESK if thing[0] == "boards"])
def test_without_one_board_exactly_that_board_or_one_like_it_is_missing(missing: tuple[str, str]) -> None:
    given = stock({thing: count for thing, count in DESK.items() if thing != missing})
    wanted = wish(bus="mux", memory_kb=32, slots=4)
    found = made(given, wanted)
    assert found.machines == () and found.open == (wanted,)
    gap = gap_of(wanted, found.left, found.offer, CATALOGUE, found.folder)
    assert gap.proven and sum(one.count for one in gap.to_find) == 1
    named = {one.thing.entry for one in gap.to_find} | {other.entry for one in gap.to_find for other in one.instead}
    for name in named:  # each of them really completes it
        completed = stock({**{thing: count for thing, count in DESK.items() if thing != missing}, ("boards", name): 1})
        assert made(completed, wanted).open == (), name


def test_a_wish_of_higher_priority_gets_the_only_processor() -> None:
    both = {**DESK, ("backplanes", "mux-twin-4-18bit"): 2, ("supplies", "mux-four-slot-box"): 2,
            ("boards", "mos-memory-dual"): 2, ("boards", "serial-line-single"): 2,
            ("boards", "boot-diagnostic-terminator-quad"): 2}  # fmt: skip
    found = made(stock(both), wish("second", 2, memory_kb=32), wish("first", 1, memory_kb=32))
    assert [one.selection.wish.id for one in found.machines] == ["first"]
    assert [one.id for one in found.open] == ["second"]


def test_what_is_faulty_or_incomplete_stays_out() -> None:
    rows = [row(number, *thing) for number, thing in enumerate(DESK, 1)]
    for condition in (Condition.FAULTY, Condition.INCOMPLETE):
        bad = row(3, "boards", "mid-cpu-dual", 1, condition)
        spoiled = tuple(bad if one.marking == bad.marking else one for one in rows)
        assert made(Stock("s", "", spoiled), wish(memory_kb=32)).machines == ()


def test_pieces_that_work_are_taken_before_untested_ones() -> None:
    rows = [row(number, *thing) for number, thing in enumerate(DESK, 1)]
    better = row(99, "boards", "serial-line-single-programmable-speed", 1, Condition.WORKS)
    found = made(Stock("s", "", (*rows, better)), wish(memory_kb=32))
    assert Thing("boards", "serial-line-single-programmable-speed") in found.machines[0].selection.things


def test_preferences_count_where_they_cost_no_machine() -> None:
    liked = Like("memory-kb", 128, 1, MARK)
    more = {**DESK, ("boards", "mos-memory-dual"): 2}
    (machine,) = made(stock(more), wish(memory_kb=32, likes=(liked,))).machines
    assert machine.selection.likes == (liked,)
    both = {thing: 2 * count for thing, count in DESK.items()}
    found = made(stock(both), wish("one", memory_kb=32, likes=(liked,)), wish("two", memory_kb=32))
    assert len(found.machines) == 2 and found.machines[0].selection.likes == ()


def test_a_set_counts_only_with_all_its_boards() -> None:
    """Its two boards are listed one by one, by the numbers on their handles."""
    rows = [row(number, *thing) for number, thing in enumerate(DESK, 1)]
    marks = enumerate(("M8013", "M8014", "M8013"), 50)
    halves = [replace(row(number, "boards", "cartridge-disk-two-board"), marking=mark) for number, mark in marks]
    first = plan(Stock("s", "", (*rows, halves[0])), wishes(wish(memory_kb=32)), CATALOGUE)
    assert first.pile.count("boards", "cartridge-disk-two-board") == 0
    with_halves = plan(Stock("s", "", (*rows, *halves)), wishes(wish(memory_kb=32)), CATALOGUE)
    assert with_halves.pile.count("boards", "cartridge-disk-two-board") == 1
    assert with_halves.pile.sets[Thing("boards", "cartridge-disk-two-board")] == {"M8013": 2, "M8014": 1}


def test_a_wish_that_nothing_can_meet_says_which_need_forbids_it() -> None:
    wanted = wish(bus="mux", memory_kb=32, options=("cis",))
    found = made(stock(DESK), wanted)
    gap = gap_of(wanted, found.left, found.offer, CATALOGUE, found.folder)
    assert gap.to_find == () and "options" in gap.forbidden_by  # no processor of that bus takes it
    assert "memory-kb" not in gap.forbidden_by


def test_the_tide_gauge_logger_is_planned_on_the_separate_line_bus() -> None:
    pieces = {
        ("backplanes", "sep-two-board-mmu-processor-unit"): 1, ("supplies", "sep-large-box"): 1,
        ("boards", "sep-cpu-two-boards-mmu-later"): 1, ("boards", "sep-boot-terminator"): 1,
        ("boards", "sep-serial-line-and-clock"): 1, ("boards", "mos-memory-hex-modified"): 1,
        ("boards", "sep-paper-tape"): 1, ("boards", "sep-grant-card-interrupts"): 4,
        ("boards", "sep-turnaround-terminator"): 1, ("drives", "paper-tape-reader-punch"): 1,
        ("cables", "paper-tape-cable"): 1,
    }  # fmt: skip
    (machine,) = made(stock(pieces), wish(bus="sep", memory_kb=64, boot=READER)).machines
    assert machine.report.worst is None
    without = {**pieces, ("boards", "sep-grant-card-interrupts"): 3}  # one empty place would stay open
    assert made(stock(without), wish(bus="sep", memory_kb=64, boot=READER)).machines == ()


def test_two_boxes_are_joined_and_pass_the_check() -> None:
    pieces = {**DESK, ("backplanes", "mux-twin-4-18bit"): 2, ("supplies", "mux-four-slot-box"): 2,
              ("cables", "mux-extension-cable-first"): 1}  # fmt: skip
    wanted = wish(bus="mux", memory_kb=32, boxes=2, joined_by="mux-extension-cable-first")
    (machine,) = made(stock(pieces), wanted).machines
    assert len(machine.loadout.boxes) == 2 and wired(machine).units[1].joined


def test_two_runs_give_the_same_text() -> None:
    given = stock({thing: 2 * count for thing, count in DESK.items()})
    wanted = (wish("one", memory_kb=32), wish("two", memory_kb=64))
    texts = [
        "\n".join(lines(report_of(plan(given, wishes(*wanted), CATALOGUE), CATALOGUE), CATALOGUE)) for _ in range(2)
    ]
    assert texts[0] == texts[1] and "2 of 2 machines complete; proven" in texts[0]


BOARDS = [name for name in CATALOGUE.ids("boards") if CATALOGUE.board(name).bus == "mux"]
FRAMES = [
    ("backplanes", "mux-twin-4-18bit"),
    ("supplies", "mux-four-slot-box"),
    ("backplanes", "mux-private-link-9-22bit"),
    ("supplies", "mux-nine-slot-box-22bit"),
]


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.dictionaries(st.sampled_from(BOARDS), st.integers(0, 3), max_size=12),
    st.lists(st.sampled_from([16, 32, 64, 256]), min_size=1, max_size=3),
    st.sets(st.sampled_from([thing for thing in DESK if thing[0] == "boards"]), max_size=1),
)
def test_any_stock_gives_machines_that_pass(
    more: dict[str, int], memories: list[int], without: set[tuple[str, str]]
) -> None:
    pieces = {thing: count for thing, count in DESK.items() if thing not in without}
    pieces |= dict.fromkeys(FRAMES, 1)
    for name, count in more.items():
        pieces["boards", name] = pieces.get(("boards", name), 0) + count
    made(stock(pieces), *(wish(f"w{number}", number, memory_kb=kb) for number, kb in enumerate(memories, 1)))


def test_a_pinned_piece_goes_into_its_machine() -> None:
    rows = [row(number, *thing) for number, thing in enumerate(DESK, 1)]
    extra = [replace(row(number, *thing), item=f"K-{number}") for number, thing in enumerate(DESK, 20)]
    wanted = wish("late", 2, memory_kb=32, pinned=("K-22",))  # the second processor
    found = plan(Stock("s", "", (*rows, *extra)), wishes(wish("early", 1, memory_kb=32), wanted), CATALOGUE)
    report = report_of(found, CATALOGUE)
    names = {
        one.machine.selection.wish.id: {row.item for taken in one.taken for row in taken.rows}
        for one in report.machines
    }
    assert "K-22" in names["late"] and "K-22" not in names["early"]


def test_a_pinned_piece_that_is_not_there_is_an_error_with_its_place() -> None:
    with pytest.raises(InputError, match='pinned "K-99" is no usable piece'):
        plan(stock(DESK), wishes(wish(memory_kb=32, pinned=("K-99",))), CATALOGUE)
