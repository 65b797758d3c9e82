"""`minisim media`, and dumps in the order of system software, held against the published check values."""

from __future__ import annotations

import hashlib
import json
import random
from pathlib import Path

import jsonschema
import pytest

from minisim.catalogue import Catalogue
from minisim.cli import main
from minisim.media import Writing, geometry_of, open_medium
from minisim.media.overlay import overlay_path
from minisim.media.raw import place_of, to_logical, to_physical
from minisim.media.report import medium_schema

CATALOGUE = Catalogue()
SINGLE, DOUBLE = "floppy-8-inch-single", "floppy-8-inch-double"
EACH = 128


def media(*words: str | Path) -> int:
    return main(["media", *map(str, words)])


@pytest.fixture
def floppy(tmp_path: Path) -> Path:
    path = tmp_path / "a.floppy"
    assert media("make", path, "--kind", SINGLE, "--label", "system") == 0
    return path


def changed(path: Path, number: int, data: bytes) -> None:
    with open_medium(path, CATALOGUE, writing=Writing.APART) as medium:
        medium.write(number, data)


# ---- orders


@pytest.mark.parametrize(
    ("logical", "place"),
    [  # devices.md 8, "Check values (derived)" from sector-map-posts
        (0, (1, 1)), (1, (1, 3)), (12, (1, 25)), (13, (1, 2)),
        (25, (1, 26)), (26, (2, 7)), (52, (3, 13)), (1975, (76, 8)),
    ],
)  # fmt: skip
def test_logical_sectors_lie_where_the_check_values_say(logical: int, place: tuple[int, int]) -> None:
    assert place_of(logical) == place


def test_block_100_lies_where_the_check_values_say() -> None:
    """Single density: track 16, sectors 7, 9, 11, 14.  Double density: track 8, sectors 2, 4."""
    assert [place_of(400 + n) for n in range(4)] == [(16, 7), (16, 9), (16, 11), (16, 14)]
    assert [place_of(200 + n) for n in range(2)] == [(8, 2), (8, 4)]


def test_every_sector_but_those_of_track_0_has_one_place() -> None:
    places = {place_of(logical) for logical in range(76 * 26)}
    assert places == {(track, sector) for track in range(1, 77) for sector in range(1, 27)}


@pytest.mark.parametrize("kind", [SINGLE, DOUBLE])
def test_there_and_back_is_the_same_dump(kind: str) -> None:
    geometry = geometry_of(CATALOGUE.medium(kind))
    assert geometry is not None
    size = 76 * 26 * geometry.bytes_each
    assert size == {SINGLE: 252_928, DOUBLE: 505_856}[kind]  # devices.md 8
    dump = bytes(number * 7 % 251 for number in range(size))
    image = to_physical(dump, geometry)
    assert to_logical(image, geometry) == dump
    assert image[: 26 * geometry.bytes_each] == bytes(26 * geometry.bytes_each)
    for wrong in (dump[:-1], b"", image):
        with pytest.raises(ValueError, match="bytes"):
            to_physical(wrong, geometry)


# ---- the command


def test_an_image_is_made_sparse_with_its_description(floppy: Path) -> None:
    assert floppy.stat().st_size == 256_256
    assert floppy.stat().st_blocks * 512 < 256_256
    assert floppy.with_name("a.floppy.yaml").read_text() == f'medium: 1\nkind: {SINGLE}\nlabel: "system"\n'


def test_nothing_is_made_over_a_file(floppy: Path, capsys: pytest.CaptureFixture[str]) -> None:
    floppy.write_bytes(b"mine")
    assert media("make", floppy, "--kind", SINGLE) == 2
    assert floppy.read_bytes() == b"mine"
    assert "writes over none" in capsys.readouterr().err


