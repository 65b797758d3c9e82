"""Boot ROM windows, boot board registers, switch register."""

import pytest

import minisim
from minisim.devices._device import Placement, RomWords

from .workbench import Workbench

LETTERS = (0o042130, 0o042113, 0o050122, 0o052124)  # boot-terminator-wiki; the last three derived
WINDOWS = ((0o5000, 256), (0o13000, 256))


def terminator(**changes: object) -> Workbench:
    """The later ROM and terminator board with four boot PROMs of 64 words."""
    roms = tuple(RomWords(0o13000 + 0o200 * n, (word, 0o240, n)) for n, word in enumerate(LETTERS))
    given = {"board": "sep-boot-terminator", "roms": roms, "windows": WINDOWS, **changes}
    return Workbench(Placement("boot-rom", "main/a/3AB", **given))  # type: ignore[arg-type]


def test_a21_the_first_word_of_each_prom_is_its_letters() -> None:
    bench = terminator()
    places = (0o173000, 0o173200, 0o173400, 0o173600)
    assert tuple(bench.read(place) for place in places) == LETTERS  # boot-terminator-wiki
    assert bench.read(0o173602) == 0o240


def test_a_write_into_the_window_gets_no_answer() -> None:
    bench = terminator()
    with pytest.raises(minisim.BusTimeout):
        bench.write(0o173000, 0)  # boot-terminator-posts
    with pytest.raises(minisim.BusTimeout):
        bench.write_byte(0o173001, 0)
    assert bench.read(0o173000) == LETTERS[0]


def test_a_byte_of_the_window_is_read_through_its_word() -> None:
    bench = terminator()
    machine = bench.machine
    machine.memory.put(0o1000, 0o113700, 0o173001, 0)  # MOVB @#173001,R0; HALT
    machine.cpu.pc = 0o1000
    machine.run(limit=10)
    assert machine.cpu.r[0] == 0o104  # the high byte of 042130


def test_the_start_switches_lie_over_773024_and_773026() -> None:
    bench = terminator(start=0o173406)
    assert bench.read(0o173024) == 0o173406
    assert bench.read(0o173026) == 0o000340  # from memory, firm
    assert bench.read(0o165024) == 0


def test_the_start_pair_comes_from_the_low_window_where_the_switch_says_so() -> None:
    bench = terminator(start=0o165020, settings={"start-from": "low"})
    assert (bench.read(0o165024), bench.read(0o165026)) == (0o165020, 0o340)
    assert bench.read(0o173024) == 0


def test_the_jumper_takes_the_low_window_out() -> None:
    bench = terminator(settings={"low-window": "out"})
    with pytest.raises(minisim.BusTimeout):
        bench.read(0o165000)
    assert bench.read(0o173000) == LETTERS[0]


def test_the_boot_board_pages_its_window_by_halves() -> None:
    words = tuple(range(512))
    placement = Placement(
        "boot-registers",
        "main/a/4",
        "boot-diagnostic-terminator-quad",
        0o17520,
        variant={"paged-window": "yes"},
        roms=(RomWords(0o13000, words),),
        windows=((0o13000, 256),),
        settings={"switches": "5"},
    )
    bench = Workbench(placement)
    assert (bench.read(0o173000), bench.read(0o173400)) == (0, 0)  # unconfirmed: page 0 in both halves at first
    bench.write(0o177520, 0o1403)  # high half page 3, low half page 3
    assert (bench.read(0o173000), bench.read(0o173400)) == (3 * 128, 3 * 128)
    bench.write(0o177520, 1 << 8)
    assert (bench.read(0o173002), bench.read(0o173402)) == (1, 129)
    bench.write(0o177520, 0o377)
    assert bench.read(0o173000) == 0  # no such page
    bench.write(0o177522, 0o123456)
    assert bench.read(0o177522) == 0o123456
    assert bench.read(0o177524) == 5
    bench.write(0o177524, 0o17)
    assert bench.read(0o177524) == 5  # a write goes to the lamps


def test_the_switch_register_reads_the_switches_and_keeps_them() -> None:
    bench = Workbench(Placement("switch-register", register=0o173000))
    bench.write(0o177570, 0o125252)
    bench.initialise()
    assert bench.read(0o177570) == 0o173000
