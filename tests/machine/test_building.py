"""From a loadout to a machine: what is refused, what is left out and said, what is put in."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

import minisim
from minisim.catalogue.reader import Catalogue
from minisim.machine.build import joined, machine_of
from minisim.wiring.resolve import resolve

KITTIWAKE = Path(__file__).parents[2] / "loadouts" / "kittiwake"


def changed(folder: Path, name: str, *changes: tuple[str, str]) -> minisim.Loadout:
    """A demo loadout with some of its text changed."""
    shutil.copytree(KITTIWAKE / "media", folder / "media", dirs_exist_ok=True)
    text = (KITTIWAKE / name).read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    (folder / name).write_text(text, encoding="utf-8")
    return minisim.read_loadout(folder / name)


def test_faults_are_refused_unless_they_are_allowed(tmp_path: Path) -> None:
    planned = changed(tmp_path, "desk.yaml", ("      2CD:  ", "      2AB:  "), ("main/a/2CD", "main/a/2AB"))
    with pytest.raises(minisim.NotBuildableError, match=r"forbids? building Desktop tide table") as caught:
        minisim.build(planned)
    assert {(f.rule, f.place) for f in caught.value.findings} == {("GRANT-001", "main/a/2AB")}
    machine = minisim.build(planned, allow=("fault",))
    machine.run(limit=50_000_000)
    assert b"Kittiwake Point" in machine.console.take()  # it prints by polling: no interrupt of the line is needed


def test_damage_is_never_allowed(tmp_path: Path) -> None:
    planned = changed(
        tmp_path,
        "gauge.yaml",
        ("      9AB: {board: sep-turnaround-terminator}", "      5AB: {board: sep-turnaround-terminator}"),
    )
    with pytest.raises(minisim.NotBuildableError) as caught:
        minisim.build(planned, allow=("fault",))
    assert {f.severity for f in caught.value.findings} == {minisim.Severity.DAMAGE}
    with pytest.raises(ValueError, match="damage never is"):
        minisim.build(planned, allow=("damage",))


def test_what_is_not_modelled_is_said() -> None:
    machine = minisim.build(minisim.read_loadout(KITTIWAKE / "gauge.yaml"))
    assert machine.notes == ("main/a/4: memory-parity is not modelled; its registers do not answer.",)
    with pytest.raises(minisim.BusTimeout):
        machine.read(0o172100)


def test_the_machine_stands_at_its_boot_address() -> None:
    gauge = minisim.build(minisim.read_loadout(KITTIWAKE / "gauge.yaml"))
    assert (gauge.cpu.pc, gauge.cpu.ps) == (0o173030, 0o340)  # boot-terminator-wiki; PS from memory, firm
    assert (gauge.read(0o173024), gauge.read(0o173026)) == (0o173030, 0o340)
    desk = minisim.build(minisim.read_loadout(KITTIWAKE / "desk.yaml"))
    assert (desk.cpu.pc, desk.cpu.ps) == (0o173000, 0o340)  # unconfirmed


def test_memory_is_fitted_where_the_boards_answer(tmp_path: Path) -> None:
    planned = changed(tmp_path, "desk.yaml", ("start: 0  ", "start: 100000  "))
    catalogue = Catalogue()
    machine = machine_of(resolve(planned, catalogue), catalogue)
    machine.write(0o100000, 5)
    assert machine.read(0o100000) == 5
    assert machine._raw.ram_top == 0
    for address in (0, 0o77776, 0o200000):
        with pytest.raises(minisim.BusTimeout):
            machine.read(address, space="bus")


def test_memory_that_reaches_the_io_page_ends_there() -> None:
    machine = minisim.build(minisim.read_loadout(KITTIWAKE / "gauge.yaml"))
    assert machine._raw.ram_top == 0o160000  # 64 KB, the top 8 KB of the program's addresses are the I/O page
    machine.write(0o170000, 7, space="bus")  # on the bus of 18 bits there is memory at that address
    assert machine.read(0o170000, space="bus") == 7
    with pytest.raises(minisim.BusTimeout):
        machine.read(0o170000)


def test_a_console_of_switches_has_them_at_777570(tmp_path: Path) -> None:
    planned = changed(tmp_path, "gauge.yaml", ("\ncables:", "\nswitches: {register: 173000, halt: off}\n\ncables:"))
    machine = minisim.build(planned)
    assert machine.read(0o177570) == 0o173000
    desk = minisim.build(minisim.read_loadout(KITTIWAKE / "desk.yaml"))
    with pytest.raises(minisim.BusTimeout):
        desk.read(0o177570)


def test_the_halt_switch_stops_the_machine_at_its_first_instruction(tmp_path: Path) -> None:
    planned = changed(tmp_path, "gauge.yaml", ("\ncables:", "\nswitches: {halt: on}\n\ncables:"))
    stop = minisim.build(planned).run(limit=1000)
    assert (str(stop.reason), stop.instructions) == ("HALTED", 1)


@pytest.mark.parametrize("name", ["gauge.yaml", "desk.yaml"])
def test_a_medium_that_went_away_is_an_error_at_its_line(name: str, tmp_path: Path) -> None:
    planned = changed(tmp_path, name)
    (tmp_path / "media" / "tides.papertape").unlink()
    with pytest.raises(minisim.LoadoutError, match=rf"{name}:\d+:\d+: paper tape .* can't be read"):
        minisim.build(planned)


def test_a_clock_board_without_line_frequency_does_not_tick(tmp_path: Path) -> None:
    planned = changed(tmp_path, "desk.yaml", ("supply: mux-four-slot-box", "supply: mux-expansion-box-without-clock"))
    catalogue = Catalogue()
    wired = resolve(planned, catalogue)
    machine = machine_of(wired, catalogue)
    machine.run(limit=2_000_000)
    assert 0o100 not in machine.counters().interrupts


def test_with_the_clock_switch_off_the_program_can_not_hold_the_event_line(tmp_path: Path) -> None:
    planned = changed(tmp_path, "desk.yaml", ("clock: on ", "clock: off"))
    machine = minisim.build(planned)
    machine.memory.put(0o1000, 0o000777)
    machine.memory.put(0o100, 0o2000, 0)
    machine.memory.put(0o2000, 0o005200, 0o000002)
    machine.cpu.pc, machine.cpu.sp, machine.cpu.ps = 0o1000, 0o700, 0
    machine.run(limit=100_000)
    assert machine.cpu.r[0] > 5


def test_the_same_loadout_and_input_give_the_same_run() -> None:
    planned = minisim.read_loadout(KITTIWAKE / "gauge.yaml")
    states = set()
    for limit in (3_000_000, 1_000_000):
        machine = minisim.build(planned)
        machine.console.feed(b"tide")
        for _ in range(3_000_000 // limit):
            machine.run(limit=limit)
        states.add(machine.freeze())
    assert len(states) == 1


def test_pieces_of_rom_side_by_side_are_one_window() -> None:
    assert joined([(0o13000, 64), (0o13200, 192), (0o5000, 256)]) == ((0o5000, 256), (0o13000, 256))


@pytest.mark.parametrize("name", ["gauge", "desk"])
def test_what_the_models_of_all_its_parts_leave_out_can_be_asked(name: str) -> None:
    machine = minisim.build(minisim.read_loadout(KITTIWAKE / f"{name}.yaml"))
    told = machine.not_modelled
    assert set(told) == {"processor", *(device.id for device in machine.layout.devices)}
    assert all(sentence.endswith(".") for sentences in told.values() for sentence in sentences)
    assert minisim.thaw(machine.freeze()).not_modelled == told
