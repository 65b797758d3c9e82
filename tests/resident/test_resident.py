"""The resident program and its media: what Python lays out, the program reads, and the other way round.

The layout is ours (docs/reference/resident.md); there is no outside document.  That diskettes are laid out in the
usual logical order is checked against the published values in tests/media.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import minisim
from minisim.catalogue import Catalogue
from minisim.cli import main
from minisim.cpu.profile import configuration
from minisim.devices._controller import Drive
from minisim.devices._device import Placement, model_of
from minisim.machine.assemble import Source, put_together
from minisim.machine.machine import Machine
from minisim.media import Geometry, geometry_of
from minisim.media.held import HeldMedium
from minisim.resident import BOOTS, ResidentError, files_in, image_of, media_of, rom_of
from minisim.resident.layout import MOST

CATALOGUE = Catalogue()
KINDS = [kind for device in BOOTS for kind in media_of(device, CATALOGUE)]
NAMES = st.text("abcdefghijklmnopqrstuvwxyz0123456789-", min_size=1, max_size=8)


def geometry(kind: str) -> Geometry:
    found = geometry_of(CATALOGUE.medium(kind))
    assert found is not None
    return found


@settings(max_examples=40)
@given(st.sampled_from(KINDS), st.dictionaries(NAMES, st.binary(max_size=MOST), max_size=31))
def test_what_is_laid_out_is_read_back(kind: str, files: dict[str, bytes]) -> None:
    image = image_of(geometry(kind), "label", files)
    assert len(image) == geometry(kind).size
    assert dict(files_in(image, geometry(kind))) == files


@pytest.mark.parametrize(
    ("files", "said"),
    [
        ({"": b""}, "is no name"),
        ({"Tides": b""}, "is no name"),
        ({"ninechars": b""}, "is no name"),
        ({"a b": b""}, "is no name"),
        ({"big": bytes(MOST + 1)}, "4096 are the most"),
        ({f"f{n}": b"" for n in range(32)}, "31 are the most"),
    ],
)
def test_what_can_not_be_kept_is_refused(files: dict[str, bytes], said: str) -> None:
    with pytest.raises(ResidentError, match=said):
        image_of(geometry(KINDS[0]), "label", files)


def test_a_damaged_file_is_seen() -> None:
    kind = KINDS[0]
    image = bytearray(image_of(geometry(kind), "label", {"tides": b"high water"}))
    at = image.index(b"high water")
    image[at] ^= 1
    with pytest.raises(ResidentError, match="tides is damaged"):
        list(files_in(bytes(image), geometry(kind)))


def test_an_empty_medium_has_no_catalogue() -> None:
    with pytest.raises(ResidentError, match="no catalogue"):
        list(files_in(bytes(geometry(KINDS[0]).size), geometry(KINDS[0])))


@pytest.mark.parametrize("device", BOOTS)
@pytest.mark.parametrize("start", [0o173000, 0o173030])
def test_a_rom_fits_two_sockets_and_leaves_the_switch_words_alone(device: str, start: int) -> None:
    """Sockets of 64 words; the board reads its switches in place of 773024 and 773026 [boot-terminator-wiki]."""
    words = rom_of(device, start)
    assert len(words) <= 128
    if start == 0o173030:
        assert words[10:12] == (0, 0)


# --- the program at work ----------------------------------------------------------------------------------------------


def machine(image: bytes, *, protected: bool = False) -> Machine:
    """The smallest machine with a small cartridge; the ROM's program lies in memory instead."""
    medium = HeldMedium(geometry("cartridge-2mb"), image)
    drive = Drive(0, "cartridge-disk-2mb-drive", "disk:0", ("cartridge-2mb",), medium, protected)
    disk, line = model_of("cartridge-disk-2mb"), model_of("serial-line")
    assert disk is not None
    assert line is not None
    console = line.build(Placement("serial-line", bauds=("19200",)))
    devices = (*console, *disk.build(Placement("disk", "disk", drives=(drive,))))
    source = Source(start=(0, 0o340))
    made = put_together(
        configuration("two-board-ttl-basic"), [(0, 0o40000)], devices, address_bits=18, console=0, source=source
    )
    made.memory[0:512] = image[:512]  # as a boot ROM leaves it
    return made


def say(there: Machine, text: str) -> str:
    """Type a line; what was printed up to the next prompt."""
    if text:
        there.console.feed(text.encode("latin-1"))
    stop = there.run(30_000_000, minisim.Text("tide: "))
    assert stop.reason is minisim.Reason.REACHED, (stop, there.console.take())
    return there.console.take().decode("latin-1").replace("\r\n", "\n").removesuffix("tide: ")


@pytest.fixture
def resident() -> Iterator[Machine]:
    image = image_of(geometry("cartridge-2mb"), "kit", {"tides": b"high 0412\r\nlow 1027\r\n", "empty": b""})
    there = machine(image)
    assert say(there, "") == "\nresident program, medium kit      \n"
    yield there


def test_list_print_and_verify(resident: Machine) -> None:
    assert say(resident, "list\r") == "list\ntides    21 bytes\nempty    0 bytes\n"
    assert say(resident, "print tides\r") == "print tides\nhigh 0412\nlow 1027\n"
    assert say(resident, "print empty\r") == "print empty\n"
    assert say(resident, "verify\r") == "verify\ntides    good\nempty    good\n"


