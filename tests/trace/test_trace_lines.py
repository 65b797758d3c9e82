"""What stands in a line of a trace: the instruction, what it touched, what changed; and the published schema."""

from __future__ import annotations

import copy
import io
import re
from collections.abc import Iterator
from typing import Any

import jsonschema
from machine.test_memory_management import map_pages
from program_rig import placement, rig
from tracing import TIDES, demo, trace_of, with_program

import minisim
from minisim.machine.records import Address
from minisim.trace.schema import trace_schema
from minisim.trace.writer import write_trace

VALID = jsonschema.Draft202012Validator(trace_schema())
CLOCK = placement("line-clock", 0o17546, (0o100, 6))


def tides() -> list[dict[str, Any]]:
    return trace_of(with_program(rig("two-board-ttl-mmu")))[0]


def test_each_instruction_is_one_line_between_a_head_and_an_end() -> None:
    """Counted by hand: 4 before the loop, 3 times 2 in it, MOVB, MOV, TRAP, RTI, HALT."""
    head, *lines, end = tides()
    assert (head["trace"], head["profile"], head["address_bits"]) == (1, "two-board-ttl-mmu", 18)
    assert [line["text"].split()[0] for line in lines] == (
        ["MOV", "MOV", "MOV", "CLR", *["ADD", "SOB"] * 3, "MOVB", "MOV", "TRAP", "RTI", "HALT"]
    )
    assert [line["count"] for line in lines] == list(range(1, 16))
    assert end["end"] | {"outcome": "", "time_ns": 0} == {
        "reason": "HALTED", "outcome": "", "at": "001034", "pc": "001036",
        "instructions": 15, "time_ns": 0, "lines": 15,
    }  # fmt: skip


def test_accesses_stand_in_their_order_in_octal_with_what_went_over_the_bus() -> None:
    """The handbook's order: instruction, source, destination; a byte has three digits [handbook-1969 pp. 12-13]."""
    lines = {line["at"]: line for line in tides()[1:-1]}
    assert lines["001010"] | {"time_ns": 0} == {
        "at": "001010", "words": ["012700", "000003"], "text": "MOV #000003,R0",
        "accesses": [
            {"kind": "fetch", "at": "001010", "data": "012700"}, {"kind": "fetch", "at": "001012", "data": "000003"},
        ],
        "flags": [], "registers": {"R0": "000003"}, "count": 3, "time_ns": 0,
    }  # fmt: skip
    assert lines["001022"]["accesses"][-1] == {"kind": "write", "at": "001306", "data": "023", "byte": True}
    assert lines["001026"]["accesses"][-1] == {"kind": "write", "at": "177566", "data": "000023"}
    assert lines["001014"]["flags"] == ["Z"]


def test_a_trap_is_told_with_its_vector_and_what_it_pushed() -> None:
    """TRAP goes through 34 [handbook-1969]; PS and PC are pushed, in this order."""
    trap = next(line for line in tides() if line.get("text", "").startswith("TRAP"))
    assert trap["taken"] == [{"vector": "000034", "what": "trap"}]
    assert [(one["kind"], one["at"]) for one in trap["accesses"]] == [
        ("fetch", "001032"), ("read", "000034"), ("read", "000036"), ("write", "001176"), ("write", "001174"),
    ]  # fmt: skip
    assert trap["registers"] == {"SP": "001174", "PS": "000340"}


def test_reading_the_place_of_a_vector_is_no_trap() -> None:
    machine = with_program(rig("two-board-ttl-mmu"), "  . = 1000\n MOV @#34, R0\n HALT\n")
    assert not any("taken" in line for line in trace_of(machine)[0])


def test_an_interrupt_is_told_with_the_board_that_asked() -> None:
    program = "  . = 100\n .word 1100, 0\n . = 1000\n MOV #100, @#177546\n WAIT\n HALT\n . = 1100\n RTI\n"
    machine = with_program(rig("two-board-ttl-mmu", None, CLOCK), program)
    machine.cpu.r[6] = 0o1000
    lines, stop = trace_of(machine)
    taken = [line["taken"] for line in lines if "taken" in line]
    assert taken == [
        [{"vector": "000100", "what": "interrupt", "place": "test", "device": "line-clock", "line": "clock"}]
    ]
    assert stop.reason == "HALTED"
    assert len(lines) == 2 + 4


def test_memory_management_shows_the_address_of_the_bus() -> None:
    """Page 1 at 146000: 20200 leads to 146000 + 200 [os-commentary]; page 0 is where it was and needs no telling."""
    machine = minisim.bare("late-single-chip-22bit", memory=0o400000)
    map_pages(machine, {1: 0o1460})
    with_program(machine, "  . = 1000\n MOV #5, @#20200\n MOV @#177776, R0\n HALT\n")
    first, second = trace_of(machine, limit=2)[0][1:3]
    assert first["accesses"][-1] == {"kind": "write", "at": "020200", "data": "000005", "bus": "00146200"}
    assert [one.get("bus") for one in first["accesses"][:-1]] == [None] * 3
    assert (second["accesses"][-1]["at"], "bus" in second["accesses"][-1]) == ("177776", False)


