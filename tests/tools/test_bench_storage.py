"""The bench of the devices does the work it says it times.  No time is asserted here."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent / "tools"))

from bench import storage
from bench.engines import CORES, BenchError

from minisim.devices._controller import Drive


def small(monkeypatch: pytest.MonkeyPatch) -> None:
    """A sixteenth of the copy and fifty characters."""
    chunks = storage.MEGABYTE // storage.CHUNK
    monkeypatch.setattr(storage, "COPY", storage.COPY.replace(f"#{chunks}., R2", f"#{chunks // 16}., R2"))
    monkeypatch.setattr(storage, "SEND", storage.SEND.replace(f"#{storage.CHARACTERS}.", "#50."))
    monkeypatch.setattr(storage, "MEGABYTE", storage.MEGABYTE // 16)
    monkeypatch.setattr(storage, "CHARACTERS", 50)


@pytest.mark.parametrize("core", CORES)
def test_the_copy_takes_as_long_as_the_disks_turn(core: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """128 sectors there and back, 12 in a turn of 40 ms [small-cartridge-pages]: at least 21 turns."""
    small(monkeypatch)
    _, guest = storage.copied(core)
    assert 21 * 0.04 < guest < 10


@pytest.mark.parametrize("core", CORES)
def test_the_multiplexer_sends_every_character(core: str, monkeypatch: pytest.MonkeyPatch) -> None:
    small(monkeypatch)
    assert storage.sent(core) > 0


def test_a_wrong_copy_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    small(monkeypatch)

    def damaged() -> tuple[Drive, Drive]:
        full, empty = cartridges()
        empty.protected = True
        return full, empty

    cartridges = storage.cartridges
    monkeypatch.setattr(storage, "cartridges", damaged)
    with pytest.raises(BenchError, match="is not what was copied"):
        storage.copied(next(iter(CORES)))


def test_both_tables_are_printed(monkeypatch: pytest.MonkeyPatch) -> None:
    small(monkeypatch)
    text = "\n".join(storage.lines(rounds=1))
    assert "DMA copy of 1 MB" in text
    assert "characters a second" in text