@pytest.mark.parametrize(
    ("typed", "answer"),
    [
        ("\r", "\n"),
        ("lists\r", "lists\nwords: list, print NAME, keep NAME, verify\n"),
        ("lis\r", "lis\nwords: list, print NAME, keep NAME, verify\n"),
        ("print nothing\r", "print nothing\nno such file\n"),
        ("print\r", "print\nno such file\n"),
        ("keep\r", "keep\nno such file\n"),
        ("keep tides\r", "keep tides\nthat name is there already\n"),
        ("lx\177ist\r", "lx\b \bist\ntides    21 bytes\nempty    0 bytes\n"),
        ("\177\177list\r", "list\ntides    21 bytes\nempty    0 bytes\n"),
        ("\1\2\33list\r", "list\ntides    21 bytes\nempty    0 bytes\n"),
    ],
)
def test_what_is_typed_and_what_is_answered(resident: Machine, typed: str, answer: str) -> None:
    assert say(resident, typed) == answer


def test_keep_writes_a_file_that_python_reads(resident: Machine) -> None:
    lines = [f"line {number}: {'x' * number}" for number in range(40)]
    resident.console.feed(b"keep notes\r")
    assert say(resident, "".join(f"{line}\r" for line in lines) + "\r").endswith("kept\n")
    medium = resident.drives["disk:0"].medium
    assert medium is not None
    files = dict(files_in(medium.read(0, medium.geometry.sectors), geometry("cartridge-2mb")))
    assert files["notes"] == "".join(f"{line}\r\n" for line in lines).encode()
    assert say(resident, "print notes\r") == "print notes\n" + "".join(f"{line}\n" for line in lines)


def test_a_file_that_is_too_long_is_not_kept(resident: Machine) -> None:
    said = say(resident, "keep long\r" + ("y" * 72 + "\r") * 56)
    assert said.endswith("too long: nothing was kept\n")
    assert "long" not in say(resident, "list\r").split("\n", 1)[1]


def test_a_protected_medium_is_left_alone() -> None:
    image = image_of(geometry("cartridge-2mb"), "kit", {})
    there = machine(image, protected=True)
    say(there, "")
    assert say(there, "keep a\rone\r\r").endswith("the medium can't be written\n")
    assert say(there, "list\r") == "list\n"
    medium = there.drives["disk:0"].medium
    assert medium is not None
    assert medium.read(0, medium.geometry.sectors) == image


def test_a_full_medium_says_so() -> None:
    """The first free block of the medium's entry stands near the end."""
    image = bytearray(image_of(geometry("cartridge-2mb"), "kit", {}))
    image[16 * 512 + 8 : 16 * 512 + 10] = (4871).to_bytes(2, "little")
    there = machine(bytes(image))
    say(there, "")
    assert say(there, "keep a\r" + ("z" * 70 + "\r") * 8 + "\r").endswith("no room\n")
    assert say(there, "keep b\rshort\r\r").endswith("kept\n")
    assert say(there, "keep c\rshort\r\r").endswith("no room\n")


def test_a_damaged_sector_is_told() -> None:
    image = bytearray(image_of(geometry("cartridge-2mb"), "kit", {"a": b"good", "b": b"fine"}))
    image[image.index(b"fine")] ^= 0o40
    there = machine(bytes(image))
    say(there, "")
    assert say(there, "verify\r") == "verify\na        good\nb        bad\n"


# --- the command ------------------------------------------------------------------------------------------------------


def test_media_and_roms_are_made_by_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "t.txt").write_bytes(b"high 0412\r\n")
    disk, rom = str(tmp_path / "a.disk"), str(tmp_path / "a.rom")
    made = main(["media", "make", disk, "--kind", "cartridge-2mb", "--resident", "--label", "Kittiwake Point", "--add",
                 f"tides={tmp_path / 't.txt'}"])  # fmt: skip
    assert made == 0
    assert dict(files_in((tmp_path / "a.disk").read_bytes(), geometry("cartridge-2mb"))) == {"tides": b"high 0412\r\n"}
    assert main(["media", "rom", "cartridge-disk-2mb", "-o", rom, "--start", "173030"]) == 0
    words = io.BytesIO((tmp_path / "a.rom").read_bytes())
    assert int.from_bytes(words.read()[24:26], "little") == rom_of("cartridge-disk-2mb", 0o173030)[12]
    assert "boots cartridge-disk-2mb, 40 words from 173000 on" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["rom", "floppy-singel", "-o", "x.rom"], "did you mean"),
        (["rom", "cartridge-disk-2mb"], "say where to write it"),
        (["rom", "cartridge-disk-2mb", "-o", "x.bin"], "say where to write it"),
        (["rom", "cartridge-disk-2mb", "-o", "x.rom", "--start", "172000"], "an even octal address from 173000"),
        (["rom", "cartridge-disk-2mb", "-o", "x.rom", "--start", "173001"], "an even octal address from 173000"),
        (["make", "x.disk", "--kind", "cartridge-2mb", "--add", "a=b"], "say --resident too"),
        (["make", "x.disk", "--kind", "cartridge-2mb", "--resident", "--add", "a"], "NAME=FILE"),
        (["make", "x.disk", "--kind", "pack-14mb", "--resident"], "no boot ROM of ours reads pack-14mb"),
    ],
)
def test_what_can_not_be_made_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], words: list[str], said: str
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["media", *words]) == 2
    assert said in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []
