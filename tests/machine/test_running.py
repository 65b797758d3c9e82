"""Running: reasons, conditions, steps, signals, threads."""

from __future__ import annotations

import signal
import subprocess
import sys
import threading
import time

import pytest
from devices.workbench import Workbench

import minisim
from minisim.devices._device import Placement

INC_R0, BR_BACK, BR_SELF, WAIT = 0o005200, 0o000776, 0o000777, 0o000001


def bare(*words: int) -> minisim.Machine:
    """A program at 1000."""
    m = minisim.bare()
    m.memory.put(0o1000, *words)
    m.cpu.pc, m.cpu.sp = 0o1000, 0o700
    return m


def talking(*words: int) -> minisim.Machine:
    """A program at 1000 on a machine with a console line."""
    bench = Workbench(Placement("serial-line", "main/a/2AB", vectors=((0o60, 4), (0o64, 4))))
    bench.machine.memory.put(0o1000, *words)
    bench.machine.cpu.pc, bench.machine.cpu.sp = 0o1000, 0o700
    return bench.machine


PRINT = (  # prints the bytes at R1 up to a zero, then halts
    0o105737, 0o177564,  # TSTB @#177564
    0o100375,            # BPL .-4
    0o112137, 0o177566,  # MOVB (R1)+,@#177566
    0o001372,            # BNE .-12
    0o000000,            # HALT
)  # fmt: skip


def printing(text: bytes) -> minisim.Machine:
    """A machine that prints a text and halts at once."""
    m = talking(*PRINT)
    m.memory[0o2000 : 0o2000 + len(text)] = text
    m.cpu.r[1] = 0o2000
    return m


def test_each_reason_is_told_apart() -> None:
    assert str(bare(0).run().reason) == "HALTED"
    assert str(bare(INC_R0, BR_BACK).run(limit=10).reason) == "LIMIT"
    assert str(bare(WAIT).run().reason) == "WAITING"
    assert str(bare(BR_SELF).run().reason) == "STUCK"
    assert str(bare(INC_R0, BR_BACK).run(until=minisim.Address(0o1002)).reason) == "REACHED"


def test_the_sentence_of_a_stop_is_in_the_form_of_a_finding() -> None:
    stop = minisim.Stop(minisim.Reason.HALTED, 0o104, 412, 0, at=0o102, place="main/a/1")
    assert str(stop) == (
        "main/a/1: the instruction at 000102 halted the processor after 412 instructions; next would be 000104"
    )


def test_a_run_goes_on_where_the_last_one_ended() -> None:
    m = bare(INC_R0, BR_BACK)
    whole = bare(INC_R0, BR_BACK)
    for limit in (1, 2, 3, 500, 494):
        assert m.run(limit=limit).instructions == limit
    whole.run(limit=1000)
    assert m.freeze() == whole.freeze()


def test_a_limit_that_is_none_is_refused() -> None:
    for limit in (-1, 1.5):
        with pytest.raises(ValueError, match="limit"):
            bare(0).run(limit=limit)  # type: ignore[arg-type]
    assert bare(INC_R0).run(limit=0).instructions == 0


def test_until_access_stops_at_a_write() -> None:
    m = bare(INC_R0, 0o010037, 0o2000, BR_BACK - 2)  # MOV R0,@#2000
    stop = m.run(until=minisim.Access(0o2000, read=False))
    assert (str(stop.reason), m.cpu.r[0], stop.at) == ("REACHED", 1, 0o1002)
    assert "touched 002000" in str(stop)


def test_until_text_stops_when_it_stands_on_the_console() -> None:
    m = printing(b"aabaabaaab tide and more\0")
    stop = m.run(until=minisim.Text("aaab"))
    assert str(stop.reason) == "REACHED"
    assert m.console.take() == b"aabaabaaab"
    assert 'the text "aaab" came after' in str(stop)


@pytest.mark.parametrize("text", ["aab", "abaab", "aabaabaaab", "a", "b", "baaab", "ab t"])
def test_until_text_finds_every_text_at_its_first_end(text: str) -> None:
    whole = b"aabaabaaab tide"
    m = printing(whole + b"\0")
    m.run(until=minisim.Text(text))
    assert m.console.take() == whole[: whole.index(text.encode()) + len(text)]


def test_until_text_does_not_look_at_the_eighth_bit() -> None:
    m = printing(bytes(b | 0o200 for b in b"tide ") + b"\0")
    assert str(m.run(until=minisim.Text("tide")).reason) == "REACHED"


