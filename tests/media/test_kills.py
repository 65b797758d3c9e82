"""`make kill-test` in small, and proof that it would see a damaged image."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tools import kill_test
from tools.kill_test import EACH, SECTORS


def test_a_process_killed_inside_a_write_leaves_images_whole(capsys: pytest.CaptureFixture[str]) -> None:
    assert kill_test.main(["12", "7"]) == 0
    assert capsys.readouterr().out == "12 kills inside a write, 0 images damaged\n"


@pytest.mark.parametrize("way", kill_test.WAYS)
@pytest.mark.parametrize("writing", ["apart", "through"])
def test_every_way_to_die_does_die_inside_a_write(tmp_path: Path, way: str, writing: str) -> None:
    for number in range(40):
        path = tmp_path / f"{number}.floppy"
        path.write_bytes(bytes(EACH * SECTORS))
        begun, ended = kill_test._killed(path, writing, way, random.Random(number))
        if len(begun) > ended:
            assert kill_test._is_whole(path, writing, begun, ended)
            return
    pytest.fail("it never died inside a write")


@pytest.mark.parametrize("harm", ["half a sector", "a lost write", "an older one", "the image itself"])
def test_a_damaged_image_would_be_seen(tmp_path: Path, harm: str) -> None:
    from minisim.catalogue import Catalogue
    from minisim.media import Writing, open_medium

    path = tmp_path / "a.floppy"
    path.write_bytes(bytes(EACH * SECTORS))
    begun = [(1, 0, 2), (2, 1, 1), (3, 5, 1)]
    with open_medium(path, Catalogue(), writing=Writing.APART) as medium:
        for generation, first, count in begun[:2]:
            medium.write(first, generation.to_bytes(4, "little") * 32 * count)
    assert kill_test._is_whole(path, "apart", begun, 2)
    with open_medium(path, Catalogue(), writing=Writing.APART) as medium:
        if harm == "half a sector":
            medium.write(5, bytes(64) + (3).to_bytes(4, "little") * 16)
        elif harm == "a lost write":
            medium.write(1, bytes(EACH))
        elif harm == "an older one":
            medium.write(1, (1).to_bytes(4, "little") * 32)
    if harm == "the image itself":
        path.write_bytes(b"x" + bytes(EACH * SECTORS - 1))
        assert not kill_test._is_whole(path, "apart", begun, 2)
        return
    assert not kill_test._is_whole(path, "apart", begun, 2)


