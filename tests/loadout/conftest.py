"""What the tests of the loadout share: a folder with the files that the loadouts of the tests name."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from minisim.catalogue.reader import Catalogue
from minisim.loadout.model import Loadout
from minisim.loadout.reader import read_loadout

DATA = Path(__file__).parent / "data"
STATION = Path(__file__).parents[2] / "loadouts" / "kittiwake"
ROMS = ("boot-reader.rom", "boot-terminal.rom", "boot-blocktape.rom")
MEDIA = (*ROMS, "tides.papertape", "tides.blocktape", "system.disk")

Read = Callable[[str], Loadout]


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    """One catalogue for all tests: its files are read once."""
    return Catalogue()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The good loadouts and the two of the station, with stand-ins for their media."""
    for path in (DATA / "good").glob("*.yaml"):
        shutil.copy(path, tmp_path)
    for path in STATION.glob("*.yaml"):
        shutil.copy(path, tmp_path / f"station-{path.name}")
    (tmp_path / "media").mkdir()
    for name in MEDIA:
        (tmp_path / "media" / name).write_bytes(b"stand-in")
    return tmp_path


@pytest.fixture
def read(folder: Path, catalogue: Catalogue) -> Read:
    """Read text as a loadout of that folder."""

    def reader(text: str) -> Loadout:
        path = folder / "machine.yaml"
        path.write_text(text, encoding="utf-8")
        return read_loadout(path, catalogue=catalogue)

    return reader
