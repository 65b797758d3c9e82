"""panel"""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.bench.answer import Answer, Refused, Words, said
from minisim.bench.verbs._parts import wrong
from minisim.panel import HELP as KEYS

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested

HELP = "the keys of the front panel: load address, examine, deposit ..."
USE = ("panel load address 001000", "panel deposit 012700 000005", "panel examine", "panel start", "panel help")
_SWITCH = {"halt": True, "enable": False}


def do(bench: Bench, words: Words) -> Answer:
    """What a hand does there, and what the lamps show then."""
    if not words:
        raise wrong(USE)
    dialog = bench.dialog
    if bench.running:
        if " ".join(words) not in _SWITCH:
            raise Refused("the processor runs: of its keys only halt and enable do anything; or say pause first")
        bench.press_halt(_SWITCH[words[0]])
        return said()
    done = dialog.accepts(words.text)
    shown = dialog.do(words.text)
    bench.touched()
    if dialog.left:
        dialog.left = False
        raise Refused("leave is a word of the bench; say it without panel")
    if dialog.runs:
        bench.start()
        dialog.runs = False
        return said("The machine runs.")
    return Answer(tuple(line for line in shown.splitlines() if not line.startswith("leave ")), done)


def suggest(bench: Bench, words: Words) -> Suggested:
    """Its keys."""
    if words or bench.machine.console_kind != "panel":
        return
    for line in KEYS.splitlines():
        names, what = line[:24], line[24:].strip()
        for name in names.split(","):
            key = name.strip().rstrip("01234567 ")
            if key != "leave":
                yield key, what
