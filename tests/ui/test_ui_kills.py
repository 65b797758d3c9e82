"""The bench is killed at random moments by random signals; the terminal is as it was before, each time."""

from __future__ import annotations

import os
import random
import shutil
import signal
import sys
import termios
import time
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent / "tools"))

from seen import ROOT, Seen

pytestmark = [pytest.mark.ui, pytest.mark.slow]
KILLS = int(os.environ.get("MINISIM_UI_KILLS", "24"))
SIGNALS = (signal.SIGKILL, signal.SIGTERM, signal.SIGHUP, signal.SIGQUIT, signal.SIGINT, signal.SIGKILL)
WORDS = ("run\r", "one\r", "look devices\r", "\x10", "\t", "\x1d", "list\r", "help\r", "\x1b[6~", "\x1b", "pause\r")
PROGRAM = Path(__file__).resolve().parent / "at_bench.py"


def modes(seen: Seen) -> list[Any]:
    return termios.tcgetattr(seen.child.child_fd)


def child_of(parent: int) -> int:
    """The process that the shell is running."""
    for _ in range(200):
        children = Path(f"/proc/{parent}/task/{parent}/children").read_text(encoding="ascii").split()
        if children:
            return int(children[0])
        time.sleep(0.02)
    raise AssertionError("the shell runs nothing")


def test_however_the_bench_is_killed_the_terminal_is_as_before(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "loadouts" / "kittiwake", tmp_path / "k")
    chance = random.Random(1960)
    with Seen(["bash", "--norc", "--noediting"], more={"PS1": "ready>"}) as seen:
        seen.wait("ready>")
        before = modes(seen)
        for number in range(KILLS):
            seen.type(f"clear; {sys.executable} {PROGRAM} {tmp_path / 'k' / 'visitor.yaml'} full\r")
            seen.wait(lambda at: at.alternate and "bench:" in at.text())
            assert modes(seen) != before
            for _ in range(chance.randrange(6)):
                seen.type(chance.choice(WORDS))
                seen.take(chance.random() / 10)
            kind = SIGNALS[number % len(SIGNALS)]
            process = child_of(seen.child.pid)
            (os.killpg if chance.random() < 0.3 else os.kill)(process, kind)  # a shell kills the whole job
            seen.wait(lambda at: not at.alternate and modes(at) == before)
            seen.settle(0.2)
            seen.screen.reset()  # the emulated one has no other screen to come back to
            seen.type(f"\recho again {number}.\r")  # the shell may get keys that nobody has read, so a line of its own
            said = f"again {number}."
            seen.wait(lambda at, said=said: any(said in row and "echo" not in row for row in at.rows()))
            assert not seen.screen.cursor.hidden
