"""Machines in several boxes: what the cable between them carries, and what an open one leaves out.

Trade practice, no document: behind a cable that hangs loose nothing answers and no grant arrives.
"""

from __future__ import annotations

from pathlib import Path

import pytest

import minisim
from minisim.catalogue import Catalogue
from minisim.machine.build import machine_of
from minisim.wiring.resolve import resolve

VALID = Path(__file__).parents[1] / "rules" / "valid"
LOADOUT = """loadout: 1
name: Two boxes
boxes:
  - id: main
    supply: mux-nine-slot-box-18bit
    backplane: mux-private-link-9-18bit
    slots:
      1AB: {{board: mid-cpu-dual, options: [mmu], settings: {{power-up: 2, event-line: off}}}}
      2AB: {{board: mos-memory-dual, settings: {{start: 0, kb: 64}}}}
      3AB: {{board: serial-line-single, settings: {{address: 777560, vector: 60, console: yes, baud: 9600}}}}
      4AB: {{board: grant-card}}
      5AB: {{board: grant-card}}
      6AB: {{board: grant-card}}
      7AB: {{board: grant-card}}
      8AB: {{board: grant-card}}
  - id: lower
    supply: mux-expansion-box-without-clock
    units:
      - id: b
        backplane: mux-dual-straight-4
        joined-by: {{cable: mux-extension-cable-first, length-m: 0.61, connected: {connected}}}
        slots:
          2AB: {{board: mos-memory-dual, settings: {{start: 200000, kb: 32}}}}
          3AB: {{board: disk-2mb-bus-interface-dual}}
          4AB: {{board: boot-refresh-terminator-dual, roms: {{773000: rom-mux-small-refresh-terminator}}}}
cables:
  - {{from: main/a/3AB, line: 0, to: terminal, baud: 9600}}
  - {{from: lower/b/3AB, unit: 0, to: cartridge-disk-2mb-drive, cable: sep-bus-cable, media: system.disk}}
"""
CONTROL, COUNT, DISK_ADDRESS, BUS_ADDRESS = 0o177404, 0o177406, 0o177412, 0o177410


def machine(folder: Path, connected: str) -> minisim.Machine:
    (folder / "system.disk").write_bytes(bytes(range(256)) * (2_494_464 // 256))
    path = folder / "two.yaml"
    path.write_text(LOADOUT.format(connected=connected))
    return minisim.build(minisim.read_loadout(path), allow=("fault",))


def wait_for_ready(there: minisim.Machine) -> None:
    """A program that looks at the control register keeps the time going."""
    there.memory.put(0o1000, 0o105737, CONTROL, 0o100375, 0)  # TSTB @#177404; BPL .-4; HALT
    there.cpu.pc = 0o1000
    assert there.run(1_000_000).reason is minisim.Reason.HALTED


def test_registers_memory_grants_and_transfers_cross_the_cable(tmp_path: Path) -> None:
    with machine(tmp_path, "yes") as there:
        there.write(DISK_ADDRESS, 0)
        there.write(BUS_ADDRESS, 0)
        there.write(COUNT, -256 & 0o177777)
        there.write(CONTROL, 0o25)  # read, address bit 16: into the memory of the lower box
        wait_for_ready(there)
        assert there.read(CONTROL) & 0o100200 == 0o200
        assert there.memory[0o200000:0o201000] == bytes(range(256)) * 2
        assert not [note for note in there.notes if "connected cable" in note]


def test_a_board_behind_a_gap_never_gets_the_bus(tmp_path: Path) -> None:
    """The words go by under the head while nobody fetches them: data late (devices 6; that it is so is derived)."""
    gap = LOADOUT.replace("      6AB: {{board: grant-card}}\n", "")
    (tmp_path / "system.disk").write_bytes(bytes(2_494_464))
    (tmp_path / "two.yaml").write_text(gap.format(connected="yes"))
    with minisim.build(minisim.read_loadout(tmp_path / "two.yaml"), allow=("fault",)) as there:
        there.write(COUNT, -256 & 0o177777)
        there.write(CONTROL, 5)
        wait_for_ready(there)
        assert there.read(CONTROL) & 0o140000 == 0o140000
        assert there.read(0o177402) == 0o1000  # data late
        assert there.read(COUNT) == -256 & 0o177777


def test_behind_an_open_cable_nothing_answers(tmp_path: Path) -> None:
    with machine(tmp_path, "no") as there:
        with pytest.raises(minisim.BusTimeout):
            there.read(CONTROL)
        with pytest.raises(minisim.BusTimeout):
            there.read(0o200000, space="bus")
        assert len(there.memory) == 0o200000
        assert "lower/b: no connected cable leads to this unit" in " ".join(there.notes)
        assert there.read(0o177564) == 0o200  # what stands before the cable works


def test_the_rules_say_so_before_it_is_built(tmp_path: Path) -> None:
    (tmp_path / "system.disk").write_bytes(bytes(2_494_464))
    (tmp_path / "two.yaml").write_text(LOADOUT.format(connected="no"))
    report = minisim.check(minisim.read_loadout(tmp_path / "two.yaml"))
    assert report.worst is not None
    assert "the cable to lower/b is not plugged in" in " ".join(finding.found for finding in report.findings)


def test_what_stands_behind_a_bus_repeater_answers_and_gets_grants() -> None:
    """The valid machine of the rules with a repeater between its boxes; its delay is not modelled."""
    catalogue = Catalogue()
    wired = resolve(minisim.read_loadout(VALID / "three-box-repeater.yaml"), catalogue)
    repeater = next(board for board in wired.boards if "repeater" in board.entry.kind)
    behind = [one for one in wired.registers if wired.boards[one.board].unit > repeater.unit]
    assert behind
    there = machine_of(wired, catalogue)
    layouts = {device.place: device for device in there.layout.devices}
    for one in behind:
        layout = layouts.get(str(wired.boards[one.board].place))
        if layout is None:
            continue
        for number, offset in layout.registers.values():
            if offset >= 0 and there._raw.registers[number].answers & 1:
                there.read(0o160000 | offset)
        assert all(there._raw.lines[line].granted for line in layout.lines.values())
    assert any(str(wired.boards[one.board].place) in layouts for one in behind)
