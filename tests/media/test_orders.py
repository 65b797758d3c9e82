"""The order of a dump: found by what runs on from sector to sector, or said to be unknown.

The logical order itself is checked against published values in test_raw_orders.  That the guess is right is no matter
of a document: dumps of text in each order must be told apart, and those that hold nothing to go by must not.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from minisim.catalogue import Catalogue
from minisim.cli import main
from minisim.media import Geometry, geometry_of
from minisim.media.orders import PHYSICAL, from_image, guess, orders_of, to_image
from minisim.media.raw import to_physical

WORDS = Path(__file__).parents[2].joinpath("DEVELOPERS.md").read_text(encoding="utf-8").encode("ascii", "ignore")
KINDS = ("floppy-8-inch-single", "floppy-8-inch-double", "cartridge-2mb", "cartridge-5mb")


def geometry(kind: str) -> Geometry:
    found = geometry_of(Catalogue().medium(kind))
    assert found is not None
    return found


def written(one: Geometry, share: float, seed: int = 1) -> bytes:
    """An image with files of text at random places, as system software would lay them."""
    chance, blocks = random.Random(seed), bytearray(one.logical_bytes or one.size)
    at = 0
    while at < len(blocks):
        length = 512 * chance.randrange(1, 40)
        if not at or chance.random() < share:  # what begins at block 0 is never empty
            start = chance.randrange(len(WORDS) - length) if length < len(WORDS) else 0
            text = WORDS[start : start + length][: len(blocks) - at]
            blocks[at : at + len(text)] = text
        at += length
    return to_physical(bytes(blocks), one) if one.logical_bytes else bytes(blocks)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("share", [0.9, 0.3])
def test_a_dump_of_text_is_told_in_every_order(kind: str, share: float) -> None:
    one = geometry(kind)
    image = written(one, share)
    for order in orders_of(one):
        dump = from_image(image, one, order)
        found = guess(dump, one)
        assert (found.order, found.is_clear) == (order, True), (order, found)
        assert to_image(dump, one, found.order) == image


@pytest.mark.parametrize("kind", KINDS)
def test_where_nothing_tells_nothing_is_claimed(kind: str) -> None:
    one = geometry(kind)
    chance = random.Random(7)
    for dump in (bytes(one.size), bytes([0o345]) * one.size, chance.randbytes(one.size)):
        found = guess(dump, one)
        assert (found.order, found.is_clear) == (PHYSICAL, False), found


@pytest.mark.parametrize("kind", KINDS)
def test_every_order_has_every_sector_once(kind: str) -> None:
    one = geometry(kind)
    for order in orders_of(one).values():
        assert sorted(order(one)) == list(range(one.sectors))


def test_by_head_is_one_side_after_the_other() -> None:
    """Arithmetic: sector 24 of the dump is the first of cylinder 2 on the upper side."""
    order = orders_of(geometry("cartridge-2mb"))["by-head"](geometry("cartridge-2mb"))
    assert (order[0], order[12], order[24]) == (0, 24, 48)
    assert order[203 * 12] == 12  # then the lower side begins


def test_the_command_says_what_it_found(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    one = geometry("cartridge-2mb")
    image = written(one, 0.5)
    dump = tmp_path / "old.dump"
    dump.write_bytes(from_image(image, one, "by-head"))
    words = ["--kind", "cartridge-2mb", "-o"]
    assert main(["media", "import", str(dump), *words, str(tmp_path / "a.disk")]) == 0
    assert "in by-head order (by what runs on" in capsys.readouterr().out
    assert (tmp_path / "a.disk").read_bytes() == image
    back = ["--order", "by-head", "-o", str(tmp_path / "b.dump")]
    assert main(["media", "export", str(tmp_path / "a.disk"), *back]) == 0
    assert (tmp_path / "b.dump").read_bytes() == dump.read_bytes()
    assert main(["media", "import", str(dump), "--order", "physical", *words, str(tmp_path / "c.disk")]) == 0
    assert (tmp_path / "c.disk").read_bytes() == dump.read_bytes()
    dump.write_bytes(bytes(one.size))
    assert main(["media", "import", str(dump), *words, str(tmp_path / "d.disk")]) == 0
    assert "nothing in it tells the order" in capsys.readouterr().out
    assert main(["media", "import", str(dump), "--order", "logical", *words, str(tmp_path / "e.disk")]) == 2
    assert "is in one of: physical, by-head" in capsys.readouterr().err
