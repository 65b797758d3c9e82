"""The files in media/ are what the sources give, and the sources need the base set only."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from minisim import cpu
from minisim.cli import main
from minisim.wiring.sidecar import read_sidecar

from .workshop import KITTIWAKE, MEDIA, SOURCES

# The commands of loadouts/kittiwake/src/README.md, run in that folder.
LINES = (SOURCES / "README.md").read_text(encoding="utf-8").splitlines()
COMMANDS = [line.split()[1:] for line in LINES if line.startswith("minisim ") and "../media/" in line]
FILES = [
    "tides.papertape",
    "dues.papertape",
    "readings.papertape",
    "boot-reader.rom",
    "boot-reader.rom.yaml",
    "boot-terminal.rom",
    "boot-terminal.rom.yaml",
    "boot-blocktape.rom",
    "boot-blocktape.rom.yaml",
    "boot-floppy.rom",
    "boot-floppy.rom.yaml",
    "tides.blocktape",
    "tides.blocktape.yaml",
    "visitor.floppy",
    "visitor.floppy.yaml",
]


def test_the_commands_of_the_readme_make_every_file_byte_for_byte(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copytree(KITTIWAKE / "src", tmp_path / "src")
    (tmp_path / "media").mkdir()
    monkeypatch.chdir(tmp_path / "src")
    assert len(COMMANDS) == 9
    for words in COMMANDS:
        assert main(words) == 0
    assert sorted(path.name for path in (tmp_path / "media").iterdir()) == sorted(FILES)
    for name in FILES:
        assert (tmp_path / "media" / name).read_bytes() == (MEDIA / name).read_bytes(), name


def mnemonics(text: str) -> set[str]:
    """The first word behind the labels of each line that is neither a directive nor a symbol."""
    found = set()
    for line in text.splitlines():
        words = line.split(";")[0].replace(":", ": ").split()
        while words and words[0].endswith(":"):
            words = words[1:]
        if words and not words[0].startswith(".") and words[1:2] != ["="]:
            found.add(words[0])
    return found


@pytest.mark.parametrize("name", ["tides.s", "loader.s"])
def test_a_program_needs_the_base_set_only(name: str) -> None:
    modules = {record.mnemonic: record.module for record in (*cpu.records(), *cpu.aliases())}
    used = mnemonics((SOURCES / name).read_text())
    assert len(used) > 15
    assert {modules[each] for each in used} == {"base"}


@pytest.mark.parametrize("name", ["constituents.s", "readings.s"])
def test_constituents_and_readings_are_data_only(name: str) -> None:
    assert not mnemonics((SOURCES / name).read_text())


def test_the_reader_rom_fits_a_socket_and_leaves_the_start_switches_alone() -> None:
    image = (MEDIA / "boot-reader.rom").read_bytes()
    words = [int.from_bytes(image[at : at + 2], "little") for at in range(0, len(image), 2)]
    assert len(words) == 64  # a socket, and what is read at 773024 and 773026 are switches [boot-terminator-wiki]
    assert words[0o24 // 2] == words[0o26 // 2] == 0
    described = read_sidecar(MEDIA / "boot-reader.rom")
    assert described is not None
    assert (described.boots, described.start) == (("paper-tape",), 0o173030)


def test_the_terminal_rom_fits_a_page_and_starts_with_its_first_word() -> None:
    assert (MEDIA / "boot-terminal.rom").stat().st_size <= 2 * 128
    described = read_sidecar(MEDIA / "boot-terminal.rom")
    assert described is not None
    assert (described.boots, described.start) == (("serial-line",), 0o173000)
