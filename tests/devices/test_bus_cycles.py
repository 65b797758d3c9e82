"""What a program's instructions do to device registers: reads and writes with their side effects, bytes, time-outs."""

from __future__ import annotations

import pytest

import minisim
from devices.workbench import Workbench
from minisim.cpu._core import lib
from minisim.devices._device import Placement

READER, READER_DATA, PUNCH, PUNCH_DATA = 0o177550, 0o177552, 0o177554, 0o177556
RECEIVE, RECEIVE_DATA, TRANSMIT, TRANSMIT_DATA = 0o177560, 0o177562, 0o177564, 0o177566
DONE, ENABLE, READY, BUSY, ERROR = 0o200, 0o100, 0o200, 0o4000, 0o100000
CHARACTER = 1_041_666  # ns of ten bits at 9600 baud
SERIAL = Placement("serial-line", "main/a/2AB", vectors=((0o60, 4), (0o64, 4)))
TAPE = Placement("paper-tape", "main/a/3CF", vectors=((0o70, 4), (0o74, 4)), tapes=(b"\x05\x06",))


def bench(*words: int, profile: str = "two-board-ttl-mmu") -> Workbench:
    """A program at 1000 with a console line and a paper tape reader and punch; a bus error halts at 2006."""
    made = Workbench(SERIAL, TAPE, profile=profile)
    memory, cpu = made.machine.memory, made.machine.cpu
    memory.put(4, 0o2004, 0o340)
    memory.put(0o1000, *words, 0)
    cpu.pc, cpu.sp, cpu.ps = 0o1000, 0o700, 0o340
    return made


def typed(made: Workbench, data: bytes = b"ab") -> None:
    """Characters on the line; the first one has arrived."""
    made.machine.console.feed(data)
    made.wait(CHARACTER + 1)
    assert made.raw.registers[made.machine.device("serial-line").registers["receive status"][0]].value & DONE


def halted_at(made: Workbench) -> int:
    """Run the program to its halt; where it stands."""
    assert str(made.machine.run(limit=20).reason) == "HALTED"
    return made.machine.cpu.pc


# --- bytes ---


def test_a_read_of_the_odd_byte_of_receive_data_gives_the_error_bits_and_clears_done() -> None:
    """A read cycle moves a whole word: the processor picks its byte."""
    made = bench(0o113700, RECEIVE_DATA + 1, 0o013701, RECEIVE)  # MOVB @#177563,R0; MOV @#177560,R1
    made.machine.console.feed(b"ab", steady=True)
    made.wait(2 * CHARACTER + 2)
    assert halted_at(made) == 0o1012
    assert made.machine.cpu.r[0] == 0o177700  # error and overrun in the high byte, sign-extended
    assert not made.machine.cpu.r[1] & DONE


def test_a_byte_write_to_the_odd_byte_of_transmit_data_sends_what_the_low_byte_held() -> None:
    made = bench()
    made.write_byte(TRANSMIT_DATA, 0o101)
    made.wait(20 * CHARACTER)
    made.write_byte(TRANSMIT_DATA + 1, 0o102)
    made.wait(20 * CHARACTER)
    assert made.machine.console.take() == b"AA"  # unconfirmed: the register answers, its low byte is not written


def test_a_byte_write_of_1_to_the_odd_byte_of_reader_status_moves_no_tape() -> None:
    made = bench()
    made.write_byte(READER + 1, 1)
    made.wait(10_000_000)
    assert made.read(READER) == 0
    made.write_byte(READER, 1)
    assert made.read(READER) == BUSY


# --- read, change, write ---


@pytest.mark.parametrize(
    ("words", "after"),
    [
        ((0o005237, READER), 0),  # INC: bit 0 reads as 0, is written as 1
        ((0o105237, READER), 0),  # INCB
        ((0o052737, ENABLE | 1, READER), ENABLE),  # BIS
        ((0o152737, ENABLE | 1, READER), ENABLE),  # BISB
        ((0o062737, 1, READER), 0),  # ADD
    ],
)
def test_instructions_that_change_a_status_register_start_the_reader(words: tuple[int, ...], after: int) -> None:
    made = bench(*words)
    halted_at(made)
    assert made.read(READER) == BUSY | after
    made.wait(3_400_000)
    assert made.read(READER) == DONE | after
    assert made.read(READER_DATA) == 5


def test_a_bit_test_of_a_status_register_writes_nothing() -> None:
    made = bench(0o032737, 1, READER, 0o105737, READER)  # BIT #1; TSTB
    halted_at(made)
    assert made.machine.counters().writes == {}
    assert made.read(READER) == 0


def test_bic_of_the_enable_takes_a_waiting_request_back() -> None:
    made = bench(0o042737, ENABLE, RECEIVE)
    typed(made)
    made.write(RECEIVE, ENABLE)
    assert made.raw.request_level == 4
    halted_at(made)
    assert made.raw.request_level == 0
    assert made.read(RECEIVE) == DONE


