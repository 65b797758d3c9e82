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

from .comparing import SECONDS, SEED, SIZES, resident, some_keys

pytestmark = [pytest.mark.ui, pytest.mark.slow]
ROOT = Path(__file__).resolve().parent.parent.parent

ARENAS = 4_000_000  # bytes that the allocator may take once more; in a long run a leak is more


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


@pytest.mark.parametrize("name", ["desk", "visitor"])
def test_random_keys_do_no_harm_and_memory_stays_flat(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copytree(ROOT / "loadouts" / "kittiwake", tmp_path / "k")
    monkeypatch.chdir(tmp_path)
    loadout = minisim.read_loadout(tmp_path / "k" / f"{name}.yaml")
    scene = Restless(Bench(minisim.build(loadout), loadout=loadout))
    chance, words = random.Random(f"{SEED} {name}"), list(verbs())
    measured: list[int] = []
    objects: list[int] = []

    async def script(rig: Rig) -> None:
        began, length = time.monotonic(), SECONDS / 2
        while time.monotonic() - began < length:
            await rig.keys(some_keys(chance, words), chance.choice([0.0, 0.0, 0.01, 0.1]))
            if chance.random() < 0.05:
                rig.wire.resize(*chance.choice(SIZES))
            if not measured and time.monotonic() - began > length / 4:
                measured.append(await resident(rig))
                objects.append(len(gc.get_objects()))
        measured.append(await resident(rig))
        objects.append(len(gc.get_objects()))
        scene.over = True

    drive(scene, script, limit=SECONDS + 60)
    grown = (measured[-1] - ARENAS) / measured[0] - 1
    assert grown < 0.05, f"memory grew by {100 * grown:.1f} % and {ARENAS} bytes"
    assert objects[-1] < 1.05 * objects[0]
