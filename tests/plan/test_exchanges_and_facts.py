"""Exchanges, facts that forbid a wish, lists of the same length, groups, and words for what is not proven."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from itertools import combinations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from minisim.known import Known, Unknown
from minisim.plan.facts import asked
from minisim.plan.html import page
from minisim.plan.missing import Gap, gap_of
from minisim.plan.pile import Thing
from minisim.plan.planner import plan
from minisim.plan.report import Report, report_of
from minisim.plan.text import goals_in_words, lines, result
from minisim.plan.together import groups
from minisim.plan.wishes import Like, Wish

from .workshop import CATALOGUE, DESK, MARK, READER, problems, stock, wish, wishes

SPARE = {
    ("boards", "mos-memory-parity-dual"): 1,
    ("boards", "serial-line-single-programmable-speed"): 1,
    ("boards", "mos-memory-hex-modified"): 1,  # of the other bus
    ("boards", "line-printer-interface"): 1,  # of another trade
}
WANTED = wish(bus="mux", memory_kb=32)


def report(pieces: dict[tuple[str, str], int], *wanted: Wish) -> Report:
    return report_of(plan(stock(pieces), wishes(*wanted), CATALOGUE), CATALOGUE)


def gap(wanted: Wish) -> Gap:
    found = plan(stock(DESK), wishes(wanted), CATALOGUE)
    return gap_of(wanted, found.left, found.offer, CATALOGUE, found.folder)


def test_a_board_can_be_exchanged_with_a_left_one_of_its_trade() -> None:
    (machine,) = report({**DESK, **SPARE}, WANTED).machines
    used = set(machine.machine.selection.boards)
    swaps = {swap.thing.entry: {one.entry for one in swap.instead} for swap in machine.swaps}
    memories = {"mos-memory-dual", "mos-memory-parity-dual"}
    lines_ = {"serial-line-single", "serial-line-single-programmable-speed"}
    assert swaps == {name: both - used for both in (memories, lines_) for name in both & used}


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.dictionaries(st.sampled_from([n for n in CATALOGUE.ids("boards") if CATALOGUE.board(n).bus == "mux"]),
                       st.just(1), max_size=10))  # fmt: skip
def test_each_exchange_really_gives_the_machine(more: dict[str, int]) -> None:
    """With the exchanged board gone from the stock the wish is complete all the same, by the independent checker."""
    pieces = DESK | {("boards", name): DESK.get(("boards", name), 0) + count for name, count in more.items()}
    (machine,) = report(pieces, WANTED).machines
    for swap in machine.swaps:
        for other in swap.instead:
            things = dict(machine.machine.selection.things)
            things[swap.thing] -= 1
            things[other] = things.get(other, 0) + 1
            only = stock({(one.kind, one.entry): count for one, count in things.items()})
            found = plan(only, wishes(WANTED), CATALOGUE)
            assert found.open == () and problems(found, only) == [], (swap.thing, other)


def test_an_exchange_keeps_what_is_liked() -> None:
    liked = replace(WANTED, likes=(Like("memory-kb", 64, 1, MARK),))
    small = {("boards", "static-memory-dual-small"): 1}
    (machine,) = report({**DESK, **small}, liked).machines
    assert machine.machine.selection.likes == liked.likes and machine.swaps == ()


def test_pieces_without_a_stand_in_are_tested_first() -> None:
    made = report({**DESK, **SPARE}, WANTED)
    exchanged = {swap.thing for machine in made.machines for swap in machine.swaps}
    replaceable = [one.thing in exchanged for one in made.test_first]
    assert len(replaceable) == 6 and replaceable == sorted(replaceable) and any(replaceable)


FORBIDDEN = [
    # 22 address lines reach 2 ** 22 bytes: 4096 KB (arithmetic)
    (wish(bus="mux", memory_kb=5000), ("memory-kb",), "memory: 5000 KB asked, with the other needs at most 4096 KB"),
    (wish(bus="sep", memory_kb=64, boot=READER, slots=4), ("slots",),
     "slots: at most 4 asked, the smallest backplane that does the rest has 9"),
    (wish(bus="sep", memory_kb=64, boot=READER, devices=("ethernet-mux",)), ("devices",),
     "ethernet-mux: no board of the separate-line bus has it, only M7504 (multiplexed bus)"),
    (wish(bus="mux", memory_kb=32, options=("map",)), ("options", "bus"),
     "map: no processor of the multiplexed bus can have it, only "),
    (wish(bus="mux", memory_kb=32, options=("cis",)), ("options", "bus"), "chips in a socket, and the list names none"),
]  # fmt: skip


@pytest.mark.parametrize("case", range(len(FORBIDDEN)))
def test_what_forbids_a_wish_is_said_with_its_figure(case: int) -> None:
    wanted, needs, fact = FORBIDDEN[case]
    found = gap(wanted)
    assert found.to_find == () and found.forbidden_by == needs
    assert any(fact in said for said in found.facts), found.facts


def test_a_limit_in_watts_names_what_was_not_counted() -> None:
    """Currents of the boards by hand from the catalogue: a board with no known figure counts nothing, and is named."""
    (machine,) = report(DESK, replace(WANTED, watts=Decimal(200), kg=Decimal(50))).machines
    watts, weight = machine.limits
    boards = [CATALOGUE.board(name) for name in machine.machine.selection.boards]
    amps = [each for board in boards for each in board.amps.items()]
    volts = {"+5": 5, "+12": 12}
    total = sum(Decimal(one.peek) * volts[rail] for rail, one in amps if isinstance(one, Known))
    assert watts.startswith(f"{total:.1f} W counted of at most 200 W; ")
    unknown = {name for name in machine.machine.selection.boards if not _all_known(name)}
    assert set(watts.partition("not known: ")[2].split(", ")) - {""} == unknown
    assert weight == "heaviest empty box, at most 50 kg: not proven, weight not known"  # no chassis in this stock


def _all_known(name: str) -> bool:
    figures = CATALOGUE.board(name).amps.values()
    return bool(figures) and not any(isinstance(one, Unknown) for one in figures)


def test_two_needs_that_forbid_together_are_named() -> None:
    found = gap(wish(bus="mux", memory_kb=5000, options=("cis",)))
    assert found.forbidden_by == ()
    assert "it could be built without both options and memory-kb" in found.facts


def test_only_needs_that_a_wish_names_are_left_out() -> None:
    named = asked(wish(bus="mux", memory_kb=64, slots=4))
    assert set(named) == {"memory-kb", "slots", "boot", "bus"}  # boot: of the workshop's wish


def test_lists_of_the_same_length_stand_beside_the_first() -> None:
    pieces = {thing: count for thing, count in DESK.items() if thing[0] == "boards"}
    found = plan(stock(pieces), wishes(WANTED), CATALOGUE)
    lacking = gap_of(WANTED, found.left, found.offer, CATALOGUE, found.folder)
    lists = [lacking.to_find, *lacking.other_lists]
    assert len(lists) > 1 and {sum(one.count for one in listed) for listed in lists} == {2}
    for one, other in combinations(lists, 2):
        assert {each.thing for each in one} != {each.thing for each in other}
    for listed in lists:  # each of them really completes it
        whole = {**pieces, **{(one.thing.kind, one.thing.entry): one.count for one in listed}}
        assert plan(stock(whole), wishes(WANTED), CATALOGUE).open == ()


def test_sets_and_option_boards_stay_together() -> None:
    left = {
        Thing("boards", "cartridge-disk-two-board"): 2, Thing("boards", "mos-memory-dual"): 3,
        Thing("boards", "sep-cpu-two-boards-mmu-later"): 1, Thing("boards", "sep-two-board-fpp"): 1,
    }  # fmt: skip
    found = {frozenset(thing.entry for thing, _ in group.things): group.because for group in groups(left, CATALOGUE)}
    assert found == {
        frozenset({"cartridge-disk-two-board"}): "a set of 2 boards that work only with each other",
        frozenset({"sep-cpu-two-boards-mmu-later", "sep-two-board-fpp"}): "a processor with the boards made for it",
    }


def test_what_is_not_proven_is_called_best_found_with_its_bound() -> None:
    made = report(DESK, WANTED)
    choice = made.plan.choice
    goals = (replace(choice.goals[0], value=1.0, bound=3.0, proven=False), *choice.goals[1:])
    late = replace(made, plan=replace(made.plan, choice=replace(choice, goals=goals)))
    assert "best found in the time, not proven" in result(late)
    assert "wishes of priority 1: 1 of at most 3 (not proven)" in goals_in_words(late)
    assert "proven: no other division does better" in result(made)
    assert "6 untested pieces, at least 6" in goals_in_words(made)


def test_text_and_page_say_the_same() -> None:
    made = report({**DESK, **SPARE}, WANTED, wish("impossible", 2, bus="mux", memory_kb=5000))
    told = " ".join(" ".join(lines(made, CATALOGUE)).split())
    shown = page(made, CATALOGUE)
    for words in (result(made), "at most 4096 KB", "exchange: ", "power not proven", "1 of at most 1"):
        assert words in told and words in shown
