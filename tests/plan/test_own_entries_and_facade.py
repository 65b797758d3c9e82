"""A plan with the owner's own entries, written and checked by itself; and the same from Python."""

from __future__ import annotations

from pathlib import Path

import pytest

import minisim
from minisim.cli import main

from .workshop import KITTIWAKE

ENTRIES = Path(minisim.__file__).parent / "catalogue"
STOCK = """marking,count,condition
OWN-1,1,works
M8186,1,works
M7940,1,works
M8012,1,works
mux-twin-4-18bit,1,works
mux-four-slot-box,1,works
"""
WISHES = """wishes: 1
machines:
  - id: desk
    name: Front desk
    needs:
      bus: mux
      memory-kb: 32
      boot: {from: serial-line, rom: rom-ours, image: media/boot-terminal.rom, media: media/tides.papertape}
"""


@pytest.fixture
def workshop(tmp_path: Path) -> Path:
    """A list whose only memory is a board of the owner's own catalogue."""
    own = tmp_path / "catalogue" / "boards"
    own.mkdir(parents=True)
    text = (ENTRIES / "boards" / "mos-memory-dual.yaml").read_text()
    text = text.replace("id: mos-memory-dual", "id: own-memory").replace("[M8044", "[OWN-1")
    assert "OWN-1" in text and "own-memory" in text
    (own / "own-memory.yaml").write_text(text)
    (tmp_path / "stock.csv").write_text(STOCK)
    (tmp_path / "wishes.yaml").write_text(WISHES)
    (tmp_path / "media").symlink_to(KITTIWAKE / "media")
    return tmp_path


def test_a_written_machine_takes_the_owners_entries_along(workshop: Path) -> None:
    out = workshop / "made"
    assert main(["plan", str(workshop / "stock.csv"), str(workshop / "wishes.yaml"), "--write", str(out)]) == 0
    assert "own-memory" in (out / "desk.yaml").read_text()
    source = workshop / "catalogue" / "boards" / "own-memory.yaml"
    assert (out / "catalogue" / "boards" / "own-memory.yaml").read_bytes() == source.read_bytes()
    source.rename(workshop / "elsewhere.yaml")
    assert main(["check", str(out / "desk.yaml")]) == 0


def test_an_entry_of_another_content_is_not_replaced(workshop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    there = workshop / "made" / "catalogue" / "boards" / "own-memory.yaml"
    there.parent.mkdir(parents=True)
    there.write_text("# another\n")
    words = ["plan", str(workshop / "stock.csv"), str(workshop / "wishes.yaml"), "--write", str(workshop / "made")]
    assert main(words) == 2
    assert there.read_text() == "# another\n"
    assert "own entry of another content" in capsys.readouterr().err


def test_from_python_it_is_the_same_plan(workshop: Path) -> None:
    stock, wishes = minisim.read_stock(workshop / "stock.csv"), minisim.read_wishes(workshop / "wishes.yaml")
    made = minisim.make_plan(stock, wishes, seconds=20)
    assert made.choice.proven and not made.open
    (machine,) = made.machines
    assert "own-memory" in machine.text
    assert sum(made.left.values()) == 0


def test_what_can_not_be_read_is_an_error_with_its_place(workshop: Path) -> None:
    (workshop / "wishes.yaml").write_text("wishes: 1\nmachines:\n  - {id: desk, neds: {}}\n")
    with pytest.raises(minisim.InputError) as caught:
        minisim.read_wishes(workshop / "wishes.yaml")
    assert any(":3:" in str(problem) for problem in caught.value.problems)
