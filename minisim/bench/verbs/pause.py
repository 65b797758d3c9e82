"""pause"""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.bench.answer import Answer, Words, said
from minisim.bench.look import where
from minisim.bench.verbs._parts import no_more, nothing

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested

HELP = "stop the machine where it stands; run goes on"
USE = ("pause",)


def do(bench: Bench, words: Words) -> Answer:
    """Between two instructions."""
    no_more(words, USE)
    if not bench.running:
        return said("The machine stands already.", *where(bench))
    bench.pause()
    return said("The machine stands.", *where(bench))


def suggest(bench: Bench, words: Words) -> Suggested:
    """Nothing stands behind it."""
    return nothing(words)
