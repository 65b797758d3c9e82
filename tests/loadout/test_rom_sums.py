"""A ROM image of the owner: its length, and the sum that is printed on it.

Sums worked out by hand; that labels give the sum of bytes or of words is common practice, without a document.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from minisim.loadout.model import Loadout, LoadoutError
from minisim.loadout.writer import write_loadout

TEXT = """loadout: 1
name: With a ROM
boxes:
  - id: main
    supply: mux-four-slot-box
    backplane: mux-twin-4-18bit
    slots:
      1AB: {board: mid-cpu-dual, settings: {power-up: 2}}
      4:
        board: boot-diagnostic-terminator-quad
        roms:
          773000: {%s}
"""
# Words 1, 2, 0400 and 177777: bytes 1 0 2 0 0 1 377 377 add up to 1002 octal, the words to 402 behind a carry.
IMAGE = bytes([1, 0, 2, 0, 0, 1, 0o377, 0o377])

Read = Callable[[str], Loadout]


@pytest.fixture
def image(folder: Path) -> Path:
    path = folder / "media" / "mine.rom"
    path.write_bytes(IMAGE)
    return path


@pytest.mark.parametrize("said", ["words: 4", "checksum: 001002", "checksum: 402", "words: 4, checksum: 1002"])
def test_an_image_that_is_what_its_label_says_is_taken(read: Read, image: Path, said: str) -> None:
    loadout = read(TEXT % f"rom: rom-ours, image: media/mine.rom, {said}")
    again = read(write_loadout(loadout))
    one, other = (each.boxes[0].units[0].placed[1].roms[0] for each in (loadout, again))
    assert (one.words, one.checksum) == (other.words, other.checksum)
    assert (one.words is not None) == ("words" in said)


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("rom: rom-ours, image: media/mine.rom, words: 5", "mine.rom has 8 bytes; this ROM has 5 words, 10 bytes"),
        ("rom: rom-ours, image: media/mine.rom, checksum: 1003", "has the sum 001002 of its bytes and 000402 of its"),
        ("rom: rom-ours, image: media/mine.rom, checksum: 200000", "checksum"),
        ("rom: rom-ours, image: media/mine.rom, checksum: 9", "checksum"),
        ("rom: rom-console-most, image: media/mine.rom", "this ROM has 256 words, 512 bytes"),  # the catalogue's length
    ],
)
def test_an_image_that_is_not_is_refused_at_its_place(read: Read, image: Path, said: str, why: str) -> None:
    with pytest.raises(LoadoutError) as caught:
        read(TEXT % said)
    (problem,) = [one for one in caught.value.problems if why in one.message]
    assert problem.mark.line == 12
