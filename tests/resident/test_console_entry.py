"""The console ROM: memory is looked at and changed from the console line of a processor without its own console."""

from __future__ import annotations

import shutil
from pathlib import Path

import minisim
from minisim.cli import main
from minisim.machine.machine import Machine

KITTIWAKE = Path(__file__).parents[2] / "loadouts" / "kittiwake"


def gauge_with_console_rom(tmp_path: Path, capsys: object) -> Machine:
    """The logger with our console ROM in the socket at 765000, entered there as from its panel."""
    shutil.copytree(KITTIWAKE, tmp_path / "k")
    image = tmp_path / "k" / "media" / "console.rom"
    assert main(["media", "rom", "console", "-o", str(image)]) == 0
    path = tmp_path / "k" / "gauge.yaml"
    before = "          773000: {rom: rom-ours, image: media/boot-reader.rom}"
    text = path.read_text(encoding="utf-8")
    assert text.count(before) == 1
    more = "          765000: {rom: rom-ours, image: media/console.rom}\n"
    path.write_text(text.replace(before, more + before), encoding="utf-8")
    machine = minisim.build(minisim.read_loadout(path))
    machine.power_up(0o165000, 0o340)
    machine.run(10_000)
    assert machine.console.take().replace(b"\0", b"") == b"ready\r\n"
    return machine


def typed(machine: Machine, keys: bytes) -> bytes:
    """What comes back for these keys."""
    machine.console.feed(keys)
    machine.run(200_000)
    return machine.console.take().replace(b"\0", b"")


def test_a_program_is_put_in_looked_at_and_started(tmp_path: Path, capsys: object) -> None:
    """MOV #321,R0; HALT, by the words of its own head (minisim/resident/console-entry.s)."""
    with gauge_with_console_rom(tmp_path, capsys) as machine:
        assert typed(machine, b"1000,") == b"1000,\r\n"
        assert typed(machine, b"12700\r321\r0\r") == b"12700\r\n321\r\n0\r\n"
        assert typed(machine, b"1000,...") == b"1000,\r\n.012700\r\n.000321\r\n.000000\r\n"
        assert typed(machine, b"9") == b"9?\r\n"
        assert typed(machine, b"1000!") == b"1000!"
        assert (machine.cpu.r[0], machine.cpu.pc) == (0o321, 0o1006)


def test_it_uses_no_memory_but_what_it_is_told(tmp_path: Path, capsys: object) -> None:
    with gauge_with_console_rom(tmp_path, capsys) as machine:
        before = machine.memory[0 : len(machine.memory)]
        typed(machine, b"2000,.")
        assert machine.memory[0 : len(machine.memory)] == before


def test_it_fits_the_window_and_is_listed(capsys: object) -> None:
    from minisim.resident import console_rom

    assert len(console_rom(0o165000)) <= 256  # words of the window [boot-terminator-wiki]
