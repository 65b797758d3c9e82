"""console"""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.bench.answer import Answer, Refused, Words, said
from minisim.bench.verbs._parts import no_more, nothing

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested

HELP = "to the console: keys go to the machine, which runs on"
USE = ("console",)


def do(bench: Bench, words: Words) -> Answer:
    """A machine that was only paused runs on; one that has halted has its own way from there."""
    no_more(words, USE)
    if bench.machine.layout.console is None and bench.machine.console_kind != "panel":
        raise Refused("this machine has no console line")
    bench.carry_on()
    bench.wants_console = True
    return said()


def suggest(bench: Bench, words: Words) -> Suggested:
    """Nothing stands behind it."""
    return nothing(words)
