"""A traced run is the same run: every bit of the machine, what it prints, how it stops."""

from __future__ import annotations

import io
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from machine.test_octal_console import halted
from program_rig import placement, rig
from tracing import demo, trace_of, with_program

import minisim
from minisim.machine.machine import Machine
from minisim.machine.records import Access, All, Condition, RegisterHolds, Text, TrapTaken
from minisim.trace.writer import Tracer, write_trace

CLOCK = placement("line-clock", 0o17546, (0o100, 6))
WAITS = """
        . = 100
        .word 1100, 0
        . = 1000
        MOV #100, @#177546
1$:     WAIT
        SOB R0, 1$
        HALT
        . = 1100
        INC R1
        RTI
"""


def everything(machine: Machine) -> tuple[object, ...]:
    """How often an octal console looks at its line depends on how a run is cut, traced or not; nothing else does."""
    exact = () if machine.octal_console else (machine.freeze(), machine.counters())
    return machine.state_hash(), machine.cpu.pc, machine.console.take(), *exact


def waiting() -> Machine:
    machine = with_program(rig("two-board-ttl-mmu", None, CLOCK), WAITS)
    machine.cpu.r[0], machine.cpu.r[6] = 20, 0o1000
    return machine


def at_console() -> Machine:
    """R0 is looked at and changed, then a program is started: keys for the console, keys for nobody."""
    machine = halted("chipset-four-level")
    machine.console.feed(b"R0/123\r1000/240\r1002/0\r1000G")
    return machine


def printing() -> Machine:
    """A character is still on the line when the processor halts."""
    return with_program(rig("two-board-ttl-mmu"), "  . = 1000\n MOV #101, @#177566\n HALT\n")


def stuck() -> Machine:
    return with_program(rig("two-board-ttl-mmu"), "  . = 1000\n BR .\n")


def asleep() -> Machine:
    return with_program(rig("two-board-ttl-mmu"), "  . = 1000\n WAIT\n HALT\n")


def typing() -> Machine:
    return demo("desk", b"tide\r")


MACHINES: list[tuple[Callable[[], Machine], int, str]] = [
    (typing, 8_000, "LIMIT"), (lambda: demo("gauge"), 8_000, "LIMIT"), (waiting, 100_000, "HALTED"),
    (waiting, 37, "LIMIT"), (at_console, 100_000, "HALTED"), (at_console, 9, "LIMIT"), (printing, 1_000, "HALTED"),
    (stuck, 1_000, "STUCK"), (asleep, 1_000, "WAITING"), (typing, 0, "LIMIT"),
]  # fmt: skip


@pytest.mark.parametrize(("make", "limit", "reason"), MACHINES)
def test_a_traced_run_is_the_same_run(make: Callable[[], Machine], limit: int, reason: str) -> None:
    plain, traced, words = make(), make(), make()
    stop = plain.run(limit=limit)
    assert str(stop.reason) == reason
    lines, ended = trace_of(traced, limit=limit)
    assert ended == stop
    assert write_trace(words, None, words=io.StringIO(), limit=limit) == stop
    state = everything(plain)
    assert everything(traced) == state
    assert everything(words) == state
    assert sum(1 for line in lines if line.get("words")) == plain.instructions - lines[0]["instructions"]


@pytest.mark.parametrize(
    "until",
    [
        Text("tide"), RegisterHolds(0, 0o12), TrapTaken(0o100), Access(0o177562, write=False),
        All((Access(0o177562), RegisterHolds(7, 0o173164))),
    ],
)  # fmt: skip
def test_a_condition_ends_it_at_the_same_instruction(until: Condition) -> None:
    plain, traced = typing(), typing()
    stop = plain.run(limit=20_000, until=until)
    assert trace_of(traced, limit=20_000, until=until)[1] == stop
    assert traced.state_hash() == plain.state_hash()


@settings(max_examples=15, deadline=None)
@given(begin=st.integers(0, 60), count=st.integers(0, 60), limits=st.lists(st.integers(0, 90), min_size=1, max_size=4))
def test_wherever_the_trace_begins_and_ends_the_run_is_the_same(begin: int, count: int, limits: list[int]) -> None:
    plain, traced = waiting(), waiting()
    stream = io.StringIO()
    with Tracer(traced, stream, after=begin, count=count).attached() as tracer:
        for limit in limits:
            assert traced.run(limit=limit) == plain.run(limit=limit)
    assert everything(traced) == everything(plain)
    assert tracer.lines <= count
    assert tracer.lines == len(stream.getvalue().splitlines()) - 1


def test_keys_typed_between_two_runs_are_traced_as_they_come() -> None:
    plain, traced = demo("desk"), demo("desk")
    with Tracer(traced, io.StringIO()).attached():
        for machine in (plain, traced):
            for key in b"tide\r":
                machine.run(limit=3_000)
                machine.console.feed(bytes([key]))
            machine.run(limit=3_000)
    assert everything(traced) == everything(plain)


def test_a_paced_run_is_the_same() -> None:
    plain, traced = typing(), typing()
    plain.run(limit=10_000)
    with Tracer(traced, io.StringIO()).attached():
        session = traced.session(10_000)
        while session.advance(until_ns=traced.time_ns + 123_456):
            pass
    assert everything(traced) == everything(plain)


def test_behind_the_trace_the_machine_runs_as_fast_as_before() -> None:
    machine = typing()
    with Tracer(machine, io.StringIO()).attached():
        machine.run(limit=100)
    assert machine._run_by is demo("gauge")._run_by
    assert not machine._raw.until.traced


def test_a_trace_of_a_frozen_machine_goes_on_with_its_counts() -> None:
    machine = with_program(rig("two-board-ttl-mmu"))
    machine.run(limit=5)
    again = minisim.thaw(machine.freeze())
    lines = trace_of(again)[0]
    assert (lines[0]["instructions"], lines[1]["count"]) == (5, 6)


def test_a_stream_that_takes_no_more_is_told_and_the_run_goes_on() -> None:
    class Full(io.StringIO):
        def write(self, text: str) -> int:
            if self.tell() > 1000:
                raise OSError(28, "No space left on device")
            return super().write(text)

    plain, traced = typing(), typing()
    plain.run(limit=10_000)
    with pytest.raises(OSError, match="No space left"):
        write_trace(traced, Full(), limit=10_000)
    assert everything(traced) == everything(plain)
