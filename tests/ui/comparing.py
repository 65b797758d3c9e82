"""What the tests of full-screen views share: kept screens, random keys, memory.

MINISIM_UI_WRITE=1 writes the kept screens anew; look before you commit.  MINISIM_UI_SECONDS says how long random keys
are pressed (60 if nothing is said), MINISIM_UI_SEED gives other keys.
"""

from __future__ import annotations

import ctypes
import gc
import os
import random
import sys
from pathlib import Path

from screen.rig import Rig

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent / "tools"))

from seen import Seen

SCREENS = Path(__file__).resolve().parent / "screens"
SECONDS = float(os.environ.get("MINISIM_UI_SECONDS", "120"))
SEED = int(os.environ.get("MINISIM_UI_SEED", "1960"))
CONTROL = [chr(code) for code in range(32) if code != 4] + ["\x7f"]
ARROWS = ["\x1b[A", "\x1b[B", "\x1b[C", "\x1b[D", "\x1b[5~", "\x1b[6~", "\x1b[H", "\x1b[F", "\x1b[3~", "\x1b[Z"]
# fmt: off
ODD = ["\x1b", "\x1b[", "\x1b[999;999R", "\x1b[<0;1;1M", "\x1b]0;x\x07", "\x1bOP", "\x1b[200~a\nb\x07\x1b[201~", "\xe9",
       "\u6f6e", "\x1b9"]
BEHIND = ["r2", "001000", "000012", "registers", "stack", "bus", "next", "devices", "interrupts", "ps", "panel",
          "000340", "5.", "177560", "now", "list", "main/a/3", "tape", "back", "word.snapshot", "\u00fc", "9", "-1",
          "10 seconds", "pc 001000", "printed tide"]
# fmt: on
_SMALL = 64  # bytes of a small block, more or less
SIZES = [(80, 24), (200, 60), (60, 16), (59, 15), (20, 5), (132, 43), (100, 30), (1, 1)]


def compare(seen: Seen, name: str) -> None:
    """With the kept screen."""
    kept = SCREENS / f"{name}.txt"
    shown = seen.settle(0.3).text()
    if os.environ.get("MINISIM_UI_WRITE"):
        kept.parent.mkdir(exist_ok=True)
        kept.write_text(shown, "utf-8")
    assert shown == kept.read_text("utf-8")


class _Heap(ctypes.Structure):
    """What the C library says of its heap (mallinfo2, from version 2.33 on)."""

    _fields_ = [(name, ctypes.c_size_t) for name in (
        "arena", "ordblks", "smblks", "hblks", "hblkhd", "usmblks", "fsmblks", "uordblks", "fordblks", "keepcost",
    )]  # fmt: skip


async def held(rig: Rig) -> int:
    """Bytes that are in use while the screen has its usual size: of the C heap, and of Python's small blocks.

    Pages that were in use once and lie free between others are not counted: how many of them the system keeps is a
    matter of the greatest peak so far, and of chance.
    """
    rig.wire.resize(80, 24)
    await rig.keys("\x1b", 0.5)
    gc.collect()
    asked = ctypes.CDLL(None).mallinfo2
    asked.restype = _Heap
    heap = asked()
    return int(heap.uordblks + heap.hblkhd) + _SMALL * sys.getallocatedblocks()


async def fill(rig: Rig) -> None:
    """What is kept up to a bound is kept from the beginning: paper, history, screens of all sizes."""
    for number in range(40):
        rig.scene.paper.feed(b"".join(b"%060d\r\n" % line for line in range(30)))
        rig.wire.resize(*SIZES[number % len(SIZES)])
        await rig.keys("a" * number + "\r" * 6, 0.05)


def some_keys(chance: random.Random, words: list[str]) -> str:
    """A few keys of one kind."""
    kind = chance.randrange(9)
    if kind < 3:
        return (
            chance.choice(words)
            + chance.choice(["", " " + chance.choice(BEHIND), f" {chance.choice(BEHIND)} {chance.choice(BEHIND)}"])
            + "\r"
        )
    if kind == 3:
        return "".join(
            chance.choice("abcdefghijklmnopqrstuvwxyz0123456789 ./:") for _ in range(chance.randrange(1, 30))
        )
    if kind == 4:
        return chance.choice(CONTROL)
    if kind == 5:
        return chance.choice(ARROWS) * chance.randrange(1, 4)
    if kind == 6:
        return chance.choice(ODD)
    return chance.choice(["\r", "\t", "\x10", "\x1d", "\x1b", "run\r", "one\r", "pause\r"])
