"""Files a loadout names: inside its folder, there, and the ones that were meant."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from minisim.loadout.model import Loadout, LoadoutError
from minisim.loadout.reader import read_loadout

TEXT = """\
loadout: 1
name: x
boxes:
  - id: main
    backplane: mux-twin-4-18bit
    slots:
      2CD: {board: serial-line-single}
      4: {board: boot-diagnostic-terminator-quad, roms: {773000: {rom: rom-ours, image: boot.rom, sha256: SUM}}}
cables:
  - {from: main/a/2CD, line: 0, to: terminal, media: MEDIUM}
"""
IMAGE = b"words of a ROM"


def read(folder: Path, medium: str, sha256: str | None = None, media_root: Path | None = None) -> Loadout:
    path = folder / "machine.yaml"
    path.write_text(TEXT.replace("MEDIUM", medium).replace("SUM", sha256 or hashlib.sha256(IMAGE).hexdigest()))
    return read_loadout(path, media_root=media_root)


def problems(folder: Path, medium: str, sha256: str | None = None, media_root: Path | None = None) -> list[str]:
    with pytest.raises(LoadoutError) as caught:
        read(folder, medium, sha256, media_root)
    return [str(problem).removeprefix(f"{folder / 'machine.yaml'}:") for problem in caught.value.problems]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    inside = tmp_path / "station"
    (inside / "media").mkdir(parents=True)
    (inside / "boot.rom").write_bytes(IMAGE)
    (inside / "media" / "tides.papertape").write_bytes(b"tape")
    (tmp_path / "outside.papertape").write_bytes(b"tape")
    return inside


def test_a_file_inside_is_found_by_any_way_that_stays_inside(folder: Path) -> None:
    for medium in ("media/tides.papertape", "./media/tides.papertape", "media/../media/tides.papertape"):
        assert read(folder, medium).cables[0].media == folder / "media" / "tides.papertape"


def test_a_missing_file_is_told_with_its_name_and_folder(folder: Path) -> None:
    (message,) = problems(folder, "media/tide.papertape")
    assert message.startswith('10:54: media "media/tide.papertape": the medium is missing: ')
    assert f"there is no file tide.papertape in {folder / 'media'}" in message


@pytest.mark.parametrize(
    "medium", ["../outside.papertape", "media/../../outside.papertape", "away", "away-folder/outside.papertape"]
)
def test_nothing_outside_the_folder_is_opened_not_even_through_a_link(medium: str, folder: Path) -> None:
    (folder / "away").symlink_to(folder.parent / "outside.papertape")
    (folder / "away-folder").symlink_to(folder.parent)
    (message,) = problems(folder, medium)
    assert "leaves the folder of the loadout" in message


@pytest.mark.parametrize(
    ("medium", "part"),
    [
        ("/etc/hostname", "an absolute path"),
        ("~/tides.papertape", "an absolute path"),
        ("'C:\\tides.papertape'", "an absolute path"),
        ("'media\\tides.papertape'", "folders are parted by /: media/tides.papertape"),
        ("media", "a folder, not the file of the medium"),
        ("ring", "no file can have this name"),
        ('"a\\0b"', "no file can have this name"),
        ("x" * 3000, "no file can have this name"),
        ("''", "media: empty"),
    ],
)
def test_names_that_can_be_no_medium_are_told(medium: str, part: str, folder: Path) -> None:
    (folder / "ring").symlink_to(folder / "ring")
    (message,) = problems(folder, medium)
    assert part in message


def test_a_media_root_takes_the_place_of_the_folder(folder: Path) -> None:
    root = folder.parent
    (root / "boot.rom").write_bytes(IMAGE)
    assert read(folder, "outside.papertape", media_root=root).cables[0].media == root / "outside.papertape"
    (message,) = problems(folder, "../x", media_root=root)
    assert "leaves the media root; name a file inside it" in message


def test_an_image_with_another_sum_is_refused(folder: Path) -> None:
    (message,) = problems(folder, "media/tides.papertape", sha256="0" * 64)
    assert f"boot.rom has the SHA-256 sum {hashlib.sha256(IMAGE).hexdigest()}" in message
    (message,) = problems(folder, "media/tides.papertape", sha256="12")
    assert "a SHA-256 sum has 64 digits" in message
    (folder / "boot.rom").write_bytes(b"x" * 1_100_000)
    (message,) = problems(folder, "media/tides.papertape")
    assert "no ROM" in message
