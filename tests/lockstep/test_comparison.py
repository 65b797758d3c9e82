"""The comparison itself: whatever is damaged in one of two machines is found, and named."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from minisim.cpu._core import ffi, lib

from .pairs import BELLS_AT, SIZE, Pair

LEFT_OUT = {
    *("memory", "present", "rom", "windows", "registers", "effects", "timers", "lines", "rings", "devices"),  # pointers
    *("agenda", "call", "handle"),
    *("old_codes", "instruction_pc", "instruction", "step_register", "step_by", "step_address"),  # of one instruction
    *("stop", "access", "access_count", "tracing", "core", "passed_over"),  # of a run, or of the host
    *("note", "note_count", "ac_before", "fps_before", "floats_noted"),  # of a step
}
WIRING = {
    *("io", "rom_words", "window_count", "register_count", "effect_count", "timer_count", "line_count", "ring_count"),
    *("device_count", "memory_bytes"),
}
FIELDS = dict(ffi.typeof("ms_machine").fields)
PROFILE = "late-ttl-commercial"
CALL = "void(void *, int, int, int, int)"


@pytest.fixture(scope="module")
def pair() -> Pair:
    """Two machines alike, with a program that was begun and something in every ring."""
    pair = Pair.of(PROFILE)
    for machine in pair.machines:
        machine.memory.put(0o1000, 0o012737, 0o123, BELLS_AT + 2, 0o005201, 0o000776)  # prints S, counts in R1
        machine.console.feed(b"tide")
        machine.cpu.pc, machine.cpu.sp, machine.cpu.ps = 0o1000, 0o700, 0o340
    pair.run(40)
    assert pair.report.by_fast > 30
    return pair


def found(pair: Pair, limit: int = 0) -> str:
    """What the comparison says; empty if it finds nothing."""
    report = ffi.new("ms_comparison *")
    lib.ms_lockstep(*pair.raw, limit, report)
    kept, pair.report = pair.report, report
    text = pair.difference() if report.differences else ""
    pair.report = kept
    return text


def damaged(pair: Pair, at: Any, offset: int = 0) -> str:
    """What is said while one bit at a place of the fast machine is wrong."""
    byte = ffi.cast("uint8_t *", at) + offset
    byte[0] ^= 1
    try:
        return found(pair)
    finally:
        byte[0] ^= 1


def test_nothing_is_found_between_two_machines_that_are_alike(pair: Pair) -> None:
    assert found(pair) == ""


@pytest.mark.parametrize("name", sorted(set(FIELDS) - LEFT_OUT))
def test_every_field_of_the_machine_is_compared_and_named(pair: Pair, name: str) -> None:
    text = damaged(pair, pair.raw[1], FIELDS[name].offset)
    assert ("wired differently" if name in WIRING else f" {name}: ") in text
    last = damaged(pair, pair.raw[1], FIELDS[name].offset + ffi.sizeof(FIELDS[name].type) - 1)
    assert name in WIRING or f" {name}: " in last or name in ("until", "profile")


PLACES: dict[str, Callable[[Any], tuple[Any, int]]] = {
    "memory 000000": lambda raw: (raw.memory, 0),
    f"memory {SIZE - 1:06o}": lambda raw: (raw.memory, SIZE - 1),
    "memory 012345": lambda raw: (raw.memory, 0o12345),
    "registers[0].value": lambda raw: (raw.registers, 0),
    "registers[2].value": lambda raw: (raw.registers + 2, 0),
    "timers[1].due": lambda raw: (raw.timers + 1, 0),
    "timers[3].delay": lambda raw: (raw.timers + 3, 8),
    "lines[2].pending": lambda raw: (raw.lines + 2, dict(ffi.typeof("ms_line").fields)["pending"].offset),
    "rings[0].count": lambda raw: (raw.rings, dict(ffi.typeof("ms_ring").fields)["count"].offset),
    "rings[0].total": lambda raw: (raw.rings, dict(ffi.typeof("ms_ring").fields)["total"].offset),
}


@pytest.mark.parametrize("place", PLACES)
def test_memory_and_devices_are_compared_and_named(pair: Pair, place: str) -> None:
    assert place in damaged(pair, *PLACES[place](pair.raw[1]))


def test_what_differs_is_told_with_the_instruction_and_both_values(pair: Pair) -> None:
    before, pair.raw[1].r[3] = pair.raw[1].r[3], 0o123
    text = found(pair)
    pair.raw[1].r[3] = before
    assert " r: [0 " in text and ", fast [0 " in text and " 123 " in text


def test_a_difference_that_comes_up_in_an_instruction_stops_both_machines_behind_it() -> None:
    """The host does something else to one of them, at the third instruction."""
    pair = Pair.of(PROFILE)

    def spoil(*_: object) -> None:
        pair.raw[1].memory[0o4321] ^= 0o7

    for machine in pair.machines:
        machine.memory.put(0o1000, 0o005200, 0o005201, 0o010037, BELLS_AT + 2, 0o005202, 0o005202)
        machine.cpu.pc = 0o1000
    for raw in pair.raw:
        raw.effects[raw.registers[1].on_write].op = lib.MS_DO_CALL
    called = ffi.callback(CALL, spoil)
    pair.raw[1].call = called
    text = found(pair, 100)
    assert "after 3 instructions, 001004: MOV R0,@#160002" in text
    assert "the reference core in both machines: memory 004321: 000, fast 007" in text
    assert [raw.r[7] for raw in pair.raw] == [0o1010, 0o1010]


def test_a_stop_of_one_machine_alone_is_found() -> None:
    pair = Pair.of(PROFILE)

    def ask(*_: object) -> None:
        pair.raw[0].stop = lib.MS_STOP_REACHED

    for machine in pair.machines:
        machine.memory.put(0o1000, 0o010037, BELLS_AT + 2)
        machine.cpu.pc = 0o1000
    for raw in pair.raw:
        raw.effects[raw.registers[1].on_write].op = lib.MS_DO_CALL
    called = ffi.callback(CALL, ask)
    pair.raw[0].call = called
    assert "stop reached, fast limit" in found(pair, 1)


def test_the_fast_core_is_what_does_the_work(pair: Pair) -> None:
    report = ffi.new("ms_comparison *")
    lib.ms_lockstep(*pair.raw, 1000, report)
    assert report.instructions == 1000
    assert report.by_fast > 950


def test_both_machines_keep_the_core_that_was_chosen(pair: Pair) -> None:
    assert [machine.core for machine in pair.machines] == ["reference", "fast"]
