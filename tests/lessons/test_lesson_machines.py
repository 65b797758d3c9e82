"""The machines of the lessons: each is consistent on paper, boots, and its media are those of the station."""

from __future__ import annotations

from pathlib import Path

import pytest

from minisim.checking import check
from minisim.lessons.reader import MACHINES
from minisim.loadout.reader import read_loadout
from minisim.machine.build import approved
from minisim.machine.records import Text

FILES = sorted(MACHINES.glob("*.yaml"))
STATION = Path(__file__).resolve().parents[2] / "loadouts" / "kittiwake" / "media"
COMES_UP = {
    "desk": "End of the table",
    "gauge": "End of the table",
    "chart": "RMS ERROR",
    "ledger": "TOTAL",
    "visitor": "tide: ",
}


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_machine_of_the_lessons_is_consistent_on_paper(path: Path) -> None:
    report = check(read_loadout(path))
    assert [finding for finding in report.findings if not finding.accepted] == []


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_machine_of_the_lessons_boots(path: Path) -> None:
    with approved(read_loadout(path)).machine(in_memory=True) as machine:
        stop = machine.run(5_000_000, until=Text(COMES_UP[path.stem]))
        assert stop.reason == "REACHED", str(stop)


def test_every_machine_of_the_list_is_there_and_no_other() -> None:
    assert {path.stem for path in FILES} == set(COMES_UP)


def test_tapes_and_roms_are_the_same_bytes_as_those_of_the_station() -> None:
    """The floppy and its ROM are for another drive than the travelling machine's, and so are their own."""
    own = {path.name for path in (MACHINES / "media").iterdir()}
    shared = own - {"visitor.floppy", "visitor.floppy.yaml", "boot-floppy.rom", "boot-floppy.rom.yaml"}
    assert {name for name in shared if not (STATION / name).is_file()} == set()
    here = MACHINES / "media"
    assert {name for name in shared if (STATION / name).read_bytes() != (here / name).read_bytes()} == set()


def test_the_media_are_small_enough_for_the_package() -> None:
    assert sum(path.stat().st_size for path in (MACHINES / "media").iterdir()) < 300_000
