"""The programs that test lines, clock, printer and tape: they pass with the device, and fail when they should."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from few import few
from program_rig import placement, rig

from minisim.catalogue.reader import Catalogue
from minisim.devices._device import Placement
from minisim.machine.machine import Machine
from minisim.machine.records import Reason
from minisim.trials.own import Ran, Verdict, Where, carry_on, make_ready, run_program
from minisim.trials.programs import program

PROFILES = Catalogue().ids("profiles")
CONSOLE = Where(0o177560, 0o60)
LINE = Where(0o176500, 0o300)
TITLES = {
    "serial": "a serial line, its output led back to its input by the maintenance bit",
    "serial-plug": "a serial line with a loop-back plug",
    "multiplexer": "the multiplexer, its lines led back by the maintenance bit",
    "parallel": "the parallel interface with its loop-back cable: words, requests, interrupts",
    "programmable-clock": "the programmable clock: modes, rates, counter and interrupt",
    "printer": "the line printer: status, interrupts, and a pattern to look at",
    "paper-tape": "punches a tape of all patterns, reads one that lies in the reader",
}
TAPE = bytes(64) + bytes(range(256)) + bytes(64)  # leader, all patterns, leader


def line(baud: str = "9600", **variant: str) -> Placement:
    return placement(
        "serial-line", 0o16500, (0o300, 4), (0o304, 4), bauds=(baud,),
        variant={name.replace("_", "-"): word for name, word in variant.items()},
    )  # fmt: skip


def multiplexer(**more: object) -> Placement:
    return placement("multiplexer", 0o00100, (0o310, 5), (0o314, 5), **more)


def clock(pulses: bool = True) -> Placement:
    return placement("programmable-clock", 0o12540, (0o104, 6), pulses=pulses)


def parallel() -> Placement:
    return placement("parallel", 0o07770, (0o320, 5), (0o324, 5))


def printer() -> Placement:
    return placement("line-printer", 0o17514, (0o200, 4), attached=("line-printer",))


def paper_tape(tape: bytes | None = None) -> Placement:
    return placement("paper-tape", 0o17550, (0o70, 4), (0o74, 4), tapes=(tape,))


DEVICES: dict[str, tuple[Callable[[], Placement], Where]] = {
    "serial": (line, LINE),
    "multiplexer": (multiplexer, Where(0o160100, 0o310)),
    "parallel": (parallel, Where(0o167770, 0o320)),
    "programmable-clock": (clock, Where(0o172540, 0o104)),
    "printer": (printer, Where(0o177514, 0o200)),
    "paper-tape": (paper_tape, Where(0o177550, 0o70)),
}
CASES = {"serial": 267, "multiplexer": 24, "parallel": 20, "programmable-clock": 23, "printer": 8, "paper-tape": 5}


def text(name: str, cases: int, failures: int = 0, passes: int = 2, before: str = "") -> str:
    numbers = range(1, passes + 1)
    ends = "".join(f"{name}: end of pass {number}, {cases} cases, {failures} failures\r\n" for number in numbers)
    return f"{name}: {TITLES[name]}\r\n{before}{ends}"


def built(name: str, profile: str, *others: Placement) -> Machine:
    machine = rig(profile, None, *(others or (DEVICES[name][0](),)), kb=28)
    if name == "parallel":
        machine.put_on_loop_back()
    return machine


def ran(
    name: str, profile: str = "two-board-ttl-mmu", *others: Placement, core: str = "fast", passes: int = 2,
    where: Where | None = None,
) -> Ran:  # fmt: skip
    machine = built(name, profile, *others)
    machine.core = core
    return run_program(machine, program(name), passes=passes, switches=0, where=where or DEVICES[name][1])


def spoiled(name: str, line: str, right: int, wrong: int) -> Ran:
    """One pass of a program with another word in one line, the first that reads so."""
    machine, test = built(name, "two-board-ttl-mmu"), program(name)
    make_ready(machine, test, passes=1, switches=0, where=DEVICES[name][1])
    listed = next(each for each in test.program.listing if " ".join(each.source.split(";")[0].split()).endswith(line))
    words = [int.from_bytes(listed.data[place : place + 2], "little") for place in range(0, len(listed.data), 2)]
    assert listed.address is not None
    machine.memory.put(listed.address + 2 * words.index(right), wrong)
    return carry_on(machine, test, passes=1, limit=100_000_000)


@pytest.mark.parametrize(
    ("name", "line", "right", "wrong", "told"),
    [
        ("serial", "MOV #200,wanted", 0o200, 0o300, "after RESET: nothing enabled, READY"),
        ("serial", "MOV #140052,wanted", 0o140052, 0o140053, "overrun: the newer character, with its error bits"),
        ("serial", ".word 200, before", 0o200, 0o0, "each character comes back; DONE, READY"),
        ("serial", ".word 1, ntx", 0o1, 0o2, "READY interrupts through its vector + 4, once"),
        ("serial", ".word 3, order", 0o3, 0o1, "both at once: receive goes first"),
        ("multiplexer", "BIC #127627,R0", 0o127627, 0o167627, "control bits hold what is written"),
        ("multiplexer", "BIS #200,R0", 0o200, 0o201, "256 characters of a line come back, with its number"),
        ("multiplexer", "CMP R3,#100140", 0o100140, 0o100141, "64 characters wait in order"),
        ("multiplexer", "MOV #17,R3", 0o17, 0o20, "the alarm comes with 16 characters"),
        ("multiplexer", ".word 100125, came", 0o100125, 0o100124, "receive done interrupts through its vector, once"),
        ("programmable-clock", "MOV #10.,R0", 10, 0o7, "10 kHz takes ten times as long (turns of a loop)"),
        ("programmable-clock", "MOV #23,R2", 0o23, 0o3, "upwards from -300"),
        ("programmable-clock", ".word 1, hits", 0o1, 0o2, "single: one interrupt"),
        ("programmable-clock", "MOV #100200,wanted", 0o100200, 0o200, "zero again before anybody looked: ERROR"),
        ("programmable-clock", "MOV #201,wanted", 0o201, 0o200, "repeat: runs on, each time as long (turns of a loop)"),
        ("parallel", "MOV #125063,wanted", 0o125063, 0o125125, "a byte by itself"),
        ("printer", ".word 2, hits", 0o2, 0o3, "ready that comes back interrupts again"),
        ("paper-tape", ".word 1, hitsp", 0o1, 0o0, "punch: READY interrupts through its vector + 4"),
    ],
)  # fmt: skip
def test_a_wrong_expectation_is_told(name: str, line: str, right: int, wrong: int, told: str) -> None:
    run = spoiled(name, line, right, wrong)
    assert run.verdict is Verdict.FAIL
    assert run.failures[0].endswith(f": {told}"), run.said


@pytest.mark.parametrize(("profile", "name"), few([(p, n) for p in PROFILES for n in DEVICES], 5))
def test_it_passes_on_every_processor(profile: str, name: str) -> None:
    run = ran(name, profile)
    before = "" if name != "paper-tape" else (
        "  no tape in the reader: put the punched one in, and start again\r\n"
    )  # fmt: skip
    # one processor is stopped as it prints the last line
    assert run.said.rstrip() == text(name, CASES[name], before=before).rstrip()
    assert (run.verdict, run.passes, run.cases) == (Verdict.PASS, 2, CASES[name])


@pytest.mark.parametrize("name", DEVICES)
def test_both_cores_do_the_same(name: str) -> None:
    assert ran(name, "chipset-one-level", core="reference") == ran(name, "chipset-one-level")


@pytest.mark.parametrize("name", [*DEVICES, "serial-plug"])
def test_a_device_that_is_not_there_is_told(name: str) -> None:
    where = DEVICES.get(name, (None, LINE))[1]
    run = run_program(rig("two-board-ttl-basic", kb=28), program(name), passes=1, switches=0, where=where)
    assert run.verdict is Verdict.FAIL
    assert len(run.failures) == 1
    assert ": failed, case 1: its " in run.failures[0]
    assert " nobody answers\r\n" in run.said


@pytest.mark.parametrize("name", DEVICES)
def test_another_vector_is_told(name: str) -> None:
    # the program is told a vector 4 too high: the interrupt goes where nobody waits for it
    address, vector = DEVICES[name][1].address, DEVICES[name][1].vector
    assert vector is not None
    run = ran(name, passes=1, where=Where(address, vector + 0o10))
    assert any(": unexpected trap through 000" in line for line in run.failures), run.said


def test_what_a_person_does_is_said() -> None:
    persons = {name for name in (*DEVICES, "serial-plug") if program(name).person}
    assert persons == {"serial-plug", "parallel", "printer", "paper-tape"}
    devices = {name: program(name).device for name in (*DEVICES, "serial-plug")}
    assert devices == {
        "serial": "serial-line", "serial-plug": "serial-line", "multiplexer": "multiplexer", "parallel": "parallel",
        "programmable-clock": "programmable-clock", "printer": "line-printer", "paper-tape": "paper-tape",
    }  # fmt: skip


@pytest.mark.parametrize("name", DEVICES)
def test_a_line_clock_that_can_not_be_turned_off_does_not_disturb(name: str) -> None:
    # the event line of the multiplexed bus: vector 100, no register
    ticks = placement("event-line", 0, (0o100, 6), pulses=True)
    assert ran(name, "chipset-four-level", DEVICES[name][0](), ticks).verdict is Verdict.PASS


@pytest.mark.parametrize("name", [*DEVICES, "mmu", "memory", "memory-high", "bus-map", "parity"])
def test_it_can_be_started_again_where_it_lies(name: str) -> None:
    profile = "fast-ttl-cache"
    machine = built(name, profile) if name in DEVICES else rig(profile, kb=64)
    where = DEVICES[name][1] if name in DEVICES else None
    first = run_program(machine, program(name), passes=1, switches=0, where=where)
    machine.cpu.ps, machine.cpu.pc = 0o340, 0o1000
    again = carry_on(machine, program(name), passes=1)
    assert (first.verdict, again.verdict) == (Verdict.PASS, Verdict.PASS)
    assert again.said == first.said


# --- serial lines -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("baud", [pytest.param("110", marks=pytest.mark.slow), "1200", "38400"])
def test_at_any_speed(baud: str) -> None:
    assert ran("serial", "fast-ttl-cache", line(baud), passes=1).verdict is Verdict.PASS


def test_a_board_without_error_bits_passes_too() -> None:
    assert ran("serial", "two-board-ttl-mmu", line(error_bits="no")).cases == CASES["serial"]


def test_the_line_of_the_console_is_tested_with_what_it_can_print() -> None:
    run = ran("serial", "two-board-ttl-basic", line(), where=CONSOLE)
    assert run.verdict is Verdict.PASS
    assert run.said.count("".join(map(chr, range(0o40, 0o177)))) == 2  # what went around was printed too
    assert run.cases == CASES["serial"] - 256 + 0o177 - 0o40


def test_a_board_without_the_maintenance_bit_is_tested_as_far_as_it_goes() -> None:
    run = ran("serial", "two-board-ttl-mmu", line(maintenance="no"))
    said = "  no maintenance bit: characters need the loop-back plug and the program serial-plug\r\n"
    assert run.said == text("serial", 6, before=said)


def pumped(machine: Machine, name: str, *, plugged: bool = True, wrong: int = 0) -> Ran:
    """One pass with a plug on the second line: what comes out goes in."""
    test = program(name)
    make_ready(machine, test, passes=1, switches=0, where=LINE)
    far, said = machine.line(number=1), b""
    for _ in range(200_000):
        stop = machine.run(limit=500)
        out = far.take()
        if plugged and out:
            far.feed(bytes(byte ^ wrong for byte in out), steady=True)
        if stop.reason is not Reason.LIMIT:
            return _judged(machine, name, stop)
    raise AssertionError(said)


def _judged(machine: Machine, name: str, stop: object) -> Ran:
    from minisim.trials.own import judged

    said = bytes(byte & 0o177 for byte in machine.console.take()).decode("ascii")
    return judged(program(name), said, stop, 1)  # type: ignore[arg-type]


def test_with_the_plug_a_line_passes() -> None:
    run = pumped(rig("two-board-ttl-mmu", None, line(maintenance="no"), kb=28), "serial-plug")
    assert run.said == text("serial-plug", CASES["serial"], passes=1)


def test_a_plug_with_a_fault_is_told() -> None:
    run = pumped(rig("two-board-ttl-mmu", None, line(maintenance="no"), kb=28), "serial-plug", wrong=2)
    assert run.verdict is Verdict.FAIL
    assert run.failures[0] == "serial-plug: failed, case 4: a character comes back"
    assert " expected 000377, found 000375, xor 000002, bits 1\r\n" in run.said


@pytest.mark.slow  # it waits long enough for the slowest line
def test_without_the_plug_no_character_comes_back() -> None:
    run = ran("serial-plug", "two-board-ttl-mmu", line(), passes=1, where=LINE)
    assert run.failures[0] == "serial-plug: failed, case 4: a character comes back"
    assert " no character came back\r\n" in run.said


def test_the_plug_is_not_for_the_line_of_the_console() -> None:
    run = ran("serial-plug", "two-board-ttl-mmu", line(), where=CONSOLE)
    said = "  the line of the console takes no plug: give the address of another line at 001010\r\n"
    blanks = "  \r\nserial-plug: end"  # what is sent to see READY fall; then a new line
    assert run.said == text("serial-plug", 6, before=said).replace("serial-plug: end", blanks)


# --- multiplexer ------------------------------------------------------------------------------------------------------


def test_four_lines_are_found() -> None:
    run = ran("multiplexer", "chipset-four-level-quad", multiplexer(lines=4))
    assert run.said == text("multiplexer", CASES["multiplexer"] - 4, before="  four lines\r\n")


# --- parallel ---------------------------------------------------------------------------------------------------------


def test_without_its_cable_the_interface_fails() -> None:
    machine = built("parallel", "two-board-ttl-mmu")
    machine.put_on_loop_back(False)
    run = run_program(machine, program("parallel"), passes=1, switches=0, where=DEVICES["parallel"][1])
    assert "a single 1 and a single 0 come back\r\n expected 000001, found 000000, xor 000001, bits 0" in run.said
    assert {line.split(": ", 2)[2] for line in run.failures} == {
        "a single 1 and a single 0 come back", "256 words come back", "a byte by itself",
        "control bits come back as requests", "request A interrupts through its vector, once",
        "request B interrupts through its vector + 4, once",
    }  # fmt: skip


# --- clock ------------------------------------------------------------------------------------------------------------


def test_without_pulses_of_the_mains_the_clock_passes_and_says_so() -> None:
    run = ran("programmable-clock", "two-board-ttl-mmu", clock(pulses=False))
    said = "  no pulses of the mains: its supply may not give any\r\n"
    assert run.said == text("programmable-clock", CASES["programmable-clock"], before=said)


# --- printer ----------------------------------------------------------------------------------------------------------


def test_the_pattern_is_printed_whole() -> None:
    machine = built("printer", "two-board-ttl-mmu")
    run = run_program(machine, program("printer"), passes=1, switches=0, where=DEVICES["printer"][1])
    assert run.verdict is Verdict.PASS
    shown = "".join(map(chr, range(0o40, 0o177)))
    lines = [(shown * 2)[first : first + 80] for first in range(95)]
    assert machine.take_printed().decode("ascii").lstrip("\r") == "".join(f"{each}\r\n" for each in lines) + "\f"


def test_a_printer_off_line_is_told() -> None:
    machine = built("printer", "two-board-ttl-mmu")
    machine.put_printer_on_line(False)
    run = run_program(machine, program("printer"), passes=1, switches=0, where=DEVICES["printer"][1])
    assert run.failures == ("printer: failed, case 2: ready, no error: it is on line",)
    assert " expected 000200, found 100000, xor 100200, bits 7 15" in run.said


# --- paper tape -------------------------------------------------------------------------------------------------------


def test_what_it_punches_it_reads() -> None:
    machine = built("paper-tape", "two-board-ttl-mmu")
    where = DEVICES["paper-tape"][1]
    assert run_program(machine, program("paper-tape"), passes=1, switches=0, where=where).verdict is Verdict.PASS
    punched = machine.take_punched()
    assert punched == TAPE
    machine.put_in_tape(punched)
    run = run_program(machine, program("paper-tape"), passes=1, switches=0, where=where)
    assert run.said == text("paper-tape", CASES["paper-tape"] + 3, passes=1)


@pytest.mark.parametrize(
    ("tape", "told"),
    [
        (TAPE[:100] + bytes([TAPE[100] ^ 4]) + TAPE[101:], " expected 000044, found 000040, xor 000004, bits 2"),
        (TAPE[:100], " the tape ends, or the reader is off line"),
        (bytes(200), " 128 frames, and all are empty"),
    ],
)
def test_a_wrong_tape_is_told(tape: bytes, told: str) -> None:
    run = ran("paper-tape", "two-board-ttl-mmu", paper_tape(tape), passes=1)
    assert run.failures[0] == "paper-tape: failed, case 5: reader: leader, then all patterns"
    assert told in run.said