@pytest.mark.parametrize("code", [0o005237, 0o005337, 0o005437, 0o005537, 0o006037, 0o000337, 0o005137, 0o105237])
def test_an_instruction_that_changes_a_write_only_register_times_out_at_its_read(code: int) -> None:
    """[paper-tape-wiki]: the punch data do not answer a read."""
    made = bench(code, PUNCH_DATA)
    assert halted_at(made) == 0o2006
    assert made.read(PUNCH) == READY  # nothing was written
    assert made.machine.take_punched() == b""


def test_clr_of_a_write_only_register_writes_where_clr_does_not_read_first() -> None:
    made = bench(0o005037, PUNCH_DATA)
    assert halted_at(made) == 0o1006
    assert made.machine.take_punched() == b"\0"


def test_a_source_that_times_out_leaves_the_destination_untouched() -> None:
    made = bench(0o013722, PUNCH_DATA, 0)  # MOV @#177556,(R2)+ : the read of the punch data gets no answer
    made.machine.cpu.r[2] = RECEIVE_DATA
    typed(made)
    assert halted_at(made) == 0o2006
    assert made.machine.cpu.r[2] == RECEIVE_DATA
    assert made.read(RECEIVE) & DONE


def test_a_destination_that_times_out_has_read_its_source() -> None:
    made = bench(0o063737, RECEIVE_DATA, PUNCH_DATA)  # ADD
    typed(made)
    assert halted_at(made) == 0o2006
    assert not made.read(RECEIVE) & DONE


def test_a_push_into_the_io_page_reaches_the_register_there() -> None:
    made = bench(0o012746, 0o101)  # MOV #101,-(SP)
    made.machine.cpu.sp = TRANSMIT_DATA + 2
    assert halted_at(made) == 0o1006
    made.wait(20 * CHARACTER)
    assert made.machine.console.take().endswith(b"A")


# --- RESET and what is on its way ---


def test_reset_takes_back_requests_and_a_frame_on_its_way_and_keeps_it_on_the_tape() -> None:
    made = bench(0o052737, ENABLE | 1, READER, 0o000005, 0o000240)
    halted_at(made)
    made.wait(10_000_000)
    assert made.read(READER) == 0
    assert made.grants() == []
    made.write(READER, 1)
    made.wait(3_400_000)
    assert made.read(READER_DATA) == 5


def test_typing_goes_on_after_a_reset_threw_a_character_away() -> None:
    """Bus initialise clears DONE: the typist, who waits for the program to take a character, goes on after a while."""
    made = bench(0o000005)
    typed(made, b"abc")
    halted_at(made)
    assert not made.read(RECEIVE) & DONE
    made.wait(1_000_000_000)
    made.wait(CHARACTER + 1)
    assert made.read(RECEIVE) & DONE
    assert made.read(RECEIVE_DATA) == ord("b")


def test_reset_drops_what_waits_before_the_shifter_and_finishes_what_is_in_it() -> None:
    made = bench()
    for character in (0o101, 0o102):
        made.write(TRANSMIT_DATA, character)
        made.wait(CHARACTER // 8)  # the first one is in the shifter, the second one waits
    made.initialise()
    assert made.read(TRANSMIT) == READY
    made.wait(20 * CHARACTER)
    assert made.machine.console.take() == b"A"


def test_a_program_that_does_not_wait_for_ready_still_sends() -> None:
    """The shifter takes what the holding buffer has at the next bit; a later load does not put that off."""
    made = bench()
    for _ in range(40):
        made.write(TRANSMIT_DATA, 0o101)
        made.wait(50_000)  # half a bit at 9600 baud
    made.wait(20 * CHARACTER)
    sent = made.machine.console.take()
    assert 2 <= len(sent) <= 4
    assert set(sent) == {0o101}


def test_a_program_that_does_not_wait_for_the_punch_still_punches() -> None:
    made = bench()
    for _ in range(8):
        made.write(PUNCH_DATA, 0o101)
        made.wait(5_000_000)
    made.wait(20_000_000)
    assert 2 <= len(made.machine.take_punched()) <= 3


# --- break ---


def test_a_break_halts_the_next_run_once() -> None:
    placement = Placement("serial-line", vectors=((0o60, 4), (0o64, 4)), settings={"break": "halt"})
    made = Workbench(placement)
    made.machine.memory.put(0o1000, 0o005200, 0o000776)
    made.machine.cpu.pc = 0o1000
    made.machine.console.send_break()
    stop = made.machine.run(limit=100)
    assert (str(stop.reason), stop.instructions) == ("HALTED", 1)
    assert str(made.machine.run(limit=100).reason) == "LIMIT"


def test_a_tape_put_in_after_the_last_one_was_taken_out_clears_error() -> None:
    made = bench()
    made.machine.take_out_tape()
    assert made.read(READER) == ERROR
    made.machine.put_in_tape(b"\x07")
    assert made.read(READER) == 0
    made.write(READER, 1)
    made.wait(3_400_000)
    assert made.read(READER_DATA) == 7


def test_a_tape_longer_than_the_reader_can_hold_is_refused() -> None:
    made = bench()
    with pytest.raises(minisim.MachineError, match="room"):
        made.machine.put_in_tape(bytes((64 << 20) + 1))
    assert made.raw.timers[0].due == lib.MS_NEVER or made.raw.timers[0].due >= 0
