"""What screens are given."""

from __future__ import annotations

from dataclasses import replace

from benches import CLOCK, COUNT, bare, done, loaded, planned, with_console
from program_rig import rig

from minisim.bench.bench import Bench
from minisim.machine import seen


def test_the_view_tells_registers_status_and_instructions() -> None:
    bench = bare(*COUNT)
    first = bench.view()
    assert first.last is None and first.changed == frozenset() and first.state == "stands"
    assert first.next[:2] == ("001000", "MOV #000005,R0") and first.next[2]
    done(bench, "one")
    view = bench.view()
    assert view.last is not None and view.last[:2] == ("001000", "MOV #000005,R0")
    assert view.registers[0] == 5 and view.changed == {0}
    assert [(each.kind, each.address, each.data, each.who) for each in view.cycles] == [
        ("fetch", 0o1000, 0o12700, "memory"),
        ("fetch", 0o1002, 5, "memory"),
    ]
    assert view.ps_words[-4:] == ("N clear", "Z clear", "V clear", "C clear")
    done(bench, "one 2.")
    assert bench.view().state == "halted"


def test_the_view_disturbs_nothing() -> None:
    bench = planned("visitor")
    bench.start()
    bench.finish(100_000)
    before = bench.machine.state_hash()
    bench.view()
    for line in (
        "look",
        "look devices",
        "look interrupts",
        "look bus",
        "look 177560 4.",
        "look stack",
        "look lower/b/2",
    ):
        done(bench, line)
    assert bench.machine.state_hash() == before
    assert any(each.place == "lower/b/2:0" and each.medium.endswith("visitor.floppy") for each in bench.view().devices)
    bench.machine.close()


def test_a_request_is_masked_by_the_priority_or_goes_next() -> None:
    """Level 4 stands back at priority 4 and above, [processor-handbooks-1972-81]."""
    bench = with_console(0o000240)
    done(bench, "change ps 000340")
    done(bench, "change 177564 000100")  # ready, and now enabled: a request
    line = next(one for one in seen.interrupts(bench.machine) if one.name == "transmitter")
    assert (line.waiting, line.enabled, line.masked, line.first) == (True, True, True, False)
    assert "waiting, masked" in {one.state for one in bench.view().interrupts}
    done(bench, "change ps 000140")
    line = next(one for one in seen.interrupts(bench.machine) if one.name == "transmitter")
    assert (line.masked, line.first, line.vector, line.level) == (False, True, 0o64, 4)
    assert any("waiting, goes next" in each for each in done(bench, "look interrupts"))
    done(bench, "one")
    assert next(one for one in seen.interrupts(bench.machine) if one.name == "transmitter").taken == 1
    granted = next(one for one in bench.view().interrupts if one.vector == 0o64)
    assert granted.state.endswith(", taken 1 (just now)") and granted.place
    done(bench, "change ps 000340")
    done(bench, "one")
    assert any(", taken 1 (1 instruction ago)" in each for each in done(bench, "look interrupts"))


def test_who_answers_says_memory_device_rom_processor_and_nobody() -> None:
    bench = planned("gauge")
    machine = bench.machine
    who = {
        at: seen.who_answers_program(machine, at) for at in (0o1000, 0o177560, 0o173000, 0o177776, 0o177572, 0o160000)
    }
    assert who[0o1000] == "memory" and who[0o160000] == "nobody"
    assert who[0o177560] == "main/a/3CF serial-line, receive status"
    assert who[0o173000].startswith("ROM of main/a/3AB") and who[0o177776] == "processor, PS"
    assert who[0o177572] == "processor, memory management"
    machine.close()


def test_bits_that_are_set_are_told_by_their_names() -> None:
    bench = with_console(*COUNT)
    status = {each.name: each for device in seen.devices(bench.machine) for each in device.registers}
    assert status["transmit status"].fields == ("ready",) and status["transmit status"].address == 0o777564
    assert any("transmit status at 777564: 000200  ready" in line for line in done(bench, "look test"))


def test_every_modelled_device_has_names_for_its_bits() -> None:
    from minisim.devices._device import known_devices

    assert all(seen.fields_of(name) is not None for name in known_devices())


def test_a_request_that_no_grant_reaches_waits_and_is_told_so() -> None:
    machine = rig("late-ttl-commercial", None, replace(CLOCK, granted=False))
    bench = Bench(loaded(machine, 0o012737, 0o100, 0o177546, 0o000777))
    done(bench, "until 0.1 seconds")
    bench.finish()
    assert any("line-clock, clock: level 6, vector 100, waiting, no grant" in line for line in done(bench, "look test"))
    line = next(one for one in seen.interrupts(bench.machine) if one.device == "line-clock")
    assert (line.waiting, line.reachable, line.first, line.taken) == (True, False, False, 0)