def test_the_bus_is_told_as_it_was_even_where_the_instruction_changes_the_mapping() -> None:
    """The last word that page 1 gives before MMR0 is cleared is still that of the mapped address."""
    machine = minisim.bare("late-single-chip-22bit", memory=0o400000)
    map_pages(machine, {1: 0o1460})
    with_program(machine, "  . = 1000\n MOV @#20200, @#177572\n HALT\n")
    line = trace_of(machine, limit=1)[0][1]
    assert line["accesses"][2]["bus"] == "00146200"
    assert "bus" not in line["accesses"][-1]  # the I/O page, where it always is


def test_floating_accumulators_are_told_as_four_words() -> None:
    """1.0 is 040200 and zeros [floating point format]; AC0 is set by LDCIF of 1."""
    machine = with_program(minisim.bare("late-ttl-commercial"), "  . = 1000\n MOV #1, R1\n LDCIF R1, AC0\n HALT\n")
    line = trace_of(machine)[0][2]
    assert line["registers"]["AC0"] == "040200 000000 000000 000000"


def test_a_trace_begins_after_and_ends_at_the_counts_that_were_asked_for() -> None:
    whole = tides()
    head, *lines, end = trace_of(with_program(rig("two-board-ttl-mmu")), after=4, count=6)[0]
    assert (head["after"], head["most"]) == (4, 6)
    assert lines == whole[5:11]
    assert end["end"] == whole[-1]["end"] | {"lines": 6}


def test_the_readable_form_has_a_sentence_for_each_instruction() -> None:
    stream = io.StringIO()
    stop = write_trace(with_program(rig("two-board-ttl-mmu")), None, words=stream)
    first, *lines, last = stream.getvalue().splitlines()
    assert first == "two-board-ttl-mmu, processor two-board-ttl-mmu"
    assert last == str(stop)
    assert len(lines) == 15
    assert lines[4].startswith("001016 ADD (R1)+,R2: ")
    assert "000004" in lines[4]


def test_the_same_instruction_is_told_anew_where_its_numbers_differ() -> None:
    stream = io.StringIO()
    write_trace(with_program(rig("two-board-ttl-mmu")), None, words=stream)
    adds = [line for line in stream.getvalue().splitlines() if "ADD" in line]
    assert len(adds) == len(set(adds)) == 3


# --- the schema -------------------------------------------------------------------------------------------------------


def real_traces() -> Iterator[list[dict[str, Any]]]:
    yield tides()
    yield trace_of(demo("desk", b"tide\r"), limit=500)[0]
    yield trace_of(demo("gauge"), limit=500)[0]
    yield trace_of(demo("ledger"), limit=300)[0]
    mapped = minisim.bare("late-single-chip-22bit", memory=0o400000)
    map_pages(mapped, {1: 0o1460})
    yield trace_of(with_program(mapped, TIDES.replace("@#177566", "@#20200")))[0]


def test_every_line_of_real_traces_has_the_published_shape() -> None:
    jsonschema.Draft202012Validator.check_schema(trace_schema())
    for lines in real_traces():
        assert [error.message for line in lines for error in VALID.iter_errors(line)] == []


def spoiled(lines: list[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    """A key too few, a key too many, and values that are none, of every kind of line."""
    for line in lines:
        for key in line:
            if key not in ("registers", "taken", "cut"):
                yield {name: value for name, value in line.items() if name != key}
        yield line | {"hexadecimal": "ff"}
    plain = next(line for line in lines if line.get("accesses"))
    for key, value in (("at", "512"), ("at", 512), ("at", "200000"), ("words", ["12700"]), ("flags", ["T"])):
        yield plain | {key: value}
    for key, value in (("data", "0x0001"), ("kind", "fetched"), ("byte", True), ("bus", "1000")):
        broken = copy.deepcopy(plain)
        broken["accesses"][0][key] = value
        yield broken
    yield plain | {"registers": {"R8": "000000"}}
    yield plain | {"taken": []}
    yield lines[-1] | {"end": lines[-1]["end"] | {"reason": "CRASHED"}}


def test_spoiled_lines_are_refused() -> None:
    found = list(spoiled(tides()))
    assert len(found) > 100
    assert [line for line in found if VALID.is_valid(line)] == []


def test_words_and_addresses_are_octal_texts_of_six_digits() -> None:
    for line in tides()[1:-1]:
        words = [line["at"], *line["words"], *line.get("registers", {}).values()]
        words += [one["at"] for one in line["accesses"]]
        words += [one["data"] for one in line["accesses"] if "byte" not in one]
        assert all(re.fullmatch("[01][0-7]{5}", word) for word in words)


def test_a_long_string_instruction_says_that_accesses_were_left_out() -> None:
    program = "  . = 1000\n MOVC\n HALT\n"
    machine = with_program(minisim.bare("late-ttl-commercial"), program)
    machine.cpu.r[0], machine.cpu.r[1], machine.cpu.r[2], machine.cpu.r[3] = 200, 0o2000, 200, 0o4000
    lines = trace_of(machine, until=Address(0o1002))[0]
    assert lines[1]["cut"] is True
    assert VALID.is_valid(lines[1])
