"""The bench's view: what is on it at each size, from the machines of the demo."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

import minisim
from minisim.bench.bench import Bench
from minisim.bench.screen import BenchScene
from minisim.screen import DRAWN, Canvas

KITTIWAKE = Path(__file__).resolve().parent.parent.parent / "loadouts" / "kittiwake"
BARE = [(60, 14), (61, 15), (79, 22), (80, 22), (100, 33), (131, 50), (132, 29), (132, 30), (200, 58), (300, 100)]


@pytest.fixture(scope="module")
def station(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(shutil.copytree(KITTIWAKE, tmp_path_factory.mktemp("screen") / "kittiwake"))


def scene_of(station: Path, name: str, *lines: str) -> BenchScene:
    loadout = minisim.read_loadout(station / f"{name}.yaml")
    scene = BenchScene(Bench(minisim.build(loadout), loadout=loadout))
    for line in lines:
        scene.enter(line)
        scene.bench.finish(3_000_000)
        scene.work()
    return scene


def shown(scene: BenchScene, width: int = 80, height: int = 22) -> list[str]:
    canvas = Canvas(width, height, DRAWN)
    scene.draw(canvas)
    return canvas.text()


@pytest.mark.parametrize("name", ["desk", "gauge", "chart", "visitor", "ledger"])
def test_every_machine_fits_every_size(station: Path, name: str) -> None:
    scene = scene_of(station, name, "one 5.", "look devices")
    for width, height in BARE:
        text = "\n".join(shown(scene, width, height))
        assert scene.bench.machine.name[:20] in text
    scene.bench.machine.close()


def test_all_parts_are_on_the_smallest_usual_screen(station: Path) -> None:
    scene = scene_of(station, "visitor", "until printed tide:", "one 2.")
    scene.pane = None
    rows = shown(scene)
    names = ["registers", "last", "next", "bus", "interrupts", "devices", "answer"]
    assert [row.split()[0] for row in rows if row[:1].isalpha() and row.split()[0] in names] == names
    text = "\n".join(rows)
    machine = scene.bench.machine
    assert "tide:" in text
    assert f"PC {machine.cpu.pc:06o}" in text
    assert f"PS {machine.cpu.ps:06o}" in text
    assert "visitor.floppy" in text
    assert "priority 7, Z set" in text  # 000344: priority 7, and of the condition codes only Z [handbook-1969]
    machine.close()


def test_what_an_instruction_changed_stands_in_reverse(station: Path) -> None:
    scene = scene_of(station, "desk")
    machine = scene.bench.machine
    machine.memory.put(0o1000, 0o012700, 0o42)  # MOV #42,R0
    machine.cpu.pc = 0o1000
    scene.enter("one")
    canvas = Canvas(80, 22)
    scene.draw(canvas)
    assert ("reverse", "000042") in [run for row in canvas.rows() for run in row]
    machine.close()


def test_a_long_answer_opens_a_pane_and_a_short_one_does_not(station: Path) -> None:
    scene = scene_of(station, "desk")
    shown(scene)
    scene.enter("look r2")
    assert scene.pane is None
    scene.enter("help")
    assert scene.pane is not None
    assert "Esc closes it" in shown(scene)[-1]
    scene.enter("one")
    scene.bench.machine.close()


def test_the_front_panel_takes_the_place_of_the_bus_until_escape(station: Path) -> None:
    scene = scene_of(station, "gauge", "panel load address 001000")
    scene.pane = None
    rows = shown(scene)
    assert any("Address   ... ... ..o ... ... ...  001000" in row for row in rows)
    assert not any(row.startswith("bus") for row in rows)
    assert scene.key("escape")
    assert any(row.startswith("bus") for row in shown(scene))
    scene.bench.machine.close()


def test_leave_ends_the_view_and_console_gives_the_keys_away(station: Path) -> None:
    scene = scene_of(station, "desk")
    scene.enter("console")
    assert (scene.guest, scene.done) == (True, False)
    scene.toggle()
    assert not scene.guest
    scene.enter("leave")
    assert scene.done
    scene.bench.machine.close()


def test_for_a_caller_with_a_console_of_its_own_the_word_console_ends_the_view(station: Path) -> None:
    loadout = minisim.read_loadout(station / "desk.yaml")
    scene = BenchScene(Bench(minisim.build(loadout), loadout=loadout), back_to_console=True)
    scene.enter("console")
    assert (scene.done, scene.bench.wants_console, scene.bench.left) == (True, True, False)
    scene.bench.machine.close()
