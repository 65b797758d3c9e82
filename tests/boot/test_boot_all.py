"""Every boot path ends in something useful: the resident program keeps a file, a second boot reads it back.

`make boot-all` prints the same; no document: the comparison is of the medium with what was typed.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

import minisim
from minisim.catalogue import Catalogue
from minisim.cli import main
from minisim.media import overlay
from minisim.resident import BOOTS
from minisim.wiring.resolve import resolve

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tools"))

import boot_all

LOADOUTS = sorted(boot_all.LOADOUTS.glob("*.yaml"))


@pytest.mark.parametrize("loadout", LOADOUTS, ids=lambda path: path.stem)
def test_a_file_is_kept_and_a_second_boot_reads_it(loadout: Path, tmp_path: Path) -> None:
    path, kind = boot_all.laid_out(loadout, tmp_path)
    row = boot_all.both_boots(path, kind)
    assert row.outcome == "kept, read back"
    assert row.instructions > 0


def test_every_device_that_boots_is_there_on_every_bus_that_has_a_board_for_it(tmp_path: Path) -> None:
    """By the catalogue: which boards carry the device, or a serial line for a drive with its own controller."""
    catalogue = Catalogue()
    boards = [catalogue.board(name) for name in catalogue.ids("boards")]
    wanted = {
        (device, board.bus)
        for device, boots in BOOTS.items()
        for board in boards
        if board.bus in ("mux", "sep")
        for one in board.registers
        if one.device == boots.rom_boots(catalogue)
    }
    found = set()
    for number, loadout in enumerate(LOADOUTS):
        folder = tmp_path / str(number)
        folder.mkdir()
        path, _ = boot_all.laid_out(loadout, folder)
        wired = resolve(minisim.read_loadout(path), catalogue)
        found |= {(one.drive.controller, wired.bus) for one in wired.cables}
    assert wanted <= found


def test_a_machine_that_does_not_boot_is_found(tmp_path: Path) -> None:
    path, kind = boot_all.laid_out(LOADOUTS[0], tmp_path)
    medium = next((tmp_path / "media").glob("system.*"))
    medium.write_bytes(bytes(medium.stat().st_size))
    with pytest.raises(boot_all.FailedError, match="halted"):
        boot_all.both_boots(path, kind)


def test_the_table_names_loadout_medium_instructions_time_and_outcome(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    rows = [
        boot_all.Row("mux-floppy-single.yaml", "floppy", 1234, 2_500_000_000, "kept, read back"),
        boot_all.Row("mux-floppy-double.yaml", "floppy", 0, 0, "FAILED: it never answers"),
    ]
    monkeypatch.setattr(boot_all, "rows", lambda: iter(rows[:1]))
    assert boot_all.main() == 0
    assert "1234       2.50 s  kept, read back" in capsys.readouterr().out
    monkeypatch.setattr(boot_all, "rows", lambda: iter(rows))
    assert boot_all.main() == 1


# --- the demo machines ------------------------------------------------------------------------------------------------


@pytest.fixture
def station(tmp_path: Path) -> Path:
    """The demo folder, so that nothing is written beside the originals."""
    import shutil

    shutil.copytree(boot_all.KITTIWAKE, tmp_path / "kittiwake")
    return tmp_path / "kittiwake"


def test_the_travelling_machine_boots_from_its_floppy_across_the_cable(station: Path) -> None:
    with boot_all.booted(station / "visitor.yaml") as machine:
        assert "Welcome to Kittiwake Point" in boot_all.say(machine, "print welcome")
        boot_all.expect(boot_all.say(machine, "verify"), "tides    good")
        assert not [note for note in machine.notes if "cable" in note]


def test_the_logger_boots_from_block_tape_when_its_switches_say_so(station: Path) -> None:
    gauge = station / "gauge.yaml"
    gauge.write_text(gauge.read_text(encoding="utf-8").replace("start: 173030", "start: 173200"), encoding="utf-8")
    with boot_all.booted(gauge) as machine:
        boot_all.expect(boot_all.say(machine, "list"), "tides")
        assert "3.71 m" in boot_all.say(machine, "print tides")


def test_a_speed_that_does_not_fit_is_never_understood(station: Path) -> None:
    gauge = station / "gauge.yaml"
    text = gauge.read_text(encoding="utf-8").replace("start: 173030", "start: 173200")
    head, tail = text.split("to: serial-block-tape-pair")
    gauge.write_text(head + "to: serial-block-tape-pair" + tail.replace("baud: 9600", "baud: 4800"), encoding="utf-8")
    with minisim.build(minisim.read_loadout(gauge), allow=("fault",)) as machine:
        stop = machine.run(20_000_000)
        assert stop.reason is minisim.Reason.HALTED
        assert machine.console.take().startswith(b"fault")


RECORDING = Path(__file__).resolve().parents[1] / "data" / "visitor.rec"


@pytest.mark.parametrize("core", ["fast", "reference"])
def test_the_recording_of_the_travelling_machine_ends_as_it_did(core: str, capfd: pytest.CaptureFixture[str]) -> None:
    """Made on the reference core.  Where a model has changed on purpose: make visitor-recording."""
    words = [str(boot_all.KITTIWAKE / "visitor.yaml"), "--replay", str(RECORDING), "--limit", "100000000"]
    assert main(["boot", *words, "--core", core]) == 0
    told = json.loads(RECORDING.read_text(encoding="ascii").splitlines()[-1])["end"]["state"]
    captured = capfd.readouterr()
    assert f"ended as recorded, state {told}" in captured.err
    assert "guest    good" in captured.out


def test_a_drive_that_the_host_took_off_line_is_told_when_it_happens(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    path, _ = boot_all.laid_out(boot_all.LOADOUTS / "mux-floppy-single.yaml", tmp_path)

    def full(*_: object) -> None:
        raise overlay.MediumFullError("no space")

    monkeypatch.setattr(overlay.Overlay, "write", full)
    words = ["--type", r"keep a\rone\r\r", "--until", "can't be written"]
    assert main(["boot", str(path), *words]) == 0
    captured = capfd.readouterr()
    assert "main/a/4AB: unit 0 went off line: the host has no room for its writes (no space)" in captured.err
    assert main(["boot", str(path), *words, "--json"]) == 0
    assert json.loads(capfd.readouterr().out)["told"][0].endswith("(no space)")
