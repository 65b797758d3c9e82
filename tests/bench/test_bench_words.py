"""Each word of the bench, with lines that can be done and lines that can't."""

from __future__ import annotations

from pathlib import Path

import pytest
from benches import COUNT, KITTIWAKE, bare, done, planned, refused, with_console

from minisim.bench.bench import Bench
from minisim.bench.verbs import verbs
from minisim.bench.view import ending_words
from minisim.machine.records import Reason

ECHO = (0o105737, 0o177560, 0o100375, 0o113700, 0o177562, 0o110037, 0o177566, 0o000770)
"""TSTB @#177560; BPL; MOVB @#177562,R0; MOVB R0,@#177566; BR: prints what is typed."""


def test_every_word_has_help_and_forms_that_begin_with_it() -> None:
    for name, verb in verbs().items():
        assert verb.HELP and "\n" not in verb.HELP and len(verb.HELP) < 70, name  # a line of help has 80 columns
        assert verb.USE and all(form.split()[: len(name.split())] == name.split() for form in verb.USE), name


def test_the_words_are_those_of_the_house() -> None:
    """shared/naming.md 8, and the words around them."""
    wanted = {"run", "pause", "one", "back", "until", "look", "change", "put in", "take out", "keep", "recall"}
    around = {"type", "halt", "enable", "panel", "console", "help", "leave"}
    assert set(verbs()) == wanted | around


def test_an_unknown_word_is_answered_with_the_words_there_are() -> None:
    assert 'no word of the bench; did you mean "look"?' in refused(bare(), "lok 1000")
    assert bare().do("   ").lines == ()


def test_one_tells_the_instruction_and_what_comes_next() -> None:
    bench = bare(*COUNT)
    first = done(bench, "one")
    assert first[0].startswith("001000  MOV #000005,R0: ") and first[-1].startswith("next     001004  INC R0: ")
    assert bench.machine.cpu.r[0] == 5 and bench.machine.cpu.pc == 0o1004 and not bench.running
    assert [step.pc for step in bench.steps] == [0o1000]


def test_one_takes_a_count_and_stops_at_a_halt() -> None:
    bench = bare(*COUNT)
    lines = done(bench, "one 10.")
    assert bench.machine.instructions == 3 and bench.halted
    assert any("halted the processor after 3 instructions" in line for line in lines)


@pytest.mark.parametrize("line", ["one 10", "one 0.", "one five", "one 200000.", "one 1. 2.", "one 8"])
def test_one_takes_a_decimal_count_with_a_dot(line: str) -> None:
    bench = bare(*COUNT)
    refused(bench, line)
    assert bench.machine.instructions == 0


def test_run_goes_to_the_halt_and_pause_stands_still() -> None:
    bench = bare(*COUNT)
    done(bench, "run")
    assert bench.running
    bench.finish()
    assert not bench.running and bench.stop is not None and bench.stop.reason is Reason.HALTED
    loop = bare(0o005200, 0o000776)  # INC R0; BR 1000
    done(loop, "run")
    loop.advance(0.001)
    assert loop.running
    assert done(loop, "pause")[0] == "The machine stands."
    assert not loop.running and loop.stop is not None and loop.stop.reason is Reason.REQUEST
    assert done(loop, "pause")[0] == "The machine stands already."
    refused(loop, "run 10.")


@pytest.mark.parametrize(
    ("line", "pc"),
    [
        ("until pc 001004", 0o1004),
        ("until r0 000006", 0o1006),
        ("until r0 5 and pc 1004", 0o1004),
        ("until write 2000 or pc 1006", 0o1006),
    ],
)
def test_until_stops_where_the_condition_comes_true(line: str, pc: int) -> None:
    bench = bare(*COUNT)
    done(bench, line)
    bench.finish()
    assert bench.stop is not None and bench.stop.reason is Reason.REACHED and bench.machine.cpu.pc == pc


def test_until_some_seconds_of_guest_time() -> None:
    bench = bare(0o005200, 0o000776)
    done(bench, "until 0.01 seconds")
    bench.finish()
    assert 10_000_000 <= bench.machine.time_ns < 10_100_000 and not bench.running


@pytest.mark.parametrize("line", ["until", "until now", "until 10 hours", "until pc", "until x 5", "until 0 seconds"])
def test_until_says_what_is_allowed(line: str) -> None:
    bench = bare(*COUNT)
    refused(bench, line)
    assert not bench.running


