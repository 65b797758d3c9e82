"""Serial line.  Evidence stands beside each value; what is from memory is said to be."""

import pytest

import minisim
from minisim.catalogue.reader import Catalogue
from minisim.devices._device import Placement
from minisim.devices.serial_line import character_ns

from .workbench import Workbench

RECEIVE, DATA, TRANSMIT, OUT = 0o177560, 0o177562, 0o177564, 0o177566
DONE, ENABLE, READY, BUSY = 0o200, 0o100, 0o200, 0o4000
BIT, CHARACTER = 104_166, 1_041_666  # at 9600 baud, 8 bits and one stop bit


# The separate teleprinter control of 1969 [handbook-1969 p. 54]; no board of the catalogue has it.
OLDEST = {"error-bits": "no", "sends-break": "no", "clears-at-start": "yes"}


def line(**changes: object) -> Workbench:
    """A console line at 9600 baud."""
    given = {"board": "sep-serial-line-and-clock", "vectors": ((0o60, 4), (0o64, 4)), "bauds": ("9600",), **changes}
    return Workbench(Placement("serial-line", "main/a/3CF", **given))  # type: ignore[arg-type]


def test_a1_after_initialise_receive_status_is_0_and_transmit_status_200() -> None:
    bench = line()
    bench.write(RECEIVE, ENABLE)
    bench.write(TRANSMIT, ENABLE)
    bench.initialise()
    assert bench.read(RECEIVE) == 0o000000  # handbook-1969
    assert bench.read(TRANSMIT) == 0o000200  # handbook-1969


def test_a3_a_flag_read_away_before_the_grant_gives_no_interrupt() -> None:
    bench = line()
    bench.write(RECEIVE, ENABLE)
    bench.machine.console.feed(b"A")
    bench.wait(CHARACTER)
    assert bench.grant(priority=4) is None
    assert bench.read(DATA) == 0o101
    assert bench.grant(priority=0) is None  # handbook-1969 p. 54


def test_a5_done_and_enable_left_set_after_service_give_no_second_interrupt() -> None:
    bench = line()
    bench.write(RECEIVE, ENABLE)
    bench.machine.console.feed(b"A")
    bench.wait(CHARACTER)
    assert bench.grants() == [0o60]
    assert bench.read(RECEIVE) & (DONE | ENABLE) == DONE | ENABLE
    bench.wait(CHARACTER)
    assert bench.grants() == []  # from memory, firm


def test_the_enable_switched_off_and_on_again_interrupts_again() -> None:
    bench = line()
    bench.write(TRANSMIT, ENABLE)
    assert bench.grants() == [0o64]
    bench.write(TRANSMIT, 0)
    assert bench.grants() == []
    bench.write(TRANSMIT, ENABLE)
    assert bench.grants() == [0o64]  # from memory, firm


def test_a7_receive_goes_before_transmit() -> None:
    bench = line()
    bench.machine.console.feed(b"A")
    bench.wait(CHARACTER)
    bench.write(TRANSMIT, ENABLE)
    bench.write(RECEIVE, ENABLE)
    assert bench.grants() == [0o60, 0o64]  # handbook-1969 p. 55


def test_a9_two_bytes_without_a_read_set_overrun_and_leave_the_newer() -> None:
    bench = line()
    bench.machine.console.feed(b"AB", steady=True)
    bench.wait(2 * CHARACTER)
    assert bench.read(DATA) == 0o140000 | ord("B")  # from memory, firm


def test_error_bits_go_when_the_next_character_comes() -> None:
    bench = line()
    bench.machine.console.feed(b"ABC", steady=True)
    bench.wait(2 * CHARACTER)
    bench.read(DATA)
    bench.wait(CHARACTER)
    assert bench.read(DATA) == ord("C")  # from memory, firm


def test_a_variant_without_error_bits_shows_none() -> None:
    bench = line(variant=OLDEST)
    bench.machine.console.feed(b"AB", steady=True)
    bench.wait(2 * CHARACTER)
    assert bench.read(DATA) == ord("B")  # from memory, firm


def test_a_patient_typist_loses_nothing() -> None:
    bench = line()
    bench.machine.console.feed(b"tide")
    seen = b""
    for _ in range(8):
        bench.wait(CHARACTER)
        if bench.read(RECEIVE) & DONE:
            seen += bytes([bench.read(DATA)])
    assert seen == b"tide"


def test_a_break_gives_a_framing_error_with_data_0() -> None:
    bench = line()
    bench.machine.console.send_break()
    assert bench.read(RECEIVE) & DONE
    assert bench.read(DATA) == 0o120000  # from memory, firm


def test_reading_the_data_clears_done() -> None:
    bench = line()
    bench.machine.console.feed(b"A")
    bench.wait(CHARACTER - 1)
    assert not bench.read(RECEIVE) & DONE
    bench.wait(1)
    assert bench.read(RECEIVE) == DONE
    bench.read(DATA)
    assert bench.read(RECEIVE) == 0  # handbook-1969


def test_busy_from_the_start_bit_to_done() -> None:
    bench = line()
    bench.machine.console.feed(b"A")
    assert not bench.read(RECEIVE) & BUSY
    bench.wait(BIT)
    assert bench.read(RECEIVE) & BUSY  # serial-board-page
    bench.wait(CHARACTER)
    assert bench.read(RECEIVE) == DONE


