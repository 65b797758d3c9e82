"""A run in frames, with the last instructions of each told, is the same run."""

from __future__ import annotations

from itertools import pairwise

import pytest
from benches import CLOCK, KITTIWAKE, loaded, with_console
from program_rig import rig

import minisim
from minisim.bench.bench import Bench
from minisim.machine.machine import Machine
from minisim.machine.records import Access, Address, All, Reason, RegisterHolds, Text, TrapTaken

WAITER = (0o012737, 0o2000, 0o100, 0o005037, 0o102, 0o012737, 0o100, 0o177546, 0o1, 0o005201, 0o000775)
"""Vector 100 to 2000, priority 0; the clock on; WAIT; INC R1; BR: counts the ticks."""
SERVICE = (0o005200, 0o000002)  # INC R0; RTI


def waiter() -> Machine:
    """A machine that mostly waits for its clock."""
    machine = loaded(rig("late-ttl-commercial", None, CLOCK), *WAITER)
    machine.memory.put(0o2000, *SERVICE)
    return machine


def desk() -> Machine:
    """A demo machine with its octal console on, as the bench has it."""
    machine = minisim.build(minisim.read_loadout(KITTIWAKE / "desk.yaml"))
    machine.octal_console = True
    return machine


def to_instruction(machine: Machine, used: int) -> str:
    """The state of an undisturbed run up to there."""
    raw = machine._raw
    machine.run(used - raw.instructions - raw.naps)
    return machine.state_hash()


@pytest.mark.parametrize("pace", ["full", "real"])
@pytest.mark.parametrize("make", [waiter, desk])
def test_frames_change_nothing(make: object, pace: str) -> None:
    bench = Bench(make(), pace=pace)  # type: ignore[operator]
    bench.start()
    bench._full = lambda until: bench._slice(3000, None) and bench._tail(None)  # type: ignore[method-assign]
    for _ in range(30):
        bench.advance(0.0005 if pace == "full" else 0.03)
        assert bench.running
    raw = bench.machine._raw
    bench.pause()
    assert bench.steps
    twin = make()  # type: ignore[operator]
    session = twin.session(1 << 40)
    while twin._raw.instructions + twin._raw.naps < raw.instructions + raw.naps:
        session.advance(min(1_000_000, raw.instructions + raw.naps - twin._raw.instructions - twin._raw.naps))
    session.advance(1, until_ns=bench.machine.time_ns)  # a pause may lie in the middle of a WAIT
    assert twin.state_hash() == bench.machine.state_hash()


def test_the_last_instructions_are_the_last_ones() -> None:
    bench = with_console(0o005200, 0o000776)
    bench.start()
    bench.advance(0.001)
    steps = bench.steps
    assert len(steps) == 8 and all(later.before.r[7] == earlier.after.r[7] for earlier, later in pairwise(steps))
    assert steps[-1].after.r == tuple(bench.machine.cpu.r)


@pytest.mark.parametrize(
    "condition",
    [
        Address(0o1020),
        Access(0o2000, read=False),
        Text("cd"),
        RegisterHolds(1, 0o1234),
        TrapTaken(0o10),
        All((RegisterHolds(1, 0o4000), Address(0o1020))),
    ],
)
def test_conditions_hold_on_through_the_frames(condition: object) -> None:
    """The traced end of each frame neither loses nor adds a condition."""
    program = (
        *(0o005201, 0o020127, 0o4000, 0o001374, 0o010137, 0o2000, 0o012703, 0o5, 0o000240),  # 1000 to 1020
        *(0o112737, 0o143, 0o177566, 0o105737, 0o177564, 0o100375, 0o112737, 0o144, 0o177566, 0o000010, 0o000777),
    )

    def made() -> Machine:
        machine = loaded(rig("late-ttl-commercial"), *program)
        machine.memory.put(0o10, 0o3000, 0)
        machine.memory.put(0o3000, 0o000777)
        return machine

    bench = Bench(made())
    bench.start([condition])  # type: ignore[list-item]
    bench._full = lambda until: bench._slice(13, None) and bench._tail(None)  # type: ignore[method-assign]
    for _ in range(10_000):
        bench.advance(0)
        if not bench.running:
            break
    twin = made()
    stop = twin.run(1_000_000, until=condition)  # type: ignore[arg-type]
    assert stop.reason is Reason.REACHED and bench.stop is not None
    assert (bench.stop.reason, bench.stop.pc, bench.stop.instructions) == (stop.reason, stop.pc, stop.instructions)
    assert twin.state_hash() == bench.machine.state_hash()


def test_at_real_pace_guest_time_goes_as_far_as_the_frames_say() -> None:
    bench = Bench(waiter(), pace="real")
    bench.start()
    for _ in range(10):
        bench.advance(0.05)
    assert 500_000_000 <= bench.machine.time_ns < 530_000_000


def test_one_waits_for_what_ends_a_wait() -> None:
    bench = Bench(waiter())
    assert len(bench.take_steps(12)) == 12
    assert bench.machine.cpu.r[0] >= 1  # the clock has ticked


def test_finish_ends_with_its_limit() -> None:
    bench = with_console(0o005200, 0o000776)
    bench.start()
    bench.finish(1000)
    assert not bench.running and 1000 <= bench.machine.instructions <= 1008
