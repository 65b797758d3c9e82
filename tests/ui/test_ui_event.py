"""Event mode under random keys and under kills: never an error, never an end, memory flat, counters kept."""

from __future__ import annotations

import os
import random
import signal
import sys
import termios
import time
from pathlib import Path

import pytest
from screen.rig import Rig, drive

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent / "tools"))

from seen import Seen

from minisim.lessons.event.diary import Diary, Kind
from minisim.lessons.event.model import Stage
from minisim.lessons.event.opening import open_event
from minisim.lessons.event.screen import END, EventScene

from .comparing import SECONDS, SEED, SIZES, held, some_keys

pytestmark = [pytest.mark.ui, pytest.mark.slow]
WORDS = ["hint", "show", "start over", "leave", "run", "one", "look", "change r0 000010", "back", "read", "slip x.txt"]
PRESSED = [*"123456ap \r\x1b\x1d", "1show\r", "2show\rshow\r", "show\r", "show\r"]


class Hurried(EventScene):
    """Nobody ends it; a minute goes by now and then."""

    over = False

    @property
    def done(self) -> bool:  # type: ignore[override]
        return self.over

    @done.setter
    def done(self, value: bool) -> None:
        """Whoever typed the words for it has ended an event; here it goes on."""


def test_random_keys_do_no_harm_and_memory_stays_flat(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    event, invitation = open_event(tmp_path / "event")
    passed = 0.0
    event._clock = lambda: time.monotonic() + passed
    scene, chance = Hurried(event, invitation), random.Random(f"{SEED} event")
    measured: list[int] = []
    pages: set[Stage] = set()

    async def script(rig: Rig) -> None:
        nonlocal passed
        for group in event.groups:  # what is read once and kept is read before memory is measured
            for activity in group.activities:
                await rig.keys(f"\x1d\x1b{activity.key}", 0.1)
                await rig.keys("show\rshow\r", 0.2)
        began, length = time.monotonic(), SECONDS / 2
        while time.monotonic() - began < length:
            keys = chance.choice(PRESSED) if chance.random() < 0.4 else some_keys(chance, WORDS)
            await rig.keys(keys, chance.choice([0.0, 0.01, 0.05, 0.2]))
            pages.add(event.stage)
            if chance.random() < 0.05:
                passed += chance.choice([20.0, 70.0, 70.0])
                await rig.keys("", 0.7)
                pages.add(event.stage)
            if chance.random() < 0.05:
                rig.wire.resize(*chance.choice(SIZES))
            if not measured and time.monotonic() - began > length / 4:
                measured.append(await held(rig))
        measured.append(await held(rig))
        scene.over = True

    drive(scene, script, limit=SECONDS + 60)
    invitation.close()
    event.close()
    assert pages == set(Stage)
    counts = Diary(tmp_path / "event").counts()
    assert counts.kinds[Kind.UPSET] == 0, event.last_upset
    assert counts.kinds[Kind.STARTED] > 5
    grown = measured[-1] / measured[0] - 1
    assert grown < 0.05, f"memory grew by {100 * grown:.1f} %"


def test_killed_outright_it_begins_again_and_has_lost_no_count(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "minisim", "learn", "--event", "--folder", str(tmp_path)]
    for _ in range(4):
        with Seen(command) as seen:
            before = None
            seen.wait("Press any key")
            assert before is None and termios.tcgetattr(seen.child.child_fd)
            seen.type(" ")
            seen.wait("30 seconds")
            seen.type("1")
            seen.wait("Count eight boats")
            os.kill(seen.child.pid, signal.SIGKILL)
            seen.wait(lambda at: not at.child.isalive())
    counts = Diary(tmp_path).counts()
    assert (counts.kinds[Kind.OPENED], counts.started["eight"], counts.cut_off) == (4, 4, 3)


def test_nothing_a_visitor_types_ends_it(tmp_path: Path) -> None:
    with Seen([sys.executable, "-m", "minisim", "learn", "--event", "--folder", str(tmp_path)]) as seen:
        seen.wait("Press any key")
        for keys in (
            "\x03",
            "\x04",
            "\x1a",
            "\x1c",
            "q",
            "leave\r",
            f"{END}\r",
            "\x1b",
            "1",
            "\x03",
            "\x04",
            "leave\r",
        ):
            seen.type(keys)
            seen.settle(0.15)
        assert seen.child.isalive()
