"""Random keys at the bench for a long time: no error, and no more memory at the end than after a quarter."""

from __future__ import annotations

import gc
import random
import shutil
import time
from pathlib import Path

import pytest
from screen.rig import Rig, drive

import minisim
from minisim.bench.bench import Bench
from minisim.bench.screen import BenchScene
from minisim.bench.verbs import verbs

from .comparing import BEHIND, SECONDS, SEED, SIZES, fill, held, some_keys

pytestmark = [pytest.mark.ui, pytest.mark.slow]
ROOT = Path(__file__).resolve().parent.parent.parent


class Restless(BenchScene):
    """A bench that nobody leaves."""

    @property
    def done(self) -> bool:  # type: ignore[override]
        return self.over

    @done.setter
    def done(self, value: bool) -> None:
        if hasattr(self, "bench"):
            self.bench.left = False

    over = False


async def warm_up(rig: Rig, words: list[str]) -> None:
    """Every word with all that may stand behind it, so that what is read once and kept is there before measuring."""
    await fill(rig)
    for word in words:
        tidy(rig.scene.bench)
        for behind in ("", *BEHIND):
            await rig.keys(f"{word} {behind}\r", 0.02)
            rig.scene.guest = False
    await rig.keys("\x1b", 0.1)


def tidy(bench: Bench) -> None:
    """A long past (its bound is 100 000 events) and machines that were gone back from are there or not by chance; the
    allocator keeps the pages of the most there ever was.
    """
    bench.past.restart(bench.machine)
    gc.collect()


async def taken(rig: Rig, bench: Bench) -> tuple[int, int]:
    """Bytes in memory, and objects, without what keys may wipe: the paper, and the past, which has its own bounds."""
    rig.scene.paper.clear()
    tidy(bench)
    return await held(rig), len(gc.get_objects())


@pytest.mark.parametrize("name", ["desk", "visitor"])
def test_random_keys_do_no_harm_and_memory_stays_flat(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copytree(ROOT / "loadouts" / "kittiwake", tmp_path / "k")
    monkeypatch.chdir(tmp_path)
    loadout = minisim.read_loadout(tmp_path / "k" / f"{name}.yaml")
    scene = Restless(Bench(minisim.build(loadout), loadout=loadout))
    chance, words = random.Random(f"{SEED} {name}"), list(verbs())
    measured: list[tuple[int, int]] = []

    async def script(rig: Rig) -> None:
        await warm_up(rig, words)
        began, length = time.monotonic(), SECONDS / 2
        while time.monotonic() - began < length:
            await rig.keys(some_keys(chance, words), chance.choice([0.0, 0.0, 0.01, 0.1]))
            if chance.random() < 0.02:
                tidy(scene.bench)
            if chance.random() < 0.05:
                rig.wire.resize(*chance.choice(SIZES))
            if not measured and time.monotonic() - began > length / 4:
                measured.append(await taken(rig, scene.bench))
        measured.append(await taken(rig, scene.bench))
        scene.over = True

    drive(scene, script, limit=SECONDS + 60)
    (first, objects_at_first), (last, objects_at_last) = measured
    grown = last / first - 1
    assert grown < 0.05, f"memory grew by {100 * grown:.1f} %"
    assert objects_at_last < 1.05 * objects_at_first
