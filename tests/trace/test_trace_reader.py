"""Reading a trace back: the same facts, the place of what is wrong, a file that a kill has cut off."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from program_rig import rig
from tracing import demo, trace_of, with_program, written

from minisim.problems import InputError
from minisim.trace.activity import Touched, counted
from minisim.trace.reader import TraceReader


@pytest.fixture
def tides(tmp_path: Path) -> Path:
    return written(with_program(rig("two-board-ttl-mmu")), tmp_path / "tides.trace")


def problem(path: Path) -> str:
    with pytest.raises(InputError) as caught:
        list(TraceReader(path))
    return str(caught.value)


def test_what_was_written_is_read(tides: Path) -> None:
    lines = trace_of(with_program(rig("two-board-ttl-mmu")))[0]
    reader = TraceReader(tides)
    found = list(reader)
    assert [f"{one.at:06o}" for one in found] == [line["at"] for line in lines[1:-1]]
    assert [one.text for one in found] == [line["text"] for line in lines[1:-1]]
    assert [one.flags for one in found] == [tuple(line["flags"]) for line in lines[1:-1]]
    assert found[11].taken == () and found[12].taken == (0o34,)
    store = found[11].accesses[-1]
    assert (store.kind, store.at, store.data, store.bus) == ("write", 0o177566, 0o23, 0o777566)
    assert reader.end is not None
    assert (reader.end.reason, reader.end.lines) == ("HALTED", 15)


@settings(max_examples=25, deadline=None)
@given(part=st.floats(0, 1))
def test_a_trace_that_was_cut_off_anywhere_gives_its_whole_lines(
    tmp_path_factory: pytest.TempPathFactory, part: float
) -> None:
    folder = tmp_path_factory.mktemp("cut")
    whole = written(with_program(rig("two-board-ttl-mmu")), folder / "whole").read_bytes()
    first = whole.index(b"\n") + 1
    cut = folder / "cut"
    cut.write_bytes(whole[: first + int(part * (len(whole) - first - 1))])
    reader = TraceReader(cut)
    assert len(list(reader)) == cut.read_bytes().count(b"\n") - 1
    assert reader.end is None


@pytest.mark.parametrize(
    ("line", "old", "new", "said"),
    [
        (1, '"trace":1', '"trace":2', "this is no trace of form 1"),
        (1, '"address_bits":18', '"address_bits":17', "16, 18 or 22"),
        (3, '"at":"001004"', '"at":"1004"', "6 octal digits"),
        (3, '"at":"001004"', '"at":"001008"', "6 octal digits"),
        (4, '"fetch"', '"fetches"', "fetch, read or write"),
        (5, '"flags":["Z"]', '"flags":["Q"]', "flags are N, Z, V, C"),
        (6, '"count":5', '"count":1', "the instructions go backwards"),
        (7, '"count":6', '"count":-6', "a count is expected"),
        (8, '"words"', '"wordes"', "it has no 'words'"),
        (9, "{", "", "this line is no JSON object"),
        (10, '"accesses":[', '"accesses":[7,', "this line is none of a trace"),
        (17, '"HALTED"', '"BURNT"', "'BURNT'"),
    ],
)
def test_what_is_wrong_is_told_with_its_line(tides: Path, line: int, old: str, new: str, said: str) -> None:
    lines = tides.read_text("ascii").splitlines(keepends=True)
    assert old in lines[line - 1]
    lines[line - 1] = lines[line - 1].replace(old, new, 1)
    tides.write_text("".join(lines), "ascii")
    assert problem(tides).startswith(f"{tides}:{line}:1: ")
    assert said in problem(tides)


def test_no_trace_at_all_is_told(tmp_path: Path) -> None:
    for content in (b"", b"loadout: 1\n", b"\xff\xfe\n", b"[1]\n", b"{}\n", b"7" * 300_000):
        path = tmp_path / "none"
        path.write_bytes(content)
        assert problem(path).startswith(f"{path}:1:1: ")
    assert "can't read the file" in problem(tmp_path / "nowhere")


def test_something_behind_the_end_is_told(tides: Path) -> None:
    lines = tides.read_text("ascii").splitlines(keepends=True)
    tides.write_text("".join([*lines, lines[2]]), "ascii")
    assert problem(tides).startswith(f"{tides}:18:1: there is something behind the end")


def test_the_counts_are_those_counted_by_hand(tides: Path) -> None:
    """SP, R1, R0 of two words each, CLR, 3 times ADD and SOB, MOVB and MOV of two each, TRAP, RTI, HALT."""
    words = counted(tides).words
    assert words[0o1016] == words[0o1020] == Touched(3, 0, 0)
    assert {at: words[at] for at in range(0o1300, 0o1310, 2)} == {
        0o1300: Touched(0, 1, 0), 0o1302: Touched(0, 1, 0), 0o1304: Touched(0, 1, 0), 0o1306: Touched(0, 0, 1),
    }  # fmt: skip
    assert words[0o777566] == Touched(0, 0, 1)
    assert words[0o34] == words[0o36] == Touched(0, 1, 0)
    assert words[0o1174] == words[0o1176] == Touched(0, 1, 1)  # PC and PS, pushed by TRAP and taken by RTI
    assert sum((one.fetches for one in words.values()), 0) == 3 * 2 + 1 + 3 * 2 + 2 * 2 + 3


@pytest.mark.parametrize("name", ["desk", "gauge", "ledger"])
def test_reads_and_writes_of_registers_are_those_the_machine_itself_counts(name: str, tmp_path: Path) -> None:
    machine = demo(name, b"tide\r")
    activity = counted(written(machine, tmp_path / "run.trace", limit=15_000))
    counters, page = machine.counters(), (1 << machine.address_bits) - 0o1000000
    touched = {at - page: one for at, one in activity.words.items() if at - page >= 0o760000}
    assert counters.reads
    assert {at: touched[at].reads for at in counters.reads} == dict(counters.reads)
    assert {at: touched[at].writes for at in counters.writes} == dict(counters.writes)
