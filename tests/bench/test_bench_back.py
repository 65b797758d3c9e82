"""Back in time at the bench, and forth again."""

from __future__ import annotations

from pathlib import Path

from benches import COUNT, KITTIWAKE, bare, done, planned, refused, with_console

import minisim
from minisim.bench.bench import FORGOTTEN
from minisim.console import come_to_present
from minisim.machine.records import Access, Reason


def test_back_goes_one_instruction_or_many_and_until_now_forth_again() -> None:
    bench = bare(*COUNT)
    states = []
    for _ in range(2):
        states.append(bench.machine.state_hash())
        done(bench, "one")
    now = bench.machine.state_hash()
    for state in reversed(states):
        assert done(bench, "back")[0] == "The machine is 1 instruction earlier."
        assert bench.machine.state_hash() == state and bench.past.in_the_past
    assert "in the past" in bench.view().state
    refused(bench, "back")
    done(bench, "until now")
    assert bench.machine.state_hash() == now and not bench.past.in_the_past
    done(bench, "back 2.")
    assert bench.machine.state_hash() == states[0]


def test_what_comes_in_the_past_makes_another_future() -> None:
    bench = bare(*COUNT)
    done(bench, "one 2.")
    done(bench, "back 2.")
    assert FORGOTTEN in done(bench, "change 1002 7")
    done(bench, "one 2.")
    assert bench.machine.cpu.r[0] == 0o10
    assert "in the present" in refused(bench, "until now")


def test_back_by_time_repeats_what_was_typed() -> None:
    echo = (0o105737, 0o177560, 0o100375, 0o113700, 0o177562, 0o110037, 0o177566, 0o000770)
    bench = with_console(*echo)
    done(bench, "until 0.1 seconds")
    bench.finish()
    done(bench, "type ebb")
    done(bench, "until 0.1 seconds")
    bench.finish()
    assert bench.printed() == b"ebb\r"
    now = bench.machine.state_hash()
    done(bench, "back 0.1 seconds")
    assert bench.machine.time_ns <= 100_000_000 + 20_000
    done(bench, "until 0.05 seconds")
    bench.finish()
    assert b"ebb\r" in bench.printed()  # typed once more, by the past
    done(bench, "until now")
    assert bench.machine.state_hash() == now


def test_a_run_that_stops_at_a_condition_has_its_last_instructions_told_and_is_the_same_run() -> None:
    bench = planned("desk")
    done(bench, "until write 177566")
    bench.finish()
    assert bench.stop is not None and bench.stop.reason is Reason.REACHED
    assert len(bench.steps) == 8 and bench.steps[-1].pc == bench.stop.at
    assert done(bench, "look bus")[-1].endswith("main/a/2CD serial-line, transmit data")
    twin = minisim.build(minisim.read_loadout(KITTIWAKE / "desk.yaml"))
    twin.octal_console = True
    twin.run(50_000_000, until=Access(0o177566, read=False))
    assert twin.state_hash() == bench.machine.state_hash() and not bench.past.in_the_past
    done(bench, "run")
    bench.finish()
    twin.run(50_000_000)
    assert bench.steps and twin.state_hash() == bench.machine.state_hash()


def test_a_recalled_machine_has_no_past(tmp_path: Path) -> None:
    bench = bare(*COUNT)
    done(bench, "one")
    done(bench, f"keep {tmp_path / 'x'}")
    done(bench, f"recall {tmp_path / 'x'}")
    refused(bench, "back")


def test_the_instructions_before_the_place_gone_back_to_are_told() -> None:
    bench = planned("desk")
    done(bench, "one 30.")
    told = {(step.pc, step.sentence) for step in bench.steps}
    done(bench, "back 3.")
    assert len(bench.steps) == 8 and {(step.pc, step.sentence) for step in bench.steps} < told
    before = bench.steps
    done(bench, "one 3.")
    assert bench.steps[-4].pc == before[-1].pc
    bench.machine.close()


def test_a_machine_that_is_left_in_the_past_goes_to_the_present_first() -> None:
    bench = bare(*COUNT)
    assert come_to_present(bench) == ""
    done(bench, "one 2.")
    now = bench.machine.state_hash()
    done(bench, "back")
    assert "left in the present" in come_to_present(bench)
    assert bench.machine.state_hash() == now and come_to_present(bench) == ""


def test_until_now_is_no_reason_to_stop_a_machine_that_is_in_the_present() -> None:
    bench = with_console(0o000777)
    done(bench, "run")
    assert "in the present" in refused(bench, "until now") and bench.running
