"""leave"""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.bench.answer import Answer, Words, said
from minisim.bench.verbs._parts import no_more, nothing

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested

HELP = "leave the bench and the machine"
USE = ("leave",)


def do(bench: Bench, words: Words) -> Answer:
    """The machine stands then."""
    no_more(words, USE)
    bench.pause()
    bench.left = True
    return said()


def suggest(bench: Bench, words: Words) -> Suggested:
    """Nothing stands behind it."""
    return nothing(words)
