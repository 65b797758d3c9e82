"""Files are written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from minisim import yamltext
from minisim.files import read_at_most, write_atomically
from minisim.loadout.files import check_sum
from minisim.problems import InputError
from minisim.stock import sheets


def test_a_new_file_and_a_replaced_file_hold_exactly_the_bytes(tmp_path: Path) -> None:
    path = tmp_path / "machine.yaml"
    write_atomically(path, b"first")
    path.chmod(0o640)
    write_atomically(path, b"second")
    assert path.read_bytes() == b"second"
    assert path.stat().st_mode & 0o777 == 0o640
    assert list(tmp_path.iterdir()) == [path]


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "real.yaml").write_bytes(b"old")
    (tmp_path / "link.yaml").symlink_to(tmp_path / "real.yaml")
    write_atomically(tmp_path / "link.yaml", b"new")
    assert (tmp_path / "link.yaml").is_symlink()
    assert (tmp_path / "real.yaml").read_bytes() == b"new"


def test_nothing_is_left_when_the_disk_refuses(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "machine.yaml"
    path.write_bytes(b"old")

    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(InputError, match="can't write the file: no space left on device"):
        write_atomically(path, b"new")
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


def test_an_interrupt_leaves_nothing_either(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(_handle: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", stop)
    with pytest.raises(KeyboardInterrupt):
        write_atomically(tmp_path / "machine.yaml", b"new")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", [".", "none/machine.yaml", "a\x00b", "x" * 5000])
def test_a_place_where_no_file_can_be_is_told(name: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="can't write the file"):
        write_atomically(tmp_path / name, b"x")


def test_a_file_is_read_up_to_its_limit_and_no_further(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"x" * 1_000_000)
    assert read_at_most(path, 1_000_000, "a tape") == b"x" * 1_000_000
    os.truncate(path, 4_000_000_000)  # no disk holds that much: it is a hole
    with pytest.raises(InputError, match="a:1:1: the file is larger than 1 MB, too large for a tape"):
        read_at_most(path, 1_000_000, "a tape")


def test_every_reader_says_in_the_same_words_that_there_is_no_file(tmp_path: Path) -> None:
    path = tmp_path / "none"
    for read in (yamltext.read_bytes, sheets.read_bytes):
        with pytest.raises(InputError) as caught:
            read(path)
        assert [str(one) for one in caught.value.problems] == [
            f"{path}:1:1: can't read the file: no such file or directory"
        ]
    assert check_sum(path, "0" * 64) == "none: can't read the file: no such file or directory"
