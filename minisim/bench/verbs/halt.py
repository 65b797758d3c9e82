"""halt"""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.bench.answer import Answer, Words, said
from minisim.bench.verbs._parts import no_more, nothing

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested

HELP = "press the halt switch: the processor halts after its instruction"
USE = ("halt",)


def do(bench: Bench, words: Words) -> Answer:
    """On a front panel the switch stays down; else it is let go when the processor has halted."""
    no_more(words, USE)
    was_halted = bench.halted
    bench.press_halt(True)
    if bench.machine._raw.halt_switch and (was_halted or bench.machine.console_kind == "panel"):
        return said("The halt switch is on.")
    return said("The processor has halted already." if was_halted else "The halt switch was pressed.")


def suggest(bench: Bench, words: Words) -> Suggested:
    """Nothing stands behind it."""
    return nothing(words)
