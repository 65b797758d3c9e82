"""halt"""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.bench.answer import Answer, Words, said
from minisim.bench.verbs._parts import no_more, nothing

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested

HELP = "press the halt switch: the processor halts after the instruction it is at"
USE = ("halt",)


def do(bench: Bench, words: Words) -> Answer:
    """On a front panel the switch stays down; else it is let go when the processor has halted."""
    no_more(words, USE)
    bench.press_halt(True)
    return said("The halt switch is on.")


def suggest(bench: Bench, words: Words) -> Suggested:
    """Nothing stands behind it."""
    return nothing(words)
