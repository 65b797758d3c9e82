"""The tide table: every line that is printed, against plain Python and against cosines."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from minisim.catalogue.reader import Catalogue

from .tide_oracle import Constituents, Part, height, integer_turns, levels, read_constituents, table, turns
from .workshop import LIMIT, machine, quick_run, source, tape_of, tides

HERE = source("constituents.s")[1]


def text_of(tide: Constituents) -> str:
    """A constituents.s of its own."""
    rows = "".join(f" .word {part.amplitude}., {part.speed}., {part.lag}.\n" for part in tide.parts)
    return (
        f"station: .asciz /{tide.station}/\ndate: .asciz /{tide.date}/\n .even\n"
        f"mean: .word {tide.mean}.\nparts:\n{rows} .word 0.\n"
    )


OTHERS = {
    "neap tide": Constituents("North Slip", "20 May 1976", 1800, (Part(900, 28984, 0), Part(600, 30000, 1800))),
    "once a day": Constituents("Far Bay", "1 June 1976", 900, (Part(300, 15041, 100), Part(260, 13943, 3000))),
    "below datum": Constituents("Shoal", "2 June 1976", 20, (Part(500, 28984, 900),)),
    "great range": Constituents(
        "Long Reach", "3 June 1976", 9000, (Part(5200, 28984, 2500), Part(1900, 30000, 2600), Part(1000, 28440, 2400))
    ),
    "shallow water": Constituents("Mud Creek", "4 June 1976", 2000, (Part(800, 28984, 400), Part(500, 57968, 1200))),
    "no tide": Constituents("Pond", "5 June 1976", 100, (Part(9, 28984, 0),)),
}


def test_the_table_of_the_shipped_constituents_is_the_one_of_python() -> None:
    printed = quick_run(HERE)
    assert printed == table(read_constituents(HERE))
    assert "HIGH" in printed and "LOW" in printed


@pytest.mark.parametrize("name", OTHERS)
def test_other_constituents_give_another_table_that_python_gives_too(name: str) -> None:
    printed = quick_run(text_of(OTHERS[name]))
    assert printed == table(OTHERS[name])
    assert printed != quick_run(HERE)


PARTS = st.builds(Part, st.integers(1, 4000), st.integers(0, 65535), st.integers(0, 3600))


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 6000), st.lists(PARTS, min_size=1, max_size=6))
def test_any_constituents_give_the_table_of_python(mean: int, parts: list[Part]) -> None:
    tide = Constituents("Anywhere", "any day", mean, tuple(parts))
    assert quick_run(text_of(tide)) == table(tide)


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 6000), st.lists(PARTS, min_size=1, max_size=6))
def test_every_level_is_near_the_sum_of_cosines(mean: int, parts: list[Part]) -> None:
    tide = Constituents("Anywhere", "any day", mean, tuple(parts))
    allowed = 1 + 0.001 * sum(part.amplitude for part in parts)  # mm; a sine is good to 2^-13, a phase to 2^-15
    for minute, level in enumerate(levels(tide)):
        assert abs(level / 32768 - height(tide, minute)) < allowed


@pytest.mark.parametrize(
    "tide", [read_constituents(HERE), *list(OTHERS.values())[:-1]], ids=["here", *list(OTHERS)[:-1]]
)
def test_times_and_heights_are_those_of_floating_point(tide: Constituents) -> None:
    ours = [each for each in integer_turns(tide) if 3 <= each[1] <= 1437]
    theirs = [each for each in turns(tide) if 3 <= each[1] <= 1437]
    assert [word for word, *_ in ours] == [word for word, *_ in theirs]
    for (_, minute, mm), (_, at, value) in zip(ours, theirs, strict=True):
        assert abs(minute - at) <= 2 and abs(mm - value) <= 20


@pytest.mark.parametrize("profile", Catalogue().ids("profiles"))
def test_the_program_runs_on_every_profile(profile: str) -> None:
    assert quick_run(HERE, profile) == table(read_constituents(HERE))


@pytest.mark.parametrize("name", ["gauge", "desk"])
def test_both_machines_print_the_table(name: str, tmp_path: Path) -> None:
    demo = machine(name, tmp_path)
    stop = demo.run(LIMIT)
    assert str(stop.reason) == "HALTED"
    assert demo.console.take().decode("ascii") == table(read_constituents(HERE))
    assert demo.instructions < 10_000_000
    assert demo.time_ns < 60_000_000_000


@pytest.mark.parametrize("name", ["gauge", "desk"])
def test_both_machines_print_the_table_of_other_constituents(name: str, tmp_path: Path) -> None:
    tide = OTHERS["neap tide"]
    demo = machine(name, tmp_path, tape_of(tides(text_of(tide))))
    demo.run(LIMIT)
    assert demo.console.take().decode("ascii") == table(tide)


@pytest.mark.parametrize(("name", "status"), [("gauge", 0o777550), ("desk", 0o777560)])
def test_the_tape_is_read_frame_by_frame_and_the_clock_paces_the_run(name: str, status: int, tmp_path: Path) -> None:
    demo = machine(name, tmp_path)
    demo.run(LIMIT)
    counters = demo.counters()
    frames = (tmp_path / "kittiwake" / "media" / "tides.papertape").stat().st_size
    assert counters.reads[status + 2] >= frames
    assert counters.writes[status] >= frames
    assert set(counters.interrupts) == {0o100} and counters.interrupts[0o100] >= 1560
    assert not counters.traps
    assert 0o777776 not in counters.reads and 0o777776 not in counters.writes
    assert counters.first_pc is not None and 0o173000 <= counters.first_pc <= 0o173776