def test_reader_enable_reads_0_clears_done_and_moves_one_frame() -> None:
    bench = line(tapes=(b"\x11\x22",))
    bench.wait(10 * CHARACTER)
    assert bench.read(RECEIVE) == 0  # nothing moves by itself
    bench.write(RECEIVE, 1)
    assert bench.read(RECEIVE) & 1 == 0  # handbook-1969 p. 54
    bench.wait(CHARACTER)
    assert bench.read(RECEIVE) == DONE
    bench.write(RECEIVE, 1)
    assert not bench.read(RECEIVE) & DONE  # from memory, firm
    bench.wait(CHARACTER)
    assert bench.read(DATA) == 0x22
    bench.write(RECEIVE, 1)
    bench.wait(10 * CHARACTER)
    assert bench.read(RECEIVE) == 0  # the tape has run out


def test_typing_waits_until_the_tape_of_the_terminal_stands_still() -> None:
    bench = line(tapes=(b"\x11",))
    bench.machine.console.feed(b"K")
    bench.write(RECEIVE, 1)
    bench.wait(CHARACTER)
    assert bench.read(DATA) == 0x11
    bench.wait(CHARACTER)
    assert not bench.read(RECEIVE) & DONE
    bench.wait(1_000_000_000)
    bench.wait(CHARACTER)
    assert bench.read(DATA) == ord("K")


def test_on_the_oldest_unit_a_frame_on_its_way_shows_busy_and_empties_the_buffer() -> None:
    bench = line(variant=OLDEST, tapes=(b"\x33\x44",), bauds=("110",))
    bench.write(RECEIVE, 1)
    assert bench.read(RECEIVE) & BUSY  # handbook-1969
    bench.wait(character_ns(__import__("decimal").Decimal(110)))
    bench.write(RECEIVE, 1)
    assert bench.read(DATA) == 0  # handbook-1969 p. 54


def test_a_teleprinter_brings_ten_characters_a_second() -> None:
    bench = line(bauds=("110",))
    bench.machine.console.feed(b"A")
    bench.wait(99_999_999)
    assert not bench.read(RECEIVE) & DONE
    bench.wait(1)
    assert bench.read(RECEIVE) & DONE  # components-1969: 11 units, 10 characters a second


def test_ready_comes_back_after_a_bit_when_the_shifter_is_empty_else_after_a_character() -> None:
    bench = line()
    bench.write(OUT, ord("A"))
    assert not bench.read(TRANSMIT) & READY  # handbook-1969
    bench.wait(BIT)
    assert bench.read(TRANSMIT) & READY  # from memory, firm
    bench.write(OUT, ord("B"))
    bench.wait(CHARACTER - 1)
    assert not bench.read(TRANSMIT) & READY
    bench.wait(1)
    assert bench.read(TRANSMIT) & READY
    bench.wait(CHARACTER)
    assert bench.machine.console.take() == b"AB"


def test_a_read_of_the_transmit_data_does_not_time_out() -> None:
    bench = line()
    bench.write(OUT, ord("A"))
    bench.read(OUT)  # disputed; no time-out on known units (unconfirmed): the value is not looked at


def test_the_maintenance_loop_delivers_the_byte() -> None:
    bench = line()
    bench.write(TRANSMIT, 4)
    assert bench.read(TRANSMIT) == READY | 4  # handbook-1969
    bench.write(OUT, 0o252)
    bench.wait(BIT)
    bench.wait(CHARACTER)
    assert bench.read(RECEIVE) & DONE
    assert bench.read(DATA) == 0o252


@pytest.mark.parametrize("board", ["serial-line-single", "serial-lines-four"])
def test_boards_without_a_maintenance_bit_read_it_as_0(board: str) -> None:
    (lines, *_) = (one for one in Catalogue().board(board).registers if one.device == "serial-line")
    bench = line(board=board, variant=lines.variant)
    bench.write(TRANSMIT, 4)
    assert bench.read(TRANSMIT) == READY  # unconfirmed; disputed


def test_a_break_halts_the_processor_where_the_board_is_strapped_so() -> None:
    bench = line(settings={"break": "halt"})
    bench.machine.memory.put(0o1000, 0o777)  # BR .
    bench.machine.cpu.pc = 0o1000
    bench.machine.cpu.ps = 0
    bench.machine.console.send_break()
    assert bench.raw.halt_switch == 1


def test_four_lines_of_a_board_step_by_10_in_address_and_vector() -> None:
    vectors = tuple((0o300 + 4 * n, 4) for n in range(6))
    bench = Workbench(
        Placement(
            "serial-line", "main/a/2AB", "serial-lines-four", 0o16500, vectors, lines=3, bauds=("9600", "300", "")
        )
    )
    for number in range(3):
        bench.write(0o176504 + 8 * number, ENABLE)
        assert bench.grants() == [0o304 + 8 * number]  # serial-boards-wiki
    with pytest.raises(minisim.BusTimeout):
        bench.read(0o176530)


def test_the_first_line_of_a_board_goes_before_the_later_ones() -> None:
    vectors = tuple((0o300 + 4 * n, 4) for n in range(6))
    bench = Workbench(Placement("serial-line", "", "serial-lines-four", 0o16500, vectors, lines=3))
    for number in (2, 0, 1):
        bench.write(0o176504 + 8 * number, ENABLE)
    assert bench.grants() == [0o304, 0o314, 0o324]


def test_a_byte_write_to_the_other_byte_leaves_the_enable() -> None:
    bench = line()
    bench.write(RECEIVE, ENABLE)
    bench.write_byte(RECEIVE + 1, 0o377)
    assert bench.read(RECEIVE) == ENABLE
    bench.write_byte(RECEIVE, 0)
    assert bench.read(RECEIVE) == 0


@pytest.mark.parametrize("text", ["0", "-5", "fast", "1e9"])
def test_a_speed_that_is_none_is_refused(text: str) -> None:
    from minisim.devices.serial_line import baud_of

    with pytest.raises(ValueError, match="line speed"):
        baud_of(text)
