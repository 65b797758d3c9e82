"""Machines for the tests of this folder: written as loadouts, read by the reader, resolved against the catalogue."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from minisim.catalogue import Catalogue
from minisim.loadout.reader import read_loadout
from minisim.wiring.model import Wired
from minisim.wiring.resolve import resolve

DATA = Path(__file__).parent / "data"
Wire = Callable[[str], Wired]


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    """The catalogue of the project, read once."""
    return Catalogue()


@pytest.fixture
def wire(tmp_path: Path, catalogue: Catalogue) -> Wire:
    """Resolve a loadout given as text; the two head lines are added."""

    def resolved(text: str) -> Wired:
        file = tmp_path / "machine.yaml"
        file.write_text(f"loadout: 1\nname: A machine\n{text}", encoding="utf-8")
        return resolve(read_loadout(file, catalogue=catalogue), catalogue)

    return resolved


@pytest.fixture
def mux(wire: Wire) -> Wire:
    """A machine of the multiplexed bus in the four-slot twin-bus backplane, given by its slots."""

    def resolved(slots: str) -> Wired:
        box = "boxes:\n- id: main\n  supply: mux-four-slot-box\n  backplane: mux-twin-4-18bit\n"
        return wire(f"{box}  slots:\n{indented(slots)}")

    return resolved


@pytest.fixture
def sep(wire: Wire) -> Wire:
    """A machine of the separate-line bus in the nine-slot processor unit, given by its slots (and wires)."""

    def resolved(slots: str, wires: str = "") -> Wired:
        unit = "  backplane: sep-two-board-mmu-processor-unit\n"
        more = f"  wires: {{dma-grant: {{{wires}}}}}\n" if wires else ""
        return wire(f"boxes:\n- id: main\n  supply: sep-large-box\n{unit}{more}  slots:\n{indented(slots)}")

    return resolved  # type: ignore[return-value]  # the second argument is optional


@pytest.fixture(scope="session")
def desk(catalogue: Catalogue) -> Wired:
    """The desktop machine worked out by hand."""
    return resolve(read_loadout(DATA / "desk.yaml", catalogue=catalogue), catalogue)


@pytest.fixture(scope="session")
def gauge(catalogue: Catalogue) -> Wired:
    """The tide-gauge logger worked out by hand."""
    return resolve(read_loadout(DATA / "gauge.yaml", catalogue=catalogue), catalogue)


def indented(slots: str) -> str:
    """The lines of `slots`, indented by four."""
    return "".join(f"    {line.strip()}\n" for line in slots.strip().splitlines())
