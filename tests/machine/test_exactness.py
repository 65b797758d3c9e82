"""A run is the same, bit for bit, however it is cut, paced or frozen on its way; and machines leave nothing behind."""

from __future__ import annotations

import gc
import os
import resource
import threading
import time
from functools import cache
from pathlib import Path

import pytest
from devices.workbench import Workbench
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

import minisim
from machine.states import raw_state
from minisim.devices._device import Placement

KITTIWAKE = Path(__file__).parents[2] / "loadouts" / "kittiwake"
DEMOS = ("gauge", "desk")
STATM = Path("/proc/self/statm")
PATIENT = settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@cache
def switched_on(name: str, after: int) -> bytes:
    """A demo machine, frozen somewhere in its work, with something typed."""
    machine = minisim.build(minisim.read_loadout(KITTIWAKE / f"{name}.yaml"))
    machine.console.feed(b"tide\r")
    machine.run(limit=after)
    return machine.freeze()


def everything(machine: minisim.Machine) -> tuple[bytes, bytes, object, bytes]:
    """All there is to compare: the struct, what hangs on it, counters, console."""
    printed = machine.console.take()
    return raw_state(machine), machine.freeze(), machine.counters(), printed


cuts = st.lists(st.one_of(st.just(1), st.integers(0, 40), st.integers(0, 60_000)), min_size=1, max_size=25)


@pytest.mark.parametrize("name", DEMOS)
@PATIENT
@given(begin=st.sampled_from([0, 1, 90_000, 600_000, 1_400_000]), pieces=cuts)
@example(begin=0, pieces=[1] * 400)
@example(begin=1_400_000, pieces=[1] * 400)
def test_a_run_cut_into_pieces_is_the_same_run(name: str, begin: int, pieces: list[int]) -> None:
    frozen = switched_on(name, begin)
    whole, cut = minisim.thaw(frozen), minisim.thaw(frozen)
    reason = whole.run(limit=sum(pieces)).reason
    last = [cut.run(limit=piece).reason for piece in pieces][-1]
    assert (str(reason), str(last)) == ("LIMIT", "LIMIT")
    assert everything(cut) == everything(whole)


@pytest.mark.parametrize("name", DEMOS)
@PATIENT
@given(begin=st.sampled_from([0, 90_000, 600_000, 1_400_000]), pieces=cuts)
def test_a_machine_frozen_and_thawed_at_every_cut_goes_on_as_if_nothing_had_been(
    name: str, begin: int, pieces: list[int]
) -> None:
    frozen = switched_on(name, begin)
    whole, cut = minisim.thaw(frozen), minisim.thaw(frozen)
    whole.run(limit=sum(pieces))
    for piece in pieces:
        cut.run(limit=piece)
        cut = minisim.thaw(cut.freeze())
    assert everything(cut) == everything(whole)


@pytest.mark.parametrize("name", DEMOS)
@PATIENT
@given(
    begin=st.sampled_from([0, 90_000, 1_400_000]),
    limit=st.integers(1, 100_000),
    times=st.lists(st.integers(0, 40_000_000), max_size=40),
)
def test_a_paced_run_is_the_same_run(name: str, begin: int, limit: int, times: list[int]) -> None:
    frozen = switched_on(name, begin)
    whole, paced = minisim.thaw(frozen), minisim.thaw(frozen)
    expected = whole.run(limit=limit)
    session = paced.session(limit)
    for ns in times:
        if not session.advance(until_ns=paced.time_ns + ns):
            break
    while session.reason is None and session.advance():
        pass
    assert session.stop() == expected
    assert everything(paced) == everything(whole)


@pytest.mark.parametrize("name", DEMOS)
@PATIENT
@given(begin=st.sampled_from([0, 90_000, 600_000, 1_400_000]), count=st.integers(1, 1500))
def test_stepping_is_running(name: str, begin: int, count: int) -> None:
    frozen = switched_on(name, begin)
    ran, stepped = minisim.thaw(frozen), minisim.thaw(frozen)
    ran.run(limit=count)
    for _ in range(count):
        stepped.step()
    assert (list(stepped.cpu.r), stepped.cpu.ps, stepped.time_ns) == (list(ran.cpu.r), ran.cpu.ps, ran.time_ns)
    assert stepped.memory.view() == ran.memory.view()
    assert stepped.counters() == ran.counters()