def test_what_is_told_of_a_medium_is_true_and_fits_its_schema(floppy: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Oracles: hashlib, jsonschema."""
    changed(floppy, 3, b"\xa0\0" + bytes(126))
    changed(floppy, 0, bytes([0o240 & 0o377, 0]) + bytes(126))
    capsys.readouterr()
    assert media("inspect", floppy, "--json") == 0
    found = json.loads(capsys.readouterr().out)
    jsonschema.validate(found, medium_schema())
    assert found["sha256"] == hashlib.sha256(floppy.read_bytes()).hexdigest()
    assert (found["changed"], found["used"], found["first-word"]) == ([0, 3], 2, "000240")
    assert media("inspect", floppy) == 0
    out = capsys.readouterr().out
    assert "2 sectors changed, kept apart" in out and "label: system" in out


def test_an_image_that_is_not_the_described_one_is_said_to_be_none(
    floppy: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with floppy.with_name("a.floppy.yaml").open("a") as stream:
        stream.write(f"sha256: {'0' * 64}\n")
    assert media("inspect", floppy) == 0
    assert "NOT the image that is described" in capsys.readouterr().out


def test_two_media_are_compared_with_what_lies_apart(floppy: Path, capsys: pytest.CaptureFixture[str]) -> None:
    other = floppy.with_name("b.floppy")
    media("make", other, "--kind", SINGLE)
    assert media("compare", floppy, other) == 0
    changed(floppy, 7, b"x" * EACH * 3)
    changed(floppy, 2001, b"x" * EACH)
    capsys.readouterr()
    assert media("compare", floppy, other) == 1
    assert capsys.readouterr().out == "sectors 7 to 9\nsector 2001\n4 of 2002 sectors differ\n"


def test_media_of_two_kinds_are_not_compared(floppy: Path, capsys: pytest.CaptureFixture[str]) -> None:
    other = floppy.with_name("b.disk")
    media("make", other, "--kind", "cartridge-2mb")
    assert media("compare", floppy, other) == 2
    assert "it is cartridge-2mb" in capsys.readouterr().err


def test_changes_are_kept_or_dropped(floppy: Path, capsys: pytest.CaptureFixture[str]) -> None:
    changed(floppy, 7, b"x" * EACH)
    assert media("drop", floppy) == 0
    assert not overlay_path(floppy).exists() and not any(floppy.read_bytes())
    changed(floppy, 7, b"y" * EACH)
    assert media("keep", floppy) == 0
    assert not overlay_path(floppy).exists()
    assert floppy.read_bytes()[7 * EACH : 8 * EACH] == b"y" * EACH
    capsys.readouterr()
    assert media("keep", floppy) == media("drop", floppy) == 0
    assert capsys.readouterr().out.count("nothing lies apart") == 2


def test_what_a_machine_uses_is_left_alone(floppy: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with open_medium(floppy, CATALOGUE) as medium:
        medium.write(0, bytes(EACH))
        for word in ("keep", "drop", "inspect"):
            assert media(word, floppy) == 2
            assert "in use by another machine" in capsys.readouterr().err
        assert medium.changed == (0,)


def test_an_overlay_that_can_not_be_used_can_still_be_dropped(floppy: Path) -> None:
    overlay_path(floppy).write_bytes(b"no database")
    assert media("keep", floppy) == 2
    assert media("drop", floppy) == 0
    assert media("inspect", floppy) == 0


def test_dumps_come_in_and_go_out_as_they_were(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for size, name in ((252_928, "logical"), (256_256, "physical")):
        dump = tmp_path / f"{name}.raw"
        dump.write_bytes(random.Random(size).randbytes(size))  # nothing in it tells an order
        image, back = tmp_path / f"{name}.floppy", tmp_path / f"{name}.back"
        assert media("import", dump, "--kind", SINGLE, "-o", image) == 0
        assert f"{name} order" in capsys.readouterr().out
        assert media("export", image, "--order", name, "-o", back) == 0
        assert back.read_bytes() == dump.read_bytes()
        assert media("export", image, "-o", back) == 2  # never over a file


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["make", "x.floppy", "--kind", "floppy"], 'no kind of medium "floppy"'),
        (["make", "x.papertape", "--kind", "paper-tape"], "no fixed size"),
        (["make", "x.disk", "--kind", SINGLE], "ends in .floppy"),
        (["make", "no/such/x.floppy", "--kind", SINGLE], "can't be made"),
        (["inspect", "none.floppy"], "no such image file"),
        (["inspect", "."], "no such image file"),
        (["keep", "none.floppy"], "no such image file"),
        (["import", "small.raw", "--kind", SINGLE, "-o", "x.floppy"], "has 256256 bytes, or 252928"),
        (["import", "large.raw", "--kind", SINGLE, "-o", "x.floppy"], "too large"),
        (["export", "b.disk", "--order", "logical", "-o", "x"], "has no logical order"),
    ],
)
def test_what_can_not_be_done_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "small.raw").write_bytes(b"x" * 100)
    (tmp_path / "large.raw").write_bytes(bytes(300_000))
    media("make", "b.disk", "--kind", "cartridge-2mb")
    assert media(*words) == 2
    assert said in capsys.readouterr().err
    assert not (tmp_path / "x.floppy").exists()