def test_look_tells_registers_memory_and_stack() -> None:
    bench = bare(*COUNT)
    bench.machine.cpu.r[2], bench.machine.cpu.sp = 0o17, 0o700
    assert done(bench, "look r2") == ("R2 000017, in decimal 15.",)
    assert done(bench, "LOOK R2") == ("R2 000017, in decimal 15.",)
    bench.machine.cpu.r[3], bench.machine.memory[0o2000:0o2004] = 0o177777, b"ANNA"
    assert done(bench, "look r3") == ("R3 177777, in decimal -1., without a sign 65535.",)  # two's complement
    assert done(bench, "look 2000 2.") == ("002000  047101 040516 ANNA",)  # ISO 646: A 101, N 116
    assert done(bench, "look ps") == (
        "PS 000000: kernel mode, before it kernel mode, priority 0, trace off, N clear, Z clear, V clear, C clear",
    )
    assert done(bench, "look 1000") == ("001000  012700  memory  MOV #000005,R0  letters ..",)
    assert done(bench, "look 001000 4.") == ("001000  012700 000005 005200 000000 ........",)
    assert len(done(bench, "look 001000 20.")) == 3
    assert done(bench, "look stack")[0] == "000700  000000  SP points here"
    assert done(bench, "look next")[1] == "         001004  INC R0"
    assert "R2 000017" in "\n".join(done(bench, "look registers"))
    assert done(bench, "look")[0] == "state    stands"
    assert done(bench, "look")[1].startswith("next     001000  MOV #000005,R0: ")
    assert done(bench, "look floats")[0] == "AC0  0 (000000 000000)"
    assert done(bench, "look interrupts") == ("no device of this machine interrupts",)


@pytest.mark.parametrize(
    "what", ["1001", "8", "1000 8", "r8", "tide", "panel", "1000 4. 5.", "bus 3", "99999999", "1000 0.", "1000 513."]
)
def test_look_says_what_can_be_looked_at(what: str) -> None:
    refused(bare(*COUNT), f"look {what}")


def test_look_bus_says_who_answered() -> None:
    bench = with_console(0o012737, 0o101, 0o177566, 0)
    done(bench, "one")
    assert done(bench, "look bus")[-1] == "write  177566  000101  test serial-line, transmit data"
    assert "no cycles are kept" in done(bare(*COUNT), "look bus")[0]


def test_change_registers_memory_and_switches_and_takes_each_back() -> None:
    bench = with_console(*COUNT)
    bench.machine.cpu.ps = 0  # the stack pointer of the mode is written down with it
    before = bench.machine.state_hash()
    assert done(bench, "change r2 000012") == ("R2: 000000 becomes 000012",)
    assert done(bench, "change ps 000340") == ("PS: 000000 becomes 000340",)
    assert done(bench, "change 2000 1 2 3")[2] == "002004: 000000 becomes 000003"
    assert done(bench, "change switches 173000") == ("switches: 000000 becomes 173000",)
    assert done(bench, "change sp 000500") == ("SP: 000700 becomes 000500",)
    machine = bench.machine
    assert (machine.cpu.r[2], machine.cpu.ps, machine.memory.word(0o2002), machine.read(0o177570)) == (
        0o12,
        0o340,
        2,
        0o173000,
    )
    for _ in range(5):
        assert done(bench, "change back")[0].startswith("Taken back: ")
    assert "nothing was changed" in refused(bench, "change back")
    machine.read(0o177570)
    assert machine.state_hash() == before


def test_a_register_of_a_device_is_written_by_a_cycle_and_stays_written() -> None:
    bench = with_console(*COUNT)
    assert "with all that this sets off" in done(bench, "change 177566 000101")[0]
    assert "can't be taken back" in refused(bench, "change back")
    done(bench, "run")
    bench.finish()
    assert b"A" in bench.printed()


@pytest.mark.parametrize(
    "line",
    ["change", "change r2", "change r2 8", "change r2 200000", "change r2 1 2", "change 1001 1", "change 1000",
     "change 160000 1", "change 177000 1", "change 177776 1 2", "change tide on", "change test off line",
     "change switches"],
)  # fmt: skip
def test_what_can_not_be_changed_changes_nothing(line: str) -> None:
    bench = with_console(*COUNT)
    bench.machine.memory.put(0o1000, *COUNT)
    before = bench.machine.state_hash()
    refused(bench, line)
    assert bench.machine.state_hash() == before


def test_nothing_of_several_words_is_written_where_one_can_not_be() -> None:
    bench = with_console(*COUNT)
    refused(bench, "change 157776 1 2")  # behind the memory nobody answers
    assert bench.machine.memory.word(0o157776) == 0


def test_what_is_typed_comes_to_the_guest_with_return() -> None:
    bench = with_console(*ECHO)
    assert done(bench, "type High Water") == ("The machine stands; it finds this when it runs.",)
    done(bench, "run")
    bench.finish(200_000)
    assert bench.printed() == b"High Water\r"
    done(bench, 'type "break"')
    bench.finish(200_000)
    done(bench, "run")
    bench.finish(200_000)
    assert bench.printed() == b"break\r"
    assert "no console line" in refused(bare(), "type x")


def test_halt_gives_the_octal_console_the_word_and_run_lets_it_go() -> None:
    bench = with_console(*ECHO)
    done(bench, "run")
    bench.finish(1000)
    done(bench, "halt")
    bench.finish()
    assert bench.halted and bench.waits_for_keys and bench.printed().endswith(b"@")
    assert not bench.machine._raw.halt_switch  # it was only pressed
    done(bench, "run")
    bench.finish(100_000)
    assert bench.stop is not None and bench.stop.reason is Reason.REQUEST and not bench.machine.at_octal_console


def test_the_halt_switch_of_a_halted_processor_runs_nothing() -> None:
    bench = planned("gauge")  # a front panel: the switch stays on
    done(bench, "one 2.")
    assert done(bench, "halt") == ("The halt switch is on.",)
    bench.finish()
    assert bench.halted and bench.machine.instructions == 3  # it halts after the instruction it is at
    done(bench, "enable")
    assert done(bench, "halt") == ("The halt switch is on.",)
    assert not bench.running and bench.machine.instructions == 3 and bench.machine._raw.halt_switch
    other = bare(0)
    done(other, "run")
    other.finish()
    assert done(other, "halt") == ("The processor has halted already.",)
    assert not other.running and not other.machine._raw.halt_switch


def test_one_steps_a_processor_that_stands_at_its_octal_console() -> None:
    bench = with_console(0, 0o005200, 0o005201)
    done(bench, "run")
    bench.finish()
    assert bench.machine.at_octal_console
    assert done(bench, "one")[0].startswith("001002  INC R0: ")
    assert bench.machine.cpu.r[0] == 1 and bench.machine.cpu.pc == 0o1004


def test_keys_bring_a_halted_octal_console_on() -> None:
    bench = with_console(0)
    done(bench, "run")
    bench.finish()
    bench.printed()
    bench.type(b"1000/")
    assert bench.running
    bench.finish()
    assert bench.printed() == b"1000/ 000000 "


def test_the_panel_is_there_where_the_processor_has_one() -> None:
    bench = planned("gauge")
    done(bench, "panel load address 1000")
    assert done(bench, "panel deposit 12700 321 0")[0].startswith("address 001004")
    done(bench, "panel load address 1000")
    done(bench, "panel start")
    bench.finish()
    assert bench.machine.cpu.r[0] == 0o321 and bench.halted
    assert "is no key here" in refused(bench, "panel ebb")
    assert done(bench, "look panel")[0].startswith("address 001006")
    done(bench, "run")
    refused(bench, "panel examine")
    assert "no front panel" in refused(bare(), "panel examine")
    bench.machine.close()


def test_a_single_instruction_of_the_panel_is_told_too() -> None:
    bench = planned("gauge")
    done(bench, "change 1000 5200 0")
    done(bench, "change pc 1000")
    done(bench, "panel single instruction")
    assert bench.machine.cpu.r[0] == 1 and bench.steps[-1].pc == 0o1000
    bench.machine.close()


def test_console_and_leave_say_where_the_user_wants_to_be() -> None:
    bench = with_console(*ECHO)
    done(bench, "console")
    assert bench.wants_console and bench.running
    done(bench, "leave")
    assert bench.left and not bench.running
    assert "no console line" in refused(bare(), "console")


def test_help_tells_every_word() -> None:
    bench = bare()
    lines = done(bench, "help")
    assert all(any(line.startswith(name) for line in lines) for name in verbs())
    assert "  put in tape FILE" in done(bench, "help put in")
    assert "no word of the bench" in refused(bench, "help tide")


def test_tape_goes_into_the_reader_and_out_again(tmp_path: Path) -> None:
    bench, tape = with_console(*COUNT), tmp_path / "a tide.papertape"
    tape.write_bytes(b"tides")
    assert "5 frames" in done(bench, f"put in tape {tape}")[0]
    assert any("5 frames of tape in the reader" in line for line in done(bench, "look devices"))
    assert "5 frames had not been read" in done(bench, "take out tape")[0]
    assert "no tape is in the reader" in refused(bench, "take out tape")
    assert "can't read the file" in refused(bench, f"put in tape {tmp_path / 'none'}")
    assert "is no drive and no reader" in refused(bench, "take out main/a/9")
    refused(bench, "put in tape")
    refused(bench, "take out")
    assert "this machine has none" in refused(bare(), "take out tape")


def test_a_medium_goes_into_its_drive_and_its_switch_is_moved(tmp_path: Path) -> None:
    bench = planned("visitor")
    place = "lower/b/2:0"
    assert done(bench, f"take out {place.upper()}") == (f"{place} is empty now.",)
    assert "nothing is in" in refused(bench, f"take out {place}")
    assert any(f"{place}  " in line and "nothing in it" in line for line in done(bench, "look devices"))
    image = Path(__file__).parents[2] / "loadouts" / "kittiwake" / "media" / "visitor.floppy"
    copy = tmp_path / "visitor.floppy"
    copy.write_bytes(image.read_bytes())
    done(bench, f"change {place} write-protect on")
    assert bench.machine.drives[place].protected
    done(bench, "change back")
    assert not bench.machine.drives[place].protected
    assert "lower/b/3: off line" in done(bench, "change lower/b/3 off line")
    refused(bench, f"put in {place} {tmp_path / 'none.floppy'}")
    refused(bench, f"change {place} tide on")
    bench.machine.close()


def test_a_kept_machine_comes_back_bit_for_bit(tmp_path: Path) -> None:
    bench, file = bare(*COUNT), tmp_path / "count.kept"
    done(bench, "one")
    state = bench.machine.state_hash()
    assert "is kept" in done(bench, f"keep {file}")[0]
    done(bench, "one 2.")
    done(bench, f"keep {file}")  # over a kept machine
    done(bench, f"keep {tmp_path / 'first'}")
    bench.do("change r0 1")
    done(bench, f"recall {file}")
    assert bench.machine.cpu.r[0] == 6 and bench.machine.state_hash() != state
    assert "nothing was changed" in refused(bench, "change back")


def test_a_medium_lies_in_one_drive_at_a_time() -> None:
    bench = planned("visitor")
    file = bench.machine.drives["lower/b/2:0"].medium.path
    assert refused(bench, f"put in lower/b/2:1 {file}") == f"{file} is in lower/b/2:0; take it out there first"
    tape = KITTIWAKE / "media" / "tides.blocktape"
    assert refused(bench, f"put in lower/b/2:1 {tape}").count(str(tape)) == 1  # the file is named once
    bench.machine.close()


def test_the_end_of_so_many_seconds_is_told_as_such() -> None:
    bench = with_console(*ECHO)
    done(bench, "until 0.01 seconds")
    bench.finish()
    assert "the time is over after" in ending_words(bench)
    done(bench, "run")
    bench.finish(100)
    assert "stopped on request after" in ending_words(bench)


def test_nothing_else_is_written_over_or_recalled(tmp_path: Path) -> None:
    bench, other = bare(*COUNT), tmp_path / "notes.txt"
    other.write_text("the only copy", encoding="ascii")
    assert "no kept machine" in refused(bench, f"keep {other}")
    assert other.read_text(encoding="ascii") == "the only copy"
    assert refused(bench, f"recall {other}") == f"{other} can't be recalled: this is no frozen machine"
    refused(bench, f"keep {tmp_path}")
    refused(bench, f"keep {tmp_path / 'none' / 'x'}")
    refused(bench, "keep")
    refused(bench, "recall")
    refused(bench, f"recall {tmp_path / 'nothing'}")


def test_another_machine_is_not_recalled_and_a_recording_can_not_go_back(tmp_path: Path) -> None:
    file = tmp_path / "desk.kept"
    done(with_console(*COUNT), f"keep {file}")
    assert "only the same machine" in refused(bare(*COUNT), f"recall {file}")
    recorded = Bench(bare(*COUNT).machine, may_go_back=False)
    assert "a recording or a trace is being made" in refused(recorded, f"recall {file}")
    assert "a recording or a trace is being made" in refused(recorded, "back")


@pytest.mark.parametrize("line", ["back 10", "back tide", "back 10 hours", "back 1. 2.", "back 0 seconds"])
def test_back_takes_a_count_or_seconds(line: str) -> None:
    refused(bare(*COUNT), line)


def test_a_recalled_machine_says_that_its_media_are_copies(tmp_path: Path) -> None:
    bench = planned("visitor")
    done(bench, f"keep {tmp_path / 'visitor.kept'}")
    lines = done(bench, f"recall {tmp_path / 'visitor.kept'}")
    assert any("are copies" in line for line in lines)
    assert any("visitor.floppy" in line for line in done(bench, "look devices"))
    bench.machine.close()
