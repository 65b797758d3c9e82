"""Freeze at any instruction with drives and what was written, run on, thaw, run on: the same, bit for bit.

No document: the machine is compared with itself.
"""

from __future__ import annotations

import errno
import os
import random
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import minisim
from minisim.machine.errors import FrozenStateError
from minisim.media import overlay
from minisim.media.held import HeldMedium

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tools"))

import boot_all

TYPED = b"list\rkeep a\rone line\rand another\r\rverify\rprint a\r"


def laid_out(folder: Path, name: str) -> Path:
    """A loadout of tests/boot with its ROM and medium."""
    return boot_all.laid_out(boot_all.LOADOUTS / f"{name}.yaml", folder)[0]


NAMES = sorted(path.stem for path in boot_all.LOADOUTS.glob("*.yaml"))


@pytest.mark.parametrize("times", [2, pytest.param(10, marks=pytest.mark.slow)])
@pytest.mark.parametrize("name", NAMES)
def test_a_machine_with_drives_goes_on_alike_after_a_thaw(tmp_path: Path, name: str, times: int) -> None:
    """While it boots, and while it writes; a second thaw of the same state too."""
    chance = random.Random(name)
    with minisim.build(minisim.read_loadout(laid_out(tmp_path, name))) as machine:
        machine.console.feed(TYPED)
        for _ in range(times):
            machine.run(chance.randrange(1, 400_000))
            data = machine.freeze()
            others = [minisim.thaw(data) for _ in range(2)]
            assert [other.state_hash() for other in others] == [machine.state_hash()] * 2
            assert others[0].freeze() == data
            others[1].core = "reference"
            further = chance.randrange(1, 30_000)
            for each in (machine, *others):
                each.run(further)
            assert [other.state_hash() for other in others] == [machine.state_hash()] * 2


@settings(max_examples=15)
@given(st.lists(st.integers(1, 60_000), min_size=1, max_size=4))
def test_any_instruction_will_do(tmp_path_factory: pytest.TempPathFactory, steps: list[int]) -> None:
    path = laid_out(tmp_path_factory.mktemp("machine"), "mux-floppy-double")
    with minisim.build(minisim.read_loadout(path)) as machine:
        for step in steps:
            machine.run(step)
            other = minisim.thaw(machine.freeze())
            other.run(500)
            machine.run(500)
            assert other.state_hash() == machine.state_hash()


@pytest.fixture
def kept(tmp_path: Path) -> Iterator[minisim.Machine]:
    """A machine that has written to its disk."""
    with minisim.build(minisim.read_loadout(laid_out(tmp_path, "mux-cartridge-disk-2mb"))) as machine:
        machine.console.feed(TYPED)
        assert machine.run(20_000_000, minisim.Text("and another\r\ntide: ")).reason is minisim.Reason.REACHED
        yield machine


def test_a_thawed_machine_writes_into_a_copy(tmp_path: Path, kept: minisim.Machine) -> None:
    other = minisim.thaw(kept.freeze())
    before = (tmp_path / "media" / "system.disk").read_bytes()
    (place,) = other.drives
    medium = other.drives[place].medium
    assert isinstance(medium, HeldMedium)
    other.console.feed(b"keep b\rthird\r\r")
    assert other.run(20_000_000, minisim.Text("kept")).reason is minisim.Reason.REACHED
    assert other.state_hash() != kept.state_hash()
    original = kept.drives[place].medium
    assert original is not None
    assert original.read(16) != medium.read(16)
    assert (tmp_path / "media" / "system.disk").read_bytes() == before


def test_a_machine_is_not_thawed_with_another_medium(tmp_path: Path, kept: minisim.Machine) -> None:
    data = kept.freeze()
    image = tmp_path / "media" / "system.disk"
    with image.open("r+b") as stream:
        stream.write(b"other")
    with pytest.raises(FrozenStateError, match="is not what it was then"):
        minisim.thaw(data)
    image.unlink()
    with pytest.raises(FrozenStateError, match="can't be read: No such file"):
        minisim.thaw(data)


def test_a_medium_that_is_written_through_is_frozen_whole(tmp_path: Path) -> None:
    path = laid_out(tmp_path, "mux-floppy-single")
    with minisim.build(minisim.read_loadout(path), write_through=True) as machine:
        machine.console.feed(TYPED)
        machine.run(3_000_000)
        data, state = machine.freeze(), machine.state_hash()
        machine.console.feed(b"keep c\rlater\r\r")
        assert machine.run(20_000_000, minisim.Text("kept")).reason is minisim.Reason.REACHED
    assert minisim.thaw(data).state_hash() == state


def test_a_closed_machine_lets_its_media_go(tmp_path: Path) -> None:
    path = laid_out(tmp_path, "mux-floppy-single")
    machine = minisim.build(minisim.read_loadout(path))
    with pytest.raises(minisim.LoadoutError, match="in use by another machine"):
        minisim.build(minisim.read_loadout(path))
    machine.close()
    minisim.build(minisim.read_loadout(path)).close()
    dropped = minisim.build(minisim.read_loadout(path))
    del machine, dropped
    minisim.build(minisim.read_loadout(path)).close()


def test_a_full_host_takes_the_drive_off_line_and_nothing_is_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The guest gets an error of its drive, the person a sentence, and what was written before is there."""
    with minisim.build(minisim.read_loadout(laid_out(tmp_path, "mux-cartridge-disk-2mb"))) as machine:
        machine.console.feed(b"keep a\rfirst\r\r")
        assert machine.run(20_000_000, minisim.Text("kept")).reason is minisim.Reason.REACHED
        (place,) = machine.drives
        before = machine.drives[place].read(0, 100)

        def full(*_: object) -> None:
            raise overlay.MediumFullError(os.strerror(errno.ENOSPC))

        monkeypatch.setattr(overlay.Overlay, "write", full)
        machine.console.feed(b"keep b\rsecond\r\r")
        assert machine.run(20_000_000, minisim.Text("can't be written")).reason is minisim.Reason.REACHED
        monkeypatch.undo()
        assert any("went off line: the host has no room" in one for one in machine.told)
        assert machine.drives[place].off_line
        image = tmp_path / "media" / "system.disk"
        machine.drives.put_in(place, image)  # space was made: put it in again
        assert machine.drives[place].read(0, 100) == before
        machine.console.feed(b"\rprint a\r")
        assert machine.run(20_000_000, minisim.Text("first")).reason is minisim.Reason.REACHED


def test_an_error_of_a_model_is_not_lost_in_the_core(kept: minisim.Machine, monkeypatch: pytest.MonkeyPatch) -> None:
    (controller,) = kept._controllers.by_device.values()

    def broken(code: int, data: int) -> None:
        raise ZeroDivisionError("a mistake of ours")

    monkeypatch.setattr(controller, "called", broken)
    with pytest.raises(ZeroDivisionError, match="a mistake of ours"):
        kept.read(0o177400)
    kept.console.feed(b"verify\r")
    with pytest.raises(ZeroDivisionError):
        kept.run(1_000_000)