def test_a_text_printed_just_before_the_halt_comes() -> None:
    m = printing(b"HIGH\0")
    assert str(m.run(until=minisim.Text("HIGH")).reason) == "REACHED"


def test_characters_on_their_way_leave_the_line_after_the_halt() -> None:
    m = printing(b"tide\0")
    assert str(m.run().reason) == "HALTED"
    assert m.console.take() == b"tide\0"


@pytest.mark.parametrize(
    "wrong",
    [
        minisim.Text(""),
        minisim.Text("x" * 257),
        minisim.Text("Kärn"),
        minisim.Address(0o200000),
        minisim.Access(4, 2),
        [minisim.Address(0)] * 9,
        "HIGH",
    ],
)
def test_a_condition_that_can_not_be_is_refused(wrong: object) -> None:
    with pytest.raises(ValueError, match=r"."):
        talking(0).run(until=wrong)  # type: ignore[arg-type]


def test_several_conditions_hold_at_once() -> None:
    m = printing(b"tide\0")
    stop = m.run(until=[minisim.Text("never"), minisim.Address(0o1014)])
    assert (str(stop.reason), stop.pc) == ("REACHED", 0o1014)


def test_a_step_tells_what_it_did() -> None:
    m = bare(0o012701, 0o52, 0o010137, 0o2000)  # MOV #52,R1; MOV R1,@#2000
    first = m.step()
    assert (first.pc, first.words, first.text) == (0o1000, (0o012701, 0o52), "MOV #000052,R1")
    assert (first.before.r[1], first.after.r[1], first.after.r[7]) == (0, 0o52, 0o1004)
    second = m.step()
    assert second.accesses[-1] == minisim.StepAccess("write", 0o2000, 0o52, False)
    assert second.words == (0o010137, 0o2000)
    assert m.counters().instructions == 2


def test_counters_tell_of_registers_vectors_and_the_first_pc() -> None:
    m = printing(b"ab\0")
    m.memory.put(0o2100, 0)
    m.run()
    counters = m.counters()
    assert counters.first_pc == 0o1000
    assert counters.writes == {0o777566: 3}
    assert set(counters.reads) == {0o777564}
    assert counters.interrupts == {}
    m.memory.put(0o1000, 0o104400, 0)  # TRAP; HALT
    m.memory.put(0o34, 0o1002, 0)
    m.cpu.pc = 0o1000
    m.run()
    assert m.counters().traps == {0o34: 1}


def test_stop_from_another_thread_ends_a_run() -> None:
    m = bare(INC_R0, BR_BACK)
    ended: list[minisim.Stop] = []
    runner = threading.Thread(target=lambda: ended.append(m.run(limit=1 << 60)))
    runner.start()
    time.sleep(0.05)
    with pytest.raises(minisim.MachineError, match="another thread"):
        m.run()
    m.stop()
    runner.join(timeout=5)
    assert str(ended[0].reason) == "REQUEST"


def test_two_machines_run_in_two_threads() -> None:
    machines = [bare(INC_R0, BR_BACK) for _ in range(2)]
    runners = [threading.Thread(target=m.run, args=(200_001,)) for m in machines]
    for runner in runners:
        runner.start()
    for runner in runners:
        runner.join()
    assert [m.instructions for m in machines] == [200_001] * 2


def test_an_interrupt_from_the_keyboard_ends_a_long_run_promptly() -> None:
    code = (
        "import minisim\n"
        "m = minisim.bare(); m.memory.put(0o1000, 0o005200, 0o000776); m.cpu.pc = 0o1000\n"
        "print('go', flush=True)\n"
        "try: m.run(limit=1 << 60)\n"
        "except KeyboardInterrupt: print(m.cpu.r[0] >= 0, m.run(limit=5).reason)\n"
    )
    with subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "go\n"
        time.sleep(0.1)
        began = time.monotonic()
        process.send_signal(signal.SIGINT)
        out, _ = process.communicate(timeout=10)
    assert out == "True LIMIT\n"
    assert time.monotonic() - began < 2


def test_a_guest_that_waits_for_ever_ends_at_the_limit() -> None:
    bench = Workbench(Placement("line-clock", "main/a/3CF", vectors=((0o100, 6),)))
    m = bench.machine
    m.memory.put(0o1000, WAIT, BR_SELF)
    m.cpu.pc, m.cpu.sp, m.cpu.ps = 0o1000, 0o700, 0
    stop = m.run(limit=1000)  # the clock ticks, its enable is off: nothing will ever come
    assert str(stop.reason) in ("LIMIT", "WAITING")
    assert stop.instructions <= 1000
