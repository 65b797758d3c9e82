"""Paper tape reader and punch."""

import pytest

import minisim
from minisim.devices._device import Placement

from .workbench import Workbench

STATUS, DATA, PUNCH, PUNCH_DATA = 0o177550, 0o177552, 0o177554, 0o177556
ERROR, BUSY, DONE, ENABLE = 0o100000, 0o4000, 0o200, 0o100
FRAME, PUNCHED = 3_333_333, 20_000_000


def tape(content: bytes | None = b"\x01\x02") -> Workbench:
    """A reader with a tape in it, and a punch."""
    return Workbench(Placement("paper-tape", "main/a/5CF", vectors=((0o70, 4), (0o74, 4)), tapes=(content,)))


def test_a17_enable_shows_busy_then_done_and_reading_clears_done() -> None:
    bench = tape()
    bench.write(STATUS, 1)
    assert bench.read(STATUS) == BUSY  # handbook-1969
    assert bench.read(DATA) == 0
    bench.wait(FRAME - 1)
    assert bench.read(STATUS) == BUSY
    bench.wait(1)
    assert bench.read(STATUS) == DONE
    assert bench.read(DATA) == 1
    assert bench.read(STATUS) == 0  # handbook-1969


def test_setting_enable_clears_the_data_and_done() -> None:
    bench = tape()
    bench.write(STATUS, 1)
    bench.wait(FRAME)
    bench.write(STATUS, 1)
    assert bench.read(STATUS) == BUSY
    assert bench.read(DATA) == 0  # handbook-1969


def test_enable_reads_as_0() -> None:
    bench = tape()
    bench.write(STATUS, ENABLE | 1)
    assert bench.read(STATUS) == BUSY | ENABLE  # handbook-1969


def test_no_tape_is_an_error_and_enable_can_not_be_set() -> None:
    bench = tape(None)
    assert bench.read(STATUS) == ERROR  # handbook-1969
    bench.write(STATUS, 1)
    bench.wait(FRAME)
    assert bench.read(STATUS) == ERROR
    bench.initialise()
    assert bench.read(STATUS) == ERROR  # follows the sensors


def test_the_end_of_the_tape_raises_error_and_not_done() -> None:
    bench = tape(b"\x07")
    bench.write(STATUS, ENABLE | 1)
    bench.wait(FRAME)
    assert bench.read(DATA) == 7
    assert bench.grants() == []
    bench.write(STATUS, ENABLE | 1)
    bench.wait(FRAME)
    assert bench.read(STATUS) == ERROR | ENABLE  # unconfirmed
    assert bench.grants() == [0o70]  # handbook-1969: either ERROR or DONE


def test_a_tape_put_in_clears_error() -> None:
    bench = tape(None)
    bench.machine.put_in_tape(b"\x05")
    assert bench.read(STATUS) == 0
    bench.write(STATUS, 1)
    bench.wait(FRAME)
    assert bench.read(DATA) == 5


def test_done_interrupts_through_70_and_ready_through_74() -> None:
    bench = tape()
    bench.write(PUNCH, ENABLE)
    bench.write(STATUS, ENABLE | 1)
    bench.wait(FRAME)
    assert bench.grants() == [0o70, 0o74]  # handbook-1969 p. 56; 74 from memory, firm


def test_a19_the_punch_data_does_not_answer_a_read_and_a_write_takes_20_ms() -> None:
    bench = tape()
    with pytest.raises(minisim.BusTimeout):
        bench.read(PUNCH_DATA)  # paper-tape-wiki
    assert bench.read(PUNCH) == 0o200
    bench.write(PUNCH_DATA, 0o377)
    assert bench.read(PUNCH) == 0  # handbook-1969
    bench.wait(PUNCHED - 1)
    assert bench.read(PUNCH) == 0
    bench.wait(1)
    assert bench.read(PUNCH) == 0o200
    assert bench.machine.take_punched() == b"\xff"


def test_a_read_of_the_punch_data_traps_to_4() -> None:
    bench = tape()
    machine = bench.machine
    machine.memory.put(0o1000, 0o013700, 0o177556)  # MOV @#177556,R0
    machine.memory.put(4, 0o2000, 0)
    machine.memory.put(0o2000, 0)  # HALT
    machine.cpu.pc, machine.cpu.sp = 0o1000, 0o700
    stop = machine.run(limit=10)
    assert (stop.reason, stop.pc) == (minisim.Reason.HALTED, 0o2002)  # paper-tape-wiki
    assert machine.counters().traps == {4: 1}


def test_after_initialise_all_is_0_but_ready_of_the_punch() -> None:
    bench = tape()
    bench.write(STATUS, ENABLE | 1)
    bench.write(PUNCH, ENABLE)
    bench.write(PUNCH_DATA, 1)
    bench.initialise()
    assert [bench.read(a) for a in (STATUS, DATA, PUNCH)] == [0, 0, 0o200]  # handbook-1969
    bench.wait(FRAME)
    assert bench.read(STATUS) == 0
