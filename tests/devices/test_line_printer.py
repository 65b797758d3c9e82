"""Line printer, section 11 of the facts."""

import pytest

from minisim.devices._device import Placement

from .workbench import Workbench

STATUS, DATA = 0o177514, 0o177516
ERROR, READY, ENABLE = 0o100000, 0o200, 0o100
TAKES = 1_000_000  # a choice of the emulator


def printer(attached: tuple[str, ...] = ("line-printer",), granted: bool = True) -> Workbench:
    """An interface with what hangs on it."""
    place = Placement("line-printer", "main/a/6CF", vectors=((0o200, 4),), attached=attached, granted=granted)
    return Workbench(place)


def send(bench: Workbench, text: bytes) -> bytes:
    """Characters one after the other, each when the printer is ready; gives what was printed."""
    for character in text:
        bench.write(DATA, character)
        bench.wait(TAKES)
    return bench.machine.take_printed()


@pytest.mark.parametrize(
    ("attached", "written", "seen"),
    [
        (("line-printer",), 0, READY),  # firm: ready when on line
        (("line-printer",), 0o177777, READY | ENABLE),  # printer-handbook-1983: only 6 can be written
        ((), 0, ERROR),  # unconfirmed: no printer looks like one that is off line
        ((), 0o177777, ERROR | ENABLE),
    ],
)
def test_the_status_shows_error_ready_and_the_enable(attached: tuple[str, ...], written: int, seen: int) -> None:
    bench = printer(attached)
    bench.write(STATUS, written)
    assert bench.read(STATUS) == seen
    bench.initialise()
    assert bench.read(STATUS) == seen & ~ENABLE  # printer-handbook-1983: 6 cleared; firm: the paper stays as it is


def test_loading_a_character_clears_ready_until_it_is_taken() -> None:
    bench = printer()
    bench.write(DATA, ord("K"))
    assert bench.read(STATUS) == 0  # firm
    bench.wait(TAKES - 1)
    assert bench.read(STATUS) == 0
    bench.wait(1)
    assert bench.read(STATUS) == READY
    assert bench.read(DATA) == 0  # unconfirmed


def test_a_write_of_the_high_byte_prints_nothing() -> None:
    bench = printer()
    bench.write_byte(DATA + 1, ord("K"))
    assert (bench.read(STATUS), bench.machine.take_printed()) == (READY, b"")


def test_what_is_below_040_is_not_printed_but_for_cr_lf_and_ff() -> None:
    kept = bytes([0o12, 0o14, 0o15, *range(0o40, 0o200)])
    assert send(printer(), bytes(range(0o200))) == kept  # firm: a drum printer


def test_the_eighth_bit_is_not_looked_at() -> None:
    assert send(printer(), b"\xcb\x8d") == b"K\r"  # printer-handbook-1983: data bits 6-0


def test_a_character_for_a_printer_that_is_not_ready_is_lost() -> None:
    bench = printer()
    bench.write(DATA, ord("a"))
    bench.write(DATA, ord("b"))  # unconfirmed
    bench.wait(TAKES)
    assert bench.machine.take_printed() == b"a"
    bench.machine.put_printer_on_line(False)
    assert send(bench, b"c") == b""
    assert bench.read(STATUS) == ERROR


def test_error_and_ready_interrupt_as_they_rise_through_200_at_level_4() -> None:
    bench = printer()
    bench.write(STATUS, ENABLE)
    assert bench.grant(priority=4) is None  # firm: level 4
    assert bench.grants(priority=3) == [0o200]  # firm
    bench.write(DATA, ord("a"))
    assert bench.grants() == []
    bench.wait(TAKES)
    assert bench.grants() == [0o200]  # printer-handbook-1983: 7 rises
    bench.machine.put_printer_on_line(False)
    assert bench.grants() == [0o200]  # printer-handbook-1983: 15 rises
    bench.machine.put_printer_on_line()
    assert bench.grants() == [0o200]
    assert bench.read(STATUS) == READY | ENABLE  # printer-handbook-1983: error goes with its cause


def test_without_the_enable_or_a_grant_nothing_interrupts() -> None:
    bench = printer()
    assert send(bench, b"ab") == b"ab"
    assert bench.grants() == []
    bench = printer(granted=False)
    bench.write(STATUS, ENABLE)
    assert bench.grants() == []
    assert bench.machine.counters().refused == {"main/a/6CF": 1}


def test_initialise_makes_a_printer_that_is_on_line_ready() -> None:
    bench = printer()
    bench.write(DATA, ord("a"))
    bench.initialise()
    assert bench.read(STATUS) == READY  # firm: ready when on line
    bench.wait(TAKES)
    assert bench.machine.take_printed() == b"a"
    bench.machine.put_printer_on_line(False)
    bench.initialise()
    assert bench.read(STATUS) == ERROR  # firm: initialise does not change the state of the paper