def test_wait_beside_a_silent_clock_costs_the_same_in_one_run_and_in_slices() -> None:
    """The slices of a session end by their count of due times, too."""

    def waiting() -> minisim.Machine:
        bench = Workbench(Placement("line-clock", vectors=((0o100, 6),)))
        bench.machine.memory.put(0o1000, 1, 0o000776)  # WAIT; BR .-0
        bench.machine.cpu.pc, bench.machine.cpu.ps = 0o1000, 0
        return bench.machine

    whole, sliced = waiting(), waiting()
    whole.run(limit=5000)
    session = sliced.session(5000)
    while session.advance(37):
        pass
    assert raw_state(whole) == raw_state(sliced)
    assert whole._raw.naps == 4999


# --- steps ---


def test_a_step_into_a_waiting_interrupt_shows_the_instruction_of_the_service() -> None:
    bench = Workbench(Placement("serial-line", vectors=((0o60, 4), (0o64, 4))))
    m = bench.machine
    m.memory.put(0o64, 0o2000, 0o340)
    m.memory.put(0o2000, 0o005201)  # INC R1
    m.memory.put(0o1000, 0o005200)
    m.cpu.pc, m.cpu.sp, m.cpu.ps = 0o1000, 0o700, 0
    bench.write(0o177564, 0o100)
    step = m.step()
    assert (step.pc, step.words, step.text) == (0o2000, (0o005201,), "INC R1")
    assert (step.before.r[7], step.after.r[7], m.cpu.r[1]) == (0o1000, 0o2002, 1)
    assert [each.kind for each in step.accesses] == ["read", "read", "write", "write", "fetch"]


# --- threads ---


def test_another_thread_can_not_touch_the_lines_of_a_running_machine() -> None:
    m = Workbench(Placement("serial-line", vectors=((0o60, 4), (0o64, 4)))).machine
    m.memory.put(0o1000, 0o005200, 0o000776)
    m.cpu.pc = 0o1000
    runner = threading.Thread(target=m.run, args=(1 << 60,))
    runner.start()
    time.sleep(0.05)
    acts = (
        lambda: m.console.feed(b"a"), m.console.take, m.console.send_break, lambda: m.console.put_in_tape(b"a"),
        lambda: m.read(0o177560), lambda: m.write(0o177566, 1), m.step, m.freeze, m.power_up, m.session(5).advance,
    )  # fmt: skip
    try:
        for act in acts:
            with pytest.raises(minisim.MachineError, match="another thread"):
                act()
    finally:
        m.stop()
        runner.join(timeout=5)
    assert m.console.take() == b""


def test_a_request_to_stop_from_many_threads_never_harms_and_always_ends_a_run() -> None:
    m = minisim.bare()
    m.memory.put(0o1000, 0o005200, 0o000776)
    m.cpu.pc, over = 0o1000, threading.Event()

    def ask() -> None:
        while not over.is_set():
            m.stop()

    askers = [threading.Thread(target=ask) for _ in range(3)]
    for asker in askers:
        asker.start()
    try:
        for _ in range(50):
            assert str(m.run(limit=1 << 60).reason) == "REQUEST"
    finally:
        over.set()
        for asker in askers:
            asker.join()


# --- memory ---


@pytest.mark.skipif(not STATM.exists(), reason="only some systems tell how much memory a process holds")
@pytest.mark.skipif("MINISIM_SANITIZED" in os.environ, reason="the sanitizers keep freed memory aside for a while")
def test_hundreds_of_machines_made_run_frozen_and_dropped_leave_no_memory_behind() -> None:
    def one(number: int) -> None:
        bench = Workbench(Placement("serial-line", vectors=((0o60, 4), (0o64, 4))), Placement("paper-tape"))
        m = bench.machine
        m.memory.put(0o1000, 0o005200, 0o000776)
        m.cpu.pc = 0o1000
        m.console.feed(b"x" * 5000)
        m.run(limit=200)
        m.memory.view()
        if number % 10 == 0:
            minisim.thaw(m.freeze())

    def resident() -> int:
        gc.collect()
        return int(STATM.read_text().split()[1]) * resource.getpagesize()

    for number in range(100):
        one(number)
    before = resident()
    for number in range(300):
        one(number)
    assert resident() - before < 8_000_000  # bytes; so many machines take 30 million
